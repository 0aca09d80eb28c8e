package voice

import (
	"math"
	"slices"
)

// SNR estimates how far speech stands over the noise below it, in decibels,
// from the sound alone: the mean power of the loudest frames less that of the
// quietest, over that of the quietest. It is -Inf where there is no sound at
// all, and +Inf where nothing lies under the speech.
func SNR(s Sound) float64 {
	var loud []float64
	for _, f := range spectra(s.Samples) {
		var sum float64
		for _, c := range f {
			sum += power(c)
		}
		loud = append(loud, sum)
	}
	slices.Sort(loud)
	n := max(1, int(quietShare*float64(len(loud))))
	if len(loud) == 0 || loud[len(loud)-1] == 0 {
		return math.Inf(-1)
	}
	low, high := mean(loud[:n]), mean(loud[len(loud)/2:])
	return 10 * math.Log10(max(high-low, 0)/low)
}

func mean(x []float64) float64 {
	var sum float64
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}
