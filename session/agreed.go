package session

import "rodcall/session/phrase"

// agreed answers a word that only says that something is fine: ok, good. It may be
// meant for what is being asked, for what was heard, or for the spot, and picks
// nothing by itself: what is asked is asked again. ok is false where it can only
// be about the station asked for, which is asked back; among lines it is taken for
// one that gives no reading and holds its place.
func (h *hearing) agreed(m phrase.Meaning) (answer, bool) {
	if len(textLines(h.m.Text)) > 1 {
		return answer{}, false
	}
	q := h.pending()
	again := q != nil && q.Kind == askedBack && phrase.Parse(h.context(), q.Text).Why.Code == phrase.WhyGood
	if q != nil && !again && (len(q.Buttons) > 0 || q.Kind != askedBack && q.Kind != offered) {
		a := h.askedAgain(q)
		a.lines = append([]string{h.say("good.open", m.Said)}, a.lines...)
		a.unheard = true
		return a, true
	}
	if r, open := h.newest(); open {
		word := commandWord(h.lang, phrase.CmdYes)
		return answer{lines: []string{h.say("good.heard", m.Said, h.name(r.Station), word)}, buttons: []Button{{word, word}}, unheard: true}, true
	}
	if h.c.Asked.IsZero() {
		return answer{lines: []string{h.say("good.nothing", m.Said)}, unheard: true, next: true}, true
	}
	return answer{}, false
}
