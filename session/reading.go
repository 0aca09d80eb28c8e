package session

import (
	"fmt"
	"slices"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// kind is the kind of rod that this person's next reading is taken to be on.
func (h *hearing) kind() reduce.RodKind {
	if r, ok := h.heldRod(); ok {
		return r.Kind
	}
	if n := len(h.job.Rods); n > 0 {
		return h.job.Rods[n-1].Kind
	}
	return reduce.Direct
}

// heldRod is the rod that this person holds in the present set-up, or held in
// the one before it.
func (h *hearing) heldRod() (Rod, bool) {
	for _, r := range slices.Backward(h.job.Rods) {
		if r.By == h.m.From.ID {
			return r, true
		}
	}
	return Rod{}, false
}

// rod is the rod that this person's reading is on, taken up where that is
// plain: the first rod of a job, or the same rod in a new set-up. ok is false
// where somebody else holds the rod: then it has to be asked.
func (h *hearing) rod() (r Rod, ok bool) {
	r, held := h.heldRod()
	switch {
	case held && r.Setup == h.job.setup():
		return r, true
	case held || len(h.job.Rods) == 0:
		h.takeNewRod(h.kind())
		r, _ = h.heldRod()
		return r, true
	}
	return Rod{}, false
}

func (h *hearing) takeNewRod(kind reduce.RodKind) {
	h.emit(RodTaken{Rod: h.job.freshRod(), Setup: h.job.setup(), Kind: kind, By: h.m.From.ID})
}

// freshRod is a number that no rod has.
func (j *Job) freshRod() int {
	id := 1
	for _, r := range j.Rods {
		id = max(id, r.ID+1)
	}
	// A rod that was undone has left readings behind: its number is spent.
	for k := range j.slots {
		id = max(id, k.rod+1)
	}
	return id
}

// reading takes a reading: the walk goes on from its station.
func (h *hearing) reading(m phrase.Meaning) answer {
	if m.Station.IsZero() {
		h.noteUnheard()
		return answer{lines: []string{h.say("nostation", m.Said)}, unheard: true}
	}
	rod, ok := h.rod()
	if !ok {
		return h.whoHolds(m.Said, m.Station, true)
	}
	if a, ask := h.touchedAgain(rod, m.Station, m.Value, m.Said); ask {
		return a
	}
	if a, ask := h.askDoubt(rod, m.Station, m.Value, m); ask {
		return a
	}
	h.goesOn(m.Station)
	before := h.walk()
	goesOn := h.reopen(m.Station)
	asked := m.Station == h.c.Asked
	old, again := h.job.live(slot{h.job.Round, rod.ID, m.Station, false})
	a := answer{lines: h.take(rod, m.Station, m.Value, m.Said, false), next: true}
	if again && m.Station.Kind == reduce.Benchmark && !asked {
		a.lines = append(a.lines, h.offAgain(rod, old, m.Value)...)
	}
	a.lines = append(a.lines, goesOn...)
	h.tellSurprise(rod, m.Station, m.Value, &a)
	h.surprisedBy(a)
	h.goOn(m.Station)
	if passed := h.walk().passed(m.Station); len(passed) > 0 && !before.read[m.Station] {
		a.lines = append(a.lines, h.say("passed", h.list(passed)))
	}
	// The rod stands on the reference: the moment to find out which way it
	// counts.
	if m.Station == h.job.resolve(h.job.Reference) && !rod.Tested && h.job.Round == 1 && h.once(fmt.Sprintf("test.%d", rod.ID)) {
		a.lines = append(a.lines, h.say("test.offer"))
		a.buttons = []Button{h.testButton()}
	}
	if other := h.swapped(rod, m.Station, m.Value); other != nil {
		a.buttons = other
	}
	h.finish(&a)
	return a
}

// take puts a reading into the log and says what was understood: what it
// replaces, and what it ties.
func (h *hearing) take(rod Rod, s reduce.Station, value reduce.Length, said string, check bool) []string {
	var before *reduce.Length
	if old, ok := h.job.live(slot{h.job.Round, rod.ID, s, false}); ok && !check && old.Value != value {
		before = &old.Value
	}
	ties := h.mayTie(rod, s)
	joined := 0
	if h.job.revisits(s) {
		joined = len(h.job.tiesNow())
	}
	var apart []string
	if !check {
		apart = h.rodsApart(rod, s, value)
	}
	h.forgetEchoed(slot{h.job.Round, rod.ID, s, check})
	h.emit(Read{Round: h.job.Round, Rod: rod.ID, Station: s, Value: value, Check: check, Said: said, Sure: h.confirms && !check, Spoken: h.heard != nil})
	if !check {
		h.strayed(s)
	}
	if h.heard != nil {
		h.echoed(h.job.Seq, s, value, h.confirms)
	}
	h.confirms = false
	h.forgetUnheard(h.message, h.line)
	h.compareTwins(s)
	h.remarkTilt(rod, s)
	lines := append([]string{h.asHeard(s, h.echo(s, rod, value, before))}, h.tied(ties, s)...)
	lines = append(lines, apart...)
	if h.job.revisits(s) {
		lines = append(lines, h.tieReport(s, joined)...)
	}
	return append(lines, h.closes(s)...)
}

// compareTwins remarks, once, on two names of one spot that do not agree: one
// slab has one height there.
func (h *hearing) compareTwins(s reduce.Station) {
	at, _, placed := h.job.Outline.Position(s)
	if !placed || s.Kind != reduce.Wall || len(h.job.Outline.Loops) < 2 {
		return
	}
	read := h.job.readNow()
	var twins []reduce.Station
	for _, k := range h.job.stations() {
		// Two loops that meet at a step have a height each.
		if p, _, ok := h.job.Outline.Position(k); ok && k != s.At(0) && k.Kind == reduce.Wall && oneSpot(p, at) && read[k] && h.job.design.At(k) == h.job.design.At(s) {
			twins = append(twins, k)
		}
	}
	if len(twins) == 0 {
		return
	}
	heights := h.job.levelsNow().Elevations
	mine, known := heights[s]
	for _, k := range twins {
		off, too := heights[k]
		off = (off - mine).Abs()
		first, second := k, s
		if reduce.Compare(s, k) < 0 {
			first, second = s, k
		}
		if known && too && off > h.job.Finest && h.once("twins."+h.name(first)+"."+h.name(second)) {
			h.remarks = append(h.remarks, h.say("twins", h.name(first), h.name(second), h.amount(off)))
		}
	}
}

// reopen takes the walk up again where its round was ended and a station that
// is not read yet is. It says so where the station's name alone did not.
func (h *hearing) reopen(s reduce.Station) []string {
	if !h.reopens(s) {
		return nil
	}
	h.emit(RoundEnded{Round: h.job.Round, Open: true})
	h.wasWalking = true
	if s == h.c.Asked {
		return nil
	}
	return []string{h.say("walk.on")}
}

// reopens says whether reading a station takes up a walk that was ended.
func (h *hearing) reopens(s reduce.Station) bool {
	if !h.job.RoundEnded || !walked(s) {
		return false
	}
	if h.job.Round > 1 {
		return !h.job.doneNow()[s] && slices.Contains(h.job.asked(), s)
	}
	// The other height at a step is no station of the walk.
	spot := h.job.spotOf(s)
	return spot.Half == 0 && !h.job.doneNow()[spot]
}

// finish tells of the end of the walk, once, where this line has brought it.
func (h *hearing) finish(a *answer) {
	if !h.wasWalking || h.job.walking() {
		return
	}
	h.wasWalking = false
	v := h.job.View()
	if h.job.Round > 1 {
		a.lines = append(a.lines, h.say("round.done", h.job.Round, v.Read))
		h.atRoundEnd(v, a, true)
		h.closingCheck(a)
		h.offerHeard(a)
		return
	}
	a.lines = append(a.lines, h.say("done.all", v.Read))
	a.lines = append(a.lines, h.extent(v)...)
	h.atEnd(v, a, true)
	h.offerHeard(a)
}

// correct replaces a station's reading; the walk stays where it is.
func (h *hearing) correct(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.ReadingArg)
	if !ok {
		return h.refuse(m)
	}
	rod, ok := h.rod()
	if !ok {
		return h.whoHolds(m.Said, arg.Station, false)
	}
	if a, ask := h.askDoubt(rod, arg.Station, arg.Value, m); ask {
		return a
	}
	goesOn := h.reopen(arg.Station)
	a := answer{lines: h.take(rod, arg.Station, arg.Value, m.Said, false), next: true}
	a.lines = append(a.lines, goesOn...)
	h.tellSurprise(rod, arg.Station, arg.Value, &a)
	h.surprisedBy(a)
	if arg.Station == h.c.Asked {
		h.goOn(arg.Station)
	}
	h.finish(&a)
	return a
}

// rodText is a reading in the rod's own terms.
func (h *hearing) rodText(rod Rod, value reduce.Length) string {
	if rod.Kind == reduce.Standard {
		figure := h.job.Unit.RodFigure(value, h.job.Finest)
		if h.job.Unit == reduce.UnitInch {
			return figure
		}
		return inUnit(h.lang, h.job.Unit, figure)
	}
	if h.showsZero(value) {
		return "0"
	}
	return h.sided(value)
}

// amount is a length without a side, in the job's unit. Where digits alone count
// parts, whole inches carry their mark: 1 would be a part.
func (h *hearing) amount(l reduce.Length) string {
	said := SayAmount(h.lang, h.job, l)
	if h.job.Count == 0 || h.job.Unit != reduce.UnitInch || h.showsZero(l) {
		return said
	}
	figure, shade, _ := strings.Cut(said, " ")
	if strings.Contains(said, "/") {
		return said
	}
	return strings.TrimSpace(figure + `" ` + shade)
}

// SayAmount is a length without a side in a job's unit: "3/8", "0.03 ft",
// "1/4 heavy". Inches carry no unit: nothing else is a fraction.
func SayAmount(lang string, j *Job, l reduce.Length) string {
	return sayAmountIn(lang, j, l, j.Finest)
}

func (h *hearing) sided(l reduce.Length) string {
	if l > 0 {
		return h.say("high", h.amount(l))
	}
	return h.say("low", h.amount(l))
}

// showsZero says that a length shows as nothing in the finest unit.
func (h *hearing) showsZero(l reduce.Length) bool {
	return showsNothing(h.job.Unit, l, h.job.Finest)
}

// height is a height above or below the reference: "3/8 low", "level".
func (h *hearing) height(l reduce.Length) string {
	if h.showsZero(l) {
		return h.say("level")
	}
	return h.sided(l)
}

// moveAmount is how far a spot is to be moved: no move is one of nothing.
func (h *hearing) moveAmount(l reduce.Length) string {
	if l != 0 && h.showsZero(l) {
		return h.say("paper.under", h.amount(h.job.Finest))
	}
	return h.amount(l)
}

// move is what a deviation asks for: "raise 3/8", "on", "raise 1/8, close call".
func (h *hearing) move(deviation reduce.Length, verdict reduce.Verdict) string {
	switch verdict {
	case reduce.Raise:
		return h.say("raise", h.moveAmount(deviation))
	case reduce.Lower:
		return h.say("lower", h.moveAmount(deviation))
	case reduce.Unsure:
		switch {
		case h.showsZero(deviation):
			return h.say("unsure.on")
		case deviation > 0:
			return h.say("unsure.lower", h.amount(deviation))
		}
		return h.say("unsure.raise", h.amount(deviation))
	case reduce.On, reduce.Unread:
	}
	if h.showsZero(deviation) {
		return h.say("on")
	}
	return h.say("on.within", h.height(deviation))
}

// moveOn is move at a station: where shims lie that is too high, they are what
// is to be taken out.
func (h *hearing) moveOn(s reduce.Station, deviation reduce.Length, verdict reduce.Verdict) string {
	laid := h.job.laidAt(s)
	by := min(deviation, laid.Amount).RoundTo(h.job.Finest)
	if by <= 0 || verdict != reduce.Lower && verdict != reduce.Unsure {
		return h.move(deviation, verdict)
	}
	out := h.takeOut(View{Job: h.job}, by, laid.Amount, laid.Pieces)
	switch rest := deviation - by; {
	case verdict == reduce.Unsure:
		return h.say("unsure.out", out)
	case rest.RoundTo(h.job.Finest) > 0:
		return out + ", " + h.say("lower", h.amount(rest))
	}
	return out
}

// sideOf is the move that a deviation asks for, however small it is.
func sideOf(deviation reduce.Length) reduce.Verdict {
	switch {
	case deviation < 0:
		return reduce.Raise
	case deviation > 0:
		return reduce.Lower
	}
	return reduce.On
}

// moveAt is what the datum asks for at a station that a rod has just read; ok is
// false where there is none.
func (h *hearing) moveAt(s reduce.Station, rod Rod, value reduce.Length) (string, bool) {
	if h.job.Datum == nil || !walked(s) || !h.job.placed(s) {
		return "", false
	}
	var v View
	switch {
	case h.job.Round == 1 || h.job.DatumRound == h.job.Round:
		v = h.job.View()
	case h.job.adjustment().seq < h.job.Seq:
		e, tied := h.job.sight(rod.ID, value, s)
		d, ok := h.job.toDatum(s, e)
		if !tied || !ok {
			return "", false
		}
		return h.moveOn(s, d, h.job.verdictOf(rod, value, s, d)), true
	default:
		v = h.job.viewNow()
	}
	i := slices.IndexFunc(v.Stations, func(k StationView) bool { return k.Station == s && k.Move != nil })
	if i < 0 {
		return "", false
	}
	return h.moveOn(s, *v.Stations[i].Deviation, v.Stations[i].Verdict), true
}

// list names stations, shortened where they are many.
func (h *hearing) list(stations []reduce.Station) string {
	var names []string
	for i, s := range stations {
		if i == maxListed-1 && len(stations) > maxListed {
			names = append(names, h.say("more", len(stations)-i))
			break
		}
		names = append(names, h.name(s))
	}
	return strings.Join(names, ", ")
}
