package reduce

import (
	"cmp"
	"slices"
)

// Allotment is what a stock of shims comes to, over all spots of a foundation.
type Allotment struct {
	Fits   []Fit  // one an amount, in the order given; the Stack of a spot in Short is what it wants
	Short  []bool // the shims do not go round to this spot
	Made   int    // spots that get shims
	Wanted int    // spots that want shims: Made of them get some
	AtMost int    // no way to deal the shims out makes more spots than this; Made where that is proven
	Pieces int    // shims laid
	Fewest bool   // no way that makes as many spots takes fewer shims: proven
	Used   []Shim // laid, by size, largest first
	Lack   []Shim // with so many more every spot could be made, by size, largest first
}

// Allot deals a stock out over all spots of a foundation: each amount is to be
// filled by up to most shims, rounded to finest as a Stacker does it with these
// sizes. Of all ways to do that it takes one that
//
//  1. makes as many spots as can be (a spot is made by shims that come to
//     exactly what its Fit makes, or it gets none), and of those one that
//  2. takes the fewest shims in all.
//
// Spots that want the same are alike: the first of them in the order given get
// shims, those with the fewest shims first. The search is exact for any sizes;
// where it would take too long (see maxNodes, maxWays) the best way found is
// given, AtMost says how many spots could be made at the very most, and Fewest
// is false. It returns ErrShims.
func Allot(stock []Shim, most int, finest Length, amounts []Length) (Allotment, error) {
	sizes := make([]Length, len(stock))
	for i, s := range stock {
		sizes[i] = s.Size
		if s.Count < 0 || s.Count > MaxShimCount {
			return Allotment{}, ErrShims
		}
	}
	stacker, err := NewStacker(sizes, most, finest)
	if err != nil {
		return Allotment{}, err
	}
	a := Allotment{Fits: make([]Fit, len(amounts)), Short: make([]bool, len(amounts)), Fewest: true}
	alike := map[Length][]int{} // the spots that want the same
	for i, amount := range amounts {
		a.Fits[i] = stacker.Fit(amount)
		if want := a.Fits[i].Makes; want > 0 {
			alike[want] = append(alike[want], i)
			a.Wanted++
		}
	}
	a.Made, a.AtMost = a.Wanted, a.Wanted

	limit := map[Length]int{}
	for _, s := range stock {
		if !s.Plenty {
			limit[s.Size] = s.Count
		}
	}
	if want := a.count(); slices.ContainsFunc(want, func(s Shim) bool { n, limited := limit[s.Size]; return limited && n < s.Count }) {
		a.ration(newDealing(stacker, most, limit, alike), alike, limit)
	}
	a.Used = a.count()
	for _, s := range a.Used {
		a.Pieces += s.Count
	}
	return a, nil
}

// count adds up the shims of the spots that are not short.
func (a *Allotment) count() []Shim {
	n := map[Length]int{}
	for i, f := range a.Fits {
		if !a.Short[i] {
			for _, s := range f.Stack {
				n[s]++
			}
		}
	}
	return bySize(n)
}

func bySize(n map[Length]int) []Shim {
	var out []Shim
	for size, k := range n {
		if k > 0 {
			out = append(out, Shim{Size: size, Count: k})
		}
	}
	slices.SortFunc(out, func(a, b Shim) int { return cmp.Compare(b.Size, a.Size) })
	return out
}

// ration gives the spots the shims that a search found for them.
func (a *Allotment) ration(d *dealing, alike map[Length][]int, limit map[Length]int) {
	best := d.search()
	a.Made, a.AtMost, a.Fewest = best.made, best.atMost, best.fewest
	for g, want := range d.wants {
		spots := alike[want]
		for _, p := range d.ways[g] {
			for range best.times[p.column] {
				a.Fits[spots[0]].Stack = p.stack
				spots = spots[1:]
			}
		}
		for _, i := range spots {
			a.Short[i] = true
		}
	}
	left := map[Length]int{}
	for size, n := range limit {
		left[size] = n
	}
	for _, s := range a.count() {
		if _, limited := left[s.Size]; limited {
			left[s.Size] -= s.Count
		}
	}
	lack := map[Length]int{}
	for i, f := range a.Fits {
		if !a.Short[i] {
			continue
		}
		for _, s := range f.Stack {
			if n, limited := left[s]; limited && n > 0 {
				left[s]--
			} else if limited {
				lack[s]++
			}
		}
	}
	a.Lack = bySize(lack)
}

// DefaultSpares is how many in 100 shims are bought beyond those that the plan
// lays (common practice, no source).
const DefaultSpares = 10

// ToBuy is a shopping list by size, largest first: what all spots want, made or
// short, and spares in 100 of each size beyond it, rounded up, less what is on
// hand. A size of which there is plenty is not on it. With what is on it every
// spot can be made.
func (a *Allotment) ToBuy(onHand []Shim, spares int) []Shim {
	need := map[Length]int{}
	for _, f := range a.Fits {
		for _, size := range f.Stack {
			need[size]++
		}
	}
	for size, n := range need {
		need[size] = n + (n*spares+99)/100
	}
	for _, s := range onHand {
		if s.Plenty {
			delete(need, s.Size)
		} else {
			need[s.Size] -= s.Count
		}
	}
	return bySize(need)
}
