package session

import "rodcall/session/phrase"

// count sets what digits alone count.
func (h *hearing) count(m phrase.Meaning) answer {
	return answer{lines: []string{h.say("notyet", m.Said)}, unheard: true}
}
