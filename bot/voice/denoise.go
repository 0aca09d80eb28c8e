package voice

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/dsp/fourier"
)

const (
	// frameSize and frameStep are the length of a spectrum's frame, and how far
	// the next lies behind it, in samples: 32 ms and 8 ms.
	frameSize = 512
	frameStep = 128
	// quietShare is the share of frames, the quietest, that noise is learnt of.
	quietShare = 0.15
	// priorWeight is the weight of what the last frame was found to hold in
	// what this one is expected to.
	priorWeight = 0.96
	// gainFloor is what at least is left of any part: what is taken out
	// altogether leaves tones behind, which a recogniser hears as speech.
	gainFloor = 0.15
)

// Denoise takes steady noise out of sound, which keeps its length and its
// place in time. The noise is learnt of the quietest frames, so there must be
// some without speech in them, however short.
//
// It is a Wiener filter whose signal-to-noise ratio is estimated by the
// decision-directed rule: the rule is equation 51 of Ephraim and Malah, "Speech
// enhancement using a minimum mean-square error short-time spectral amplitude
// estimator", IEEE Trans. ASSP 32 (1984), and it was put into a Wiener filter
// by Scalart and Filho, "Speech enhancement based on a priori signal to noise
// estimation", Proc. ICASSP 1996. Both from memory.
func Denoise(s Sound) Sound {
	frames := spectra(s.Samples)
	noise := quietSpectrum(frames)
	before := make([]float64, len(noise)) // of the last frame: what was left, over the noise
	for _, f := range frames {
		for k, c := range f {
			if noise[k] == 0 {
				continue
			}
			post := power(c) / noise[k]
			prior := priorWeight*before[k] + (1-priorWeight)*max(post-1, 0)
			gain := max(prior/(1+prior), gainFloor)
			before[k] = gain * gain * post
			f[k] *= complex(gain, 0)
		}
	}
	return Sound{Samples: overlapAdd(frames, len(s.Samples)), Rate: s.Rate}
}

func power(c complex128) float64 { return real(c)*real(c) + imag(c)*imag(c) }

// window is the root of a Hann window: applied before and after, and added up
// at a quarter of its length, it comes to 2 everywhere.
func window() []float64 {
	w := make([]float64, frameSize)
	for i := range w {
		w[i] = math.Sin(math.Pi * float64(i) / frameSize)
	}
	return w
}

// frameLead is how far the first frame begins before the sound, so that every
// sample lies in as many frames as any other.
const frameLead = frameSize - frameStep

// spectra are the spectra of the frames that cover the samples.
func spectra(samples []int16) [][]complex128 {
	fft, w := fourier.NewFFT(frameSize), window()
	var frames [][]complex128
	in := make([]float64, frameSize)
	for at := -frameLead; at < len(samples); at += frameStep {
		for i := range in {
			in[i] = 0
			if j := at + i; j >= 0 && j < len(samples) {
				in[i] = w[i] * float64(samples[j])
			}
		}
		frames = append(frames, fft.Coefficients(nil, in))
	}
	return frames
}

// overlapAdd turns spectra back to so many samples.
func overlapAdd(frames [][]complex128, length int) []int16 {
	fft, w := fourier.NewFFT(frameSize), window()
	sum := make([]float64, length)
	out := make([]float64, frameSize)
	for n, f := range frames {
		at := n*frameStep - frameLead
		for i, v := range fft.Sequence(out, f) {
			if j := at + i; j >= 0 && j < length {
				// The transform there and back multiplies by its size.
				sum[j] += v * w[i] / (2 * frameSize)
			}
		}
	}
	samples := make([]int16, length)
	for i, v := range sum {
		samples[i] = clip(v)
	}
	return samples
}

// quietSpectrum is the mean power of the quietest frames, part by part. Frames
// that reach over the sound's ends, and frames of digital silence, say nothing
// of the noise that lies under speech.
func quietSpectrum(frames [][]complex128) []float64 {
	const over = frameLead / frameStep
	if len(frames) > 2*over {
		frames = frames[over : len(frames)-over]
	}
	type loudness struct {
		frame []complex128
		power float64
	}
	var loud []loudness
	for _, f := range frames {
		var sum float64
		for _, c := range f {
			sum += power(c)
		}
		if sum > 0 {
			loud = append(loud, loudness{f, sum})
		}
	}
	noise := make([]float64, frameSize/2+1)
	if len(loud) == 0 {
		return noise
	}
	slices.SortStableFunc(loud, func(a, b loudness) int {
		switch {
		case a.power < b.power:
			return -1
		case a.power > b.power:
			return 1
		}
		return 0
	})
	loud = loud[:max(1, int(quietShare*float64(len(loud))))]
	for _, l := range loud {
		for k, c := range l.frame {
			noise[k] += power(c) / float64(len(loud))
		}
	}
	return noise
}
