package session

import (
	"slices"

	"rodcall/reduce"
)

// overlap says whether two loops have ground in common. Walls that touch, as a
// garage's on the house's, are no overlap. Walls run along x or y only.
func overlap(a, b []reduce.Point) bool {
	var ys []reduce.Length
	for _, p := range slices.Concat(a, b) {
		ys = append(ys, p.Y)
	}
	slices.Sort(ys)
	ys = slices.Compact(ys)
	// Between two neighbouring ys both loops are the same all the way up: it is
	// enough to hold their spans along x against each other there.
	for i := 1; i < len(ys); i++ {
		if cross(spans(a, ys[i-1], ys[i]), spans(b, ys[i-1], ys[i])) {
			return true
		}
	}
	return false
}

// span is a stretch along x.
type span struct{ from, to reduce.Length }

// spans are the stretches inside a loop between two heights y that no corner
// lies between.
func spans(loop []reduce.Point, low, high reduce.Length) []span {
	var xs []reduce.Length
	for i, p := range loop {
		q := loop[(i+1)%len(loop)]
		if p.X == q.X && min(p.Y, q.Y) <= low && max(p.Y, q.Y) >= high {
			xs = append(xs, p.X)
		}
	}
	slices.Sort(xs)
	var out []span
	for i := 0; i+1 < len(xs); i += 2 {
		out = append(out, span{xs[i], xs[i+1]})
	}
	return out
}

// cross says whether any two of two sorted lists of stretches have a length in
// common.
func cross(a, b []span) bool {
	for len(a) > 0 && len(b) > 0 {
		switch {
		case a[0].to <= b[0].from:
			a = a[1:]
		case b[0].to <= a[0].from:
			b = b[1:]
		default:
			return true
		}
	}
	return false
}
