package session

import (
	"maps"
	"slices"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// edited hears the new text of an older message. It voids what the old text
// gave and is read again at the station it was first read for; what does not
// parse leaves the old reading standing, and the bot asks.
func (h *hearing) edited() {
	if h.job == nil {
		h.reply(h.noJob())
		return
	}
	lines, known := textLines(h.m.Text), h.known(h.m.ID)
	held, said, reheld := h.editHeld(lines)
	if len(held) == 0 && h.editCaption() {
		return
	}
	if h.m.Overheard && !known {
		return // talk, mended
	}
	if len(lines) == 0 && slices.ContainsFunc(h.job.hist.ofMessage(h.m.ID), func(r Reading) bool { return r.Spoken }) {
		return // a voice note, without words as it was
	}
	gave := map[int]Reading{} // by line: what still counts of what the old text gave
	stale := map[int]Reading{}
	for _, r := range h.job.hist.ofMessage(h.m.ID) {
		if h.counts(r) {
			gave[r.Line] = r
			delete(stale, r.Line)
		} else if _, ok := gave[r.Line]; !ok {
			stale[r.Line] = r
		}
	}
	var ask *Question
	changed := reheld
	var removed []Reading
	// Lines that the edit removed, first: a line that is left may lead to
	// another job.
	for _, line := range slices.Sorted(maps.Keys(gave)) {
		if line > len(lines) {
			h.line = line
			h.emit(Voided{Seqs: []uint64{gave[line].Seq}, Why: "edit"})
			removed = append(removed, gave[line])
			changed = true
		}
	}
	job := h.job.ID
	heard := lines
	if c := h.captionLines(lines); c.lines != nil && h.showedIn(h.m.ID) {
		heard = c.lines // the others are kept with the photo
	}
	for i, text := range lines {
		h.line = i + 1
		if _, was := gave[h.line]; held[h.line] || heard[i] == "" && !was {
			continue
		}
		a, did := h.editLine(text, gave, stale)
		changed = changed || did
		said = append(said, a.lines...)
		if a.question != nil {
			ask = a.question
		}
		if h.job.ID != job {
			// Opened, or gone back to: what follows is not about it.
			h.reply(answer{lines: said, question: ask, unheard: !changed})
			return
		}
	}
	for _, r := range removed {
		said = append(said, h.removed(r))
	}
	if reheld && ask == nil && h.waiting() {
		ask = h.c.Question
		line := h.whoLine(h.listHeld(ask.Held))
		if ask.Stage == whichRod {
			line = h.say("who.which")
		}
		said = append(said, line)
	}
	if len(said) == 0 {
		return // nothing changed that anybody needs to hear of
	}
	a := answer{lines: said, question: ask, unheard: !changed, next: changed && (ask == nil || ask.Kind != reshoot && ask.Kind != whoHolds)}
	h.wasWalking = h.wasWalking || h.job.walking()
	h.finish(&a)
	h.reply(a)
}

// known says whether anything hangs on a message.
func (h *hearing) known(message string) bool {
	return len(h.job.hist.ofMessage(message)) > 0 || len(h.keptOf(message)) > 0 || len(h.heldOf(message)) > 0 ||
		slices.ContainsFunc(h.c.Unread, func(u Unheard) bool { return u.Message == message })
}

// hangs says whether anything that still stands came of a message.
func (h *hearing) hangs(message string) bool {
	return len(h.heldOf(message)) > 0 ||
		slices.ContainsFunc(h.job.steps, func(s *step) bool { return s.message == message }) ||
		slices.ContainsFunc(h.job.hist.ofMessage(message), func(r Reading) bool { return !r.void }) ||
		slices.ContainsFunc(h.c.Unread, func(u Unheard) bool { return u.Message == message })
}

// anew is a line as it may be sent anew to be about the same station: with the
// station's name, where it has none itself. It is "" for a line that would do
// nothing.
func (h *hearing) anew(text string, s reduce.Station) string {
	m := phrase.Parse(h.context(), text)
	if m.Kind == phrase.Reading && !m.Named && !s.IsZero() {
		named := h.name(s) + " " + text
		if k := phrase.Parse(h.context(), named); k.Kind == phrase.Reading && k.Station == s {
			return named
		}
	}
	if m.Kind != phrase.Reading && m.Kind != phrase.Command {
		return ""
	}
	return text
}

// editLine hears one line of an edited text. It reports whether something
// came of it.
func (h *hearing) editLine(text string, gave, stale map[int]Reading) (answer, bool) {
	if old, ok := gave[h.line]; ok {
		return h.mend(text, old)
	}
	if old, ok := stale[h.line]; ok {
		return h.putBack(text, old)
	}
	i := slices.IndexFunc(h.c.Unread, func(u Unheard) bool { return u.Message == h.m.ID && u.Line == h.line })
	if i >= 0 {
		// It gave nothing then: it is heard now, where it belonged.
		u := h.c.Unread[i]
		s, keep := u.Station, h.c.Asked
		if s.IsZero() {
			s = h.behind
		}
		if s.IsZero() && h.placeOf(text, s).IsZero() {
			return answer{lines: []string{h.say("edit.lost", h.line)}, unheard: true}, false
		}
		if at := h.placeOf(text, s); h.readSince(at, h.job.Round, u.Seq) {
			return h.stale(text, s, at), false
		}
		h.c.Asked = s
		a := h.hearLine(text)
		if !a.unheard {
			h.behind = h.c.Asked
		}
		if s != keep {
			h.c.Asked = keep
			for _, r := range h.job.hist.ofMessage(h.m.ID) {
				if r.Line == h.line && !r.Check {
					h.strays(r.Seq, r.Station, keep)
				}
			}
		}
		return a, !a.unheard
	}
	return h.editSetting(text)
}

// putBack hears a line whose reading counts no more. What an edit took out counts
// again where the line is back.
func (h *hearing) putBack(text string, old Reading) (answer, bool) {
	switch {
	case old.edited && !old.doubt && (old.Check || !h.readSince(old.Station, old.Round, old.Seq)):
		return h.mend(text, old)
	case text == old.Said && !old.edited && (!old.void || !old.Check && len(h.countingAt(old.Station, old.Round)) > 0):
		return answer{}, false // something newer counts there
	}
	return h.stale(text, old.Station, old.Station), false
}

// stale refuses an edit of a line that was for station s, because station at has
// a newer reading.
func (h *hearing) stale(text string, s, at reduce.Station) answer {
	line := h.say("edit.stale", h.name(at))
	if anew := h.anew(text, s); anew != "" {
		line += " " + h.say("edit.anew", anew)
	}
	return answer{lines: []string{line}, unheard: true}
}

// placeOf is the station that a line gives a reading of, met at station s; zero
// where it gives none, or a check.
func (h *hearing) placeOf(text string, s reduce.Station) reduce.Station {
	c := h.context()
	c.Asked = s
	m := phrase.Parse(c, text)
	if arg, ok := m.Arg.(phrase.ReadingArg); ok && m.Command == phrase.CmdCorrect {
		return arg.Station
	}
	if m.Kind != phrase.Reading {
		return reduce.Station{}
	}
	return m.Station
}

// readSince says whether another message than the one at hand has read a
// station in a round after an event.
func (h *hearing) readSince(s reduce.Station, round int, seq uint64) bool {
	return slices.ContainsFunc(h.countingAt(s, round), func(r Reading) bool {
		return !r.Check && r.Seq > seq && r.Message != h.m.ID
	})
}

// mend reads a line again at the station that it was first read for.
func (h *hearing) mend(text string, old Reading) (answer, bool) {
	counts := h.counts(old)
	if counts && text == old.Said {
		return answer{}, false
	}
	c := h.context()
	c.Asked = old.Station
	if i := slices.IndexFunc(h.job.Rods, func(r Rod) bool { return r.ID == old.Rod }); i >= 0 {
		c.Rod = h.job.Rods[i].Kind
	}
	m := phrase.Parse(c, text)
	s, value, check := m.Station, m.Value, old.Check
	ok := m.Kind == phrase.Reading
	if arg, is := m.Arg.(phrase.ReadingArg); is && m.Kind == phrase.Command {
		ok, s, value, check = true, arg.Station, arg.Value, m.Command == phrase.CmdCheck
	}
	if !counts && (!ok || s.IsZero()) {
		return h.stale(text, old.Station, old.Station), false
	}
	if !ok || s.IsZero() {
		a := answer{lines: []string{h.say("edit.kept", h.name(old.Station), h.why(m))}, unheard: true}
		if m.Kind == phrase.Command {
			a.lines = []string{h.say("edit.command", h.name(old.Station), text)}
		}
		if m.Kind == phrase.Ask {
			a.question = &Question{Kind: askedBack, Job: h.job.ID, Station: old.Station, Text: text, Message: h.m.ID}
			for _, t := range h.answers(m) {
				a.question.Buttons = append(a.question.Buttons, Button{t, t})
			}
		}
		return a, false
	}
	rod := Rod{Rod: reduce.Rod{ID: old.Rod, Kind: c.Rod}}
	if r, ok := h.job.rod(old.Rod); ok {
		rod = r
	}
	if !check && walked(s) && old.Round == h.job.Round {
		if a, ask := h.askDoubt(rod, s, value, m); ask {
			if counts {
				a.lines[0] = h.say("edit.kept", h.name(old.Station), a.lines[0])
			}
			return a, false
		}
	}
	if check && old.Round == h.job.Round {
		if a, ask := h.askFarAnew(rod, s, value, m, old); ask {
			return a, false
		}
	}
	moves := s != old.Station
	if moves && !check && h.readSince(s, old.Round, old.Seq) {
		return h.stale(text, old.Station, s), false
	}
	var before *reduce.Length
	if r, ok := h.job.live(slot{old.Round, old.Rod, s, false}); ok && !check && r.Value != value && (moves || !counts || r.Seq == old.Seq) {
		before = &r.Value
	}
	ties := h.mayTie(rod, s)
	if counts {
		h.emit(Voided{Seqs: []uint64{old.Seq}, Why: "edit"})
	}
	if check && old.Round == h.job.Round {
		a := h.checkAnew(rod, s, value, text, old)
		if moves && counts {
			a.lines = append(a.lines, h.movedAway(old))
			a.lines = append(a.lines, h.keptFollows(old.Message, old.Station, s)...)
		}
		return a, true
	}
	h.emit(Read{Round: old.Round, Rod: old.Rod, Station: s, Value: value, Check: check, Said: text, Sure: h.confirms && !check})
	h.confirms = false
	if old.Round != h.job.Round {
		a := answer{lines: []string{h.echoPast(s, rod, value, before, old.Round)}}
		if moves && counts {
			a.lines = append(a.lines, h.say("undo.round", h.name(old.Station), old.Round))
			a.lines = append(a.lines, h.keptFollows(old.Message, old.Station, s)...)
		}
		return a, true
	}
	h.compareTwins(s)
	if s == h.c.Asked {
		h.goOn(s)
	}
	a := answer{lines: append([]string{h.echo(s, rod, value, before)}, h.tied(ties, s)...)}
	if moves && counts {
		a.lines = append(a.lines, h.movedAway(old))
		a.lines = append(a.lines, h.keptFollows(old.Message, old.Station, s)...)
	}
	return a, true
}

// askFarAnew asks a check that an edit gave back as askFar does, held against what
// stands without what the old text gave; that is left as it is.
func (h *hearing) askFarAnew(rod Rod, s reduce.Station, value reduce.Length, m phrase.Meaning, old Reading) (answer, bool) {
	counts := h.counts(old)
	if !counts {
		return h.askFar(rod, s, value, m)
	}
	events, job := h.events, h.job.scratch()
	h.emit(Voided{Seqs: []uint64{old.Seq}, Why: "edit"})
	a, ask := h.askFar(rod, s, value, m)
	h.events, h.job = events, job
	if ask {
		a.lines[0] = h.say("edit.kept", h.name(old.Station), a.lines[0])
	}
	return a, ask
}

// checkAnew takes a check that an edit gave, as if it had been sent like that, once
// what the old text gave is gone. A search that the old one began ends with it.
func (h *hearing) checkAnew(rod Rod, s reduce.Station, value reduce.Length, text string, old Reading) answer {
	if h.c.Bump != 0 && old.Seq == h.c.Bump {
		h.c.Bump = 0
		if h.checking(h.c.Asked) {
			h.resume()
		}
	}
	a, had := h.tookCheck(rod, s, value, text)
	if !had && s == h.c.Asked {
		h.goOn(s)
	}
	if rod.Setup == h.job.setup() && rod.By == h.m.From.ID {
		h.searched(&a, rod, h.job.Seq)
	}
	return a
}

// removed says that a reading went with its line, and what counts there now.
func (h *hearing) removed(r Reading) string {
	left := h.countingAt(r.Station, r.Round)
	if len(left) == 0 {
		return h.say("edit.removed", h.name(r.Station))
	}
	return h.say("edit.gone.other", h.name(r.Station), h.stands(left[len(left)-1]))
}

// movedAway says what counts at the station that an edit has taken a reading
// from.
func (h *hearing) movedAway(old Reading) string {
	left := h.countingAt(old.Station, old.Round)
	if len(left) == 0 {
		return h.say("edit.moved", h.name(old.Station))
	}
	return h.say("edit.moved.other", h.name(old.Station), h.stands(left[len(left)-1]))
}

// heldOf lists the lines of a message that wait for who holds the rod.
func (h *hearing) heldOf(message string) []Held {
	if !h.waiting() {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(h.c.Question.Held), func(l Held) bool { return l.Message != message })
}

// editHeld changes the lines of this message that still wait to be told who
// holds the rod, and lets go of those that it removed. It says which lines those
// are, what was let go of, and whether any changed.
func (h *hearing) editHeld(lines []string) (are map[int]bool, said []string, changed bool) {
	if len(lines) == 0 {
		return nil, nil, false // a voice note that waits has none
	}
	for _, l := range h.heldOf(h.m.ID) {
		if are == nil {
			are = map[int]bool{}
		}
		are[l.Line] = true
	}
	if gone := h.withdraw(func(l Held) bool { return l.Message == h.m.ID && l.Line > len(lines) }); len(gone) > 0 {
		said, changed = []string{h.say("undo.held", h.listHeld(gone))}, true
	}
	if !h.waiting() {
		return are, said, changed
	}
	q := *h.c.Question
	q.Held = slices.Clone(q.Held)
	for i := range q.Held {
		l := &q.Held[i]
		if l.Message == h.m.ID && lines[l.Line-1] != l.Text {
			l.Text, l.Heard, l.Counts, changed = lines[l.Line-1], nil, h.countsNow(), true
		}
	}
	h.c.Question = &q
	return are, said, changed
}

// editSetting hears an edited command: what the old one set is put back, and
// the new one done, where nothing else was set since.
func (h *hearing) editSetting(text string) (answer, bool) {
	steps := h.job.steps
	i := slices.IndexFunc(steps, func(s *step) bool {
		return s.message == h.m.ID && s.line == h.line && len(s.reads) == 0 && s.before != nil
	})
	if i < 0 {
		line := h.say("edit.nothing")
		if h.hangs(h.m.ID) {
			line = h.say("edit.added", h.line)
		}
		if anew := h.anew(text, reduce.Station{}); anew != "" {
			line += " " + h.say("edit.anew", anew)
		}
		return answer{lines: []string{line}, unheard: true}, false
	}
	if slices.ContainsFunc(steps[i+1:], func(s *step) bool { _, in := s.hinders(steps[i]); return in }) {
		return answer{lines: []string{h.say("edit.later", text)}, unheard: true}, false
	}
	if old, ok := h.keptIn(steps[i]); ok {
		return h.editNote(text, old, steps[i].seq)
	}
	m := phrase.Parse(h.context(), text)
	c, known := commands[m.Command]
	if m.Kind != phrase.Command || !known || !settable[m.Command] {
		return answer{lines: []string{h.say("edit.setting", text)}, unheard: true}, false
	}
	if c.leads && !h.mayLead() {
		return h.notLead(), false
	}
	mark, events, job, conv := len(h.events), h.events, h.job.scratch(), h.c
	h.emit(Restored{Seq: steps[i].seq, Edit: true})
	a := c.run(h, m)
	if a.unheard || len(h.events) == mark+1 {
		h.events, h.job, h.c = events[:mark], job, conv
		return a, false
	}
	return a, true
}

// settable are the commands that an edit may change into.
var settable = map[phrase.CommandName]bool{
	phrase.CmdOutline: true, phrase.CmdLoop: true, phrase.CmdPiers: true, phrase.CmdSpacing: true,
	phrase.CmdRod: true, phrase.CmdUnits: true, phrase.CmdReference: true, phrase.CmdSurface: true,
	phrase.CmdBolts: true, phrase.CmdKnown: true, phrase.CmdWeights: true, phrase.CmdLaser: true, phrase.CmdBudget: true, phrase.CmdTolerance: true, phrase.CmdDatum: true,
	phrase.CmdGrindCost: true, phrase.CmdGrindMost: true, phrase.CmdShimMost: true,
	phrase.CmdCount: true, phrase.CmdLanguage: true,
}
