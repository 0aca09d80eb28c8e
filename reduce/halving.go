package reduce

import (
	"errors"
	"fmt"
	"math"
	"math/bits"
	"slices"
)

// Halving is the search for the moment at which a laser was bumped. It is a
// value: Take returns the next state and changes nothing.
//
// Differences are counted as apparent rises of a spot: new − old on a rod
// whose number rises with the spot, old − new on one whose number falls. A
// laser that sinks 1/4 in makes every spot seem 1/4 in higher: later direct
// readings are 1/4 higher, standard ones 1/4 smaller.
//
// A station re-shot now that differs from its old reading by about nothing was
// read after the bump, one that differs by about the jump was read before it.
// Anything else stops the search. It never asks for more than
// ⌈log2 n⌉ + 1 re-shots, n being the readings from the one that the check shot
// repeats to the last: ⌈log2 n⌉ to halve, one to settle a doubtful difference
// or to try the answer from beside it.
type Halving struct {
	readings []Observation
	rises    map[int]bool // by rod in the search: its number rises with the spot
	seq      []int        // the readings of those rods, in time order
	sigma    float64      // standard deviation of one reading, nm
	origin   int          // place in seq of the first reading that the check repeats
	lo, hi   int          // last place known before the bump, first known after; hi may be len(seq)
	loAt     int          // how many re-shots had been taken when lo was found, and hi
	hiAt     int
	shots    []difference
	budget   int
	used     int
	doubted  int // a place with a doubtful difference, or -1
	trials   int // re-shots that tried the answer
	finding  Finding
}

// difference is one comparison of a reading with a later one of its station.
type difference struct {
	place  int     // in seq
	rise   float64 // apparent, nm
	before bool    // taken as read before the bump
	sure   bool    // whether before means anything
}

// HalvingState says how far a search is.
type HalvingState uint8

// The states. Only Found names a place.
const (
	Searching HalvingState = iota + 1
	Found
	Stopped
)

// HalvingStop says why a search stopped without a place.
type HalvingStop uint8

// The reasons to stop.
const (
	NotStopped HalvingStop = iota
	// TooSmall: the check shot differs by no more than readings do.
	TooSmall
	// NeitherNor: a difference is neither nothing nor the jump: a tilt as well
	// as a height, a second bump, a sinking leg, a slipped receiver, or a
	// station shimmed since.
	NeitherNor
	// Doubtful: the readings scatter too much to tell nothing from the jump.
	Doubtful
	// Contradiction: a station seems to be read after the bump and one read
	// later seems to be read before it.
	Contradiction
	// Uneven: each difference alone would pass, together they scatter more
	// than readings do: mostly a sinking leg.
	Uneven
	// CheckMisread: repeated, the check shot agrees with the old reading.
	CheckMisread
	// RodsDisagree: the check shots of two rods jump by different amounts.
	RodsDisagree
)

// Finding is what a search says. Readings are named by their place in the list
// that the search was given.
type Finding struct {
	State HalvingState
	Why   HalvingStop
	// After and Before are the readings between which it happened, once Found;
	// while Searching or Stopped the narrowest span that is known. Before is
	// the number of readings where it ends with the check shot.
	After, Before int
	// Jump is the apparent rise of spots from before to now, with its standard
	// deviation.
	Jump, Deviation Length
	// Chance is how likely, from the differences alone and every gap alike
	// beforehand, the place is the right one. 0 unless Found.
	Chance float64
	// Receiver: another rod's check shot agrees, so that it is the receiver on
	// this rod that slipped, and the laser stands. With one rod the two cannot
	// be told apart, nor need they be for its readings.
	Receiver bool
	// Earlier and Later are the readings on either side, once Found. Open are
	// those of rods without a check shot, which may or may not have moved.
	Earlier, Later, Open []int
	// Again are the readings to be taken again, once Stopped.
	Again []int
}

// NewHalving starts a search in the readings of one set-up, in the order in
// which they were taken, from the last check shot that agreed. checks are the
// check shots that end them, at most one a rod that counts, of stations that
// the same rod read before. noise is the standard deviation of one reading.
func NewHalving(rods []Rod, readings, checks []Observation, noise Length) (Halving, error) {
	if noise <= 0 {
		return Halving{}, errors.New("reading noise must be over zero")
	}
	rises := map[int]bool{}
	for _, r := range rods {
		rises[r.ID] = r.Rises()
	}
	h := Halving{readings: slices.Clone(readings), rises: map[int]bool{}, sigma: float64(noise), doubted: -1}
	h.finding.State = Searching
	jumps := map[int]float64{}
	var order []int
	for _, c := range checks {
		up, ok := rises[c.Rod]
		if !ok {
			return Halving{}, fmt.Errorf("check shot by an unknown rod %d", c.Rod)
		}
		i := slices.IndexFunc(readings, func(o Observation) bool { return o.Rod == c.Rod && o.Station == c.Station })
		if i < 0 {
			return Halving{}, fmt.Errorf("check shot of %s: rod %d did not read it before", c.Station.Name(Foot), c.Rod)
		}
		if _, ok := jumps[c.Rod]; !ok {
			jumps[c.Rod] = apparent(up, readings[i].Value, c.Value)
			order = append(order, c.Rod)
		}
	}
	if len(order) == 0 {
		return Halving{}, errors.New("no check shot")
	}
	h.choose(order, jumps, rises)
	for i, o := range readings {
		if _, ok := h.rises[o.Rod]; ok {
			h.seq = append(h.seq, i)
		} else if _, ok := jumps[o.Rod]; !ok {
			h.finding.Open = append(h.finding.Open, i)
		}
	}
	h.begin(checks)
	return h, nil
}

// apparent is by how much the spot seems to have risen.
func apparent(rises bool, old, now Length) float64 {
	if rises {
		return float64(now - old)
	}
	return float64(old - now)
}

// LeastJump is by how much a check shot must differ to begin a search, in
// standard deviations of one reading: two readings of one spot differ by more in
// one case of 75.
const LeastJump = 3.5

// choose settles which rods are searched: those whose check shots jump alike.
func (h *Halving) choose(order []int, jumps map[int]float64, rises map[int]bool) {
	var moved []float64
	for _, r := range order {
		if math.Abs(jumps[r]) >= LeastJump*h.sigma {
			h.rises[r] = rises[r]
			moved = append(moved, jumps[r])
		} else {
			h.finding.Receiver = true
		}
	}
	if len(moved) == 0 {
		h.rises[order[0]] = rises[order[0]]
		h.finding.Receiver = false
		h.stop(TooSmall)
		return
	}
	// The difference of two jumps holds four readings.
	if slices.Max(moved)-slices.Min(moved) > wide*2*h.sigma {
		h.stop(RodsDisagree)
	}
}

// Bound is the most re-shots that a search over n readings asks for.
func Bound(n int) int {
	if n < 1 {
		return 0
	}
	return bits.Len(uint(n-1)) + 1
}
