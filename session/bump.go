package session

import (
	"slices"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// reshoot is the kind of question that asks for a re-shot in the search for the
// moment of a bump.
const reshoot = "reshoot"

// searching says that the re-shot of a search is being asked for.
func (h *hearing) searching() bool {
	return h.job != nil && h.c.Bump != 0 && h.checking(h.c.Asked)
}

// leaveSearch lets the walk go on where a command breaks into a search, or
// into a check shot that the crew did not ask for. What was shot stays, and
// bumped goes on with it.
func (h *hearing) leaveSearch(name phrase.CommandName) {
	switch {
	case h.job == nil || looks[name] || !h.checking(h.c.Asked) || h.c.Named && h.c.Bump == 0:
	case name == phrase.CmdCheck || name == phrase.CmdSkip || name == phrase.CmdNo || name == phrase.CmdBumped:
	case name == phrase.CmdNote || name == phrase.CmdYes: // the check is still asked for
	default:
		h.resume()
	}
}

// bumped begins the search for the moment of a bump, or goes on with it.
func (h *hearing) bumped(phrase.Meaning) answer {
	rod, ok := h.heldRod()
	if !ok || rod.Setup != h.job.setup() {
		return answer{lines: []string{h.say("bump.nothing")}, next: true}
	}
	if s, ok := h.job.bumpSearch(h.c.Bump); ok && s.rod.ID == rod.ID && s.Finding().State != reduce.Stopped {
		a := answer{}
		h.searchOn(&a, s)
		return a
	}
	h.c.Bump = 0
	at, ok := h.checkStation(rod)
	if !ok {
		return answer{lines: []string{h.say("bump.nothing")}, next: true}
	}
	a := h.goCheck(at)
	a.lines = []string{h.say("bump.check")}
	return a
}

// searched takes a check shot into a search, or begins one where the check
// disagrees by more than readings do. It says whether there is one.
func (h *hearing) searched(a *answer, rod Rod, seq uint64) bool {
	_, open := h.open(seq)
	e := h.echoOf(seq)
	if s, ok := h.job.bumpSearch(h.c.Bump); ok && s.rod.ID == rod.ID {
		if open { // a misheard figure must not decide: the search has it once it is confirmed
			if e != nil {
				e.Must = true
			}
			return false
		}
		if i := slices.IndexFunc(s.shots, func(k shot) bool { return k.Seq == seq }); i >= 0 {
			a.lines = []string{h.reshotLine(s, s.shots[i])}
		}
		h.searchOn(a, s)
		return true
	}
	s, ok := h.job.bumpSearch(seq)
	if !ok {
		return false
	}
	if !s.disagrees() {
		// Its own comparison has said by how much; that is all.
		if n := len(a.lines); n > 0 && a.lines[n-1] == h.say("check.bumped") {
			a.lines[n-1] = h.say("bump.stop.small")
		}
		return false
	}
	if open {
		if e != nil {
			e.Must = true
		}
		return false
	}
	if n := len(a.lines); n > 0 && a.lines[n-1] == h.say("check.bumped") {
		a.lines = a.lines[:n-1]
	}
	h.c.Bump = seq
	a.lines = append(a.lines, h.say("bump.begin"))
	h.searchOn(a, s)
	return true
}

// reshotLine says what a re-shot differs by.
func (h *hearing) reshotLine(s bumpSearch, k shot) string {
	rise, ok := s.rise(k, len(s.readings))
	switch {
	case !ok:
		return h.say("bump.apart", h.name(k.Station))
	case h.showsZero(rise):
		return h.say("bump.same", h.name(k.Station))
	case rise > 0:
		return h.say("bump.higher", h.name(k.Station), h.amount(rise))
	}
	return h.say("bump.lower", h.name(k.Station), h.amount(rise))
}

// searchOn asks for the next re-shot, or says how the search ended.
func (h *hearing) searchOn(a *answer, s bumpSearch) {
	f := s.Finding()
	switch f.State {
	case reduce.Searching:
		_, at, _ := s.NextShot()
		h.goCheck(at)
		a.lines = append(a.lines, h.say("bump.reshoot", h.name(at)))
		a.next = false
		a.question = &Question{Kind: reshoot, Job: h.job.ID, Station: at,
			Buttons: []Button{{h.say("bump.no.button"), h.say("bump.no.word")}}}
	case reduce.Found:
		a.lines = append(a.lines, h.found(s)...)
		h.endSearch(a)
	case reduce.Stopped:
		a.lines = append(a.lines, h.stopped(s)...)
		h.endSearch(a)
	}
}

// endSearch puts the walk back where it was.
func (h *hearing) endSearch(a *answer) {
	a.next, a.question = true, nil
	h.finish(a)
}

// found says where the bump lies, and splits the set-up there.
func (h *hearing) found(s bumpSearch) []string {
	f := s.Finding()
	first, key := h.name(s.readings[f.After].Station), Key("bump.found")
	next := h.name(s.trigger.Station)
	if f.Before < len(s.readings) {
		next = h.name(s.readings[f.Before].Station)
	} else {
		key = "bump.found.last"
	}
	how := h.say("bump.sank", h.amount(f.Jump))
	if f.Jump < 0 {
		how = h.say("bump.rose", h.amount(f.Jump))
	}
	lines := []string{h.say(key, first, next, how)}
	return append(lines, h.splitAt(s, s.readings[f.After], nil)...)
}

// stopped says why a search ended without a place, and what is to be read
// again. What cannot be told apart counts for the time after the bump.
func (h *hearing) stopped(s bumpSearch) []string {
	f := s.Finding()
	h.c.Bump = 0
	lines := []string{h.stopLine(s)}
	if f.Why == reduce.CheckMisread {
		h.emit(Voided{Seqs: []uint64{s.trigger.Seq}, Why: "misread"})
	}
	if len(f.Again) == 0 {
		return lines
	}
	var again []reduce.Station
	var doubt []uint64
	for _, i := range f.Again {
		doubt = append(doubt, s.readings[i].Seq)
		if k := s.readings[i].Station; !slices.Contains(again, k) {
			again = append(again, k)
		}
	}
	last := s.readings[f.Again[0]-1]
	lines = append(lines, h.splitAt(s, last, doubt)...)
	lines = append(lines, h.say("bump.again", h.list(again)))
	if ref := h.job.resolve(h.job.Reference); slices.Contains(again, ref) && !h.job.readNow()[ref] {
		// The two set-ups are joined, but to nothing that heights are from.
		lines = append(lines, h.say("reference.unread", h.name(ref)))
		h.goTo(ref)
	}
	return lines
}

// stopLine is why a search stopped.
func (h *hearing) stopLine(s bumpSearch) string {
	f := s.Finding()
	switch f.Why {
	case reduce.TooSmall:
		return h.say("bump.stop.small")
	case reduce.NeitherNor:
		return h.say("bump.stop.neither", h.amount(f.Jump))
	case reduce.Doubtful:
		return h.say("bump.stop.doubtful")
	case reduce.Contradiction:
		return h.say("bump.stop.contradiction")
	case reduce.Uneven:
		return h.say("bump.stop.uneven")
	case reduce.CheckMisread:
		return h.say("bump.stop.misread", h.name(s.trigger.Station))
	case reduce.RodsDisagree:
		return h.say("bump.stop.rods")
	case reduce.NotStopped:
	}
	return ""
}

// splitAt divides the set-up behind a reading and says what ties the two.
func (h *hearing) splitAt(s bumpSearch, last shot, doubt []uint64) []string {
	b := SetupSplit{Setup: s.rod.Setup, New: h.job.setup() + 1, After: last.took, Doubt: doubt}
	id := h.job.freshRod()
	for _, r := range h.job.Rods {
		if r.Setup == b.Setup {
			b.Rods = append(b.Rods, RodSplit{r.ID, id})
			id++
		}
	}
	h.emit(b)
	h.wasWalking = h.wasWalking || h.job.walking()
	h.settle()
	ties, _ := h.ties(b)
	key := Key("bump.split")
	if len(doubt) > 0 {
		key = "bump.split.stop"
	}
	lines := []string{h.say(key, b.New, h.list(ties))}
	h.remarkTilt(s.rod, s.trigger.Station)
	if more := h.tiltTies(b, s.rod); len(more) > 0 {
		lines = append(lines, h.say("bump.tilt.ask", h.list(more)))
	}
	if twice := h.readTwice(b); len(doubt) == 0 && len(twice) > 0 {
		lines = append(lines, h.say("bump.twice", h.list(twice)))
	}
	if len(b.Rods) > 1 {
		lines = append(lines, h.say("bump.others"))
	}
	return lines
}

// readTwice lists the stations that were read before a bump and put right or
// read anew after it: which of the two was a slip cannot be told.
func (h *hearing) readTwice(b SetupSplit) []reduce.Station {
	var out []reduce.Station
	for _, r := range h.job.shotsIn(b.New) {
		for _, k := range b.Rods {
			_, before := h.job.live(slot{r.Round, k.From, r.Station, false})
			if !r.Check && k.To == r.Rod && before && !slices.Contains(out, r.Station) {
				out = append(out, r.Station)
			}
		}
	}
	return out
}
