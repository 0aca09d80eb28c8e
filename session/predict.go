package session

import (
	"slices"

	"rodcall/reduce"
)

// predictLook is how many read stations on each side a value is predicted from
// at most; of these only so many are asked for their heights.
const predictLook = 6

// predicted is what the rod in hand should show at a station, and whether anything
// near there tells: if not, it is no more than where to begin. anew leaves out
// what was read at the station itself. ok is false where there is not even a
// beginning: nothing is read on a standard rod. A direct rod is clamped where the
// beam meets its middle.
func (h *hearing) predicted(s reduce.Station, anew bool) (value reduce.Length, near, ok bool) {
	j := h.job
	rod, held := h.heldRod()
	if held && rod.Setup == j.setup() {
		if r, read := j.live(slot{j.Round, rod.ID, s, false}); read && !anew {
			return r.Value, true, true
		}
		if e, known := h.expected(s, anew); known {
			if v, tied := j.shouldRead(rod, s, e); tied {
				return v, true, true
			}
		}
		if v, read := j.untied(rod, s); read {
			return v, false, true
		}
	}
	if h.kind() == reduce.Standard {
		return 0, false, false
	}
	return j.design.At(s), false, true
}

// untied is what a rod that nothing ties yet would show at a station that stands
// as high, but for its design, as the one that it read last. A point off the sill
// says nothing of a direct rod's next reading: it is clamped for the sill.
func (j *Job) untied(rod Rod, s reduce.Station) (reduce.Length, bool) {
	var last Reading
	for k := range j.slots {
		if k.rod != rod.ID || k.round != j.Round {
			continue
		}
		if r, ok := j.live(k); ok && r.Seq > last.Seq {
			last = r
		}
	}
	if last.Seq == 0 || rod.Kind == reduce.Direct && offSill(last.Station) {
		return 0, false
	}
	up := j.design.At(s) - j.design.At(last.Station)
	if !rod.Rises() {
		up = -up
	}
	return last.Value + up, true
}

// expected is the elevation to be expected of a station: as it was read by
// another rod, or as its neighbours lead to expect, above its design or, in a
// further round, above what it should be by the rounds before. ok is false where
// nothing tells. anew leaves out what was read there.
func (h *hearing) expected(s reduce.Station, anew bool) (reduce.Length, bool) {
	j := h.job
	if offSill(s) {
		if anew {
			return 0, false
		}
		e, ok := j.adjustment().levels.Elevations[s]
		return e, ok
	}
	if e, ok := j.latest(s); ok && !anew {
		return e + j.design.At(s), true
	}
	before, after := h.aroundOf(s)
	base, foreseen := j.foreseen(s)
	if !foreseen {
		base = j.design.At(s)
	} else {
		before, after = j.aboveForeseen(before), j.aboveForeseen(after)
	}
	if off, ok := reduce.Expect(before, after, j.noise()); ok {
		return base + off, true
	}
	if foreseen {
		return base, true
	}
	for _, k := range []reduce.Station{j.last, j.resolve(j.Reference)} {
		if e, ok := j.latest(k); ok && k != s {
			return base + e, true
		}
	}
	return 0, false
}

// aroundOf lists the read stations around one, nearest first, with their heights
// less their design: along its loop of walls both ways, each on its nearer side,
// and of a pier the other piers in the order of their numbers.
func (h *hearing) aroundOf(s reduce.Station) (before, after []reduce.Neighbour) {
	j, w := h.job, h.walk()
	if s.Kind != reduce.Wall {
		for n := 1; n <= predictLook; n++ {
			d := reduce.Length(n) * j.Outline.Grid.Spacing
			before = append(before, reduce.Neighbour{Station: reduce.PierNumber(s.Number - n), Along: d})
			after = append(after, reduce.Neighbour{Station: reduce.PierNumber(s.Number + n), Along: d})
		}
		return j.withHeights(before), j.withHeights(after)
	}
	before, after, round := w.beside(s, predictLook)
	if round > 0 {
		// Both sides hold the same stations: each counts on its nearer.
		before = slices.DeleteFunc(before, func(n reduce.Neighbour) bool { return n.Along > round/2 })
		after = slices.DeleteFunc(after, func(n reduce.Neighbour) bool { return round-n.Along <= round/2 })
	}
	return j.withHeights(before), j.withHeights(after)
}

// aboveForeseen makes heights less design into heights less what was foreseen,
// and leaves out those of which nothing was.
func (j *Job) aboveForeseen(list []reduce.Neighbour) []reduce.Neighbour {
	out := list[:0]
	for _, n := range list {
		if f, ok := j.foreseen(n.Station); ok {
			n.Height += j.design.At(n.Station) - f
			out = append(out, n)
		}
	}
	return out
}
