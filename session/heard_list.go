package session

import (
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

// offerHeard lists what was heard and never confirmed, with a way to confirm it;
// nothing where all is.
func (h *hearing) offerHeard(a *answer) {
	if open := h.job.Heard(); len(open) > 0 {
		a.lines = append(a.lines, h.say("heard.open", len(open), h.listHeard(open)))
		h.offerConfirm(a, open)
		h.toldOpen = true
	}
}

// offerConfirm offers to confirm readings, all at once or each.
func (h *hearing) offerConfirm(a *answer, open []Reading) {
	own := h.mine(open)
	if len(own) == 0 {
		return
	}
	if len(own) > 1 {
		text := h.say("heard.all")
		a.buttons = append(a.buttons, Button{text, text})
	}
	for _, r := range own[:min(len(own), maxConfirmed)] {
		label := h.say("heard.confirm", h.say("heard.at", h.nameIn(r.Station, r.Round), h.heardText(r)))
		h.offer(a, Button{label, confirmOne + strconv.FormatUint(r.Seq, 10)})
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
	a := answer{lines: []string{h.say("heard.sign", len(open), h.listHeard(open))}, unheard: true}
	h.offerConfirm(&a, open)
	return a, true
}
