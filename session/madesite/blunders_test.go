package madesite_test

import (
	"slices"
	"testing"

	"rodcall/reduce"
	"rodcall/session/madesite"
)

// big is an L of 100 by 60 ft: walks of some 80 stations.
func big(t testing.TB) reduce.Outline {
	t.Helper()
	f := func(n int, turn reduce.Turn) reduce.Leg {
		return reduce.Leg{Length: reduce.Length(n) * reduce.Foot, Turn: turn}
	}
	o, err := reduce.Outline{Grid: reduce.GridFor(reduce.UnitInch)}.WithLoop("", reduce.Point{},
		[]reduce.Leg{f(100, reduce.Left), f(60, reduce.Left), f(40, reduce.Left), f(24, reduce.Right), f(60, reduce.Left), f(36, 0)})
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// rough are the foundations of the tables: the parameters' own, and those whose
// every unevenness is two, four and eight times as large.
var rough = []int{1, 2, 4, 8}

// walkOf is the i-th walk of a table.
func walkOf(t testing.TB, seed uint64, i, times int, outlines []reduce.Outline) madesite.Walked {
	t.Helper()
	p := madesite.Default(reduce.UnitInch, sixteenth).Rougher(times)
	kind := reduce.Direct
	if i%2 == 1 {
		kind = reduce.Standard
	}
	s := madesite.New(seedOf(seed, i), outlines[i/2%len(outlines)], p.Ground)
	w, ok := s.Walk(kind, reduce.UnitInch, p)
	if !ok {
		t.Fatalf("walk %d: a rod does not reach", i)
	}
	return w
}

// noiseOf is what the crew's budget says of one reading.
func noiseOf(w madesite.Walked) reduce.Length {
	return reduce.Length(reduce.DefaultBudget(reduce.UnitInch, sixteenth).Noise(w.Crew.Rod.Kind, w.Right[0]))
}

// TestBlunderFalseAlarms: of readings that are right at most 2 in 100 are asked
// back, just read and between two, on every sort of foundation.
func TestBlunderFalseAlarms(t *testing.T) {
	outlines := []reduce.Outline{house(t), big(t)}
	walks := 300
	if testing.Short() {
		walks = 80
	}
	for _, times := range rough {
		var judged, asked [2]int
		var scatters []reduce.Length
		for i := range walks {
			w := walkOf(t, 21, i, times, outlines)
			whole := w.Neighbours(len(w.At))
			d, _ := reduce.Unlikely(whole, len(whole)/2, noiseOf(w), nil)
			scatters = append(scatters, d.Scatter)
			for k := range whole {
				for mode, part := range [][]reduce.Neighbour{whole[:k+1], whole} {
					if mode == 1 && k == len(whole)-1 {
						continue
					}
					d, ok := reduce.Unlikely(part, k, noiseOf(w), nil)
					if d.Limit > 0 {
						judged[mode]++
					}
					if ok {
						asked[mode]++
					}
				}
			}
		}
		var share [2]float64
		for mode := range share {
			share[mode] = 100 * float64(asked[mode]) / float64(judged[mode])
		}
		slices.Sort(scatters)
		t.Logf("unevenness × %d (mostly a scatter of %.3f in), seed 21: false alarms %.2f %% of %d just read, %.2f %% of %d between two", times,
			float64(scatters[len(scatters)/2])/float64(reduce.Inch),
			share[0], judged[0], share[1], judged[1])
		if share[0] > 2 || share[1] > 2 || judged[0] < 1000 {
			t.Errorf("unevenness × %d: out of limits", times)
		}
	}
}

// detected is the share of walks on which a spoilt reading is asked back, just
// read or once the walk is done, of those on which it can be spoilt so.
func detected(t testing.TB, times, walks int, outlines []reduce.Outline, whole bool, spoil func(w *madesite.Walked, i int, c *madesite.Chance) bool) (share float64, made int) {
	t.Helper()
	found := 0
	for n := range walks {
		w := walkOf(t, 22, n, times, outlines)
		c := madesite.NewChance(seedOf(22, n), 1<<41)
		i, ok := 0, false
		for range 30 { // try elsewhere where this reading cannot go wrong so
			if i = 8 + c.Below(len(w.At)-10); spoil(&w, i, c) {
				ok = true
				break
			}
		}
		if !ok {
			continue
		}
		made++
		upTo := i + 1
		if whole {
			upTo = len(w.At)
		}
		if _, ok := reduce.Unlikely(w.Neighbours(upTo), i, noiseOf(w), nil); ok {
			found++
		}
	}
	return 100 * float64(found) / float64(max(made, 1)), made
}

// TestBlunderCurves logs the share of errors of a size that are asked back, on
// each sort of foundation.
func TestBlunderCurves(t *testing.T) {
	outlines := []reduce.Outline{house(t), big(t)}
	walks := 400
	if testing.Short() {
		walks = 100
	}
	sizes := []reduce.Length{2, 4, 6, 8, 12, 16, 32, 192} // sixteenths
	for _, times := range rough {
		for _, whole := range []bool{false, true} {
			var row []float64
			for _, size := range sizes {
				share, _ := detected(t, times, walks, outlines, whole, func(w *madesite.Walked, i int, c *madesite.Chance) bool {
					w.Sent[i] += reduce.Length(c.Sign()) * size * sixteenth
					return true
				})
				row = append(row, share)
			}
			name := "just read"
			if whole {
				name = "between two"
			}
			t.Logf("unevenness × %d, seed 22, %-11s: 1/8, 1/4, 3/8, 1/2, 3/4, 1, 2, 12 in: found %% %.0f", times, name, row)
			if row[7] < 99 || times <= 2 && row[5] < 95 {
				t.Errorf("unevenness × %d, %s: misses plain blunders", times, name)
			}
		}
	}
}

// TestMisreadingsAskedBack logs the same for each way to misread.
func TestMisreadingsAskedBack(t *testing.T) {
	outlines := []reduce.Outline{house(t), big(t)}
	walks := 400
	if testing.Short() {
		walks = 100
	}
	for _, kind := range []reduce.SlipKind{reduce.OtherSign, reduce.WholeUnit, reduce.WholeFoot, reduce.TurnedRound, reduce.SkippedOne, reduce.SwappedTwo} {
		for _, whole := range []bool{false, true} {
			var row []float64
			least := walks
			for _, times := range rough {
				share, made := detected(t, times, walks, outlines, whole, func(w *madesite.Walked, i int, _ *madesite.Chance) bool {
					return w.Spoil(i, kind)
				})
				row, least = append(row, share), min(least, made)
			}
			name := "just read"
			if whole {
				name = "between two"
			}
			t.Logf("%-12v seed 22, %-11s: unevenness × 1, 2, 4, 8: found %% %.0f (of %d or more)", kind, name, row, least)
			if least < walks/4 {
				t.Errorf("%v: made only %d times", kind, least)
			}
			if (kind == reduce.WholeFoot && min(row[0], row[1]) < 99) || (kind == reduce.WholeUnit && row[0] < 95) {
				t.Errorf("%v, %s: misses plain blunders", kind, name)
			}
		}
	}
}
