package report

import (
	"fmt"
	"io"
	"time"

	"rodcall/render"
	"rodcall/session"
)

// WritePNG draws the job's scene as a PNG picture.
func WritePNG(w io.Writer, j *session.Job, lang string, made time.Time, src Sources) error {
	return draw(w, j, lang, made, src, render.WritePNG)
}

// WriteSVG draws the job's scene as an SVG picture.
func WriteSVG(w io.Writer, j *session.Job, lang string, made time.Time, src Sources) error {
	return draw(w, j, lang, made, src, render.WriteSVG)
}

func draw(w io.Writer, j *session.Job, lang string, made time.Time, src Sources, write func(io.Writer, *render.Page) error) error {
	scene := Scene(j, lang, made)
	scene.Source = src.Head.say(lang, j, digitsDrawn)
	scene.Stamp = session.NamePeople(lang, scene.Stamp, j.People(), src.Names)
	for i, line := range scene.Lines {
		scene.Lines[i] = session.NamePeople(lang, line, j.People(), src.Names)
	}
	page, err := render.Layout(&scene)
	if err != nil {
		return fmt.Errorf("lay out the drawing: %w", err)
	}
	if err := write(w, page); err != nil {
		return fmt.Errorf("write the drawing: %w", err)
	}
	return nil
}

// Summary is the job in a few lines of plain text.
func Summary(j *session.Job, lang string, names Names) string {
	return session.NamePeople(lang, j.View().Summary(lang), j.People(), names)
}
