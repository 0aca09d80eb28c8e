package reduce

import "math"

// Next is the reading whose station is to be shot again by the same rod, by
// its place in the list. ok is false once the search is over.
func (h Halving) Next() (reading int, ok bool) {
	if h.finding.State != Searching {
		return 0, false
	}
	place := (h.lo + h.hi) / 2
	if h.hi-h.lo == 1 {
		place = h.trial()
	} else if place == h.doubted {
		// Its neighbour has noise of its own.
		switch {
		case place+1 < h.hi:
			place++
		case place-1 > h.lo:
			place--
		}
	}
	return h.seq[place], true
}

// NextShot is the rod and the station of the next re-shot; ok is false once the search is over.
func (h Halving) NextShot() (rod int, station Station, ok bool) {
	i, ok := h.Next()
	if !ok {
		return 0, Station{}, false
	}
	return h.readings[i].Rod, h.readings[i].Station, true
}

// trial is the place that tries the answer. The older of the two ends is the
// first suspect: were it wrong, all that was shot since would lie on one side
// of the truth. The next place beyond it tells; where that is known already,
// the end itself is shot again. Where that end is the check shot, old or new,
// the check shot is: a misread one, or a receiver that slipped since, shows
// there. The other end is tried where the bound leaves a re-shot for it.
func (h *Halving) trial() int {
	upper := h.hiAt < h.loAt
	if h.trials > 0 {
		upper = !upper
	} else if min(h.loAt, h.hiAt) == 0 {
		return h.origin
	}
	end, beyond := h.lo, h.lo-1
	if upper {
		end, beyond = h.hi, h.hi+1
	}
	if beyond <= h.origin || beyond >= len(h.seq) {
		return end
	}
	for _, d := range h.shots {
		if d.place == beyond {
			return end
		}
	}
	return beyond
}

// Finding is what is known so far.
func (h Halving) Finding() Finding { return h.finding }

// together says whether the differences scatter no more about nothing and
// about the jump than readings do, and whether no slow sinking between any two
// of the places shot explains them better. The sum of squares is held against
// chi-squared by the cube-root approximation of Wilson and Hilferty (1931; from
// memory).
func (h *Halving) together() bool {
	step := h.misfit(func(k int) float64 {
		if k <= h.lo {
			return 1
		}
		return 0
	})
	if normalScore(step, len(h.shots)-1) > uneven {
		return false
	}
	for _, a := range h.shots {
		for _, b := range h.shots {
			from, to := a.place, b.place
			if b.place == h.origin {
				to = len(h.seq)
			}
			if to-from < 2 {
				continue
			}
			ramp := h.misfit(func(k int) float64 {
				return min(1, max(0, float64(to-k)/float64(to-from)))
			})
			if step-ramp > drift {
				return false
			}
		}
	}
	return true
}

// misfit is the sum of squares of the differences about share(place) of the
// jump, which is fitted, in units of their variance.
func (h *Halving) misfit(share func(place int) float64) float64 {
	var top, bottom, sum float64
	for _, d := range h.shots {
		w := share(d.place)
		top += w * d.rise
		bottom += w * w
	}
	j := top / max(bottom, 1e-9)
	for _, d := range h.shots {
		r := d.rise - j*share(d.place)
		sum += r * r
	}
	return sum / (2 * h.sigma * h.sigma)
}

// normalScore is the standard normal score of a chi-squared sum with so many
// degrees of freedom.
func normalScore(sum float64, freedom int) float64 {
	if freedom < 1 {
		return 0
	}
	v := 2 / (9 * float64(freedom))
	return (math.Cbrt(sum/float64(freedom)) - 1 + v) / math.Sqrt(v)
}

// chance is the share of the likelihood that the place found has among all.
func (h *Halving) chance() float64 {
	j, _ := h.jump()
	var total float64
	var here float64
	for gap := h.origin; gap < len(h.seq); gap++ {
		var sum float64
		for _, d := range h.shots {
			r := d.rise
			if d.place <= gap {
				r -= j
			}
			sum += r * r
		}
		l := -sum / (4 * h.sigma * h.sigma)
		if gap == h.lo {
			here = l
		}
		total += math.Exp(l)
	}
	return math.Exp(here) / total
}

// split lists the readings on either side.
func (h *Halving) split() {
	for k, i := range h.seq {
		if k <= h.lo {
			h.finding.Earlier = append(h.finding.Earlier, i)
		} else {
			h.finding.Later = append(h.finding.Later, i)
		}
	}
}

// again lists what is to be read once more. Where differences contradict each
// other the narrowed span is not to be trusted, and all of it is.
func (h *Halving) again() {
	from, to := h.lo+1, h.hi
	switch h.finding.Why {
	case NotStopped, TooSmall, CheckMisread:
		return
	case Contradiction, Uneven, RodsDisagree:
		from, to = h.origin+1, len(h.seq)
	case NeitherNor, Doubtful:
	}
	if from >= to {
		from, to = h.origin+1, len(h.seq)
	}
	h.finding.Again = append([]int(nil), h.seq[from:to]...)
}
