package session

import (
	"math"

	"rodcall/reduce"
)

// rodsApart says, before a reading is taken, that another rod of the same set-up
// differs from this one at the station by more than readings explain, beside what
// the two differ by where both read elsewhere; of several the one that is
// farthest off. It is nil where none does.
func (h *hearing) rodsApart(rod Rod, s reduce.Station, value reduce.Length) []string {
	var other Rod
	var theirs, most reduce.Length
	for _, k := range h.job.Rods {
		r, read := h.job.live(slot{h.job.Round, k.ID, s, false})
		if !read || k.ID == rod.ID || k.Setup != rod.Setup {
			continue
		}
		usual, n := h.usuallyApart(rod, k, s)
		if n == 0 {
			continue
		}
		// Two readings here, against the mean of n pairs.
		limit := reduce.Length(reduce.CriticalNormalised * math.Sqrt(2+2/float64(n)) * float64(h.job.noise()))
		if off := (rod.rise(value) - k.rise(r.Value) - usual).Abs(); off > limit && off > most {
			other, theirs, most = k, r.Value, off
		}
	}
	if most == 0 {
		return nil
	}
	return []string{h.say("rods.apart", h.name(s), other.ID, h.rodText(other, theirs), rod.ID, h.rodText(rod, value), h.amount(most))}
}

// usuallyApart is by how much one rod shows higher than another, on the mean of
// the n stations of this round that both read, but for one.
func (h *hearing) usuallyApart(rod, other Rod, but reduce.Station) (mean reduce.Length, n int) {
	for _, r := range h.job.present() {
		if r.Rod != rod.ID || r.Check || r.Station == but {
			continue
		}
		if k, ok := h.job.live(slot{h.job.Round, other.ID, r.Station, false}); ok {
			mean += rod.rise(r.Value) - other.rise(k.Value)
			n++
		}
	}
	if n > 0 {
		mean /= reduce.Length(n)
	}
	return mean, n
}

// rise is a reading as it grows with the spot.
func (r Rod) rise(value reduce.Length) reduce.Length {
	if r.Rises() {
		return value
	}
	return -value
}
