package session

import (
	"slices"
	"time"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// A check shot is asked for unasked after so many stations, or so much time,
// where the crew has a benchmark and did not say otherwise. The figures are
// ours: a walk of a house is about twice that.
const (
	checkStations = 20
	checkMinutes  = 30
)

// checkNearer is how many times nearer to the walk a figure must lie than to
// the check that was asked for, to be asked back.
const checkNearer = 4

// checkStation is where a check shot with a rod is taken: the benchmark, or
// the reference, or the first station that it read. ok is false where it read
// nothing.
func (h *hearing) checkStation(rod Rod) (at reduce.Station, ok bool) {
	return h.checkAmong(h.shotsOf(rod))
}

// checkAmong is where a check shot is taken with a rod that showed shots.
func (h *hearing) checkAmong(shots []shot) (at reduce.Station, ok bool) {
	if len(shots) == 0 {
		return reduce.Station{}, false
	}
	at = shots[0].Station
	ref := h.job.resolve(h.job.Reference)
	for _, k := range shots {
		switch {
		case k.Station.Kind == reduce.Benchmark && (at.Kind != reduce.Benchmark || k.Station.Number < at.Number):
			at = k.Station
		case k.Station == ref && at.Kind != reduce.Benchmark:
			at = ref
		}
	}
	return at, true
}

// shotsOf lists what a rod showed in this round, as far as it counts.
func (h *hearing) shotsOf(rod Rod) []shot {
	return slices.DeleteFunc(h.job.shotsIn(rod.Setup), func(k shot) bool { return k.Rod != rod.ID })
}

// dueCheck asks for a check shot where one is due once a station was read. It
// is asked for once: skip goes on.
func (h *hearing) dueCheck(a *answer) {
	n := len(h.events)
	if h.job == nil || n == 0 || !a.next || a.unheard || a.question != nil || len(a.buttons) > 0 || h.aside || h.c.Bump != 0 || !h.job.walking() {
		return
	}
	if r, ok := h.events[n-1].Body.(Read); !ok || r.Check || !walked(r.Station) {
		return
	}
	rod, ok := h.heldRod()
	if !ok || !walked(h.c.Asked) || h.c.Named {
		return
	}
	if at, due := h.due(rod); due {
		h.askShot(at)
	}
}

// askShot asks for a check shot; the walk goes on behind it.
func (h *hearing) askShot(at reduce.Station) {
	h.goCheck(at)
	h.c.CheckAsked, h.c.Named = h.job.Seq, false
}

// askWhich asks which station was read, where a check shot was asked for on the
// way and the bare figure is far off what stood there, yet about what the next
// station of the walk should show, or the last one showed.
func (h *hearing) askWhich(m phrase.Meaning) (answer, bool) {
	rod, ok := h.heldRod()
	if !ok || m.Named || h.c.Named || h.aside || h.waiting() || rod.Setup != h.job.setup() {
		return answer{}, false
	}
	was, known := h.job.levelsNow().Elevations[m.Station]
	seen, tied := h.job.sight(rod.ID, m.Value, m.Station)
	off := (seen - was).Abs()
	noise := float64(h.job.ErrorBudget().Noise(rod.Kind, m.Value))
	if !known || !tied || float64(off) < reduce.LeastJump*noise {
		return answer{}, false
	}
	level, read := h.job.latest(h.job.last)
	for _, s := range []reduce.Station{h.c.Resume, h.job.last} {
		if s.IsZero() || s == m.Station || !read {
			continue
		}
		e, _ := h.job.sight(rod.ID, m.Value, s)
		// A bump moves both alike: of a small one nothing can be told.
		if _, unlikely := h.unlikely(rod, s, m.Value); unlikely || checkNearer*(e-h.job.design.At(s)-level).Abs() > off {
			continue
		}
		q := &Question{Kind: askedBack, Job: h.job.ID, Station: m.Station, Text: m.Said, Message: h.message, Line: h.line}
		for _, k := range []reduce.Station{m.Station, s} {
			if text, ok := h.sameAgain(rod, k, m.Value, phrase.Meaning{Said: m.Said}); ok {
				q.Buttons = append(q.Buttons, Button{text, text})
			}
		}
		h.noteUnheard()
		line := h.say("check.which", h.name(m.Station), h.rodText(rod, m.Value), h.amount(off), h.name(s))
		return answer{lines: []string{line}, question: q, unheard: true, about: m.Station, holds: true}, true
	}
	return answer{}, false
}

// due says whether a check shot is, and where.
func (h *hearing) due(rod Rod) (at reduce.Station, due bool) {
	if !h.job.CheckSet && !h.readBenchmark(rod) {
		return reduce.Station{}, false
	}
	shots := h.shotsOf(rod)
	at, ok := h.checkAmong(shots)
	every := h.job.CheckEvery
	switch {
	case !ok:
		return at, false
	case !h.job.CheckSet && at.Kind != reduce.Benchmark:
		return at, false
	case !h.job.CheckSet:
		every = CheckEverySet{Stations: checkStations, Minutes: checkMinutes}
	}
	var last time.Time
	n := 0
	for _, k := range shots {
		switch {
		case k.Station == at || k.Seq <= h.c.CheckAsked:
			last, n = k.At, 0
		case !k.Check:
			n++
		}
	}
	long := time.Duration(every.Minutes) * time.Minute
	return at, n > 0 && (every.Stations > 0 && n >= every.Stations || long > 0 && h.m.At.Sub(last) >= long)
}

// readBenchmark says whether a rod read a benchmark in this round.
func (h *hearing) readBenchmark(rod Rod) bool {
	for k := range h.job.slots {
		if k.station.Kind == reduce.Benchmark && k.rod == rod.ID && k.round == h.job.Round && !h.job.empty[k] {
			return true
		}
	}
	return false
}

// checkEvery sets how often a check shot is asked for.
func (h *hearing) checkEvery(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.EveryArg)
	if !ok {
		return h.refuse(m)
	}
	set := CheckEverySet{Stations: arg.Stations, Minutes: arg.Minutes}
	h.emit(set)
	return answer{lines: []string{h.say("check.every", h.checkEveryText(set))}, next: true}
}

func (h *hearing) checkEveryText(s CheckEverySet) string {
	switch {
	case s.Stations > 0:
		return h.say("check.every.stations", s.Stations)
	case s.Minutes > 0:
		return h.say("check.every.minutes", s.Minutes)
	}
	return h.say("check.every.no")
}

// pause asks for a check shot before a break.
func (h *hearing) pause(phrase.Meaning) answer {
	rod, ok := h.heldRod()
	at, read := h.checkStation(rod)
	if !ok || rod.Setup != h.job.setup() || !read || h.job.sinceCheck() == 0 {
		return answer{lines: []string{h.say("break")}, next: true}
	}
	h.askShot(at)
	return answer{lines: []string{h.say("break.check")}, next: true}
}

// closingCheck asks for the check shot that ends a set-up, where the walk has
// ended without one; it says whether it did.
func (h *hearing) closingCheck(a *answer) bool {
	rod, ok := h.heldRod()
	if !ok || rod.Setup != h.job.setup() || h.aside || h.m.Kind != Said || !h.c.Asked.IsZero() {
		return false
	}
	at, read := h.checkStation(rod)
	n := h.job.sinceCheck()
	if !read || n < 2 {
		return false
	}
	h.askShot(at)
	a.lines = append(a.lines, h.say("done.check", n))
	a.next = true
	return true // one question at a time
}

// sinceCheck counts the readings of the present set-up that no check shot with
// their rod came after.
func (j *Job) sinceCheck() int {
	open := map[int]int{}
	for _, k := range j.shotsIn(j.setup()) {
		if k.Check || j.readAlike(k) {
			open[k.Rod] = 0
		} else {
			open[k.Rod]++
		}
	}
	n := 0
	for _, k := range open {
		n += k
	}
	return n
}

// alikeReach is how many standard deviations of a reading two of one point may
// differ by and count as the same.
const alikeReach = 4

// readAlike says that a shot of a benchmark took the place of an earlier one by
// the same rod that showed the same: it is as good as a check shot.
func (j *Job) readAlike(k shot) bool {
	if k.Station.Kind != reduce.Benchmark || k.Check {
		return false
	}
	old, ok := j.hist.at(k.prev)
	return ok && !old.void && !old.doubt && (old.Value-k.Value).Abs() <= alikeReach*j.noise()
}

// offAgain says what a further reading of a benchmark, sent without being asked
// for, tells of those between it and the first: the same is as good as a check
// shot; another one has taken the first one's place.
func (h *hearing) offAgain(rod Rod, old Reading, value reduce.Length) []string {
	between := slices.ContainsFunc(h.shotsOf(rod), func(k shot) bool { return k.took > h.job.hist.took(old) && k.Station != old.Station })
	switch off := value - old.Value; {
	case !between:
		return nil
	case off.Abs() <= alikeReach*h.job.noise():
		return []string{h.say("check.again", h.name(old.Station))}
	default:
		return []string{h.say("check.again.off", h.name(old.Station), h.amount(off), h.rodText(rod, value))}
	}
}

// sayUnseen says how many readings stand without a check shot after them.
func (j *Job) sayUnseen(lang string) []string {
	if n := j.sinceCheck(); n > 0 {
		return []string{Say(lang, "done.unchecked", n)}
	}
	return nil
}
