package voice

const (
	// priorWeight is the weight of what the last frame was found to hold in
	// what this one is expected to.
	priorWeight = 0.96
	// gainFloor is what at least is left of any part: what is taken out
	// altogether leaves tones behind, which a recogniser hears as speech.
	gainFloor = 0.15
)

// Denoise takes steady noise out of sound of 16 kHz, which keeps its length and
// its place in time. The noise is learnt of the quietest frames, so there must
// be some without speech in them, however short.
//
// It is a Wiener filter whose signal-to-noise ratio is estimated by the
// decision-directed rule: the rule is equation 51 of Ephraim and Malah, "Speech
// enhancement using a minimum mean-square error short-time spectral amplitude
// estimator", IEEE Trans. ASSP 32 (1984), and it was put into a Wiener filter
// by Scalart and Filho, "Speech enhancement based on a priori signal to noise
// estimation", Proc. ICASSP 1996. Both from memory.
func Denoise(s Sound) Sound {
	a := newAnalyser()
	noise := a.noise(s.Samples)
	last := make([]float64, len(noise)) // what the last frame was found to hold, over the noise
	sum := make([]float64, len(s.Samples))
	for n := range frames(len(s.Samples)) {
		spectrum := a.of(s.Samples, n)
		for k, c := range spectrum {
			if noise[k] == 0 {
				continue
			}
			post := power(c) / noise[k]
			prior := priorWeight*last[k] + (1-priorWeight)*max(post-1, 0)
			gain := max(prior/(1+prior), gainFloor)
			last[k] = gain * gain * post
			spectrum[k] = c * complex(gain, 0)
		}
		a.add(sum, n, spectrum)
	}
	out := Sound{Samples: make([]int16, len(sum)), Rate: s.Rate}
	for i, v := range sum {
		out.Samples[i] = clip(v)
	}
	return out
}

// noise is the mean power of the quietest frames, part by part of the spectrum.
func (a *analyser) noise(samples []int16) []float64 {
	quiet := quietest(a.levels(samples))
	noise := make([]float64, frameSize/2+1)
	for _, l := range quiet {
		for k, c := range a.of(samples, l.frame) {
			noise[k] += power(c) / float64(len(quiet))
		}
	}
	return noise
}
