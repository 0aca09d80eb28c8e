package voice

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math"
	"math/bits"
	"math/cmplx"
	"os"
	"slices"
	"sync"
	"testing"
	"time"

	"gonum.org/v1/gonum/dsp/fourier"
)

// read returns a file of testdata.
func read(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// correlation is that of two sounds of one length, 1 where they are alike but
// for their loudness.
func correlation(a, b []int16) float64 {
	var ab, aa, bb float64
	for i := range a {
		x, y := float64(a[i]), float64(b[i])
		ab, aa, bb = ab+x*y, aa+x*x, bb+y*y
	}
	return ab / math.Sqrt(aa*bb)
}

// shift delays sound by so many samples, or part of one: two programs that
// change the rate of sound need not agree on a part of a sample.
func shift(in []int16, lag float64) []int16 {
	size := 1 << bits.Len(uint(len(in))) // other sizes can be slow
	fft := fourier.NewFFT(size)
	x := make([]float64, size)
	for i, v := range in {
		x[i] = float64(v)
	}
	spectrum := fft.Coefficients(nil, x)
	for k := range spectrum {
		spectrum[k] *= cmplx.Exp(complex(0, -2*math.Pi*fft.Freq(k)*lag))
	}
	out := make([]int16, len(in))
	fft.Sequence(x, spectrum)
	for i := range out {
		out[i] = clip(x[i] / float64(size))
	}
	return out
}

// TestDecodeAgainstOpusdec decodes notes that opusenc made, and compares with
// what opusdec (opus-tools 0.2, libopus 1.3.1) made of them. testdata/README
// says how.
func TestDecodeAgainstOpusdec(t *testing.T) {
	for _, name := range []string{"note", "celt"} {
		got, err := Decode(read(t, name+".opus"), time.Minute)
		if err != nil {
			t.Fatal(err)
		}
		want, err := ReadWAV(bytes.NewReader(read(t, name+".wav")))
		if err != nil {
			t.Fatal(err)
		}
		if got.Rate != want.Rate || len(got.Samples) != len(want.Samples) {
			t.Fatalf("%s: %d samples at %d Hz, want %d at %d", name, len(got.Samples), got.Rate, len(want.Samples), want.Rate)
		}
		best := 0.0
		for lag := -1.0; lag <= 1; lag += 0.125 {
			best = max(best, correlation(shift(got.Samples, lag), want.Samples))
		}
		t.Logf("%s: correlation %.4f", name, best)
		if best < 0.98 {
			t.Errorf("%s: correlation %.4f, want 0.98", name, best)
		}
	}
}

// TestDecodeTone decodes 0.3 s of 440 Hz, which were encoded as two channels
// in packets of 60 ms.
func TestDecodeTone(t *testing.T) {
	got, err := Decode(read(t, "tone.opus"), time.Minute)
	if err != nil {
		t.Fatal(err)
	}
	if got.Length() != 300*time.Millisecond {
		t.Errorf("%v long, want 300ms", got.Length())
	}
	if hz := 440.0; math.Abs(loudestTone(got)-hz) > 2 {
		t.Errorf("%.1f Hz, want %.1f", loudestTone(got), hz)
	}
}

// loudestTone is the frequency, in Hz, that sound has most of.
func loudestTone(s Sound) float64 {
	size := 1 << 16
	x := make([]float64, size)
	for i, v := range s.Samples {
		x[i] = float64(v)
	}
	fft := fourier.NewFFT(size)
	best, at := 0.0, 0
	for k, c := range fft.Coefficients(nil, x) {
		if power(c) > best {
			best, at = power(c), k
		}
	}
	return fft.Freq(at) * float64(s.Rate)
}

// pageEnds are the bytes at which the pages of a stream end.
func pageEnds(note []byte) []int {
	var ends []int
	for at := 0; at < len(note); {
		end := at + 27 + int(note[at+26])
		for _, n := range note[at+27 : end] {
			end += int(n)
		}
		ends = append(ends, end)
		at = end
	}
	return ends
}

// longNote is a note in which the packets of another stand so many times.
func longNote(note []byte, times int) []byte {
	ends := pageEnds(note)
	long := slices.Clone(note[:ends[1]])
	index := uint32(2)
	whole := binary.LittleEndian.Uint64(note[ends[len(ends)-2]+6:])
	for n := range times {
		for i, end := range ends[2:] {
			page := slices.Clone(note[ends[i+1]:end])
			binary.LittleEndian.PutUint32(page[18:], index)
			granule := binary.LittleEndian.Uint64(page[6:])
			binary.LittleEndian.PutUint64(page[6:], granule+uint64(n)*whole)
			long = append(long, page...)
			index++
		}
	}
	return seal(long)
}

// TestDecodeBadNotes hands over what is no note.
func TestDecodeBadNotes(t *testing.T) {
	note := read(t, "note.opus")
	ends := pageEnds(note)
	other := slices.Clone(note)
	for _, at := range append([]int{0}, ends[:len(ends)-1]...) {
		other[at+14]++ // the stream's number
	}
	changed := func(at int, b ...byte) []byte {
		n := slices.Clone(note)
		copy(n[at:], b)
		return seal(n)
	}
	flipped := slices.Clone(note)
	flipped[len(note)/2] ^= 1
	head := bytes.Index(note, []byte("OpusHead"))
	tests := []struct {
		name string
		note []byte
		want error
	}{
		{"nothing", nil, ErrEmpty},
		{"text", []byte("three eighths low"), ErrBroken},
		{"an MP3's beginning", append([]byte("ID3\x04\x00\x00\x00\x00\x00\x00\xff\xfb\x90\x00"), make([]byte, 400)...), ErrBroken},
		{"headers only", note[:ends[1]], ErrEmpty},
		{"head only", note[:ends[0]], ErrEmpty},
		{"cut in a page", note[:len(note)-10], ErrBroken},
		{"cut in a page's head", note[:ends[2]+20], ErrBroken},
		{"a byte flipped", flipped, ErrBroken},
		{"a page left out", slices.Concat(note[:ends[0]], note[ends[1]:]), ErrBroken},
		{"two in turn", slices.Concat(note, note), ErrBroken},
		{"two in turn, numbered", slices.Concat(note, seal(other)), ErrBroken},
		{"two side by side", slices.Concat(note[:ends[0]], seal(other)[:ends[0]], note[ends[0]:], seal(other)[ends[0]:]), ErrBroken},
		{"vorbis", changed(head, []byte("\x01vorbis\x00")...), ErrBroken},
		{"speex", changed(head, []byte("Speex   ")...), ErrBroken},
		{"three channels", changed(head+9, 3), ErrBroken},
		{"all of it skipped", changed(head+10, 0xff, 0xff)[:ends[2]], ErrEmpty},
		{"long", longNote(note, 30), ErrLong},
		{"much too long", longNote(note, 2500), ErrLong},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s, err := Decode(test.note, time.Minute)
			if !errors.Is(err, test.want) {
				t.Errorf("error %v, want %v", err, test.want)
			}
			if err != nil && s.Samples != nil {
				t.Error("sound beside an error")
			}
		})
	}
}

// TestDecodeLimit: a note may be as long as the limit, and no sample longer.
func TestDecodeLimit(t *testing.T) {
	note := read(t, "note.opus")
	s, err := Decode(note, time.Minute)
	if err != nil {
		t.Fatal(err)
	}
	limit := s.Length() + time.Microsecond
	if _, err := Decode(note, limit); err != nil {
		t.Errorf("limit %v: %v", limit, err)
	}
	if _, err := Decode(note, limit-time.Second/soundRate); !errors.Is(err, ErrLong) {
		t.Errorf("a sample less: error %v, want %v", err, ErrLong)
	}
	if three, err := Decode(longNote(note, 3), time.Minute); err != nil || three.Length() < 3*s.Length() {
		t.Errorf("three times: %v, %v", three.Length(), err)
	}
}

// TestDecodeGain: the head of a stream may ask for it to be made quieter.
func TestDecodeGain(t *testing.T) {
	note := read(t, "note.opus")
	plain, err := Decode(note, time.Minute)
	if err != nil {
		t.Fatal(err)
	}
	gain := int16(-6 * 256)
	binary.LittleEndian.PutUint16(note[bytes.Index(note, []byte("OpusHead"))+16:], uint16(gain))
	quiet, err := Decode(seal(note), time.Minute)
	if err != nil {
		t.Fatal(err)
	}
	for i, v := range plain.Samples {
		if want := float64(v) * math.Pow(10, -6.0/20); math.Abs(float64(quiet.Samples[i])-want) > 0.5 {
			t.Fatalf("sample %d: %d, want %.1f", i, quiet.Samples[i], want)
		}
	}
}

// TestSideBySide: notes are worked on at once, and each comes out as it does
// alone.
func TestSideBySide(t *testing.T) {
	note := read(t, "note.opus")
	alone, err := Decode(note, time.Minute)
	if err != nil {
		t.Fatal(err)
	}
	clean, snr := Denoise(alone), SNR(alone)
	var all sync.WaitGroup
	for range 5 {
		all.Go(func() {
			s, err := Decode(note, time.Minute)
			if err != nil || !slices.Equal(s.Samples, alone.Samples) || !slices.Equal(Denoise(s).Samples, clean.Samples) || SNR(s) != snr {
				t.Error("not as alone")
			}
		})
	}
	all.Wait()
}
