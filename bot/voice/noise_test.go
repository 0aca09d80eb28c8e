package voice

import (
	"bytes"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// noiseKinds make noise of one seed: equal power in each octave, as much of
// outdoors has; equal power at each frequency; and what stands for a saw, a
// hoarse tone of 110 Hz with a hiss, that swells 5.5 times a second.
var noiseKinds = map[string]func(chance *rand.Rand, n int) []float64{
	"pink": func(chance *rand.Rand, n int) []float64 { return falling(chance, n, 0) },
	"white": func(chance *rand.Rand, n int) []float64 {
		out := make([]float64, n)
		for i := range out {
			out[i] = chance.NormFloat64()
		}
		return out
	},
	"saw": func(chance *rand.Rand, n int) []float64 {
		out := make([]float64, n)
		for i := range out {
			turn := 2 * math.Pi * float64(i) / soundRate
			for k := 1.0; k <= 40; k++ {
				out[i] += math.Sin(110*k*turn+k*k) / math.Sqrt(k) / 2
			}
			out[i] = (out[i] + chance.NormFloat64()) * (1 + 0.4*math.Sin(5.5*turn))
		}
		return out
	},
}

// speech is a sentence without noise, with a fifth of a second before and
// after it.
func speech(t testing.TB) []float64 {
	t.Helper()
	s, err := ReadWAV(bytes.NewReader(read(t, "note.wav")))
	if err != nil {
		t.Fatal(err)
	}
	out := make([]float64, len(s.Samples)+2*soundRate/5)
	for i, v := range s.Samples {
		out[soundRate/5+i] = float64(v) / 4
	}
	return out
}

// mixed is speech with noise whose power is so many decibels less.
func mixed(clean, noise []float64, decibels float64) Sound {
	factor := math.Sqrt(meanSquare(clean)/meanSquare(noise)) * math.Pow(10, -decibels/20)
	out := Sound{make([]int16, len(clean)), soundRate}
	for i, v := range clean {
		out.Samples[i] = clip(v + factor*noise[i])
	}
	return out
}

// segmental is the mean, over the frames of 20 ms in which there is speech, of
// the ratio in decibels of speech to what differs from it, each frame's held
// between -10 and 35 (segmental SNR, as in Hansen and Pellom, Proc. ICSLP
// 1998; from memory).
func segmental(clean []float64, got Sound) float64 {
	const size = soundRate / 50
	loudest := 0.0
	for f := range slices.Chunk(clean, size) {
		loudest = max(loudest, meanSquare(f))
	}
	var sum, n float64
	for at := 0; at+size <= len(clean); at += size {
		level := meanSquare(clean[at : at+size])
		if level < loudest/400 {
			continue
		}
		off := make([]float64, size)
		for i := range off {
			off[i] = clean[at+i] - float64(got.Samples[at+i])
		}
		sum += max(-10, min(35, 10*math.Log10(level/max(meanSquare(off), 1e-9))))
		n++
	}
	return sum / n
}

// TestDenoise measures what is better with it: at least 3 dB where noise is
// 10 dB below speech, and speech without noise stays as it is to 25 dB. Both
// lines leave a margin below what was measured.
func TestDenoise(t *testing.T) {
	clean := speech(t)
	none := make([]float64, len(clean))
	none[0] = 1 // a power to scale
	if got := segmental(clean, Denoise(mixed(clean, none, 90))); got < 25 {
		t.Errorf("clean speech: %.1f dB", got)
	} else {
		t.Logf("clean speech: %.1f dB", got)
	}
	for _, kind := range []string{"pink", "white", "saw"} {
		for _, decibels := range []float64{20, 10, 0} {
			var before, after float64
			const seeds = 4
			for seed := range uint64(seeds) {
				s := mixed(clean, noiseKinds[kind](rand.New(rand.NewPCG(seed, 1)), len(clean)), decibels)
				before += segmental(clean, s) / seeds
				after += segmental(clean, Denoise(s)) / seeds
			}
			t.Logf("%s at %2.0f dB: %.1f to %.1f dB", kind, decibels, before, after)
			if least := map[float64]float64{20: 0, 10: 3, 0: 4}[decibels]; after-before < least {
				t.Errorf("%s at %.0f dB: %.1f dB better, want %.0f", kind, decibels, after-before, least)
			}
		}
	}
}

// TestDenoiseAnything: any sound keeps its length, silence stays silence, and
// what was given is not changed.
func TestDenoiseAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Sound{rapid.SliceOfN(rapid.Int16(), 0, 1500).Draw(t, "samples"), soundRate}
		given := slices.Clone(s.Samples)
		if got := Denoise(s); len(got.Samples) != len(s.Samples) || got.Rate != s.Rate {
			t.Fatalf("%d samples at %d Hz of %d", len(got.Samples), got.Rate, len(s.Samples))
		}
		if !slices.Equal(s.Samples, given) {
			t.Fatal("what was given is changed")
		}
		silence := Sound{make([]int16, len(given)), soundRate}
		if got := Denoise(silence); !slices.Equal(got.Samples, silence.Samples) {
			t.Fatal("noise out of silence")
		}
		if snr := SNR(s); math.IsNaN(snr) || math.IsInf(snr, 1) {
			t.Fatalf("SNR %v", snr)
		}
	})
}

// TestSNR: the louder the noise, the lower the estimate, down to noise alone,
// whatever the loudness of all of it. Of silence there is none.
func TestSNR(t *testing.T) {
	clean := speech(t)
	for _, kind := range []string{"pink", "white", "saw"} {
		for seed := range uint64(4) {
			noise := noiseKinds[kind](rand.New(rand.NewPCG(seed, 2)), len(clean))
			before := math.Inf(1)
			for _, decibels := range []float64{60, 30, 20, 10, 5, 0, -5} {
				got := SNR(mixed(clean, noise, decibels))
				t.Logf("%s %d: %3.0f dB estimated as %.1f", kind, seed, decibels, got)
				if got > before-1.5 {
					t.Errorf("%s %d: %.1f dB at %.0f, after %.1f", kind, seed, got, decibels, before)
				}
				before = got
			}
			alone := Sound{make([]int16, len(noise)), soundRate}
			for i, v := range noise {
				alone.Samples[i] = clip(300 * v)
			}
			got := SNR(alone)
			t.Logf("%s %d: alone estimated as %.1f", kind, seed, got)
			if got > before {
				t.Errorf("%s %d: alone %.1f dB, after %.1f", kind, seed, got, before)
			}
			// Steady noise alone is told from any speech that can be understood.
			if kind != "saw" && got > -3 {
				t.Errorf("%s %d: alone %.1f dB", kind, seed, got)
			}
		}
	}
}

func TestSNROfLittle(t *testing.T) {
	for _, n := range []int{0, 1, 100, frameSize - 1, frameSize, soundRate} {
		if got := SNR(Sound{make([]int16, n), soundRate}); !math.IsInf(got, -1) {
			t.Errorf("%d samples of silence: %v dB", n, got)
		}
	}
	clean := speech(t)
	noise := noiseKinds["pink"](rand.New(rand.NewPCG(1, 3)), len(clean))
	loud := mixed(clean, noise, 10)
	soft := Sound{make([]int16, len(clean)), soundRate}
	for i, v := range loud.Samples {
		soft.Samples[i] = clip(float64(v) / 8)
	}
	if a, b := SNR(loud), SNR(soft); math.Abs(a-b) > 0.1 {
		t.Errorf("loud %.2f dB, soft %.2f dB", a, b)
	}
}
