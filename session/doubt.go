package session

import (
	"cmp"
	"slices"

	"rodcall/reduce"
)

// Limits of what a reading is compared with.
const (
	doubtReach   = 50 // stations along its wall: what a reading may cost
	doubtNearest = 6  // on each side, which are enough for most readings
	doubtFewest  = 10 // others that are read before anything is doubted
	doubtGaps    = 5  // marks to the third neighbour at most: three, and two left out
)

// doubt is an unlikely reading.
type doubt struct {
	reduce.Doubt
	height reduce.Length // as read, less the station's design
	expect reduce.Length // as its neighbours lead to expect
	// row is the walk that it was compared with, and at its place there.
	row []reduce.Neighbour
	at  int
	// foreseen: it is held against what the station should be after a round
	// before, not against its neighbours.
	foreseen bool
	// first: it is held against the reference alone, which may as well be wrong.
	first bool
	// confirmed: the crew was asked about such a height here, and kept it.
	confirmed bool
}

// unlikely compares a reading with its neighbours along the wall. ok is false
// where there is nothing to ask: a likely reading, a station off the walls or
// the reference, a rod that has no heights yet, too few neighbours.
func (h *hearing) unlikely(rod Rod, s reduce.Station, value reduce.Length) (d doubt, ok bool) {
	if s.Kind != reduce.Wall || s == h.job.resolve(h.job.Reference) || !h.job.placed(s) {
		return doubt{}, false
	}
	var tied bool
	if d.height, tied = h.job.sight(rod.ID, value, s); !tied {
		return doubt{}, false
	}
	if f, doubtful, told := h.doubtForeseen(rod, s, d.height); told {
		return f, doubtful
	}
	d.height -= h.job.design.At(s)
	// Most readings are calm, which the nearest few neighbours show.
	w := h.walk()
	before, after := h.heightsBeside(w, s, doubtNearest)
	if d, ok := h.missedStep(s, d, before, after); ok {
		return d, true
	}
	if row, at := h.rowOf(reduce.Neighbour{Station: s, Height: d.height}, before, after); reduce.Calm(row, at, h.job.noise()) {
		return doubt{}, false
	}
	before, after = h.heightsBeside(w, s, len(w.read))
	d.row, d.at = h.rowOf(reduce.Neighbour{Station: s, Height: d.height}, before, after)
	if len(d.row) <= doubtFewest {
		return h.farOff(s, d, before, after)
	}
	d.Doubt, ok = reduce.Unlikely(d.row, d.at, h.job.noise(), nil)
	d.expect = d.height - d.Off
	d.confirmed = ok && h.confirmed(s, d.height, d.Limit)
	return d, ok
}

// heightsBeside lists the stations read beside one, as walk.beside does, with
// their heights less their design.
func (h *hearing) heightsBeside(w *walk, s reduce.Station, most int) (before, after []reduce.Neighbour) {
	before, after, _ = w.beside(s, most)
	return h.job.withHeights(before), h.job.withHeights(after)
}

// leastMissed is how high a step is at least whose missing is looked for:
// smaller ones are found among enough neighbours.
const leastMissed = reduce.Inch

// missedStep holds a reading against the nearest one of its section, or else the
// nearest at all: it is doubtful however few are read, where it would fit the
// height of another section better than that of its own.
func (h *hearing) missedStep(s reduce.Station, d doubt, before, after []reduce.Neighbour) (doubt, bool) {
	own := h.job.design.At(s)
	levels := []reduce.Length{0}
	for _, k := range h.job.design.Steps() {
		levels = append(levels, k.Before, k.After)
	}
	if len(levels) == 1 {
		return doubt{}, false // one level: no work for the most
	}
	near := slices.Concat(before, after)
	if len(near) == 0 {
		return doubt{}, false
	}
	best := slices.MinFunc(near, func(a, b reduce.Neighbour) int {
		other := func(n reduce.Neighbour) int {
			if h.job.design.At(n.Station) == own {
				return 0
			}
			return 1
		}
		return cmp.Or(cmp.Compare(other(a), other(b)), cmp.Compare(a.Along, b.Along))
	})
	d.Off = d.height - best.Height
	for _, l := range levels {
		gap := l - own
		if gap.Abs() <= leastMissed || (d.Off-gap).Abs() >= d.Off.Abs() {
			continue
		}
		d.Limit, d.Scatter = gap.Abs()/4, h.job.noise()
		d.expect = best.Height
		d.confirmed = h.confirmed(s, d.height, d.Limit)
		return d, true
	}
	return doubt{}, false
}

// mostOff is more than a spot of a wall is off the nearest of its section: more is
// another section that nobody told of, or a figure meant otherwise (common
// practice, no source).
const mostOff = 3 * reduce.Inch

// farOff holds a reading against the nearest one, where too few are read to show
// how they scatter: it is doubtful where it is off by more than any wall.
func (h *hearing) farOff(s reduce.Station, d doubt, before, after []reduce.Neighbour) (doubt, bool) {
	near := slices.Concat(before, after)
	if len(near) == 0 {
		return doubt{}, false
	}
	best := slices.MinFunc(near, func(a, b reduce.Neighbour) int { return cmp.Compare(a.Along, b.Along) })
	if d.Off = d.height - best.Height; d.Off.Abs() <= mostOff {
		return doubt{}, false
	}
	d.row, d.at = nil, 0
	d.Limit, d.Scatter, d.expect = mostOff, h.job.noise(), best.Height
	ref := h.job.resolve(h.job.Reference)
	d.first = !slices.ContainsFunc(near, func(n reduce.Neighbour) bool { return n.Station != ref })
	d.confirmed = h.confirmed(s, d.height, d.Limit)
	return d, true
}

// confirmed says that the crew was asked about this station already: a height
// that they confirmed there lies as near to this one as the limit. height is
// less the station's design.
func (h *hearing) confirmed(s reduce.Station, height, limit reduce.Length) bool {
	for _, rod := range h.job.Rods {
		r, ok := h.job.live(slot{h.job.Round, rod.ID, s, false})
		if !ok || !r.Sure {
			continue
		}
		if e, tied := h.job.sight(rod.ID, r.Value, s); tied && (e-h.job.design.At(s)-height).Abs() <= limit {
			return true
		}
	}
	return false
}

// rowOf is a station among its neighbours, in a row: between those on both sides
// where two of each stand near, else behind those that were walked. It is nil
// where neither stand near enough to compare.
func (h *hearing) rowOf(s reduce.Neighbour, before, after []reduce.Neighbour) (row []reduce.Neighbour, at int) {
	reach := doubtGaps * h.job.Outline.Grid.Spacing
	near := func(list []reduce.Neighbour, n int) bool { return len(list) >= n && list[n-1].Along <= reach }
	switch {
	case near(before, 2) && near(after, 2):
		// Round a loop the two sides hold the same stations: half to each.
		if !h.job.Outline.Empty() {
			n := len(before)
			before, after = before[:(n+1)/2], after[:n/2]
		}
		before, after = before[:min(len(before), doubtReach/2)], after[:min(len(after), doubtReach/2-1)]
	case near(before, 3):
		before, after = before[:min(len(before), doubtReach-1)], nil
	case near(after, 3):
		before, after = after[:min(len(after), doubtReach-1)], nil
	default:
		return nil, 0
	}
	row = make([]reduce.Neighbour, 0, len(before)+1+len(after))
	for _, n := range slices.Backward(before) {
		n.Along = -n.Along
		row = append(row, n)
	}
	at = len(row)
	return append(append(row, s), after...), at
}
