package report_test

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"rodcall/reduce"
	"rodcall/session"
	"rodcall/session/report"
)

// TestReportsTellTheirHead: each report says which event it was made from, in
// words, and papers and export so that a program finds it; one whose head is not
// known says nothing.
func TestReportsTellTheirHead(t *testing.T) {
	j := shed(t).job()
	hash := sources.Head.Hash.String()
	four := strings.Join([]string{hash[:4], hash[4:8], hash[8:12], hash[12:16]}, " ")
	for lang, words := range map[string]string{"en": "job j1 · event 57 · ", "es": "obra j1 · evento 57 · "} {
		var pdf, found, svg, notes, export bytes.Buffer
		for _, err := range []error{
			report.WritePDF(&pdf, j, lang, made, sources), report.WriteFound(&found, j, lang, made, sources),
			report.WriteSVG(&svg, j, lang, made, sources), report.WriteNotes(&notes, j, lang, sources), report.WriteJSON(&export, j, sources),
		} {
			if err != nil {
				t.Fatal(err)
			}
		}
		if text := words + four[:9]; !strings.Contains(svg.String(), text+"<") {
			t.Errorf("%q does not stand alone on the drawing", text)
		}
		if !strings.HasSuffix(notes.String(), "\n"+words+four+"\n") {
			t.Errorf("the notes end otherwise:\n%s", notes.String())
		}
		for name, pdf := range map[string][]byte{"papers": pdf.Bytes(), "as found": found.Bytes()} {
			text, pages := readLines(t, pdf)
			if n := strings.Count(text, words+four); n != pages {
				t.Errorf("%s of %d pages, %s: it stands at %d feet", name, pages, lang, n)
			}
			if n := strings.Count(strings.NewReplacer(" ", "", "\n", "").Replace(text), hash); n != 1 {
				t.Errorf("%s, %s: the whole hash stands there %d times", name, lang, n)
			}
		}
		for name, written := range map[string][]byte{"papers": pdf.Bytes(), "as found": found.Bytes(), "export": export.Bytes()} {
			if job, head, err := report.ReadHead(written); job != "j1" || head != sources.Head || err != nil {
				t.Errorf("%s: job %q, %+v, %v", name, job, head, err)
			}
		}
	}
}

// TestNoHead: what has none, or is no report, is told from one that has.
func TestNoHead(t *testing.T) {
	j := shed(t).job()
	bare := report.Sources{Names: names}
	var pdf, svg, notes, export bytes.Buffer
	for _, err := range []error{
		report.WritePDF(&pdf, j, "en", made, bare), report.WriteSVG(&svg, j, "en", made, bare),
		report.WriteNotes(&notes, j, "en", bare), report.WriteJSON(&export, j, bare),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	text, _ := readLines(t, pdf.Bytes())
	if all := text + svg.String() + notes.String(); strings.Contains(all, "event") {
		t.Error("an event that is not known is told")
	}
	forged := newBook(t, "rodcall-head:j2:57:"+sources.Head.Hash.String()+")", reduce.Direct).job()
	var named bytes.Buffer
	if err := report.WriteJSON(&named, forged, bare); err != nil {
		t.Fatal(err)
	}
	for _, written := range [][]byte{nil, []byte("no report"), []byte("{}"), []byte("%PDF-1.4"), pdf.Bytes(), export.Bytes(), named.Bytes()} {
		if job, head, err := report.ReadHead(written); !errors.Is(err, report.ErrNoHead) || job != "" || head != (report.Head{}) {
			t.Errorf("%.20q: %q, %+v, %v", written, job, head, err)
		}
	}
}

// FuzzReadHead: what a head is found in gives the same one again.
func FuzzReadHead(f *testing.F) {
	f.Add([]byte(`{"job":{"id":"j1"},"chain":{"event":3,"head":"` + session.Hash{}.String() + `"}}`))
	f.Add([]byte("%PDF-1.3 /Keywords (rodcall-head:j1:3:" + session.Hash{}.String() + ")"))
	f.Fuzz(func(t *testing.T, written []byte) {
		job, head, err := report.ReadHead(written)
		if (err == nil) != (job != "" && head.Seq > 0) {
			t.Fatalf("%q, %+v, %v", job, head, err)
		}
	})
}
