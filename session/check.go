package session

import (
	"slices"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// check takes an observation beside the station's reading.
func (h *hearing) check(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.ReadingArg)
	if !ok {
		return h.refuse(m)
	}
	return h.takeCheck(arg.Station, arg.Value, m)
}

// goCheck asks for a check of a station named by itself; the walk then goes on
// where it is.
func (h *hearing) goCheck(s reduce.Station) answer {
	h.aside = false
	if h.c.Resume.IsZero() && h.c.Asked != s {
		h.c.Resume = h.c.Asked
	}
	h.c.Asked, h.c.Checks, h.c.Named = s, s, true
	return answer{next: true}
}

// checking says that what is read at a station now is the check that was asked
// for.
func (h *hearing) checking(s reduce.Station) bool {
	return !s.IsZero() && s == h.c.Checks && s == h.c.Asked
}

// takeCheck takes what a rod showed at a station as a check of it.
func (h *hearing) takeCheck(s reduce.Station, value reduce.Length, m phrase.Meaning) answer {
	asked := h.checking(s)
	rod, ok := h.rod()
	if !ok {
		a := h.whoHolds(m.Said, s, false)
		if asked {
			h.resume()
		}
		return a
	}
	if a, ask := h.askFar(rod, s, value, m); ask {
		return a
	}
	h.goesOn(s)
	for _, seq := range h.countsOf(h.message) {
		// A check of an edited text that was asked back, and is kept.
		if r, _ := h.job.hist.at(seq); r.Check && r.Line == h.line {
			h.emit(Voided{Seqs: []uint64{seq}, Why: "edit"})
		}
	}
	a, had := h.tookCheck(rod, s, value, m.Said)
	shot := h.job.Seq
	switch {
	case asked:
		h.resume()
		h.nextOfLot(s)
	case !had && s == h.c.Asked:
		h.goOn(s)
	}
	if h.searched(&a, rod, shot) {
		return a
	}
	h.finish(&a)
	if asked {
		h.offerAtRest(&a)
	}
	return a
}

// tookCheck stores a check and compares it with what stood before; had says that
// something did.
func (h *hearing) tookCheck(rod Rod, s reduce.Station, value reduce.Length, said string) (a answer, had bool) {
	was, known := h.job.levelsNow().Elevations[s]
	had = h.job.readNow()[s] || offSill(s) && known
	seen, tied := h.job.sight(rod.ID, value, s)
	before, _ := h.job.sight(rod.ID, 0, s)
	lines := h.take(rod, s, value, said, true)
	heard := lines[:1:1] // what was heard, where the comparison does not say it
	a = answer{lines: lines, next: true}
	switch {
	case !had:
		a.lines = append(a.lines, h.say("check.first", h.name(s)))
	case !known && s != h.job.resolve(h.job.Reference):
		a.lines = []string{h.say("check.untied", h.name(s), h.rodText(rod, value), h.name(h.job.Reference))}
	case known && tied:
		r, _ := h.job.hist.at(h.job.Seq)
		a.lines = h.compared(s, rod, seen-was, was, before, h.job.awaited(r))
	}
	if h.heard != nil && had {
		a.lines = slices.Concat(heard, a.lines)
	}
	return a, had
}

// mostBump is more than a bumped laser is off by (common practice, no source).
const mostBump = 3 * reduce.Inch

// farCheck is the stage of doubted that is about a check.
const farCheck = 1

// askFar asks a check back that is off by more than any bump; not where the crew
// keeps it.
func (h *hearing) askFar(rod Rod, s reduce.Station, value reduce.Length, m phrase.Meaning) (answer, bool) {
	was, known := h.job.levelsNow().Elevations[s]
	seen, tied := h.job.sight(rod.ID, value, s)
	off := seen - was
	if !known || !tied || off.Abs() <= mostBump || h.confirmsNow(s, value) || h.waiting() {
		return answer{}, false
	}
	text := m.Said
	if m.Kind == phrase.Reading {
		named, _ := h.sameAgain(rod, s, value, m)
		text = h.say("check.by.name", named)
	}
	k := phrase.Parse(h.context(), text)
	if arg, ok := k.Arg.(phrase.ReadingArg); !ok || k.Command != phrase.CmdCheck || arg.Station != s || arg.Value != value {
		return answer{}, false // what could not be kept is not asked about
	}
	q := &Question{Kind: doubted, Job: h.job.ID, Station: s, Text: m.Said, Message: h.message, Line: h.line, Values: []reduce.Length{value},
		Stage: farCheck, Buttons: []Button{{h.say("doubt.keep"), text}}}
	key, name := Key("check.far.higher"), h.name(s)
	if off < 0 {
		key = "check.far.lower"
	}
	line := h.say(key, name, h.rodText(rod, value), h.measure(off.Abs()), h.measure(mostBump))
	again := Key("check.far.again")
	if h.checking(s) {
		again = "check.far.bare"
		h.noteUnheard()
	}
	return answer{lines: []string{line + " " + h.say(again, name)}, question: q, unheard: true, about: s, holds: h.checking(s)}, true
}

// offerAtRest offers the levels once nothing else is asked for any more.
func (h *hearing) offerAtRest(a *answer) {
	if !h.job.walking() && !h.aside && len(a.buttons) == 0 && h.c.Asked.IsZero() {
		h.offerDatum(h.job.View(), a, false)
	}
}

// compared says how far a check is off what stood before, and what it does to
// the heights, where it is not awaited. before is the height that a reading of 0 there gave before the
// check.
func (h *hearing) compared(s reduce.Station, rod Rod, off, was, before reduce.Length, awaited bool) []string {
	name := h.name(s)
	if off.RoundTo(h.job.Finest) == 0 {
		return []string{h.say("check.same", name, h.heightAt(s, was))}
	}
	key := Key("check.higher")
	if off < 0 {
		key = "check.lower"
	}
	lines := []string{h.say(key, name, h.amount(off), h.heightAt(s, was))}
	if awaited {
		lines = append(lines, h.say("check.heard"))
	} else {
		lines = append(lines, h.shared(s, rod, before)...)
	}
	return append(lines, h.say("check.bumped"))
}

// shared says what a check did to the heights: both observations are kept and
// share the difference. before is the height that a reading of 0 there gave
// without it.
func (h *hearing) shared(s reduce.Station, rod Rod, before reduce.Length) []string {
	if s != h.job.resolve(h.job.Reference) {
		return []string{h.say("check.between", h.name(s), h.heightAt(s, h.job.levelsNow().Elevations[s]))}
	}
	// The reference stays at nothing: what this rod read moves about it.
	now, _ := h.job.sight(rod.ID, 0, s)
	shift := now - before
	key := Key("check.others.higher")
	switch {
	case h.showsZero(shift):
		return nil
	case shift < 0:
		key = "check.others.lower"
	}
	return []string{h.say(key, h.amount(shift))}
}
