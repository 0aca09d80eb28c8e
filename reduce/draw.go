package reduce

import (
	"math/bits"
	"slices"
)

// splitMix64 is a stream of numbers from a seed: the generator of Steele, Lea
// and Flood, Fast splittable pseudorandom number generators (2014), with the
// constants of Vigna's reference code; from memory. It is no secret: who knows
// the seed knows the lot.
type splitMix64 uint64

func (s *splitMix64) next() uint64 {
	*s += 0x9e3779b97f4a7c15
	z := uint64(*s)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// below is a number under n, all alike but for n parts in 2⁶⁴.
func (s *splitMix64) below(n int) int {
	high, _ := bits.Mul64(s.next(), uint64(n))
	return int(high)
}

// Draw draws a tenth of the stations by lot, rounded up, for a re-shot before
// sign-off: a low spot read as on the mark shows no other way. It is spread
// over the walls: the stations in walking order are cut into as many equal
// runs, starting anywhere, and one is drawn of each. The same seed and
// stations, in any order, give the same lot, listed in walking order; stations
// named twice count once.
func Draw(stations []Station, seed uint64) []Station {
	list := slices.Clone(stations)
	slices.SortFunc(list, Compare)
	list = slices.Compact(list)
	n := len(list)
	if n == 0 {
		return nil
	}
	random := splitMix64(seed)
	start := random.below(n)
	draws := (n + 9) / 10
	lot := make([]Station, 0, draws)
	for i := range draws {
		from, to := i*n/draws, (i+1)*n/draws
		lot = append(lot, list[(start+from+random.below(to-from))%n])
	}
	slices.SortFunc(lot, Compare)
	return lot
}
