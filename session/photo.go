package session

import "rodcall/session/phrase"

// showed keeps a photo with the station that it was sent for.
func (h *hearing) showed() {
	if h.m.Private {
		h.reply(answer{lines: []string{h.say("wordless")}, unheard: true})
	}
}

// note keeps a line of text with a station.
func (h *hearing) note(m phrase.Meaning) answer {
	return answer{lines: []string{h.say("notyet", m.Said)}, unheard: true}
}
