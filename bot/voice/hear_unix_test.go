//go:build unix

package voice

import (
	"errors"
	"syscall"
	"testing"

	"rodcall/reduce"
)

// BenchmarkHear hears a note of 2.5 s from beginning to end. It reports how
// long that takes of how long the note is, and the most memory that the
// recogniser's process took.
func BenchmarkHear(b *testing.B) {
	if _, err := newSphinx(1); errors.Is(err, ErrNoEngine) {
		b.Skip(err)
	}
	e, err := NewEar(Config{Workers: 1})
	if err != nil {
		b.Fatal(err)
	}
	note := read(b, "note.opus")
	l := Listening{Context: site(b, reduce.Direct, reduce.UnitInch), Lang: "en"}
	var h Heard
	for b.Loop() {
		if h = e.Hear(b.Context(), note, l); h.Fail != "" {
			b.Fatal(h.Fail)
		}
	}
	var use syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_CHILDREN, &use); err != nil {
		b.Fatal(err)
	}
	b.ReportMetric(b.Elapsed().Seconds()/float64(b.N)/h.Length.Seconds(), "of-real-time")
	b.ReportMetric(float64(use.Maxrss)/1024, "MB")
}
