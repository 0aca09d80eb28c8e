package session

import (
	"errors"
	"slices"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// outline sets the walls anew; the piers stay.
func (h *hearing) outline(m phrase.Meaning) answer {
	w, ok := m.Arg.(phrase.Walls)
	if !ok {
		return h.refuse(m)
	}
	grid, unit := h.gridFor(w)
	plan, err := reduce.Outline{Grid: grid, Piers: h.job.Outline.Piers}.WithLoop("", reduce.Point{}, w.Legs)
	if err != nil {
		return h.badWalls(err, w, 1)
	}
	notes := h.spreadGap(w)
	if further := h.job.Outline.Loops; len(further) > 1 {
		var names []string
		for _, l := range further[1:] {
			names = append(names, SayLoop(h.lang, l.Name))
		}
		notes = append(notes, h.say("outline.loops", strings.Join(names, ", ")))
	}
	notes = append(notes, h.oddPiers(plan)...)
	old := h.job.Outline
	if unit != h.job.Unit {
		h.emit(UnitsSet{Unit: unit, Finest: unit.Finest(), Grid: grid})
		notes = append(notes, h.say("units", h.say(Key("unit."+unit.String())), h.finest()))
		notes = append(notes, h.endCount()...)
		notes = append(notes, h.marksStay()...)
	}
	a := h.setOutline(plan, old, notes...)
	walls := reduce.Length(0)
	for _, l := range w.Legs {
		walls += l.Length
	}
	a.lines = slices.Insert(a.lines, 1, h.say("outline.size", h.distance(walls)))
	return a
}

// gridFor is the grid that new walls are marked by: metres make a job metric
// whose unit nobody chose; otherwise the grid stays.
func (h *hearing) gridFor(w phrase.Walls) (reduce.Grid, reduce.Unit) {
	metric := h.job.Unit == reduce.UnitMillimetre
	switch {
	case h.job.UnitsSet || w.Metric == metric || !w.Metric && !w.Feet:
		return h.job.Outline.Grid, h.job.Unit
	case w.Metric:
		return h.gridOf(reduce.UnitMillimetre), reduce.UnitMillimetre
	}
	return h.gridOf(reduce.UnitInch), reduce.UnitInch
}

func (h *hearing) loop(m phrase.Meaning) answer {
	w, ok := m.Arg.(phrase.Walls)
	if !ok {
		return h.refuse(m)
	}
	if h.job.Outline.Empty() {
		return answer{lines: []string{h.say("loop.first")}, unheard: true}
	}
	plan, err := h.job.Outline.WithLoop(w.Name, w.At, w.Legs)
	if err != nil {
		return h.badWalls(err, w, h.job.Outline.Corners()+1)
	}
	return h.setOutline(plan, h.job.Outline, append(h.spreadGap(w), h.meets(plan)...)...)
}

// meets says where the newest loop of a plan lies over another, and which of
// its stations stand on a spot that has a name already: each is asked for by
// its own.
func (h *hearing) meets(plan reduce.Outline) []string {
	newest := plan.Loops[len(plan.Loops)-1]
	var out []string
	for _, l := range plan.Loops[:len(plan.Loops)-1] {
		if overlap(l.Corners, newest.Corners) {
			out = append(out, h.say("loop.overlap", SayLoop(h.lang, newest.Name), SayLoop(h.lang, l.Name)))
		}
	}
	names := spots{}
	var same []string
	for _, s := range plan.Stations() {
		if s.Kind != reduce.Wall {
			continue
		}
		at, loop, _ := plan.Position(s)
		name := s.Name(plan.Grid.Mark)
		switch other, taken := names.at(at); {
		case !taken:
			names.put(at, name)
		case loop == newest.Name:
			same = append(same, name+" = "+other)
		}
	}
	if len(same) > 0 {
		same = shorten(same, maxListed, func(n int) string { return h.say("more", n) })
		out = append(out, h.say("loop.same", strings.Join(same, ", ")))
	}
	return out
}

func (h *hearing) piers(m phrase.Meaning) answer {
	p, ok := m.Arg.(phrase.Points)
	if !ok {
		return h.refuse(m)
	}
	plan, err := h.job.Outline.WithPiers(p)
	if err != nil {
		return h.badShape(err)
	}
	return h.setOutline(plan, h.job.Outline, h.oddPiers(plan)...)
}

// farOut is how far off all walls a pier is too far to be one of the house's.
const farOut = 20 * reduce.Foot

// oddPiers says which piers stand on a wall, and which far outside.
func (h *hearing) oddPiers(plan reduce.Outline) []string {
	if plan.Empty() {
		return nil
	}
	var on, far []reduce.Station
	for i, p := range plan.Piers {
		switch s := reduce.PierNumber(i + 1); {
		case onWall(plan, p):
			on = append(on, s)
		case outside(plan, p, farOut):
			far = append(far, s)
		}
	}
	var what []string
	if len(on) > 0 {
		what = append(what, h.say("piers.wall", h.list(on)))
	}
	if len(far) > 0 {
		what = append(what, h.say("piers.far", h.list(far)))
	}
	if len(what) == 0 {
		return nil
	}
	return []string{h.say("piers.odd", strings.Join(what, "; "))}
}

// outside says whether a point lies farther than reach, along x or y, from the
// box round every loop.
func outside(plan reduce.Outline, p reduce.Point, reach reduce.Length) bool {
	return !slices.ContainsFunc(plan.Loops, func(l reduce.Loop) bool {
		low, high := l.Corners[0], l.Corners[0]
		for _, c := range l.Corners {
			low = reduce.Point{X: min(low.X, c.X), Y: min(low.Y, c.Y)}
			high = reduce.Point{X: max(high.X, c.X), Y: max(high.Y, c.Y)}
		}
		return low.X-reach <= p.X && p.X <= high.X+reach && low.Y-reach <= p.Y && p.Y <= high.Y+reach
	})
}

func (h *hearing) spacing(m phrase.Meaning) answer {
	l, ok := m.Arg.(phrase.LengthArg)
	if !ok {
		return h.refuse(m)
	}
	plan, err := h.job.Outline.WithSpacing(l.Length)
	if err != nil {
		return h.badShape(err)
	}
	if plan.Empty() {
		h.emit(OutlineSet{Loops: plan.Loops, Piers: plan.Piers, Grid: plan.Grid})
		h.settle()
		return answer{lines: []string{h.say("spacing.free", h.distance(l.Length))}, next: true}
	}
	return h.setOutline(plan, h.job.Outline)
}

// setOutline takes a plan that closes, and says what it holds, what notes add,
// and where readings made on the old one are now.
func (h *hearing) setOutline(plan reduce.Outline, old *reduce.Outline, notes ...string) answer {
	h.emit(OutlineSet{Loops: plan.Loops, Piers: plan.Piers, Grid: plan.Grid})
	a := answer{lines: []string{h.say("outline", plan.Corners(), len(plan.Stations()), h.distance(plan.Grid.Spacing))}, next: true}
	if plan.Empty() {
		a.lines = []string{h.say("outline.none", len(plan.Piers))}
	}
	a.lines = append(a.lines, notes...)
	a.lines = append(a.lines, h.refiled(old)...)
	a.lines = append(a.lines, h.designLost()...)
	h.settle()
	if h.job.walking() {
		h.wasWalking = true
	}
	if h.once("bm") && !h.hasBenchmark() {
		a.lines = append(a.lines, h.say("nobm"))
	}
	if h.once("caution.walk") {
		a.lines = append(a.lines, h.say("caution.walk"))
	}
	if len(h.job.Rods) == 0 {
		// One question at a time: the first station is asked for once the rod is
		// known, or read without it.
		a.buttons = []Button{{h.say("rod.direct.button"), "direct rod"}, {h.say("rod.standard.button"), "standard rod"}}
		a.lines = append(a.lines, h.say("rod.which"))
		a.next = false
	}
	return a
}

// refiled says which readings an outline leaves without a place, which between
// its marks, and which on another spot of the plan than on the old one.
func (h *hearing) refiled(old *reduce.Outline) []string {
	plan := h.job.Outline
	var lost, off, moved []reduce.Station
	marks := plan.Stations()
	for _, s := range h.job.View().Stations {
		if !s.Read || !walked(s.Station) {
			continue
		}
		was, _, had := old.Position(s.Station)
		_, err := plan.Resolve(s.Station)
		switch {
		case err != nil:
			lost = append(lost, s.Station)
		case had && s.Placed && was != s.At:
			moved = append(moved, s.Station)
		case !plan.Empty() && !slices.Contains(marks, s.Station):
			off = append(off, s.Station)
		}
	}
	var out []string
	for _, l := range []struct {
		key  Key
		list []reduce.Station
	}{{"outline.lost", lost}, {"outline.off", off}, {"outline.moved", moved}} {
		if len(l.list) > 0 {
			out = append(out, h.say(l.key, h.list(l.list)))
		}
	}
	return out
}

// badShape says why walls cannot be an outline.
func (h *hearing) badShape(err error) answer {
	bad := func(key Key, args ...any) answer {
		return answer{lines: []string{h.say(key, args...)}, unheard: true}
	}
	var shape *reduce.ShapeError
	if errors.As(err, &shape) {
		return bad(Key("shape."+shape.Fault.String()), shape.Wall, shape.Other)
	}
	return bad("shape.other", err.Error())
}

// distance is a length in plan: feet or metres.
func (h *hearing) distance(l reduce.Length) string { return h.distanceIn(h.job, l) }

func (h *hearing) distanceIn(j *Job, l reduce.Length) string {
	return inMark(h.lang, j.Mark(), l.Decimal(j.Mark()).Round(2).String())
}
