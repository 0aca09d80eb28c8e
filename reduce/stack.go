package reduce

import (
	"errors"
	"slices"
)

// Shim is one size of shim on hand.
type Shim struct {
	Size   Length `json:"size"`
	Count  int    `json:"count,omitempty"`  // how many there are; without meaning where Plenty
	Plenty bool   `json:"plenty,omitempty"` // more than will be needed
}

// What shims may be: so many sizes, so thick, so many in one stack.
const (
	MaxShimSizes = 10
	MaxShimSize  = 4 * Inch
	MaxShimCount = 1_000_000
	MaxStack     = 8
)

// DefaultStack is how many shims at most lie one on the other (ours; common
// practice, no source).
const DefaultStack = 4

// DefaultShims are the sizes that a job in a unit plans with where it was told
// of none, largest first, plenty of each: 1/2, 1/4, 1/8 and 1/16 in, or 10, 5,
// 3, 2 and 1 mm (ours; common practice, no source).
func DefaultShims(u Unit) []Shim {
	sizes := []Length{Inch / 2, Inch / 4, Inch / 8, Inch / 16}
	if u == UnitMillimetre {
		sizes = []Length{10 * Millimetre, 5 * Millimetre, 3 * Millimetre, 2 * Millimetre, Millimetre}
	}
	out := make([]Shim, len(sizes))
	for i, s := range sizes {
		out[i] = Shim{Size: s, Plenty: true}
	}
	return out
}

// ErrShims refuses shims that are not 1 to MaxShimSizes sizes, each once and
// over 0 up to MaxShimSize, none counted below 0, in stacks of 1 to MaxStack.
var ErrShims = errors.New("shims out of bounds")

// Fit is the stack for one amount.
type Fit struct {
	Amount  Length   // to be filled
	Rounded Length   // Amount to the finest unit, a tie to the even one; never below 0
	Stack   []Length // largest first; empty where nothing is to be filled, or a shim would not come nearer
	Makes   Length   // the sum of Stack
	// Below and Above are the sums nearest to Amount that the sizes do make, at
	// most it and more than it, where they do not make Rounded. Above is 0 where
	// they reach no farther.
	Below, Above Length
}

// Exact says that the sizes make the rounded amount.
func (f Fit) Exact() bool { return f.Makes == f.Rounded }

// Coarse says that the stack is farther off the amount than rounding to finest
// makes it.
func (f Fit) Coarse(finest Length) bool { return 2*f.Over().Abs() > finest }

// Over is how much more the stack makes than the amount before rounding; it is
// negative where it makes less.
func (f Fit) Over() Length { return f.Makes - max(f.Amount, 0) }

// Stacker makes amounts of the sizes of shims on hand.
type Stacker struct {
	sizes  []Length // largest first
	finest Length
	sums   []Length       // all that up to so many shims make, and 0; ascending
	pieces map[Length]int // how many shims a sum takes at least
}

// NewStacker works out what up to most shims make, one on the other. finest is
// what amounts are rounded to, over 0. It returns ErrShims. It takes
// C(sizes + most, most) sums at worst: 43,758 for 10 sizes and 8 shims.
func NewStacker(sizes []Length, most int, finest Length) (*Stacker, error) {
	s := &Stacker{sizes: slices.Clone(sizes), finest: finest, pieces: map[Length]int{0: 0}, sums: []Length{0}}
	slices.Sort(s.sizes)
	if n := len(s.sizes); n < 1 || n > MaxShimSizes || most < 1 || most > MaxStack || finest <= 0 ||
		s.sizes[0] <= 0 || s.sizes[n-1] > MaxShimSize || len(slices.Compact(slices.Clone(s.sizes))) < n {
		return nil, ErrShims
	}
	slices.Reverse(s.sizes)
	// What k shims make is what k-1 make and one more.
	last := s.sums
	for k := 1; k <= most; k++ {
		var next []Length
		for _, sum := range last {
			for _, size := range s.sizes {
				if _, known := s.pieces[sum+size]; !known {
					s.pieces[sum+size] = k
					next = append(next, sum+size)
				}
			}
		}
		s.sums = append(s.sums, next...)
		last = next
	}
	slices.Sort(s.sums)
	return s, nil
}

// Fit is the fewest shims that make an amount rounded to the finest unit. Where
// the sizes do not make that, it is the sum nearest to the amount as it is: of
// two equally near the lower one, since a gap can be packed, and a shim too high
// lifts the plate off its neighbours. Of several ways with equally few the one
// with the largest shim is taken, then with the next largest.
func (s *Stacker) Fit(amount Length) Fit {
	f := Fit{Amount: amount, Rounded: max(amount, 0).RoundTo(s.finest)}
	f.Makes = f.Rounded
	if _, made := s.pieces[f.Rounded]; !made {
		i, _ := slices.BinarySearch(s.sums, amount+1)
		f.Below = s.sums[i-1] // 0 is a sum
		f.Makes = f.Below
		if i < len(s.sums) {
			f.Above = s.sums[i]
			if f.Above-amount < amount-f.Below {
				f.Makes = f.Above
			}
		}
	}
	f.Stack = s.stack(f.Makes)
	return f
}

// stack is the fewest shims that make a sum, largest first.
func (s *Stacker) stack(sum Length) []Length {
	var out []Length
	for sum > 0 {
		n := s.pieces[sum]
		// No shim of the rest is larger than this one: it would have been taken
		// in its place, for the two together take as few either way round.
		for _, size := range s.sizes {
			if k, ok := s.pieces[sum-size]; ok && k == n-1 {
				out = append(out, size)
				sum -= size
				break
			}
		}
	}
	return out
}

// Missing lists the whole finest units up to a limit that the sizes do not make,
// nor anything within half a unit of them.
func (s *Stacker) Missing(upTo Length) []Length {
	var out []Length
	for l := s.finest; l <= upTo; l += s.finest {
		if f := s.Fit(l); f.Coarse(s.finest) {
			out = append(out, l)
		}
	}
	return out
}
