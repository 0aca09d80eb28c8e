package session

import "rodcall/session/phrase"

// voice hears a voice note: what was heard in it is a text, but provisional.
func (h *hearing) voice() {
	if h.m.Private {
		h.reply(answer{lines: []string{h.say("wordless")}, unheard: true})
	}
}

// yes makes firm what was heard.
func (h *hearing) yes(m phrase.Meaning) answer {
	return answer{lines: []string{h.say("notyet", m.Said)}, unheard: true}
}

// aloud says whether this person's voice notes are answered aloud.
func (h *hearing) aloud(m phrase.Meaning) answer {
	return answer{lines: []string{h.say("notyet", m.Said)}, unheard: true}
}
