package reduce

import (
	"math"
	"math/bits"
	"slices"
)

// Limits of the search, settled on made sites.
const (
	// wide is how many standard deviations a difference may lie off nothing or
	// off the jump.
	wide = 3.0
	// margin is the least log-likelihood ratio of the two, odds of 4.5 to 1.
	margin = 1.5
	// uneven is the normal score of the sum of squares above which differences
	// do not belong together: one in ten pure steps.
	uneven = 1.28
	// drift is by how much a slow sinking may lessen the sum of squares.
	drift = 1.0
	// likely is the least chance of a place that is claimed.
	likely = 0.8
)

// begin takes the check shots as the first differences.
func (h *Halving) begin(checks []Observation) {
	h.hi = len(h.seq)
	h.lo = -1
	for _, c := range checks {
		for _, d := range h.differences(c) {
			if h.lo < 0 || d.place < h.lo {
				h.lo = d.place
			}
		}
	}
	h.lo = max(h.lo, 0)
	h.origin = h.lo
	h.budget = Bound(h.hi - h.lo)
	for _, c := range checks {
		ds := h.differences(c)
		if len(ds) == 0 {
			continue
		}
		ds[0].before, ds[0].sure = true, true
		h.shots = append(h.shots, ds[0])
		for _, d := range ds[1:] {
			h.narrow(d)
		}
	}
	h.advance()
}

// differences compares a shot with every reading of its station by its rod.
func (h *Halving) differences(shot Observation) []difference {
	var out []difference
	up, ok := h.rises[shot.Rod]
	for k, i := range h.seq {
		if o := h.readings[i]; ok && o.Rod == shot.Rod && o.Station == shot.Station {
			out = append(out, difference{place: k, rise: apparent(up, o.Value, shot.Value)})
		}
	}
	return out
}

// jump is the mean of the differences that show it, and how many they are.
func (h *Halving) jump() (mean float64, n int) {
	for _, d := range h.shots {
		if d.sure && d.before {
			mean += d.rise
			n++
		}
	}
	return mean / float64(max(n, 1)), n
}

// scores are a difference's distances from nothing and from the jump in
// standard deviations. A difference holds the noise of two readings.
func (h *Halving) scores(d difference) (zero, jump float64) {
	j, n := h.jump()
	s := math.Sqrt2 * h.sigma
	return d.rise / s, (d.rise - j) / (s * math.Sqrt(1+1/float64(max(n, 1))))
}

// Take hears a re-shot of a station by the rod that read it. A shot that the
// search has no reading to compare with, or one after its end, changes
// nothing.
func (h Halving) Take(shot Observation) Halving {
	ds := h.differences(shot)
	if h.finding.State != Searching || len(ds) == 0 {
		return h
	}
	h.shots = slices.Clone(h.shots)
	h.used++
	if h.hi-h.lo == 1 {
		h.trials++
	}
	for _, d := range ds {
		if h.finding.State == Searching {
			h.narrow(d)
		}
	}
	h.advance()
	return h
}

// narrow draws one difference's conclusion.
func (h *Halving) narrow(d difference) {
	zero, jump := h.scores(d)
	nothing, moved := math.Abs(zero) <= wide, math.Abs(jump) <= wide
	odds := (zero*zero - jump*jump) / 2 // over 0: rather the jump
	switch {
	case d.place == h.origin && nothing && odds < -margin:
		h.stop(CheckMisread)
		return
	case !nothing && !moved:
		h.stop(NeitherNor)
	case d.place <= h.lo && (!moved || odds < -margin), d.place >= h.hi && (!nothing || odds > margin):
		h.stop(Contradiction)
	case d.place <= h.lo:
		d.before, d.sure = true, true
	case d.place >= h.hi:
		d.sure = true
	case math.Abs(odds) < margin && d.place == h.doubted:
		h.stop(Doubtful)
	case math.Abs(odds) < margin:
		h.doubted = d.place
	case odds > 0:
		d.before, d.sure = true, true
		h.lo, h.loAt = d.place, h.used
	default:
		d.sure = true
		h.hi, h.hiAt = d.place, h.used
	}
	h.shots = append(h.shots, d)
}

// advance ends the search where it can end.
func (h *Halving) advance() {
	f := &h.finding
	f.After, f.Before = h.seq[h.lo], len(h.readings)
	if h.hi < len(h.seq) {
		f.Before = h.seq[h.hi]
	}
	j, n := h.jump()
	f.Jump, f.Deviation = Length(math.Round(j)), Length(math.Round(math.Sqrt2*h.sigma/math.Sqrt(float64(max(n, 1)))))
	if f.State != Searching {
		h.again()
		return
	}
	if h.hi-h.lo > 1 {
		if h.used+bits.Len(uint(h.hi-h.lo-1)) > h.budget {
			h.stop(Doubtful)
			h.again()
		}
		return
	}
	if h.used < h.budget && (h.trials == 0 || h.trials == 1 && max(h.loAt, h.hiAt) > 0) {
		return
	}
	if h.trials == 0 {
		h.stop(Doubtful)
		h.again()
		return
	}
	if !h.together() {
		h.stop(Uneven)
		h.again()
		return
	}
	if f.Chance = h.chance(); f.Chance < likely {
		f.Chance = 0
		h.stop(Doubtful)
		h.again()
		return
	}
	f.State = Found
	h.split()
}

func (h *Halving) stop(why HalvingStop) { h.finding.State, h.finding.Why = Stopped, why }
