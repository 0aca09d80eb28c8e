package reduce_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

// TestDraw: a tenth, rounded up, of distinct stations of the list, whatever
// its order, and two neighbours of the lot never over twenty stations apart.
func TestDraw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 300).Draw(t, "n")
		var stations []reduce.Station
		for i := range n {
			stations = append(stations, reduce.Along(1+i/10, reduce.Length(i%10)*4*reduce.Foot))
		}
		seed := rapid.Uint64().Draw(t, "seed")
		lot := reduce.Draw(stations, seed)
		if len(lot) != (n+9)/10 || !slices.IsSortedFunc(lot, reduce.Compare) {
			t.Fatalf("drew %d of %d: %v", len(lot), n, lot)
		}
		last := -1
		for _, s := range lot {
			i := slices.Index(stations, s)
			if i < 0 || i == last {
				t.Fatalf("%v drawn, %v of the list", s, i)
			}
			// Two neighbours of the lot lie in neighbouring runs of at most ten.
			if last >= 0 && i-last > 20 {
				t.Fatalf("nothing drawn between %d and %d", last, i)
			}
			last = i
		}
		again := slices.Clone(stations)
		slices.Reverse(again)
		if !slices.Equal(reduce.Draw(append(again, stations...), seed), lot) {
			t.Fatal("another order, another lot")
		}
	})
}

// TestDrawIsFair: over 20,000 seeds each of 34 stations comes about as often,
// by chi-squared (33 degrees of freedom: under one in a thousand fair draws
// exceed 65; the lot of a seed is drawn without replacement, which
// makes it less).
func TestDrawIsFair(t *testing.T) {
	const seeds, n = 20000, 34
	var stations []reduce.Station
	for i := range n {
		stations = append(stations, reduce.Corner(i+1))
	}
	count := map[reduce.Station]int{}
	for seed := range uint64(seeds) {
		for _, s := range reduce.Draw(stations, seed) {
			count[s]++
		}
	}
	want := float64(seeds) * 4 / n
	var chi float64
	for _, s := range stations {
		d := float64(count[s]) - want
		chi += d * d / want
	}
	t.Logf("chi-squared %.1f with 33 degrees of freedom", chi)
	if chi > 65 {
		t.Errorf("unfair: %v", count)
	}
}
