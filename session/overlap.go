package session

import (
	"cmp"
	"slices"

	"rodcall/reduce"
)

// overlap says whether two loops have ground in common, wider than a spot along
// x and along y. Walls that touch, as a garage's on the house's, are no overlap.
func overlap(a, b []reduce.Point) bool {
	return wideOverlap(a, b) && wideOverlap(turned(a), turned(b))
}

// turned is a loop with x for y.
func turned(loop []reduce.Point) []reduce.Point {
	out := make([]reduce.Point, len(loop))
	for i, p := range loop {
		out[i] = reduce.Point{X: p.Y, Y: p.X}
	}
	return out
}

// wideOverlap says whether the ground that two loops have in common is anywhere
// wider than a spot along x.
func wideOverlap(a, b []reduce.Point) bool {
	var ys []reduce.Length
	for _, p := range slices.Concat(a, b) {
		ys = append(ys, p.Y)
	}
	slices.Sort(ys)
	// Between two neighbouring ys no wall of either loop begins or ends: what is
	// inside lies between pairs of straight lines, and the pairs of the two loops
	// can be held against each other.
	for i := 1; i < len(ys); i++ {
		low, high := ys[i-1], ys[i]
		if high-low <= spotReach {
			continue
		}
		for _, s := range spans(a, low, high) {
			for _, t := range spans(b, low, high) {
				if s.common(t, float64(high-low)) > float64(spotReach) {
					return true
				}
			}
		}
	}
	return false
}

// line is a wall between two heights y: where it is at the lower one, and how
// far it goes along x for each step up.
type line struct{ x, slope float64 }

// span is the ground between two walls.
type span struct{ left, right line }

// spans is the ground inside a loop between two heights y that no corner lies
// between.
func spans(loop []reduce.Point, low, high reduce.Length) []span {
	var lines []line
	for i, p := range loop {
		q := loop[(i+1)%len(loop)]
		if p.Y > q.Y {
			p, q = q, p
		}
		if p.Y <= low && q.Y >= high {
			slope := float64(q.X-p.X) / float64(q.Y-p.Y)
			lines = append(lines, line{float64(p.X) + slope*float64(low-p.Y), slope})
		}
	}
	middle := float64(high-low) / 2
	slices.SortFunc(lines, func(a, b line) int { return cmp.Compare(a.x+a.slope*middle, b.x+b.slope*middle) })
	var out []span
	for i := 0; i+1 < len(lines); i += 2 {
		out = append(out, span{lines[i], lines[i+1]})
	}
	return out
}

// common is the greatest width that two spans have in common up to a height
// above their foot; below 0 where they are apart. It is found at either end, or
// where two left or two right walls cross.
func (s span) common(t span, height float64) float64 {
	at := func(y float64) float64 {
		y = min(max(y, 0), height)
		return min(s.right.x+s.right.slope*y, t.right.x+t.right.slope*y) - max(s.left.x+s.left.slope*y, t.left.x+t.left.slope*y)
	}
	most := max(at(0), at(height))
	for _, pair := range [2][2]line{{s.left, t.left}, {s.right, t.right}} {
		if d := pair[0].slope - pair[1].slope; d != 0 {
			most = max(most, at((pair[1].x-pair[0].x)/d))
		}
	}
	return most
}
