package session

import (
	"slices"
	"time"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// Limits of what is remembered of heard readings.
const (
	maxEchoed  = 24 // readings of one person; of those forgotten each must be confirmed
	maxClose   = 4  // values of one reading that it may be instead
	maxAgain   = 2  // times that a reading is asked about again while the walk goes on
	echoSeenIn = 2 * time.Second
)

// Echoed is a reading that was heard in a voice note and told back. One that is
// remembered and need not be confirmed becomes firm when the person goes on; any
// other one stays provisional until somebody says that it is right.
type Echoed struct {
	Job string    `json:"job"`
	Seq uint64    `json:"seq"`
	At  time.Time `json:"at"` // of the message that it was told back to
	// Must: the recogniser could not tell which side it is, or what stands round
	// it makes it unlikely. Going on does not make it firm.
	Must  bool `json:"must,omitempty"`
	Again int  `json:"again,omitempty"` // how often it was asked about since
	// Close are other values that it may be, nearest first.
	Close []reduce.Length `json:"close,omitempty"`
}

// howFirm says how a reading became firm.
const (
	firmByTap  = "tap"
	firmByNext = "next"
	firmByUndo = "undo"
)

// Heard are the readings that count, were heard in voice notes and are not firm,
// oldest first.
func (j *Job) Heard() []Reading {
	return slices.DeleteFunc(j.counted(), func(r Reading) bool { return !r.Provisional() })
}

// HeardAt says whether what stands at a station in the present round hangs on a
// reading that was heard and is not firm.
func (j *Job) HeardAt() map[reduce.Station]bool {
	out := map[reduce.Station]bool{}
	for _, r := range j.present() {
		if r.Provisional() {
			out[r.Station] = true
		}
	}
	return out
}

// open is a reading that counts and is not firm; ok is false for one that was
// made firm, taken back or replaced since.
func (h *hearing) open(seq uint64) (r Reading, ok bool) {
	if h.job == nil {
		return Reading{}, false
	}
	r, ok = h.job.hist.at(seq)
	return r, ok && r.Provisional() && h.counts(r)
}

// echoed notes a reading that was just heard: whether it must be confirmed, and
// what it may be instead.
func (h *hearing) echoed(seq uint64, s reduce.Station, value reduce.Length, sure bool) {
	e := Echoed{Job: h.job.ID, Seq: seq, At: h.m.At, Must: sure}
	for _, text := range h.heard.Close {
		at, v, ok := h.readingIn(text)
		switch {
		case !ok || at == s && v == value:
		case at != s:
			// A spot named that nobody asked for, and the note may have named
			// another.
			e.Must = e.Must || s != h.c.Asked
		case len(e.Close) < maxClose && !slices.Contains(e.Close, v):
			e.Close = append(e.Close, v)
		}
		if ok && at == s && side(v) != side(value) {
			e.Must = true
		}
	}
	h.c.Heard = append(h.c.Heard, e)
	if n := len(h.c.Heard); n > maxEchoed {
		h.c.Heard = h.c.Heard[n-maxEchoed:]
	}
	h.spoke = append(h.spoke, seq)
}

// side is -1, 0 or +1: low, on or high.
func side(l reduce.Length) int {
	switch {
	case l < 0:
		return -1
	case l > 0:
		return 1
	}
	return 0
}

// readingIn is the reading that a text gives, as a reading or in a command.
func (h *hearing) readingIn(text string) (s reduce.Station, value reduce.Length, ok bool) {
	m := phrase.Parse(h.context(), text)
	if arg, is := m.Arg.(phrase.ReadingArg); is && m.Kind == phrase.Command {
		return arg.Station, arg.Value, true
	}
	return m.Station, m.Value, m.Kind == phrase.Reading && !m.Station.IsZero()
}

// forgetEchoed forgets what was echoed of a slot: another reading stands there.
func (h *hearing) forgetEchoed(k slot) {
	h.c.Heard = slices.DeleteFunc(h.c.Heard, func(e Echoed) bool {
		r, ok := h.job.hist.at(e.Seq)
		return e.Job == h.job.ID && (!ok || !k.check && r.slot() == k)
	})
}

// goesOn makes firm what this person heard echoed, for they have gone on to
// another station since. Two messages sent at once show nothing: the second was
// on its way before the echo of the first could be seen.
func (h *hearing) goesOn(s reduce.Station) {
	h.neverSeen()
	if h.aside || h.m.Kind == Edited || h.m.Unseen {
		return
	}
	var seqs []uint64
	for _, e := range h.c.Heard {
		if e.Job != h.job.ID || e.Must || h.m.At.Sub(e.At) < echoSeenIn {
			continue
		}
		if r, ok := h.open(e.Seq); ok && r.Station != s {
			seqs = append(seqs, e.Seq)
		}
	}
	h.firm(seqs, firmByNext)
}

// neverSeen has what was echoed by a reply that never came, or before it, be
// confirmed: going on says nothing of that.
func (h *hearing) neverSeen() {
	for i := range h.c.Heard {
		if e := &h.c.Heard[i]; !h.m.Lost.IsZero() && !e.At.After(h.m.Lost) {
			e.Must = true
		}
	}
}

// firm makes readings firm.
func (h *hearing) firm(seqs []uint64, how string) {
	if len(seqs) == 0 {
		return
	}
	h.emit(Firmed{Seqs: seqs, How: how})
	h.c.Heard = slices.DeleteFunc(h.c.Heard, func(e Echoed) bool {
		_, ok := h.open(e.Seq)
		return e.Job == h.job.ID && !ok
	})
}

// newest is the reading that a bare yes or no is about: what this person read
// last, where that was heard and is open; else what they were asked about.
func (h *hearing) newest() (Reading, bool) {
	if h.job == nil {
		return Reading{}, false
	}
	for _, k := range slices.Backward(h.job.steps) {
		if k.by == h.m.From.ID && len(k.reads) > 0 {
			if r, ok := h.open(k.reads[len(k.reads)-1]); ok {
				return r, true
			}
			break
		}
	}
	if q := h.c.Question; q != nil && q.Kind == heardAsked && q.Job == h.job.ID {
		return h.open(q.Seq)
	}
	return Reading{}, false
}

// mine are those readings that this person may confirm: their own; all, where
// they may lead.
func (h *hearing) mine(all []Reading) []Reading {
	return slices.DeleteFunc(slices.Clone(all), func(r Reading) bool { return r.By != h.m.From.ID && !h.mayLead() })
}

// yes makes firm what was heard: the newest of it, what was heard at a station,
// or all. To a question that asks for it, it is the answer.
func (h *hearing) yes(m phrase.Meaning) answer {
	if a, ok := h.yesTo(m); ok {
		return a
	}
	if h.job == nil {
		return h.noJob()
	}
	var which []Reading
	switch arg := m.Arg.(type) {
	case phrase.StationArg:
		var rest []Reading
		rod, _ := h.heldRod()
		for _, r := range h.job.Heard() {
			switch {
			case r.Station != arg.Station:
			case r.By == h.m.From.ID && r.Round == h.job.Round && r.Rod == rod.ID:
				which = append(which, r)
			default:
				rest = append(rest, r)
			}
		}
		if len(which) == 0 {
			// Which of the others is meant, a button says.
			a := answer{lines: []string{h.say("heard.nothing.at", h.name(arg.Station))}, unheard: true, next: true}
			if rest = h.mine(rest); len(rest) > 0 {
				a.lines = []string{h.say("heard.open", len(rest), h.listHeard(rest))}
				h.offerConfirm(&a, rest)
			}
			return a
		}
	case phrase.Text:
		which = h.mine(h.job.Heard())
	default:
		if r, ok := h.newest(); ok {
			which = []Reading{r}
		}
	}
	if len(which) > 0 {
		return h.confirm(which)
	}
	a, q := answer{unheard: true, next: true}, h.pending()
	if q != nil && m.Arg == nil {
		h.looked, h.acted = true, false // it is still asked
		if a = h.askedAgain(q); q.Kind != offered {
			return a
		}
	}
	if h.offerHeard(&a); !h.toldOpen {
		a.lines = append([]string{h.say("heard.nothing")}, a.lines...)
	}
	return a
}

// confirm makes readings firm that somebody says are right. Once the walk is over
// what is left to confirm is listed.
func (h *hearing) confirm(which []Reading) answer {
	var seqs []uint64
	for _, r := range which {
		seqs = append(seqs, r.Seq)
	}
	one := which[0]
	rod, _ := h.job.rod(one.Rod)
	awaited := h.job.awaited(one)
	before, _ := h.job.sight(one.Rod, 0, one.Station)
	h.firm(seqs, firmByTap)
	a := answer{lines: []string{h.say("heard.firm.all", len(which), h.listHeard(which))}, next: true}
	if len(which) == 1 {
		a.lines = []string{h.say("heard.firm", h.nameIn(one.Station, one.Round), h.heardText(one))}
		if awaited {
			a.lines = append(a.lines, h.shared(one.Station, rod, before)...)
		}
	}
	for _, r := range which {
		if rod, ok := h.job.rod(r.Rod); ok && r.Check && h.searched(&a, rod, r.Seq) {
			return a
		}
	}
	if !h.job.walking() {
		h.offerHeard(&a)
	}
	return a
}

// yesTo takes yes as the answer to a question that it answers.
func (h *hearing) yesTo(m phrase.Meaning) (answer, bool) {
	q := h.c.Question
	if q == nil || m.Arg != nil || q.Job != "" && (h.job == nil || q.Job != h.job.ID) {
		return answer{}, false
	}
	switch q.Kind {
	case spokenFirst:
		return h.tapFirst(q), true
	case doubted:
		if n := len(q.Buttons); n > 0 && q.Buttons[n-1].Label == h.say("doubt.keep") && h.heard == nil {
			return h.hearLine(q.Buttons[n-1].Text), true
		}
	case surprised:
		if h.heard == nil {
			return h.surpriseStep(h.say("surprise.so"))
		}
	}
	return answer{}, false
}

// denied is the reading that "no" is about: the newest heard one, where no other
// question stands. Since the laser was moved it is about that only where it was
// asked about.
func (h *hearing) denied() (Reading, bool) {
	q := h.c.Question
	if q != nil && q.Kind != heardAsked && q.Kind != offered {
		return Reading{}, false
	}
	r, ok := h.newest()
	if !ok || r.By != h.m.From.ID {
		return Reading{}, false
	}
	rod, known := h.job.rod(r.Rod)
	return r, !known || rod.Setup == h.job.setup() || q != nil && q.Seq == r.Seq
}

// deny takes a heard reading back and asks for its station again.
func (h *hearing) deny(r Reading) answer {
	h.c.Question = nil
	a := h.undoReads([]uint64{r.Seq})
	if rod, ok := h.job.rod(r.Rod); ok && rod.Setup != h.job.setup() || r.Round != h.job.Round || h.aside {
		return a
	}
	if r.Check {
		h.goCheck(r.Station)
		return a
	}
	a.lines = append(a.lines, h.goTo(r.Station).lines...)
	return a
}

// heardText is what a reading was heard as, in the rod's own terms.
func (h *hearing) heardText(r Reading) string { return View{Job: h.job}.sayRod(h.lang, r.Rod, r.Value) }

// listHeard names readings with what was heard, shortened where they are many.
func (h *hearing) listHeard(all []Reading) string { return View{Job: h.job}.SayHeard(h.lang, all) }
