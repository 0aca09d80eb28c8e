package report

import (
	"fmt"
	"io"

	"rodcall/session"
)

// WriteNotes writes the present round as level notes, plain text in language
// lang: station, BS, HI, IS, FS, elevation and correction, in metres or feet,
// with the arithmetic check at the foot.
func WriteNotes(w io.Writer, j *session.Job, lang string) error {
	if _, err := io.WriteString(w, j.View().Notes(lang)+"\n"); err != nil {
		return fmt.Errorf("write the level notes: %w", err)
	}
	return nil
}
