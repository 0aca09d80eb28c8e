package report

import (
	"errors"
	"io"
	"time"

	"rodcall/session"
)

// Names gives the name now known for a person, "" for one who is unknown or
// forgotten.
type Names func(session.PersonID) string

// errNoDrawing stands until drawings are written.
var errNoDrawing = errors.New("drawings cannot be written yet")

// WritePNG draws the job.
func WritePNG(w io.Writer, j *session.Job, lang string, made time.Time) error { return errNoDrawing }

// WriteSVG draws the job.
func WriteSVG(w io.Writer, j *session.Job, lang string, made time.Time) error { return errNoDrawing }

// Summary is the job in a few lines of plain text.
func Summary(j *session.Job, lang string) string { return j.View().Summary(lang) }
