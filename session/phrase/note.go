package phrase

import "strings"

// note reads a line for a station: the one that it begins with, else the one
// asked for.
func (c Context) note(m Meaning, w way, text string) Meaning {
	if strings.TrimSpace(text) == "" {
		return c.form(m, w)
	}
	m.Station = c.Asked
	return m.do(w, NoteArg{c.Asked, text})
}
