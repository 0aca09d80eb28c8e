package session

import (
	"slices"
	"strconv"
	"strings"

	"rodcall/reduce"
)

// maxConfirmed are the readings that are offered to be confirmed one by one.
const maxConfirmed = 3

// sayRod is what a rod shows, as it is told: "3/8 low", "level", "4' 7 3/8\"".
func (v View) sayRod(lang string, id int, value reduce.Length) string {
	j := v.Job
	rod, ok := j.rod(id)
	switch {
	case ok && rod.Kind == reduce.Standard:
		figure := j.Unit.RodFigure(value, j.Finest)
		if j.Unit != reduce.UnitInch {
			figure += " " + j.Unit.String()
		}
		return figure
	case v.SameLevel(value):
		return Say(lang, "level")
	}
	return v.SayHigh(lang, value)
}

// SayHeard names readings with what the rod showed: "c2 3/8 low, c3 level". Of
// many it names the first ones.
func (v View) SayHeard(lang string, all []Reading) string {
	var parts []string
	for i, r := range all {
		if i == maxListed-1 && len(all) > maxListed {
			parts = append(parts, Say(lang, "more", len(all)-i))
			break
		}
		name := SayStation(lang, v.Job, r.Station)
		if r.Round != v.Job.Round {
			name = Say(lang, "notes.round", name, r.Round)
		}
		parts = append(parts, Say(lang, "heard.at", name, v.sayRod(lang, r.Rod, r.Value)))
	}
	return strings.Join(parts, ", ")
}

// offerHeard lists what was heard and never confirmed, with a way to confirm it
// or put it right; nothing where all is.
func (h *hearing) offerHeard(a *answer) {
	if open := h.job.Heard(); len(open) > 0 && !h.toldOpen {
		a.lines = append(a.lines, h.say("heard.open", len(open), h.listOpen(open)))
		h.offerConfirm(a, open)
		h.toldOpen = true
	}
}

// listOpen names readings with what was heard, and the other value of those that
// must be answered.
func (h *hearing) listOpen(open []Reading) string {
	var parts []string
	for _, r := range open {
		what := h.heardText(r)
		if other, ok := h.otherValue(r); ok {
			what = h.say("heard.or", what, h.rodLabel(r.Rod, other))
		}
		parts = append(parts, h.say("heard.at", h.nameIn(r.Station, r.Round), what))
	}
	return strings.Join(shorten(parts, maxListed, func(n int) string { return h.say("more", n) }), ", ")
}

// otherValue is what a heard reading is likeliest instead; ok is false where it
// need not be answered.
func (h *hearing) otherValue(r Reading) (reduce.Length, bool) {
	if !h.mustAnswer(r.Seq) {
		return 0, false
	}
	rod, _ := h.job.rod(r.Rod)
	all := h.corrections(rod, r, h.closeTo(r.Seq))
	if len(all) == 0 {
		return 0, false
	}
	return all[0], true
}

// offerConfirm offers to confirm readings, all at once or each, and the other
// value of the first that must be answered, before what is offered already.
func (h *hearing) offerConfirm(a *answer, open []Reading) {
	kept, own := a.buttons, h.mine(open)
	a.buttons = nil
	slices.SortStableFunc(own, func(x, y Reading) int {
		switch must := h.mustAnswer(x.Seq); {
		case must == h.mustAnswer(y.Seq):
			return 0
		case must:
			return -1
		}
		return 1
	})
	for i, r := range own[:min(len(own), maxConfirmed)] {
		name := h.nameIn(r.Station, r.Round)
		label, yes := h.say("heard.at", name, h.heardText(r)), confirmOne+strconv.FormatUint(r.Seq, 10)
		other, ok := Button{}, false
		if i == 0 {
			other, ok = h.otherButton(r)
		}
		if !ok {
			h.offer(a, Button{h.say("heard.confirm", label), yes})
			continue
		}
		h.offer(a, Button{label, yes})
		h.offer(a, other)
	}
	if len(own) > 1 {
		text := h.say("heard.all")
		a.buttons = append(a.buttons, Button{text, text})
	}
	for _, b := range kept {
		h.offer(a, b)
	}
}

// otherButton puts the other value in the place of a heard one that must be
// answered; ok is false where no line does that: another rod's reading, an
// earlier round's, a check.
func (h *hearing) otherButton(r Reading) (b Button, ok bool) {
	value, ok := h.otherValue(r)
	rod, held := h.heldRod()
	if !ok || !held || rod.ID != r.Rod || r.Round != h.job.Round || r.Check {
		return Button{}, false
	}
	text, ok := h.readingText(rod, r.Station, value, true)
	return Button{h.say("heard.at", h.name(r.Station), h.rodLabel(r.Rod, value)), text}, ok
}

// tellOpen names what must be answered, under every answer once the walk is
// over, and under what weighs the heights before that.
func (h *hearing) tellOpen(a *answer) {
	if h.job == nil || a.question != nil || h.waiting() {
		return
	}
	if h.weighs && slices.ContainsFunc(h.job.Heard(), func(r Reading) bool { return h.mustAnswer(r.Seq) }) || !h.job.walking() && a.next && !a.unheard {
		h.offerHeard(a)
	}
}

// confirmOne begins what a button sends that confirms one reading, named by its
// event: at a station there may be several, by other rods and in other rounds.
const confirmOne = "yes #"

// confirmTapped confirms the one reading that a tapped button names.
func (h *hearing) confirmTapped(text string) (answer, bool) {
	number, ok := strings.CutPrefix(text, confirmOne)
	seq, err := strconv.ParseUint(number, 10, 64)
	if !ok || err != nil {
		return answer{}, false
	}
	r, ok := h.open(seq)
	if !ok || len(h.mine([]Reading{r})) == 0 {
		return answer{lines: []string{h.say("tap.old")}, unheard: true}, true
	}
	return h.confirm([]Reading{r}), true
}

// heardFirst refuses to sign a job off while readings stand that were heard and
// are not firm: nothing comes after a signature that could make them so.
func (h *hearing) heardFirst() (answer, bool) {
	open := h.job.Heard()
	if len(open) == 0 {
		return answer{}, false
	}
	a := answer{lines: []string{h.say("heard.sign", len(open), h.listOpen(open))}, unheard: true}
	h.offerConfirm(&a, open)
	return a, true
}
