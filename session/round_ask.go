package session

import (
	"slices"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// The kinds of question about rounds.
const (
	openEarly = "round"   // begin the next one, with stations left?
	stoodOn   = "surface" // did the round that is over stand on it, or does one begin?
)

// nextRound begins a further walk: of the stations that matter.
func (h *hearing) nextRound(m phrase.Meaning) answer {
	j := h.job
	if len(j.present()) == 0 {
		if j.Round == 1 {
			return answer{lines: []string{h.say("round.nothing")}, unheard: true, next: true}
		}
		return answer{lines: []string{h.say("round.open", j.Round, h.standing(j.Surface, j.BoltsTight))}, unheard: true, next: true}
	}
	q := h.c.Question
	sure := q != nil && q.Kind == openEarly && q.Job == j.ID
	if left := h.job.View().Left; j.walking() && !j.free() && !sure {
		a := answer{lines: []string{h.say("round.left", j.Round, len(left), h.list(left))}, unheard: true}
		if !h.waiting() {
			a.question = &Question{Kind: openEarly, Job: j.ID, Text: m.Said,
				Buttons: []Button{{h.say("round.left.button", j.Round+1), m.Said}}}
		}
		return a
	}
	return h.beginRound(j.nextSurface(), j.BoltsTight)
}

// nextSurface is what the rod stands on in a round that nobody said more of.
func (j *Job) nextSurface() string {
	if j.Surface == "plate" {
		return j.Surface
	}
	raises := slices.ContainsFunc(j.View().Stations, func(s StationView) bool { return s.Verdict == reduce.Raise })
	if len(j.Shimmed) > 0 || raises {
		return "shims"
	}
	return j.Surface
}

// beginRound opens a round. The laser has mostly been moved by then, so it opens
// a set-up as well; still takes that back.
func (h *hearing) beginRound(surface string, tight bool) answer {
	v := h.job.View()
	walk, hang := v.nextWalk(surface)
	said := len(h.job.Shimmed) > 0
	raises := v.tally().raise
	var unset []string
	if surface == surfacePlate && h.job.Surface != surfacePlate {
		if p, ok := v.ShimPlan(); ok {
			unset = h.unset(&p)
		}
	}
	h.emit(RoundOpened{Round: h.job.Round + 1, Surface: surface, Tight: tight, Walk: walk, Hang: hang})
	moved := h.freshSetup()
	h.settle()
	h.wasWalking = true
	a := answer{lines: []string{h.say("round.begun", h.job.Round, h.standing(surface, tight), len(walk), h.list(walk))}, next: true}
	if !said && raises > 0 && surface != "plate" {
		a.lines = append(a.lines, h.say("round.untold"))
	}
	untold := len(a.lines) > 1
	if len(unset) > 0 {
		a.lines = append(a.lines, h.say("round.unset", len(unset), h.shortly(unset)))
	}
	a.lines = append(a.lines, h.hangsOn(hang)...)
	h.askTies()
	if moved {
		a.buttons = append(a.buttons, Button{h.say("round.still.button"), commandWord(h.lang, phrase.CmdStill)})
	}
	if text := h.say("round.told.button"); untold {
		a.buttons = append(a.buttons, Button{text, text})
	}
	h.askPlate(&a)
	return a
}

// unset names the points of a plan at which shims are still to be set or taken
// out.
func (h *hearing) unset(p *ShimPlan) []string {
	var out []string
	for _, b := range p.Points {
		if b.todo() {
			out = append(out, h.spotName(b))
		}
	}
	return out
}

// freshSetup opens a set-up with this person's rod, where the present one was
// read from.
func (h *hearing) freshSetup() bool {
	if !h.readFromSetup(h.job.setup()) {
		return false
	}
	h.openSetup()
	return true
}

// readFromSetup says whether anything counts that was read from a set-up.
func (h *hearing) readFromSetup(setup int) bool {
	for k := range h.job.slots {
		if rod, ok := h.job.rod(k.rod); ok && rod.Setup == setup && !h.job.empty[k] {
			return true
		}
	}
	return false
}

// hangsOn says, once of each kind, what a round hangs on where there is no point off the
// sill.
func (h *hearing) hangsOn(hang []reduce.Station) []string {
	for k := range h.job.slots {
		if offSill(k.station) && k.round < h.job.Round && !h.job.empty[k] {
			return nil
		}
	}
	ref := h.name(h.job.resolve(h.job.Reference))
	switch {
	case len(hang) > 0 && h.job.stood(h.job.Round) == h.job.stood(h.job.Round-1):
		if h.once("hangs.sill") {
			return []string{h.say("round.hangs.sill", h.list(hang))}
		}
		return nil
	case !h.once("hangs.reference"):
		return nil
	}
	return []string{h.say("round.hangs.reference", ref)}
}

// standing is what the rod stands on in a round.
func (h *hearing) standing(surface string, tight bool) string {
	return View{Job: h.job}.SayStanding(h.lang, surface, tight)
}

// plates are thicknesses of a plate for example, by unit: of a dressed two-by
// plank (common practice, no source).
var plates = map[reduce.Unit][2]string{
	reduce.UnitInch: {"1 1/2", "38 mm"}, reduce.UnitFoot: {"1 1/2 in", "38 mm"}, reduce.UnitMillimetre: {"38 mm", "45 mm"},
}

// askPlate asks for the plate's thickness where a round on it is to be held
// against a level that was not chosen on it.
func (h *hearing) askPlate(a *answer) {
	j := h.job
	if j.Datum == nil {
		return
	}
	if _, known := j.thicker(j.Round, j.DatumRound); known {
		return
	}
	a.lines = append(a.lines, h.say("plate.ask"))
	a.buttons = append(a.buttons, h.plateButtons()...)
}

// plateButtons are usual thicknesses of a plate.
func (h *hearing) plateButtons() (out []Button) {
	for _, t := range plates[h.job.Unit] {
		text := h.say("plate.button", t)
		out = append(out, Button{text, text})
	}
	return out
}

// plateThick takes the plate's thickness.
func (h *hearing) plateThick(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.LengthArg)
	if !ok {
		return h.refuse(m)
	}
	said := h.measure(arg.Length)
	if arg.Length > thickest && !h.sure(arg.Length) {
		a := h.askSure(m.Said, said, arg.Length)
		a.lines = []string{h.say("plate.sure", said)}
		return a
	}
	h.emit(PlanSet{What: FigurePlate, Length: arg.Length})
	a := answer{lines: []string{h.say("plate", said)}, next: true}
	if h.job.Surface == "plate" && h.job.Datum != nil {
		if v := h.job.View(); v.Read > 0 {
			a.lines = append(a.lines, h.verdicts(v)...)
		}
	}
	if h.mayBeStill() {
		if h.c.Tie == 0 {
			h.askTies()
		}
		a.buttons = []Button{{h.say("round.still.button"), commandWord(h.lang, phrase.CmdStill)}}
	}
	return a
}

// thickest is the thickest plate that is taken without asking: three planks.
const thickest = 5 * reduce.Inch

// openingStep is the step that opened the newest set-up; -1 where it is too long
// ago.
func (j *Job) openingStep() int {
	return slices.IndexFunc(j.steps, func(s *step) bool {
		return s.before != nil && slices.Contains(s.sets, matter{kind: ofSetup, id: j.setup()})
	})
}

// mayBeStill says that the set-up at hand was opened with the round, and that
// nothing is read from it.
func (h *hearing) mayBeStill() bool {
	i := h.job.openingStep()
	return i >= 0 && slices.Contains(h.job.steps[i].sets, matter{kind: ofOpening, id: h.job.Round}) &&
		!h.readFromSetup(h.job.setup()) && h.job.Round > 1
}

// still takes back the set-up that a round was opened with: the laser stands
// where it stood. What was read of it off the sill is checked first.
func (h *hearing) still(phrase.Meaning) answer {
	if !h.mayBeStill() {
		return answer{lines: []string{h.say("round.still.no", h.job.setup())}, unheard: true, next: true}
	}
	s := h.job.steps[h.job.openingStep()]
	again := RoundOpened{Round: h.job.Round, Surface: h.job.Surface, Tight: h.job.BoltsTight, Walk: h.job.Walk, Hang: h.job.Hang}
	h.emit(Restored{Seq: s.seq})
	h.emit(again)
	h.settle()
	a := answer{lines: []string{h.say("round.still", h.job.setup())}, next: true}
	if at, ok := h.pointOf(h.job.setup()); ok {
		h.goCheck(at)
		a.lines = append(a.lines, h.say("round.still.check", h.name(at)))
	}
	h.askPlate(&a)
	return a
}

// pointOf is a point off the sill that was read from a set-up.
func (h *hearing) pointOf(setup int) (at reduce.Station, ok bool) {
	for k := range h.job.slots {
		rod, held := h.job.rod(k.rod)
		if held && rod.Setup == setup && offSill(k.station) && !h.job.empty[k] && (!ok || reduce.Compare(k.station, at) < 0) {
			at, ok = k.station, true
		}
	}
	return at, ok
}

// surface says what the rod stands on: in the round at hand while it is walked,
// and in the next one once it is over.
func (h *hearing) surface(m phrase.Meaning) answer {
	s, ok := m.Arg.(phrase.Text)
	if !ok {
		return h.refuse(m)
	}
	surface, j := string(s), h.job
	if j.Surface != surface && h.over() {
		q := &Question{Kind: stoodOn, Job: j.ID, Text: surface}
		was := h.standing(j.Surface, j.BoltsTight)
		a := h.beginRound(surface, surface == "plate" && j.BoltsTight)
		q.Buttons = append(q.Buttons, Button{h.say("surface.was.button", j.Round-1, h.standing(surface, j.BoltsTight)), h.say("surface.was.button", j.Round-1, h.standing(surface, j.BoltsTight))})
		q.Buttons = append(q.Buttons, a.buttons...)
		a.question, a.buttons = q, nil
		a.lines = append([]string{h.say("surface.next", j.Round-1, was)}, a.lines...)
		return a
	}
	before, tight := j.readSill(), j.BoltsTight
	changes := j.Surface != surface
	if changes && h.openedAnew() {
		return h.beginRound(surface, surface == "plate" && tight)
	}
	h.emit(SurfaceSet{Surface: surface})
	a := answer{lines: []string{h.say(Key("surface." + surface))}, next: true}
	if changes && before > 0 {
		a.lines = append(a.lines, h.say("surface.whole", before))
	}
	h.askPlate(&a)
	return a
}

// openedAnew takes a further round back in which nothing is read yet, so that it
// may begin on another surface: that asks for other stations.
func (h *hearing) openedAnew() bool {
	i := slices.IndexFunc(h.job.steps, func(s *step) bool {
		return s.before != nil && slices.Contains(s.sets, matter{kind: ofOpening, id: h.job.Round})
	})
	if h.job.Round == 1 || i < 0 || len(h.job.present()) > 0 || h.job.stood(h.job.Round) != h.job.stood(h.job.Round-1) {
		return false
	}
	h.emit(Restored{Seq: h.job.steps[i].seq})
	h.settle()
	return true
}

// over says that the round at hand has readings of the sill and is no longer
// walked: what is said of rod or bolts is of the next one.
func (h *hearing) over() bool {
	return !h.job.walking() && h.job.readSill() > 0
}

// readSill counts the readings of the sill in this round.
func (j *Job) readSill() int {
	return len(slices.DeleteFunc(j.present(), func(r Reading) bool { return offSill(r.Station) }))
}

// bolts says how the bolts are: tightening pulls a plate down, so what was read
// of a plate before does not hold after.
func (h *hearing) bolts(m phrase.Meaning) answer {
	s, ok := m.Arg.(phrase.Text)
	if !ok {
		return h.refuse(m)
	}
	tight, j := s == "tight", h.job
	if j.BoltsTight != tight && j.Surface == "plate" && j.readSill() > 0 {
		q := &Question{Kind: stoodOn, Job: j.ID, Text: string(s)}
		label := h.say("surface.was.button", j.Round, h.standing(j.Surface, tight))
		a := h.beginRound("plate", tight)
		q.Buttons = append([]Button{{label, label}}, a.buttons...)
		a.question, a.buttons = q, nil
		a.lines = append([]string{h.say(Key("bolts.next." + string(s)))}, a.lines...)
		return a
	}
	h.emit(BoltsSet{Tight: tight})
	return answer{lines: []string{h.say(Key("bolts." + string(s)))}, next: true}
}

// stoodStep takes the answer that a round which is over stood on what was said:
// the round that was begun for it is taken back.
func (h *hearing) stoodStep(line string) (answer, bool) {
	q := h.c.Question
	if q == nil || q.Kind != stoodOn || h.job == nil || q.Job != h.job.ID || line != q.Buttons[0].Text {
		return answer{}, false
	}
	h.c.Question = nil
	i := slices.IndexFunc(h.job.steps, func(s *step) bool {
		return s.before != nil && slices.Contains(s.sets, matter{kind: ofOpening, id: h.job.Round})
	})
	if i < 0 || len(h.job.present()) > 0 {
		return answer{lines: []string{h.say("tap.old")}, unheard: true}, true
	}
	h.emit(Restored{Seq: h.job.steps[i].seq})
	key := Key("surface." + q.Text)
	if q.Text == "tight" || q.Text == "loose" {
		h.emit(BoltsSet{Tight: q.Text == "tight"})
		key = Key("bolts." + q.Text)
	} else {
		h.emit(SurfaceSet{Surface: q.Text})
	}
	h.settle()
	h.wasWalking = h.job.walking()
	a := answer{lines: []string{h.say(key), h.say("surface.whole", h.job.readSill())}, next: true}
	h.askPlate(&a)
	return a, true
}

// atRoundEnd says what a further walk that has come to its end showed, and offers
// what follows; closing is as for atEnd.
func (h *hearing) atRoundEnd(v View, a *answer, closing bool) {
	a.lines = append(a.lines, h.dialled(v)...)
	a.lines = append(a.lines, h.disagrees(v)...)
	if v.Level == nil {
		a.lines = append(a.lines, h.extent(v)...)
		h.offerDatum(v, a, closing && h.closingCheck(a))
		return
	}
	if h.job.stood(h.job.Round) == "plate, tight" {
		a.lines = append(a.lines, h.drawLot(v)...)
	}
	t := v.tally()
	if t.on+t.raise+t.lower+t.unsure > 0 {
		a.lines = append(a.lines, h.verdicts(v)...)
	}
	a.buttons, a.next = nil, true
	h.offerComing(v.coming(), a)
	a.buttons = append(a.buttons, Button{h.say("picture.button"), "picture"})
	if h.job.stood(h.job.Round) == "plate, tight" {
		h.offerLot(v, a)
	}
}

// touchedAgain asks where a reading belongs at a station that was read in this
// round and shimmed since: it would take the place of what was there before.
func (h *hearing) touchedAgain(rod Rod, s reduce.Station, value reduce.Length, said string) (answer, bool) {
	if len(h.job.Shimmed) == 0 || h.waiting() {
		return answer{}, false
	}
	a := h.job.adjustment()
	if _, read := a.record.read(s, h.job.Round); !read || !a.stand(s, h.job.Round).touched {
		return answer{}, false
	}
	next := h.job.Round + 1
	word := commandWord(h.lang, phrase.CmdRound)
	q := &Question{Kind: offered, Job: h.job.ID, Station: s, Text: said, Buttons: []Button{{h.say("round.left.button", next), word}}}
	if text, ok := h.readingText(rod, s, value, true); ok {
		q.Buttons = append(q.Buttons, Button{text, text})
	}
	return answer{lines: []string{h.say("touched.again", h.name(s), h.job.Round, next)}, question: q, unheard: true, about: s, holds: true}, true
}
