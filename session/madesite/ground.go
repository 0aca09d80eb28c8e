package madesite

import (
	"math"

	"rodcall/reduce"
)

// Site is a foundation whose heights are known.
type Site struct {
	Seed    uint64
	Outline reduce.Outline
	truth   map[reduce.Station]float64
	places  map[reduce.Station]reduce.Point
}

// BenchmarkAt is where a site's benchmark stands: off the sill, outside c1.
var BenchmarkAt = reduce.Point{X: -10 * reduce.Foot, Y: 5 * reduce.Foot}

// parts of a chance: one stream for each.
const (
	forGround uint64 = iota + 1
	forLaser
	forCrew
	forWalk
	forSill
)

// New makes the site of a seed on an outline with walls. c1 is at height 0 and
// the benchmark within 6 in of it.
func New(seed uint64, o reduce.Outline, g Ground) *Site {
	c := NewChance(seed, forGround)
	s := &Site{Seed: seed, Outline: o, truth: map[reduce.Station]float64{}, places: map[reduce.Station]reduce.Point{}}
	stations := o.Stations()
	for _, st := range stations {
		s.places[st], _, _ = o.Position(st)
	}
	bm := reduce.BenchmarkNumber(1)
	s.places[bm] = BenchmarkAt

	lean := float64(g.Lean.Rise) / float64(g.Lean.Run)
	leanX, leanY := lean*c.Normal(), lean*c.Normal()
	corner := s.places[reduce.Corner(1+c.Below(max(o.Corners(), 1)))]
	sunk := -math.Abs(float64(g.Settled) * c.Normal())
	parts := 1
	if c.Happens(g.Joints) {
		parts = 2 + c.Below(3)
	}
	joints, offsets := make([]int, parts), make([]float64, parts)
	for i := range parts {
		joints[i], offsets[i] = c.Below(max(len(stations), 1)), float64(g.Step)*c.Normal()
	}
	height, length := float64(g.Wave)*c.Normal(), c.Between(float64(g.Shortest), float64(g.Longest))
	phase := c.Between(0, 2*math.Pi)
	bows := map[int]float64{}
	along := 0.0
	for i, st := range stations {
		p := s.places[st]
		dx, dy := float64(p.X-corner.X), float64(p.Y-corner.Y)
		h := leanX*float64(p.X) + leanY*float64(p.Y) + sunk*math.Exp(-math.Hypot(dx, dy)/float64(g.Reach))
		if i > 0 {
			q := s.places[stations[i-1]]
			along += math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y))
		}
		h += height * math.Sin(2*math.Pi*along/length+phase)
		if parts > 1 {
			h += offsets[part(joints, i)]
		}
		if wall, ok := o.WallLength(st.Number); ok && st.Kind == reduce.Wall {
			if _, known := bows[st.Number]; !known {
				bows[st.Number] = float64(g.Bow) * c.Normal()
			}
			u := float64(st.Past) / float64(wall)
			h += bows[st.Number] * 4 * u * (1 - u)
		}
		s.truth[st] = h + float64(g.Rough)*c.Normal()
	}
	zero := s.truth[reduce.Corner(1)]
	for st := range s.truth {
		s.truth[st] -= zero
	}
	s.truth[bm] = c.Between(-6, 6) * float64(reduce.Inch)
	return s
}

// part is the part of the pour in which the i-th station stands: that of the
// nearest joint at or before it, going round.
func part(joints []int, i int) int {
	best, at := -1, 0
	last, end := -1, 0
	for k, j := range joints {
		if j <= i && j > best {
			best, at = j, k
		}
		if j > last {
			last, end = j, k
		}
	}
	if best < 0 {
		return end
	}
	return at
}

// Truth is a station's height above c1 in nanometres. ok is false for one that
// the site does not have.
func (s *Site) Truth(st reduce.Station) (height float64, ok bool) {
	height, ok = s.truth[st]
	return height, ok
}

// Stations are the benchmark and the stations of the walk, in walking order.
func (s *Site) Stations() []reduce.Station {
	return append([]reduce.Station{reduce.BenchmarkNumber(1)}, s.Outline.Stations()...)
}

// Snap rounds every height to a raster, for sites on which whoever reads
// rightly gets the very truth.
func (s *Site) Snap(step reduce.Length) {
	for st, h := range s.truth {
		s.truth[st] = math.RoundToEven(h/float64(step)) * float64(step)
	}
}

// Move sets one station's height, as a shim or a grinder would.
func (s *Site) Move(st reduce.Station, height float64) { s.truth[st] = height }
