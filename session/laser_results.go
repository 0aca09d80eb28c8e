package session

import (
	"slices"

	"rodcall/reduce"
)

// pegsResult reduces a two-peg test: what the farther peg should have shown, and
// the error over a distance.
func (h *hearing) pegsResult(q *Question) answer {
	v := q.Values
	test := reduce.TwoPeg(reduce.PegSetUp{A: v[0], B: v[1]}, reduce.PegSetUp{A: v[2], B: v[3], DistanceA: v[4], DistanceB: v[5]})
	if !test.Known || 4*(v[4]-v[5]).Abs() < max(v[4], v[5]) {
		q.Values = v[:4]
		return h.askTest(*q, h.say("laser.same"))
	}
	peg, showed, far := "a", v[2], v[4]
	if v[5] > v[4] {
		peg, showed, far = "b", v[3], v[5]
	}
	rod := Rod{Rod: h.laserRod()}
	line := h.say("laser.pegs.out", peg, h.rodText(rod, test.Correct(showed, far)), h.rodText(rod, showed),
		h.beamAmount(test.Collimation.At(h.testRun())), h.distance(h.testRun()))
	// Four readings make the error: twice the noise of one, and 1.96 of that.
	return h.judged(q, test.Collimation.At(h.testRun()), test.Error.Abs() > 4*h.job.noise(), line)
}

// headingsResult reduces four readings of one spot.
func (h *hearing) headingsResult(q *Question) answer {
	v := q.Values
	t, ok := reduce.FourHeadings(h.laserRod(), [4]reduce.Length{v[1], v[2], v[3], v[4]}, v[0], h.job.noise())
	switch {
	case !ok:
		q.Values = nil
		return h.askTest(*q)
	case !t.Sound:
		h.c.Question = nil
		return answer{lines: []string{h.say("laser.headings.cross", h.beamAmount(t.Misfit))}, next: true}
	}
	rise := t.Steepest().At(h.testRun())
	return h.judged(q, rise, t.Tilted(), h.say("laser.headings.out", h.beamAmount(rise), h.distance(h.testRun())))
}

// turnResult tells the slab's slope and the beam's apart.
func (h *hearing) turnResult(q *Question) answer {
	rod, held := h.heldRod()
	var pairs []reduce.TurnPair
	for i, s := range q.Stations {
		at, _, placed := h.job.Outline.Position(s)
		r, read := h.job.live(slot{h.job.Round, rod.ID, s, false})
		if held && placed && read {
			pairs = append(pairs, reduce.TurnPair{At: at, Before: r.Value, After: q.Values[i]})
		}
	}
	t, ok := reduce.HalfTurned(rod.Rod, pairs, h.job.noise())
	if !ok {
		h.c.Question = nil
		return answer{lines: []string{h.say("laser.moved")}, next: true}
	}
	run := h.testRun()
	slab, beam := reduce.Plane{X: t.SlabX, Y: t.SlabY}, reduce.Plane{X: t.BeamX, Y: t.BeamY}
	line := h.say("laser.turn.out", h.beamAmount(slab.Steepest().At(run)), h.distance(run), h.towards(slab),
		h.beamAmount(beam.Steepest().At(run)), h.towards(beam))
	before := make([]reduce.Length, len(pairs))
	for i, p := range pairs {
		before[i] = p.Before
	}
	q.Values = slices.Concat(before, q.Values)
	a := h.judged(q, beam.Steepest().At(run), t.BeamTilted, line)
	a.lines = append(a.lines, h.say("laser.turned"))
	a.buttons = []Button{{commandWord(h.lang, "moved"), commandWord(h.lang, "moved")}}
	return a
}

// towards names the corner that lies farthest up a slope.
func (h *hearing) towards(p reduce.Plane) string {
	best, at := 0.0, reduce.Station{}
	for _, s := range h.job.stations() {
		if q, _, ok := h.job.Outline.Position(s); ok && s.IsCorner() {
			if up := float64(p.X)*float64(q.X) + float64(p.Y)*float64(q.Y); at.IsZero() || up > best {
				best, at = up, s
			}
		}
	}
	return h.name(at)
}

// wideThree chooses three stations that this rod has read, wide apart: the
// widest triangle of those that lie outermost in eight directions. ok is false
// where they lie in a line, or nearly so.
func (h *hearing) wideThree() ([]reduce.Station, bool) {
	rod, held := h.heldRod()
	if !held || rod.Setup != h.job.setup() {
		return nil, false
	}
	type spot struct {
		at reduce.Point
		s  reduce.Station
	}
	var all []spot
	for k := range h.job.slots {
		if _, live := h.job.live(k); k.round == h.job.Round && k.rod == rod.ID && !k.check && walked(k.station) && live {
			if at, _, ok := h.job.Outline.Position(k.station); ok {
				all = append(all, spot{at, k.station})
			}
		}
	}
	slices.SortFunc(all, func(a, b spot) int { return reduce.Compare(a.s, b.s) })
	var outer []spot
	for _, d := range [][2]float64{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}} {
		best, found := 0.0, -1
		for i, p := range all {
			if out := d[0]*float64(p.at.X) + d[1]*float64(p.at.Y); found < 0 || out > best {
				best, found = out, i
			}
		}
		if found >= 0 && !slices.Contains(outer, all[found]) {
			outer = append(outer, all[found])
		}
	}
	area := func(a, b, c spot) float64 {
		x1, y1 := float64(b.at.X-a.at.X), float64(b.at.Y-a.at.Y)
		x2, y2 := float64(c.at.X-a.at.X), float64(c.at.Y-a.at.Y)
		return max(x1*y2-x2*y1, x2*y1-x1*y2)
	}
	var three []spot
	best := 0.0
	for i, a := range outer {
		for j, b := range outer[:i] {
			for _, c := range outer[:j] {
				if size := area(a, b, c); size > best {
					best, three = size, []spot{a, b, c}
				}
			}
		}
	}
	if three == nil {
		return nil, false
	}
	var ties []reduce.Tie
	var out []reduce.Station
	for _, p := range three {
		ties, out = append(ties, reduce.Tie{At: p.at}), append(out, p.s)
	}
	slices.SortFunc(out, reduce.Compare)
	_, ok := reduce.PlaneThrough(ties)
	return out, ok
}
