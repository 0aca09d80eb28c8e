package session

import (
	"slices"
	"strconv"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// undo takes back the newest thing that this person did and that can be taken
// back, and never more: a line, or an edit whatever lines it changed. What it
// brings back is as old as it was at first. As a reply to a message it takes back
// what that message did. Where a question holds
// something back, that was the last thing: nothing else is touched.
func (h *hearing) undo(phrase.Meaning) answer {
	if h.m.ReplyTo != "" {
		return h.undoMessage(h.m.ReplyTo)
	}
	if h.aside {
		h.c.Asked, h.aside = h.kept, false
	}
	if a, ok := h.undoAsked(); ok {
		return a
	}
	if k := h.c.Skip; !k.IsZero() {
		h.c.Skip = reduce.Station{}
		h.c.Skipped = slices.DeleteFunc(h.c.Skipped, func(s reduce.Station) bool { return s == k })
		h.goTo(k)
		return answer{lines: []string{h.say("undo.skip", h.name(k))}, next: true}
	}
	if h.c.Turned {
		return h.turnBack()
	}
	if lines := h.dropHeld("undo.held"); lines != nil {
		return answer{lines: lines, next: true}
	}
	steps := h.job.steps
	mine, done := -1, uint64(0)
	for i, s := range steps {
		if at := h.job.doneAt(s); s.by == h.m.From.ID && at > done {
			mine, done = i, at
		}
	}
	switch m, mended := h.lastMending(); {
	case mended && m.to >= done && (mine < 0 || !steps[mine].splits()):
		return h.undoMending(m)
	case mine < 0:
		return answer{lines: []string{h.say("undo.nothing")}, next: true}
	case steps[mine].was != nil:
		return h.undoSetting(mine)
	case h.showedIn(steps[mine].message):
		return h.undoMessage(steps[mine].message) // what its caption read goes with the photo
	case steps[mine].splits():
		return h.undoSetting(mine)
	case len(steps[mine].reads) > 0:
		return h.undoReads(steps[mine].reads)
	}
	return h.undoSetting(mine)
}

// undoMessage takes back what counts of what a message gave, or says why not.
func (h *hearing) undoMessage(message string) answer {
	if a, ok := h.undoHeld(message); ok {
		return a
	}
	if a, ok := h.undoSplit(message); ok {
		return a
	}
	if a, ok := h.undoKept(message); ok {
		return a
	}
	rs := h.job.hist.ofMessage(message)
	seqs := h.countsOf(message)
	if q := h.pending(); q != nil && q.Message == message && len(seqs) == 0 {
		if a, ok := h.undoAsked(); ok {
			return a
		}
	}
	step := -1
	for i, s := range h.job.steps {
		if s.message == message {
			step = i
		}
	}
	no := func(key Key, args ...any) answer {
		return answer{lines: []string{h.say(key, args...)}, unheard: true, next: true}
	}
	switch {
	case len(rs) > 0 && rs[0].By != h.m.From.ID, len(rs) == 0 && step >= 0 && h.job.steps[step].by != h.m.From.ID:
		return no("undo.others")
	case len(seqs) > 0:
		return h.undoReads(seqs)
	case len(rs) > 0:
		return no("edit.stale", h.name(rs[len(rs)-1].Station))
	case step < 0:
		return no("edit.nothing")
	}
	was := h.job.steps[step].was
	a := h.undoSetting(step)
	for ; was != nil; was = was.was { // and what it set before an edit
		if step = h.stepAt(was.seq); step < 0 {
			break
		}
		a = h.undoSetting(step)
	}
	return a
}

// stepAt is the place of the step that begins with an event, negative where there
// is none.
func (h *hearing) stepAt(seq uint64) int {
	for i, s := range h.job.steps {
		if s.seq == seq {
			return i
		}
	}
	return -1
}

// undoSplit takes back the split of a set-up that a message of this person's
// brought about, or first what that message read behind it. ok is false where it
// brought about none.
func (h *hearing) undoSplit(message string) (a answer, ok bool) {
	var behind []uint64
	for i, s := range slices.Backward(h.job.steps) {
		switch {
		case s.message != message || s.by != h.m.From.ID:
		case s.splits() && len(behind) > 0:
			return h.undoReads(behind), true
		case s.splits():
			return h.undoSetting(i), true
		default:
			for _, seq := range s.reads {
				if r, in := h.job.hist.at(seq); in && h.counts(r) {
					behind = append(behind, seq)
				}
			}
		}
	}
	return answer{}, false
}

// countsOf lists the readings of a message that count.
func (h *hearing) countsOf(message string) []uint64 {
	var seqs []uint64
	for _, r := range h.job.hist.ofMessage(message) {
		if h.counts(r) {
			seqs = append(seqs, r.Seq)
		}
	}
	return seqs
}

// counts says that a reading was neither taken back nor replaced.
func (h *hearing) counts(r Reading) bool {
	if r.void || r.doubt || r.Check {
		return !r.void && !r.doubt
	}
	now, ok := h.job.live(r.slot())
	return ok && now.Seq == r.Seq
}

// undoHeld withdraws the lines of one message that wait for who holds the rod.
func (h *hearing) undoHeld(message string) (answer, bool) {
	gone := h.withdraw(func(l Held) bool { return l.Message == message })
	if len(gone) == 0 {
		return answer{}, false
	}
	a := answer{lines: []string{h.say("undo.held", h.listHeld(gone))}, next: true}
	if h.waiting() {
		a.question, a.next = h.c.Question, false
	}
	return a, true
}

// withdraw lets go of some lines that wait for who holds the rod, and lists
// them. Where none is left, the walk is back where the first of them belonged.
func (h *hearing) withdraw(goes func(Held) bool) (gone []Held) {
	if !h.waiting() {
		return nil
	}
	q := *h.c.Question
	var rest []Held
	for _, l := range q.Held {
		if goes(l) {
			gone = append(gone, l)
		} else {
			rest = append(rest, l)
		}
	}
	switch q.Held = rest; {
	case len(gone) == 0:
	case len(rest) > 0:
		h.c.Question = &q
	default:
		h.c.Question, h.aside = nil, false
		h.backTo(gone[0].Station)
	}
	return gone
}

// undoSetting puts back what a step set, where nothing hinders it.
func (h *hearing) undoSetting(i int) answer {
	s := h.job.steps[i]
	for _, later := range h.job.steps[i+1:] {
		if m, in := later.hinders(s); in {
			return answer{lines: []string{h.hindered(m, later)}, next: true}
		}
	}
	was := *s.before
	now := h.job.Settings
	h.emit(Restored{Seq: s.seq})
	h.backToShims(now.Shimmed)
	if h.job.RoundEnded {
		h.c.Asked = reduce.Station{}
	}
	h.settle()
	h.wasWalking = h.job.walking()
	var lines []string
	for _, m := range s.sets {
		if m.kind == ofNote && s.was != nil {
			if i := slices.IndexFunc(was.Notes, func(n Note) bool { return noteOf(n.Seq) == m }); i >= 0 {
				lines = append(lines, h.say("note.again", h.name(h.job.resolve(was.Notes[i].Station))))
			}
			continue
		}
		if line := h.putBackLine(m, now, was); line != "" && !slices.Contains(lines, line) {
			lines = append(lines, line)
		}
	}
	if len(lines) == 0 {
		lines = []string{h.say("undo.same")}
	}
	return answer{lines: lines, next: true}
}

// turnBack makes the walk go round as it did before it was turned.
func (h *hearing) turnBack() answer {
	h.c.Backward = !h.c.Backward
	from := h.c.From
	h.c.Turned, h.c.From = false, reduce.Station{}
	if !from.IsZero() && !h.job.readNow()[from] {
		h.goTo(from)
	} else {
		h.c.Asked = reduce.Station{}
		h.settle()
	}
	return answer{lines: []string{h.say("undo.turn")}, next: true}
}

// hindered says what stands in the way of an undo.
func (h *hearing) hindered(m matter, later *step) string {
	what := h.say(Key("matter."+string(m.kind)), h.matterID(m))
	switch {
	case len(later.reads) > 0:
		return h.say("undo.readsince", what)
	case m.kind == ofShims:
		return h.say("undo.shims")
	case m.kind == ofRod || m.kind == ofSetup:
		return h.say("undo.rodsince", what)
	}
	return h.say("undo.newer", what)
}

func (h *hearing) matterID(m matter) any {
	if m.kind == ofNoBeam || m.kind == ofKnown {
		return h.name(m.station)
	}
	if m.kind == ofFigure || m.kind == ofPlaces {
		return h.say(Key("matter." + string(m.kind) + "." + m.name))
	}
	return m.id
}

// undoReads takes readings back, those that were not yet, and says what counts
// at their stations now. What a message said before it was edited counts again.
func (h *hearing) undoReads(reads []uint64) answer {
	var seqs []uint64
	var gone []Reading
	for _, seq := range reads {
		if r, ok := h.job.hist.at(seq); ok && !r.void {
			seqs = append(seqs, seq)
			gone = append(gone, r)
		}
	}
	had := h.job.adjustment()
	h.emit(Voided{Seqs: seqs, Why: "undo"})
	again := make([]*Reading, len(gone))
	for i, r := range gone {
		again[i] = h.sayAgain(r)
	}
	h.wasWalking = h.job.walking()
	a := answer{next: true}
	// The last first: the walk goes back to the first that is unread again.
	for i, r := range slices.Backward(gone) {
		var lines []string
		switch was := again[i]; {
		case was != nil && was.Check && r.Check && was.Station == r.Station:
			rod, _ := h.job.rod(was.Rod)
			lines = []string{h.say("undo.check", h.nameIn(r.Station, r.Round), h.rodText(rod, was.Value))}
		case was != nil && was.Station != r.Station:
			lines = append([]string{h.takenBack(r, false)}, h.say("undo.edit", h.nameIn(was.Station, was.Round), h.stands(*was)))
			lines = append(lines, h.keptFollows(r.Message, r.Station, was.Station)...)
		default:
			lines = []string{h.takenBack(r, was != nil)}
		}
		a.lines = append(lines, a.lines...)
	}
	for i, r := range gone {
		if !slices.ContainsFunc(gone[:i], func(k Reading) bool { return k.Rod == r.Rod }) {
			a.lines = append(a.lines, h.untied(r.Rod, had)...)
		}
	}
	return a
}

// sayAgain brings back what a message said before the edit that gave a reading
// which was just taken back; nil where no edit did, and where another message
// has read that station with the same rod since: that took its place. A check
// stands beside what was read.
func (h *hearing) sayAgain(gone Reading) *Reading {
	was, ok := h.job.hist.beforeEdit(gone)
	if !ok || was.doubt || h.replaced(was) {
		return nil
	}
	h.bringBack(was, gone)
	return &was
}

// replaced says that another message has read the station of a reading with the
// same rod since. A check stands beside what was read.
func (h *hearing) replaced(was Reading) bool {
	return !was.Check && slices.ContainsFunc(h.countingAt(was.Station, was.Round), func(r Reading) bool {
		return !r.Check && r.Rod == was.Rod && r.stoodFor() > was.stoodFor() && r.Message != was.Message
	})
}

// bringBack makes a reading count again that an edit took away, as the line of
// another that it gave.
func (h *hearing) bringBack(was, line Reading) {
	message, at := h.message, h.line
	h.message, h.line = line.Message, line.Line
	again := was.Read
	again.Again = was.stoodFor()
	h.emit(again)
	if was.Spoken && !was.Provisional() {
		h.firm([]uint64{h.job.Seq}, firmByUndo)
	}
	h.message, h.line = message, at
}

// untied says that a set-up is joined to nothing any more, and asks for what
// joins it.
func (h *hearing) untied(rod int, had *adjusted) []string {
	r, ok := h.job.rod(rod)
	if !ok || !had.ties(rod) || h.job.adjustment().ties(rod) || r.Setup == h.job.Setups[0].ID {
		return nil
	}
	if r.Setup == h.job.setup() && !h.aside {
		h.askTies()
	}
	return []string{h.say("tie.none", r.Setup)}
}

// takenBack says what counts at the station of a reading that was taken back.
// The walk goes back to it where nothing does. again says that what its message
// said before does.
func (h *hearing) takenBack(gone Reading, again bool) string {
	at, name := gone.Station, h.nameIn(gone.Station, gone.Round)
	if gone.Round != h.job.Round && !again {
		return h.say("undo.round", h.name(at), gone.Round)
	}
	left := h.countingAt(at, gone.Round)
	if len(left) == 0 {
		switch {
		case !walked(at), h.askedBefore(gone):
		case !h.aside:
			h.backTo(at)
		case h.kept.IsZero() && !h.job.RoundEnded:
			h.kept = at
		}
		return h.say("undo", name)
	}
	stands := h.stands(left[len(left)-1])
	key := Key("undo.other")
	if r, ok := h.job.live(slot{gone.Round, gone.Rod, at, gone.Check}); again || ok && !gone.Check && r.Seq < gone.Seq {
		key = "undo.back"
	}
	return h.say(key, name, stands)
}

// nameIn is a station's name with the round, where that is an earlier one.
func (h *hearing) nameIn(s reduce.Station, round int) string {
	if round == h.job.Round {
		return h.name(s)
	}
	return h.say("notes.round", h.name(s), round)
}

// countingAt lists the readings and checks of a station in a round that count
// now.
func (h *hearing) countingAt(s reduce.Station, round int) []Reading {
	return h.job.countedIn(func(k slot) bool { return k.station == s && k.round == round })
}

// stands says where the station of a reading stood in its round: its height, or
// what the rod read there while there is none.
func (h *hearing) stands(r Reading) string {
	a := h.job.solve()
	if e, ok := a.at(r.Station, r.Round); ok {
		return h.heightAt(r.Station, e)
	}
	rod, _ := h.job.rod(r.Rod)
	return h.say("rod.shows", h.rodText(rod, r.Value))
}

// putBackLine says what an undo took back and what holds again; "" where that
// is the same.
func (h *hearing) putBackLine(m matter, now, was Settings) string {
	switch m.kind {
	case ofDesign:
		return h.designBack(now, was)
	case ofRound:
		if !now.RoundEnded {
			return h.say("undo.gone", h.say("matter.walk"))
		}
		return h.say("undo.gone", h.say("matter.round"))
	case ofSplit:
		return h.say("undo.gone", h.say("matter.split"))
	case ofLaser, ofNoBeam, ofSetup, ofCheck, ofFigure, ofPlaces, ofStock, ofShims, ofOpening, ofSigning:
		if m.kind == ofSetup && len(was.Splits) < len(now.Splits) {
			return "" // said with the split
		}
		if m.kind == ofLaser && was.laser(m.id) != nil {
			break
		}
		return h.say("undo.gone", h.say(Key("matter."+string(m.kind)), h.matterID(m)))
	case ofNote:
		return h.keptBack(now, m)
	case ofRod:
		if len(was.Splits) < len(now.Splits) {
			return "" // said with the split
		}
		return h.rodBack(m, now, was)
	case ofChecks, ofOutline, ofUnits, ofReference, ofDatum, ofTolerance, ofSurface, ofBolts, ofKnown, ofWeights, ofBudget, ofCount, ofLanguage:
	}
	name := h.say(Key("matter."+string(m.kind)), h.matterID(m))
	gone, again := h.value(m, now), h.value(m, was)
	switch {
	case gone == again:
		return ""
	case gone == "":
		return h.say("undo.set", name, h.say("setting.none"), again)
	case again == "":
		return h.say("undo.unset", name, gone)
	}
	return h.say("undo.set", name, gone, again)
}

// designBack says which steps and falls an undo took back, and which hold again.
func (h *hearing) designBack(now, was Settings) string {
	v := View{Job: h.job}
	less := func(list, other []DesignSet) string {
		var out []string
		for _, b := range list {
			if !slices.Contains(other, b) {
				out = append(out, v.SayPart(h.lang, b))
			}
		}
		return strings.Join(shorten(out, maxListed, func(n int) string { return h.say("more", n) }), "; ")
	}
	gone, again := less(now.Design, was.Design), less(was.Design, now.Design)
	switch {
	case again == "":
		return h.say("undo.gone", gone)
	case gone == "":
		return h.say("undo.design", again)
	}
	return h.say("undo.gone", gone) + " " + h.say("undo.design", again)
}

// rodBack says what an undo did to a rod.
func (h *hearing) rodBack(m matter, now, was Settings) string {
	r, _ := now.rod(m.id)
	w, had := was.rod(m.id)
	name := h.say("matter.rod", m.id)
	switch {
	case !had:
		return h.say("undo.gone", name+" ("+h.say(Key("rod."+r.Kind.String()))+")")
	case r.By != w.By:
		return h.say("undo.rod.by", name)
	case r.Kind != w.Kind:
		return h.say("undo.set", name, h.say(Key("rod."+r.Kind.String())), h.say(Key("rod."+w.Kind.String())))
	case r.Flipped != w.Flipped:
		return h.say("undo.rod.flip", name)
	}
	return h.say("undo.gone", h.say("matter.test", m.id))
}

// value is what a setting says, in words; "" where it says nothing.
func (h *hearing) value(m matter, s Settings) string {
	j := *h.job
	j.Settings = s
	switch m.kind {
	case ofOutline:
		if s.Outline.Empty() && len(s.Outline.Piers) == 0 {
			return ""
		}
		return h.say("setting.outline", s.Outline.Corners(), len(s.Outline.Stations()), h.distanceIn(&j, s.Outline.Grid.Spacing))
	case ofUnits:
		return h.say(Key("unit."+s.Unit.String())) + " (" + reduce.FinestName(s.Unit, s.Finest) + ")"
	case ofReference:
		return h.name(j.resolve(s.Reference))
	case ofDatum:
		if s.Datum == nil {
			return ""
		}
		return j.View().SayDatum(h.lang)
	case ofTolerance:
		return View{Job: &j}.SayMeasure(h.lang, s.Tolerance)
	case ofSurface:
		return h.say(Key("paper.surface." + s.Surface))
	case ofBolts:
		if s.BoltsTight {
			return h.say("setting.tight")
		}
		return h.say("setting.loose")
	case ofKnown:
		if k, ok := s.known(m.station); ok {
			return h.absolute(k.Height)
		}
	case ofWeights:
		if s.Alike {
			return h.say("setting.alike")
		}
		return h.say("setting.budget")
	case ofLaser:
		if at := s.laser(m.id); at != nil {
			return h.place(*at)
		}
	case ofBudget:
		return h.budgetParts(s)
	case ofChecks:
		if s.CheckSet {
			return h.checkEveryText(s.CheckEvery)
		}
	case ofCount:
		if s.Count != 0 {
			return h.say(Key("setting.count." + strconv.Itoa(s.Count)))
		}
	case ofLanguage:
		if s.Lang != "" {
			return h.say(Key("setting.language." + s.Lang))
		}
	case ofNoBeam, ofRound, ofSetup, ofRod, ofSplit, ofCheck, ofDesign, ofFigure, ofPlaces, ofStock, ofShims, ofOpening, ofSigning, ofNote:
	}
	return ""
}
