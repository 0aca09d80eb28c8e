package voice

import (
	"bytes"
	"math"
	"math/bits"
	"math/cmplx"
	"os"
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
	for _, name := range []string{"note"} {
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
