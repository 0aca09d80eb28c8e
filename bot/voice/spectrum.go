package voice

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/dsp/fourier"
)

const (
	// frameSize and frameStep are the length of a spectrum's frame, and how far
	// the next lies behind it, in samples: 32 ms and 8 ms.
	frameSize = 512
	frameStep = 128
	// frameLead is how far the first frame begins before the sound, so that
	// every sample lies in as many frames as any other.
	frameLead = frameSize - frameStep
	// bandLow and bandHigh bound the parts of a spectrum in which speech is told
	// from noise: 200 Hz to 4 kHz. Below it there is much of engines and wind,
	// and above it little of speech.
	bandLow  = 200 * frameSize / soundRate
	bandHigh = 4000 * frameSize / soundRate
	// levelReach is how many frames on either side share in a frame's level.
	levelReach = 2
	// quietShare is the share of frames, the quietest, that noise is learnt of.
	quietShare = 0.15
)

// analyser takes spectra of frames, and puts frames together again. It is for
// one call at a time: what it returns holds until the next.
type analyser struct {
	fft      *fourier.FFT
	window   []float64
	frame    []float64
	spectrum []complex128
}

func newAnalyser() *analyser {
	a := &analyser{
		fft:      fourier.NewFFT(frameSize),
		window:   make([]float64, frameSize),
		frame:    make([]float64, frameSize),
		spectrum: make([]complex128, frameSize/2+1),
	}
	// The root of a Hann window: applied before and after, and added up at a
	// quarter of its length, it comes to 2 everywhere.
	for i := range a.window {
		a.window[i] = math.Sin(math.Pi * float64(i) / frameSize)
	}
	return a
}

// frames is how many frames cover so many samples.
func frames(length int) int { return (length + frameLead + frameStep - 1) / frameStep }

// frameStart is the sample at which a frame begins, below 0 for the first.
func frameStart(n int) int { return n*frameStep - frameLead }

// of is the spectrum of one frame of the samples.
func (a *analyser) of(samples []int16, n int) []complex128 {
	at := frameStart(n)
	for i := range a.frame {
		a.frame[i] = 0
		if j := at + i; j >= 0 && j < len(samples) {
			a.frame[i] = a.window[i] * float64(samples[j])
		}
	}
	return a.fft.Coefficients(a.spectrum, a.frame)
}

// add adds the sound of a spectrum to sum, at the place of its frame.
func (a *analyser) add(sum []float64, n int, spectrum []complex128) {
	at := frameStart(n)
	for i, v := range a.fft.Sequence(a.frame, spectrum) {
		if j := at + i; j >= 0 && j < len(sum) {
			// The transform there and back multiplies by its size.
			sum[j] += v * a.window[i] / (2 * frameSize)
		}
	}
}

func power(c complex128) float64 { return real(c)*real(c) + imag(c)*imag(c) }

// level is how loud a frame and those beside it are where speech is told from
// noise: the power in the band, in squares of a sample.
type level struct {
	frame int
	power float64
}

// levels are the levels of a sound, quietest first. Frames that reach over its
// ends, and frames of digital silence, say nothing of the noise that lies under
// speech: they are left out. Sound shorter than a frame has one level.
func (a *analyser) levels(samples []int16) []level {
	first, last := frameLead/frameStep, (len(samples)-frameSize+frameLead)/frameStep
	if len(samples) < frameSize {
		first, last = 0, min(0, len(samples)-1)
	}
	var band []float64
	for n := first; n <= last; n++ {
		var sum float64
		for _, c := range a.of(samples, n)[bandLow:bandHigh] {
			sum += power(c)
		}
		band = append(band, sum)
	}
	var out []level
	for i := range band {
		if near := mean(band[max(0, i-levelReach):min(len(band), i+levelReach+1)]); near > 0 {
			out = append(out, level{first + i, near})
		}
	}
	slices.SortStableFunc(out, func(a, b level) int { return cmp.Compare(a.power, b.power) })
	return out
}

// quietest are the quietest of the levels, which are sorted.
func quietest(sorted []level) []level {
	return sorted[:min(len(sorted), max(1, int(quietShare*float64(len(sorted)))))]
}

func mean(x []float64) float64 {
	var sum float64
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}
