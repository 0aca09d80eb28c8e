package report

import (
	"fmt"
	"io"

	"rodcall/session"
)

// WriteNotes writes the present round as level notes, plain text in language
// lang: station, BS, HI, IS, FS, elevation and correction, in metres or feet,
// with the arithmetic check at the foot, and in the last line the event that they
// were made from.
func WriteNotes(w io.Writer, j *session.Job, lang string, src Sources) error {
	text := j.View().Notes(lang) + "\n"
	if head := src.Head.say(lang, j, digitsFoot); head != "" {
		text += head + "\n"
	}
	if _, err := io.WriteString(w, text); err != nil {
		return fmt.Errorf("write the level notes: %w", err)
	}
	return nil
}
