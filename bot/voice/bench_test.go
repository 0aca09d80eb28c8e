package voice

import (
	"testing"
	"time"
)

// perSound reports how long one run takes in relation to the length of the
// sound that it works on.
func perSound(b *testing.B, s Sound) {
	b.ReportMetric(float64(b.Elapsed())/float64(b.N)/float64(s.Length()), "rtf")
}

func BenchmarkDecode(b *testing.B) {
	note := read(b, "note.opus")
	var s Sound
	b.ReportAllocs()
	for b.Loop() {
		var err error
		if s, err = Decode(note, time.Minute); err != nil {
			b.Fatal(err)
		}
	}
	perSound(b, s)
}

func BenchmarkDenoise(b *testing.B) {
	s, err := Decode(read(b, "note.opus"), time.Minute)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		Denoise(s)
	}
	perSound(b, s)
}

func BenchmarkSNR(b *testing.B) {
	s, err := Decode(read(b, "note.opus"), time.Minute)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		SNR(s)
	}
	perSound(b, s)
}
