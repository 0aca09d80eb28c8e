package render

import (
	"math"
	"sort"
)

// together is the distance, as a part of the plan's greater side, from which
// two marks count as one spot: walls of two loops that lie on each other.
const together = 1e-5

// nearest is the distance of each point to the one nearest to it, +Inf for a
// single point.
func nearest(at []Pt) []float64 {
	order := make([]int, len(at))
	for i := range order {
		order[i] = i
	}
	sort.Slice(order, func(i, j int) bool {
		a, b := at[order[i]], at[order[j]]
		if a.X != b.X {
			return a.X < b.X
		}
		return a.Y < b.Y || a.Y == b.Y && order[i] < order[j]
	})
	near := make([]float64, len(at))
	for i := range near {
		near[i] = math.Inf(1)
	}
	for i, a := range order {
		for _, step := range []int{1, -1} {
			for k := i + step; k >= 0 && k < len(order); k += step {
				b := order[k]
				if math.Abs(at[b].X-at[a].X) > near[a] {
					break
				}
				near[a] = min(near[a], math.Hypot(at[b].X-at[a].X, at[b].Y-at[a].Y))
			}
		}
	}
	return near
}

// Radii of marks: most where there is room, fair among neighbours.
const mostRadius, fairRadius, leastRadius = 15, 12, 3

// spots is the distance from each point to the nearest one at another place.
func spots(at []Pt) []float64 {
	var places []Pt
	which, number := make([]int, len(at)), map[Pt]int{}
	for i, q := range at {
		k, known := number[q]
		if !known {
			k = len(places)
			number[q], places = k, append(places, q)
		}
		which[i] = k
	}
	near, out := nearest(places), make([]float64, len(at))
	for i, k := range which {
		out[i] = near[k]
	}
	return out
}

// pitches is the distance of each point to the one before or after it in the
// walk, whichever is farther.
func pitches(at []Pt) []float64 {
	out := make([]float64, len(at))
	for i := 1; i < len(at); i++ {
		d := math.Hypot(at[i].X-at[i-1].X, at[i].Y-at[i-1].Y)
		out[i-1], out[i] = max(out[i-1], d), d
	}
	return out
}

// setMarks puts the marks on the page, as large as their distances allow.
// Marks on one spot step aside, each towards the inside of its own loop, so
// that the wall runs between them, as far as there is room.
func (p *plan) setMarks() {
	size := max(p.ext.X1-p.ext.X0, p.ext.Y1-p.ext.Y0)
	right := p.pixel(Pt{p.ext.X1, p.ext.Y0}).X + pad // beyond are labels
	p.px, p.radius = p.px[:0], p.radius[:0]
	for i, q := range p.at {
		d := p.near[i] * p.scale
		c, r := p.pixel(q), max(leastRadius, min(fairRadius, 0.42*d), min(mostRadius, 0.25*d))
		if p.near[i] < size*together {
			if p.spots == nil {
				p.spots = spots(p.at)
			}
			r = max(mostRadius/2, min(fairRadius, 0.27*p.spots[i]*p.scale))
			in, _ := p.inside(i)
			if in == (Pt{}) {
				f := p.looks(i)
				in = Pt{-f.X, -f.Y}
			}
			step := 1.25*r + wallWidth/2.0
			c.X += sign(in.X) * step
			c.Y -= sign(in.Y) * step
			for _, o := range p.px {
				if math.Hypot(o.X-c.X, o.Y-c.Y) < r && c.X+3.25*r+2 < right {
					c.X += 2*r + 2
				}
			}
		}
		p.px, p.radius = append(p.px, c), append(p.radius, r)
	}
}
