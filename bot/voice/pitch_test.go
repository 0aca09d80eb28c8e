package voice

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestPitch: the tone of a made voice, a row of pulses through a formant, is
// found to 3 %, and none in silence.
func TestPitch(t *testing.T) {
	for _, tone := range []float64{80, 110, 155, 210, 300} {
		voiced := make([]float64, soundRate)
		for i := range voiced {
			at := math.Mod(float64(i)/soundRate, 1/tone)
			voiced[i] = 8000 * math.Exp(-400*at) * math.Cos(2*math.Pi*700*at)
		}
		noise := noiseKinds["pink"](rand.New(rand.NewPCG(1, 2)), len(voiced))
		for _, decibels := range []float64{60, 10} {
			if got := pitch(mixed(voiced, noise, decibels)); math.Abs(got-tone) > 0.03*tone {
				t.Errorf("%g Hz under noise of %g dB is taken for %g", tone, decibels, got)
			}
		}
	}
	if got := pitch(Sound{Samples: make([]int16, soundRate), Rate: soundRate}); got != 0 {
		t.Errorf("silence has the pitch %g", got)
	}
}
