package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"rodcall/cmd/rodcall/demo"
	"rodcall/session/report"
	"rodcall/session/term"
)

const demoUsage = `usage: rodcall demo

Plays a made-up job, the walk of a 40 x 28 ft foundation, and leaves its
drawing, summary, papers and export in ./rodcall-demo. A former demo there is
replaced; a folder that is something else is left alone.

example:
  rodcall demo
`

// demoDir is where the demo leaves its files.
const demoDir = "rodcall-demo"

// demoMade is the time that stands on the demo's drawing: that of its last
// message, so that every demo leaves the same files.
var demoMade = time.Date(2026, 5, 4, 13, 10, 0, 0, time.UTC)

func runDemo(ctx context.Context, s streams, args []string) error {
	if _, err := newFlags("demo").parse(args, 0); err != nil {
		return err
	}
	if err := demo.Claim(demoDir); err != nil {
		hint := "go to a folder that can be written, then: rodcall demo"
		if errors.Is(err, demo.ErrNotOurs) {
			hint = "move that folder away, or go to another one, then: rodcall demo"
		}
		return failure(hint, "begin the demo: %w", err)
	}
	path := func(name string) string { return filepath.Join(demoDir, name) }
	var chat bytes.Buffer
	err := term.Play(ctx, term.Options{
		DB: path(demo.Database), Pictures: path(demo.Pictures), In: strings.NewReader(demo.Messages), Out: &chat,
	})
	if err != nil {
		return fmt.Errorf("play the demo: %w", err)
	}
	job, src, err := loadJob(path(demo.Database), "")
	if err != nil {
		return err
	}
	files := map[string]func(*bytes.Buffer) error{
		demo.Chat: func(b *bytes.Buffer) error { _, err := b.Write(chat.Bytes()); return err },
		demo.Summary: func(b *bytes.Buffer) error {
			_, err := b.WriteString(report.Summary(job, "en", src.Names) + "\n")
			return err
		},
		demo.Drawing: func(b *bytes.Buffer) error { return report.WritePNG(b, job, "en", demoMade, src) },
		demo.Plan:    func(b *bytes.Buffer) error { return report.WriteSVG(b, job, "en", demoMade, src) },
		demo.Papers:  func(b *bytes.Buffer) error { return report.WritePDF(b, job, "en", demoMade, src) },
		demo.JSON:    func(b *bytes.Buffer) error { return report.WriteJSON(b, job, src) },
		demo.CSV:     func(b *bytes.Buffer) error { return report.WriteCSV(b, job) },
	}
	for name, fill := range files {
		var b bytes.Buffer
		if err := fill(&b); err != nil {
			return fmt.Errorf("demo file %s: %w", name, err)
		}
		if err := os.WriteFile(path(name), b.Bytes(), 0o644); err != nil {
			return failure("make room or name another folder, then: rodcall demo", "write the demo: %w", err)
		}
	}
	return show(s.out, report.Summary(job, "en", src.Names)+`

Left in ./`+demoDir+`: the drawing (drawing.png, drawing.svg), the summary
(summary.txt), the papers (papers.pdf), the export (export.json, export.csv),
and the chat that made them (chat.txt). All of it is made up. To walk one yourself:

  rodcall chat --db walk.db
`)
}
