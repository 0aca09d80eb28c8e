package report

import (
	"io"
	"time"

	"rodcall/render"
	"rodcall/session"
)

// Names gives the name now known for a person, "" for one who is unknown or
// forgotten.
type Names func(session.PersonID) string

// Scene is the drawing of a job as data, in language lang ("en", "es"), made
// at the given time.
func Scene(j *session.Job, lang string, made time.Time) render.Scene { return render.Scene{} }

// WritePNG draws the job.
func WritePNG(w io.Writer, j *session.Job, lang string, made time.Time) error { return nil }

// WriteSVG draws the job.
func WriteSVG(w io.Writer, j *session.Job, lang string, made time.Time) error { return nil }

// WriteJSON writes the export, schema 1.
func WriteJSON(w io.Writer, j *session.Job, names Names) error { return nil }

// WriteCSV writes one row a station.
func WriteCSV(w io.Writer, j *session.Job) error { return nil }

// Summary is the job in a few lines of plain text.
func Summary(j *session.Job, lang string) string { return "" }
