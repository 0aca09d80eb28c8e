package session

import (
	"cmp"
	"slices"

	"rodcall/reduce"
)

// heardAsked asks whether a reading was heard right. Its first button says yes;
// then come the values that it may be instead, which Values are.
const heardAsked = "heard"

// maxCorrections are the values offered in place of a heard one.
const maxCorrections = 3

// askHeard puts under an answer whether what was heard in this message is right;
// where nothing was, and the walk went on, it asks again about the newest reading
// that must be confirmed.
func (h *hearing) askHeard(a *answer) {
	if h.job == nil || h.waiting() || a.unheard && len(h.spoke) == 0 {
		return
	}
	if n := len(h.spoke); n > 0 {
		e := h.echoOf(h.spoke[n-1])
		if e == nil || a.question != nil && a.question.Kind != surprised {
			return
		}
		if !e.Must && !h.toldOpen {
			if again := h.stillOpen(); again != nil {
				h.askAgain(again, a)
				return
			}
		}
		if h.m.Deaf && a.next && !e.Must {
			return // a reply is asked for, which can have no buttons
		}
		r, ok := h.open(e.Seq)
		if !ok {
			return
		}
		q := h.heardQuestion(r, e.Close, false)
		switch {
		case h.toldOpen:
			if open := h.job.Heard(); len(open) > 1 {
				var more answer
				h.offerConfirm(&more, slices.DeleteFunc(open, func(k Reading) bool { return k.Seq == r.Seq }))
				q.Buttons = append(q.Buttons, more.buttons...)
			}
		case len(q.Buttons)+len(a.buttons) <= maxCorrections+3:
			q.Buttons = append(q.Buttons, a.buttons...)
		}
		a.question, a.buttons = q, nil
		if e.Must && len(q.Values) > 0 {
			a.lines = append(a.lines, h.say("heard.which", q.Buttons[1].Label))
		} else if h.once("heard.how") {
			a.lines = append(a.lines, h.say("heard.how"))
		}
		return
	}
	if h.toldOpen || a.question != nil || len(a.buttons) > 0 || !a.next || !h.took() {
		return
	}
	if e := h.stillOpen(); e != nil {
		h.askAgain(e, a)
	}
}

// surprisedBy says that the line at hand, where it was spoken, must be confirmed,
// for something is asked about what it gave. Later lines of the same message may
// ask something else.
func (h *hearing) surprisedBy(a answer) {
	if a.question == nil || h.heard == nil || len(h.spoke) == 0 {
		return
	}
	if e := h.echoOf(h.spoke[len(h.spoke)-1]); e != nil {
		e.Must = true
	}
}

// took says whether this message gave a reading.
func (h *hearing) took() bool {
	return slices.ContainsFunc(h.events, func(e Event) bool { _, ok := e.Body.(Read); return ok })
}

// echoOf is what is remembered of a heard reading, nil for nothing.
func (h *hearing) echoOf(seq uint64) *Echoed {
	for i := range h.c.Heard {
		if e := &h.c.Heard[i]; e.Job == h.job.ID && e.Seq == seq {
			return e
		}
	}
	return nil
}

// closeTo lists what else a reading may be that was heard, nearest first.
func (h *hearing) closeTo(seq uint64) []reduce.Length {
	if e := h.echoOf(seq); e != nil {
		return e.Close
	}
	return nil
}

// stillOpen is the newest reading from before the last one of this message that
// must be confirmed and was not asked about too often; nil for none.
func (h *hearing) stillOpen() *Echoed {
	n := len(h.spoke)
	for i := len(h.c.Heard) - 1; i >= 0; i-- {
		e := &h.c.Heard[i]
		if e.Job != h.job.ID || !e.Must || e.Again >= maxAgain || n > 0 && e.Seq == h.spoke[n-1] {
			continue
		}
		if _, ok := h.open(e.Seq); ok {
			return e
		}
	}
	return nil
}

// askAgain asks about an earlier reading.
func (h *hearing) askAgain(e *Echoed, a *answer) {
	r, _ := h.open(e.Seq)
	q := h.heardQuestion(r, e.Close, true)
	e.Again++
	a.lines, a.question, a.buttons = append(a.lines, h.heardAgain(r, q)), q, nil
}

// heardAgain is the line that asks about an earlier reading.
func (h *hearing) heardAgain(r Reading, q *Question) string {
	if len(q.Values) > 0 {
		return h.say("heard.again.which", h.nameIn(r.Station, r.Round), h.heardText(r), h.rodLabel(r.Rod, q.Values[0]))
	}
	return h.say("heard.again", h.nameIn(r.Station, r.Round), h.heardText(r))
}

// heardQuestion asks whether a reading was heard right, and offers what it may
// be instead. behind says that the walk has gone on: buttons then name the
// station.
func (h *hearing) heardQuestion(r Reading, near []reduce.Length, behind bool) *Question {
	q := &Question{Kind: heardAsked, Job: h.job.ID, Station: r.Station, Seq: r.Seq}
	name, yes := h.name(r.Station), h.say("heard.yes")
	label := yes
	if behind {
		label, yes = h.say("heard.at", name, h.heardText(r)), yes+" "+name
	}
	q.Buttons = append(q.Buttons, Button{label, yes})
	rod, _ := h.job.rod(r.Rod)
	for _, v := range h.corrections(rod, r, near) {
		text, ok := h.readingText(rod, r.Station, v, true)
		if !ok {
			continue
		}
		label := h.rodLabel(r.Rod, v)
		if behind {
			label = h.say("heard.at", name, label)
		}
		q.Buttons, q.Values = append(q.Buttons, Button{label, text}), append(q.Values, v)
	}
	if !behind {
		no := h.say("heard.no")
		q.Buttons = append(q.Buttons, Button{no, no})
	}
	return q
}

func (h *hearing) rodLabel(rod int, value reduce.Length) string {
	return View{Job: h.job}.sayRod(h.lang, rod, value)
}

// corrections are what a heard value may be instead: what the recogniser could
// not rule out, nearest first, then what is often confused with it, the likely
// ones first.
func (h *hearing) corrections(rod Rod, r Reading, near []reduce.Length) []reduce.Length {
	var often []reduce.Length
	for _, v := range confused(rod.Kind, h.job.Unit, r.Value) {
		if !slices.Contains(near, v) {
			often = append(often, v)
		}
	}
	if expect, near, _ := h.predicted(r.Station, true); near {
		slices.SortStableFunc(often, func(a, b reduce.Length) int { return cmp.Compare((a - expect).Abs(), (b - expect).Abs()) })
	}
	all := slices.Concat(near, often)
	return all[:min(len(all), maxCorrections)]
}

// confusedParts are sixteenths of an inch whose words are confused: five and
// nine sixteenths; an, five and seven eighths; a half and on grade. Seen in notes
// of synthetic voices that pocketsphinx heard; which are, not how often.
var confusedParts = [][]int64{{5, 9}, {2, 10, 14}, {8, 0}}

// confused are the values that a heard one is often confused with: those of the
// table, and the other side.
func confused(kind reduce.RodKind, unit reduce.Unit, value reduce.Length) []reduce.Length {
	var out []reduce.Length
	sign := reduce.Length(side(value))
	if unit == reduce.UnitInch {
		size, step := value.Abs(), reduce.Inch/16
		whole, part := size/reduce.Inch*reduce.Inch, int64(size%reduce.Inch/step)
		for _, set := range confusedParts {
			if size%step != 0 || !slices.Contains(set, part) {
				continue
			}
			for _, other := range set {
				v := whole + reduce.Length(other)*step
				switch {
				case other == part:
				case value == 0: // on: a half of either side
					if kind == reduce.Direct {
						out = append(out, -v, v)
					}
				default:
					out = append(out, sign*v)
				}
			}
		}
	}
	if kind == reduce.Direct && value != 0 {
		out = append(out, -value)
	}
	return out
}

// tappedHeard hears a button under what was heard. One that puts another value
// in its place does so at the reading's own rod and round.
func (h *hearing) tappedHeard(q *Question, i int) answer {
	r, ok := h.open(q.Seq)
	text := q.Buttons[i].Text
	switch {
	case i > len(q.Values) && text != Say("en", "heard.no") && text != Say("es", "heard.no"):
		return h.hearLine(text)
	case !ok:
		return answer{lines: []string{h.say("tap.old")}, unheard: true}
	case i == 0:
		return h.confirm([]Reading{r})
	case i > len(q.Values):
		return h.deny(r)
	}
	rod, held := h.heldRod()
	if !r.Check && held && rod.ID == r.Rod && r.Round == h.job.Round {
		return h.hearLine(text)
	}
	awaited := h.job.awaited(r)
	before, _ := h.job.sight(r.Rod, 0, r.Station)
	message, line := h.message, h.line
	if r.Check {
		// Checks stand beside each other: this one goes, as if its message had been
		// edited, and an undo brings it back.
		h.message, h.line = r.Message, r.Line
		h.emit(Voided{Seqs: []uint64{r.Seq}, Why: "edit"})
	}
	h.emit(Read{Round: r.Round, Rod: r.Rod, Station: r.Station, Value: q.Values[i-1], Check: r.Check, Said: text})
	h.message, h.line = message, line
	a := answer{lines: []string{h.say("heard.put", h.nameIn(r.Station, r.Round), h.rodLabel(r.Rod, q.Values[i-1]), h.heardText(r))}, next: true}
	if on, ok := h.job.rod(r.Rod); ok && r.Check {
		if awaited {
			a.lines = append(a.lines, h.shared(r.Station, on, before)...)
		}
		h.searched(&a, on, h.job.Seq)
	}
	return a
}
