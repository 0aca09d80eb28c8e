package voice

import (
	"math"
	"slices"
)

// What is looked at for the pitch of a voice.
const (
	pitchFrame  = soundRate / 25 // 40 ms
	lowestTone  = 70             // Hz
	highestTone = 400
)

// pitch is the tone of the voice in hertz: the median over its louder half, by
// the autocorrelation of each frame (Rabiner, On the use of autocorrelation
// analysis for pitch detection, 1977; from memory). It is 0 where there is no
// voice.
func pitch(s Sound) float64 {
	type frame struct {
		at    int
		power float64
	}
	var frames []frame
	for at := 0; at+2*pitchFrame <= len(s.Samples); at += pitchFrame {
		var sum float64
		for _, v := range s.Samples[at : at+pitchFrame] {
			sum += float64(v) * float64(v)
		}
		frames = append(frames, frame{at, sum})
	}
	slices.SortFunc(frames, func(a, b frame) int { return int(math.Copysign(1, b.power-a.power)) })
	var tones []float64
	for _, f := range frames[:len(frames)/4] {
		if f.power == 0 {
			break
		}
		if tone := toneAt(s.Samples[f.at : f.at+2*pitchFrame]); tone > 0 {
			tones = append(tones, tone)
		}
	}
	if len(tones) == 0 {
		return 0
	}
	slices.Sort(tones)
	return tones[len(tones)/2]
}

// toneAt is the tone of one frame, 0 where it has none: the shortest delay after
// which the sound is nearly as like itself as it ever is.
func toneAt(x []int16) float64 {
	shortest, longest := soundRate/highestTone, soundRate/lowestTone
	like := make([]float64, longest+1)
	best := 0.0
	for lag := shortest; lag <= longest; lag++ {
		var ab, aa, bb float64
		for i := range pitchFrame {
			a, b := float64(x[i]), float64(x[i+lag])
			ab, aa, bb = ab+a*b, aa+a*a, bb+b*b
		}
		if aa > 0 && bb > 0 {
			like[lag] = ab / math.Sqrt(aa*bb)
		}
		best = max(best, like[lag])
	}
	if best < 0.5 {
		return 0
	}
	for lag := shortest + 1; lag < longest; lag++ {
		if like[lag] > 0.85*best && like[lag] >= like[lag-1] && like[lag] >= like[lag+1] {
			return soundRate / float64(lag)
		}
	}
	return 0
}
