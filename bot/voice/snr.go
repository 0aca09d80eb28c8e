package voice

import "math"

// SNR estimates how far speech stands over the noise below it, in decibels,
// from sound of 16 kHz alone: the mean power of its louder half less that of
// the quietest frames, over that of the quietest, between 200 Hz and 4 kHz. It
// is a measure of our own to tell loud places from quiet ones, and no
// instrument: noise that swells and fades counts in part as speech. It is -Inf
// where there is no sound at all.
func SNR(s Sound) float64 {
	sorted := newAnalyser().levels(s.Samples)
	if len(sorted) == 0 {
		return math.Inf(-1)
	}
	mean := func(levels []level) float64 {
		var sum float64
		for _, l := range levels {
			sum += l.power
		}
		return sum / float64(len(levels))
	}
	low, high := mean(quietest(sorted)), mean(sorted[len(sorted)/2:])
	return 10 * math.Log10(max(high-low, 0)/low)
}
