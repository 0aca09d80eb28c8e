package reduce

import "math/bits"

// Pair is two spots and how far apart in height they are.
type Pair struct {
	High, Low  Spot
	Difference Length
	Distance   Length // straight, in plan, to the nearest nanometre
}

// PairReach is the distance within which a foundation's level is judged:
// 20 ft straight.
const PairReach = 20 * Foot

// within says whether two points are at most reach apart, exactly: the
// squares are compared in 128 bits.
func within(a, b Point, reach Length) bool {
	dx, dy := (a.X - b.X).Abs(), (a.Y - b.Y).Abs()
	if dx > reach || dy > reach {
		return false
	}
	xh, xl := bits.Mul64(uint64(dx), uint64(dx))
	yh, yl := bits.Mul64(uint64(dy), uint64(dy))
	rh, rl := bits.Mul64(uint64(reach), uint64(reach))
	sl, carry := bits.Add64(xl, yl, 0)
	sh, _ := bits.Add64(xh, yh, carry)
	return sh < rh || sh == rh && sl <= rl
}

// WorstPair finds the two spots within reach of each other (in plan, at most)
// that differ most in height. Spots without a place in the outline are left
// out; ok is false where no two are near enough. Among equals the pair first
// in walking order wins. Spots are looked up by squares of side reach, so the
// cost grows with the spots that are near one another, not with all pairs.
func WorstPair(o *Outline, spots []Spot, reach Length) (p Pair, ok bool) {
	type square struct{ x, y Length }
	cells := map[square][]int{}
	at := make([]Point, len(spots))
	cell := func(p Point) square { return square{floor(p.X, reach), floor(p.Y, reach)} }
	for i, s := range spots {
		pos, _, placed := o.Position(s.Station)
		if !placed {
			continue
		}
		at[i] = pos
		c := cell(pos)
		// Earlier spots only: each pair is met once, in walking order of its
		// second spot.
		best := -1
		for x := c.x - 1; x <= c.x+1; x++ {
			for y := c.y - 1; y <= c.y+1; y++ {
				for _, j := range cells[square{x, y}] {
					if !within(at[j], pos, reach) {
						continue
					}
					d := (spots[i].Height - spots[j].Height).Abs()
					if !ok || d > p.Difference || best >= 0 && d == p.Difference && j < best {
						p, ok, best = Pair{High: spots[j], Low: spots[i], Difference: d}, true, j
						p.Distance = hypot(at[j].X-pos.X, at[j].Y-pos.Y)
					}
				}
			}
		}
		cells[c] = append(cells[c], i)
	}
	if p.High.Height < p.Low.Height {
		p.High, p.Low = p.Low, p.High
	}
	return p, ok
}

func floor(l, step Length) Length {
	q := l / step
	if l%step < 0 {
		q--
	}
	return q
}
