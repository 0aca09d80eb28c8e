package session

import (
	"fmt"
	"slices"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

func (h *hearing) hasBenchmark() bool {
	for k := range h.job.slots {
		if k.station.Kind == reduce.Benchmark {
			return true
		}
	}
	return false
}

// once is true the first time it is asked in a job, for what is told once.
func (h *hearing) once(what string) bool {
	key := h.job.ID + ":" + what
	if slices.Contains(h.c.Told, key) {
		return false
	}
	h.c.Told = append(h.c.Told, key)
	if n := len(h.c.Told); n > maxTold {
		h.c.Told = h.c.Told[n-maxTold:]
	}
	return true
}

// setRod says what kind of rod this person holds. A rod that has already been
// read with is not bent into another kind: the person has taken up a new one.
func (h *hearing) setRod(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.RodArg)
	if !ok {
		return h.refuse(m)
	}
	kind := h.say(Key("rod." + arg.Kind.String()))
	rod, held := h.heldRod()
	held = held && rod.Setup == h.job.setup()
	used := held && slices.ContainsFunc(h.job.present(), func(r Reading) bool { return r.Rod == rod.ID })
	a := answer{next: true}
	switch {
	case held && rod.Kind == arg.Kind:
		a.lines = []string{h.say("rod.same", kind)}
	case held && !used:
		h.emit(RodTaken{Rod: rod.ID, Setup: rod.Setup, Kind: arg.Kind, By: h.m.From.ID})
		a.lines = []string{h.say("rod", kind)}
	case used:
		h.takeNewRod(arg.Kind)
		a.lines = []string{h.say("rod.new", kind, h.name(h.job.Reference))}
	default:
		h.takeNewRod(arg.Kind)
		a.lines = []string{h.say("rod", kind)}
	}
	if h.once("caution.beam") {
		a.lines = append(a.lines, h.say("caution.beam"))
	}
	return a
}

// units sets the unit, the finest amount, or both. Marks that readings hang on
// keep their names.
func (h *hearing) units(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.UnitsArg)
	if !ok {
		return h.refuse(m)
	}
	set := UnitsSet{Unit: h.job.Unit, Finest: h.job.Finest, Grid: h.job.Outline.Grid}
	if arg.Unit != 0 && arg.Unit != set.Unit {
		set.Unit, set.Finest = arg.Unit, arg.Unit.Finest()
		set.Grid = h.gridOf(arg.Unit)
	}
	if arg.Finest != 0 {
		set.Finest = arg.Finest
	}
	was := h.job.Outline.Grid
	h.emit(set)
	h.settle()
	lines := append([]string{h.say("units", h.say(Key("unit."+set.Unit.String())), h.finest())}, h.endCount()...)
	if set.Grid != was {
		lines = append(lines, h.say("marks.now", h.distance(set.Grid.Spacing)))
	}
	return answer{lines: append(lines, h.marksStay()...), next: true}
}

// inchFinest is the fraction of an inch that a line asks for as the finest
// amount, "" where it asks for none.
func inchFinest(m phrase.Meaning) string {
	f := strings.Fields(m.Said)
	if m.Command != phrase.CmdUnits || len(f) < 2 {
		return ""
	}
	text := strings.TrimSuffix(f[1], "\"")
	if _, err := reduce.ParseFinest(reduce.UnitInch, text); err != nil || !strings.Contains(text, "/") {
		return ""
	}
	return text
}

// gridOf is the grid that the walls are marked by once the job counts in
// another unit: marks that readings hang on keep their names.
func (h *hearing) gridOf(u reduce.Unit) reduce.Grid {
	old, grid := h.job.Outline.Grid, reduce.GridFor(u)
	if grid.Mark == old.Mark || h.marksRead() {
		return old
	}
	return grid
}

// marksRead says whether a mark between corners is read.
func (h *hearing) marksRead() bool {
	for s := range h.job.readNow() {
		if s.Kind == reduce.Wall && !s.IsCorner() {
			return true
		}
	}
	return false
}

// marksStay says, where the marks count in another unit than amounts do, that
// they do so for the readings' sake.
func (h *hearing) marksStay() []string {
	if reduce.GridFor(h.job.Unit).Mark == h.job.Mark() || !h.marksRead() {
		return nil
	}
	return []string{h.say("marks.stay", h.distance(h.job.Outline.Grid.Spacing))}
}

// finest is the finest amount shown, as it is said.
func (h *hearing) finest() string {
	return inUnit(h.lang, h.job.Unit, reduce.FinestName(h.job.Unit, h.job.Finest))
}

func (h *hearing) reference(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.StationArg)
	if !ok {
		return h.refuse(m)
	}
	h.emit(ReferenceSet{Station: arg.Station})
	a := answer{lines: []string{h.say("reference", h.name(arg.Station))}, next: true}
	if ref := h.job.resolve(arg.Station); len(h.job.readNow()) > 0 && !h.job.everRead(ref) {
		a.lines = append(a.lines, h.say("reference.unread", h.name(arg.Station)))
	}
	return a
}

func (h *hearing) tolerance(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.LengthArg)
	if !ok {
		return h.refuse(m)
	}
	said := h.measure(arg.Length)
	if arg.Length > widest(h.job.Unit) && !h.sure(arg.Length) {
		return h.askSure(m.Said, said, arg.Length)
	}
	h.emit(ToleranceSet{Tolerance: arg.Length})
	a := answer{lines: []string{h.say("tolerance", View{Job: h.job}.SayTolerance(h.lang))}, next: true}
	if h.job.Datum != nil {
		a.lines = append(a.lines, h.verdicts(h.job.View())...)
	}
	return a
}

// measure is an amount with its unit: "1/8 in".
func (h *hearing) measure(l reduce.Length) string { return View{Job: h.job}.SayMeasure(h.lang, l) }

// widest is the widest tolerance that is taken without asking: an inch, or
// 25 mm. A foundation so far out is not one that shims level.
func widest(u reduce.Unit) reduce.Length {
	if u == reduce.UnitMillimetre {
		return 25 * reduce.Millimetre
	}
	return reduce.Inch
}

// askSure asks whether a tolerance so wide is meant. Its button sends the same
// line again; so may the person.
func (h *hearing) askSure(line, said string, l reduce.Length) answer {
	a := answer{lines: []string{h.say("tolerance.sure", said)}, unheard: true}
	if h.waiting() {
		return a // one question at a time
	}
	a.question = &Question{Kind: sure, Job: h.job.ID, Text: line, Values: []reduce.Length{l},
		Buttons: []Button{{h.say("tolerance.sure.button", said), line}}}
	return a
}

// sure says whether it was asked about this tolerance last.
func (h *hearing) sure(l reduce.Length) bool {
	q := h.c.Question
	return q != nil && q.Kind == sure && q.Job == h.job.ID && slices.Contains(q.Values, l)
}

// moved opens a new set-up: the laser no longer stands where it stood.
func (h *hearing) moved(phrase.Meaning) answer {
	h.openSetup()
	if !h.askTies() {
		return answer{lines: []string{h.say("moved.nothing", h.job.setup())}, next: true}
	}
	return answer{lines: []string{h.say("moved", h.job.setup())}, next: true}
}

// openSetup opens a set-up with a rod of this person's, such as they held.
func (h *hearing) openSetup() {
	kind := h.kind()
	rod, held := h.heldRod()
	h.emit(SetupOpened{Setup: h.job.setup() + 1})
	h.takeNewRod(kind)
	if held && rod.Flipped {
		r, _ := h.heldRod()
		h.emit(RodFlipped{Rod: r.ID, Flipped: true})
	}
}

// datum chooses the level that the tops are brought to, or takes it back.
func (h *hearing) datum(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.DatumArg)
	if !ok {
		return h.refuse(m)
	}
	if arg.Clear {
		if h.job.Datum == nil {
			return answer{lines: []string{h.say("datum.noneset")}, next: true}
		}
		h.emit(DatumSet{})
		return answer{lines: []string{h.say("datum.none")}, next: true}
	}
	set := DatumSet{Choice: arg.Choice, Station: arg.Station, Level: arg.Level}
	v := h.wouldBe(set)
	if v.Extent == nil {
		return answer{lines: []string{h.say("datum.noheights", h.name(h.job.Reference))}, unheard: true, next: true}
	}
	if v.Level == nil {
		at := arg.Station
		if at.IsZero() {
			at = reduce.Corner(1)
		}
		if offSill(at) {
			return h.offLevel(at)
		}
		return answer{lines: []string{h.say("datum.unread", h.name(at))}, unheard: true, next: true}
	}
	h.emit(set)
	h.weighs = true
	a := answer{lines: []string{h.datumLine(v)}, picture: true}
	if left := v.unread(); !h.job.walking() && len(left) > 0 && v.coming().what != comesUnread {
		a.lines = append(a.lines, h.say("done.left", len(left), h.list(left)))
	}
	a.lines = append(a.lines, h.verdicts(v)...)
	if h.job.walking() {
		if h.job.Outline.Empty() {
			a.lines = append(a.lines, h.say("datum.free"))
		} else {
			a.lines = append(a.lines, h.say("datum.early", len(v.Left)))
		}
	}
	a.next = true
	return a
}

// offLevel says that a point off the sill gives no level, and offers corners
// that do.
func (h *hearing) offLevel(at reduce.Station) answer {
	a := answer{lines: []string{h.say("datum.off", h.name(at))}, unheard: true, next: true}
	for _, s := range h.job.View().Spots {
		if s.Station.IsCorner() && s.Station.Half == 0 && len(a.buttons) < maxSlips {
			name := h.name(s.Station)
			a.buttons = append(a.buttons, Button{h.say("datum.station.button", name), "datum " + name})
		}
	}
	return a
}

// wouldBe is the job as an event would make it.
func (h *hearing) wouldBe(b Body) View {
	trial := h.job.scratch()
	if err := trial.Apply(Event{Seq: trial.Seq + 1, At: h.m.At.UTC(), By: h.m.From.ID, Body: b}); err != nil {
		panic(fmt.Sprintf("session: own event refused: %v", err))
	}
	return trial.View()
}

func (h *hearing) datumLine(v View) string {
	if v.Datum.Choice == reduce.DatumFixed {
		return h.say("datum.fixed", h.height(*v.Level), h.name(h.job.Reference))
	}
	if v.Datum.Choice == reduce.DatumStation && v.DatumAt == h.job.resolve(h.job.Reference) && *v.Level == 0 {
		return h.say("datum.reference", h.name(v.DatumAt))
	}
	key := Key("datum." + string(v.Datum.Choice))
	return h.say(key, h.name(v.DatumAt), h.height(*v.Level), h.name(h.job.Reference))
}

// verdicts counts what the datum asks for, with the largest moves, and the
// cautions that go with them.
func (h *hearing) verdicts(v View) []string {
	t := v.tally()
	var out []string
	if t.up != nil {
		out = append(out, h.say("verdict.raise", t.raise, h.moveAmount(*t.up.Move), h.name(t.up.Station)))
	}
	if t.down != nil {
		key := Key("verdict.lower")
		if !v.Grinds() {
			key = "verdict.out"
		}
		out = append(out, h.say(key, t.lower, h.moveAmount(*t.down.Move), h.name(t.down.Station)))
	}
	out = append(out, h.pastLimits(v)...)
	if t.close != nil {
		out = append(out, h.say("verdict.unsure", t.unsure, h.move(*t.close.Deviation, sideOf(*t.close.Deviation)), h.name(t.close.Station)))
		if h.once("closecall") {
			out = append(out, h.say("verdict.unsure.why"))
		}
	}
	key := Key("verdict.on")
	if !h.job.ToleranceSet {
		key = "verdict.on.ours"
	}
	out = append(out, h.say(key, t.on, v.SayTolerance(h.lang)))
	if v.Grinds() && h.once("caution.dust") {
		out = append(out, h.say("caution.dust"))
	}
	if t.up != nil && *t.up.Move > reduce.Inch && h.once("caution.gap") {
		out = append(out, h.say("caution.gap", v.SayMeasure(h.lang, reduce.Inch)))
	}
	return out
}
