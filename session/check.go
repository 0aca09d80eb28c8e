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
	return h.takeCheck(arg.Station, arg.Value, m.Said)
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
func (h *hearing) takeCheck(s reduce.Station, value reduce.Length, said string) answer {
	asked := h.checking(s)
	rod, ok := h.rod()
	if !ok {
		a := h.whoHolds(said, s, false)
		if asked {
			h.resume()
		}
		return a
	}
	h.goesOn(s)
	a, had := h.tookCheck(rod, s, value, said)
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
