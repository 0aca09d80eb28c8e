package reduce_test

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

// pureStep is a set-up of n readings, the first of a benchmark, whose laser
// sinks by step after reading at. Standard and direct readings are made from
// one truth; the check shot and re-shots come from after the step.
type pureStep struct {
	rod      reduce.Rod
	heights  []reduce.Length
	readings []reduce.Observation
	step     reduce.Length
}

func (p pureStep) read(k int, sunk reduce.Length) reduce.Observation {
	o := reduce.Observation{Rod: p.rod.ID, Station: reduce.Corner(k)}
	if k == 0 {
		o.Station = reduce.BenchmarkNumber(1)
	}
	// The beam stands 5 ft above elevation 0, at the direct rod's zero.
	if o.Value = p.heights[k] + sunk; !p.rod.Rises() {
		o.Value = 5*reduce.Foot - p.heights[k] - sunk
	}
	return o
}

func newPureStep(rod reduce.Rod, n, at int, step reduce.Length) pureStep {
	p := pureStep{rod: rod, step: step}
	for k := range n {
		p.heights = append(p.heights, reduce.Length(k*k%7-3)*reduce.Inch/8)
		sunk := reduce.Length(0)
		if k > at {
			sunk = step
		}
		p.readings = append(p.readings, p.read(k, sunk))
	}
	return p
}

// search plays the search to its end and counts its re-shots.
func search(t interface{ Fatalf(string, ...any) }, h reduce.Halving, shoot func(reading int) reduce.Observation) (reduce.Finding, int) {
	for shots := 0; ; shots++ {
		i, ok := h.Next()
		if !ok {
			return h.Finding(), shots
		}
		if shots > 40 {
			t.Fatalf("still searching after %d re-shots", shots)
		}
		h = h.Take(shoot(i))
	}
}

// TestSinkingLaserSigns: a laser that sinks 1/4 in makes later direct readings
// 1/4 higher and standard ones 1/4 smaller, and both are one jump.
func TestSinkingLaserSigns(t *testing.T) {
	for _, kind := range []reduce.RodKind{reduce.Direct, reduce.Standard} {
		for _, flipped := range []bool{false, true} {
			rod := reduce.Rod{ID: 1, Kind: kind, Flipped: flipped}
			bm := reduce.Observation{Rod: 1, Station: reduce.BenchmarkNumber(1), Value: 5 * reduce.Foot}
			check := bm
			check.Value += reduce.Inch / 4
			if (kind == reduce.Standard) != flipped {
				check.Value = bm.Value - reduce.Inch/4
			}
			h, err := reduce.NewHalving([]reduce.Rod{rod}, []reduce.Observation{bm}, []reduce.Observation{check}, reduce.Inch/32)
			if err != nil {
				t.Fatal(err)
			}
			if j := h.Finding().Jump; j != reduce.Inch/4 {
				t.Errorf("%v flipped %v: jump %v, want 6.35", kind, flipped, j)
			}
		}
	}
}

// TestPureStepFound: with the step at every position of set-ups of every
// length to 70, both signs, both kinds of rod, the place is found and within
// the bound, from a step of four times the noise.
func TestPureStepFound(t *testing.T) {
	const noise = reduce.Inch / 32
	cases, most := 0, 0
	for _, kind := range []reduce.RodKind{reduce.Direct, reduce.Standard} {
		for _, step := range []reduce.Length{4 * noise, -4 * noise, reduce.Inch / 4, -2 * reduce.Inch} {
			for n := 1; n <= 70; n++ {
				for at := range n {
					p := newPureStep(reduce.Rod{ID: 3, Kind: kind}, n, at, step)
					h, err := reduce.NewHalving([]reduce.Rod{p.rod}, p.readings,
						[]reduce.Observation{p.read(0, step)}, noise)
					if err != nil {
						t.Fatal(err)
					}
					f, shots := search(t, h, func(i int) reduce.Observation { return p.read(i, step) })
					cases++
					most = max(most, shots)
					name := fmt.Sprintf("%v, %d readings, %v after %d", kind, n, step, at)
					if f.State != reduce.Found || f.After != at || f.Before != at+1 || f.Jump != step {
						t.Fatalf("%s: %+v", name, f)
					}
					if len(f.Earlier) != at+1 || len(f.Later) != n-at-1 {
						t.Fatalf("%s: split %v | %v", name, f.Earlier, f.Later)
					}
					if shots > reduce.Bound(n) {
						t.Fatalf("%s: %d re-shots, bound %d", name, shots, reduce.Bound(n))
					}
				}
			}
		}
	}
	t.Logf("%d pure steps found, at most %d re-shots", cases, most)
}

// TestBound: ⌈log2 n⌉ + 1.
func TestBound(t *testing.T) {
	for n, want := range map[int]int{0: 0, 1: 1, 2: 2, 3: 3, 4: 3, 5: 4, 8: 4, 9: 5, 40: 7, 64: 7, 65: 8} {
		if got := reduce.Bound(n); got != want {
			t.Errorf("Bound(%d) = %d, want %d", n, got, want)
		}
	}
}

// TestHalvingAnyShots: whatever the re-shots show, the search ends within its
// bound, names a place only as two neighbours in time, splits every reading
// once, and Take leaves the value it was called on as it was.
func TestHalvingAnyShots(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 90).Draw(t, "n")
		step := reduce.Length(rapid.IntRange(-40, 40).Draw(t, "step")) * reduce.Inch / 32
		rod := reduce.Rod{ID: 1, Kind: rapid.SampledFrom([]reduce.RodKind{reduce.Direct, reduce.Standard}).Draw(t, "kind")}
		p := newPureStep(rod, n, n-1, 0)
		h, err := reduce.NewHalving([]reduce.Rod{rod}, p.readings, []reduce.Observation{p.read(0, step)}, reduce.Inch/32)
		if err != nil {
			t.Fatal(err)
		}
		shots := 0
		for i, ok := h.Next(); ok; i, ok = h.Next() {
			before := h.Finding()
			next := h.Take(p.read(i, reduce.Length(rapid.IntRange(-40, 40).Draw(t, "shot"))*reduce.Inch/32))
			if j, again := h.Next(); !again || j != i || h.Finding().State != before.State {
				t.Fatalf("Take changed its receiver")
			}
			h = next
			if shots++; shots > reduce.Bound(n) {
				t.Fatalf("%d re-shots of %d readings", shots, n)
			}
		}
		f := h.Finding()
		if f.State == reduce.Searching || (f.State == reduce.Stopped) == (f.Why == reduce.NotStopped) {
			t.Fatalf("ended as %+v", f)
		}
		if f.State == reduce.Found && (f.Before != f.After+1 || len(f.Earlier)+len(f.Later) != n) {
			t.Fatalf("found %+v", f)
		}
	})
}
