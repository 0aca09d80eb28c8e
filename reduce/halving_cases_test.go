package reduce_test

import (
	"testing"

	"rodcall/reduce"
)

// TestHalvingStops walks a search of eight readings into each reason to stop.
// Amounts are in 32nds of an inch, which is the noise; every reading was 0.
func TestHalvingStops(t *testing.T) {
	for _, c := range []struct {
		name  string
		jump  int
		shots []int
		why   reduce.HalvingStop
		again int
	}{
		{"the readings explain it", 3, nil, reduce.TooSmall, 0},
		{"half the jump", 16, []int{8}, reduce.NeitherNor, 7},
		{"the other way", 16, []int{0, -9}, reduce.NeitherNor, 3},
		{"far over", 16, []int{16, 40}, reduce.NeitherNor, 3},
		{"cannot be told apart", 4, []int{2, 2, 2}, reduce.Doubtful, 7},
		{"the check shot was misread", 16, []int{0, 0, 0, 0}, reduce.CheckMisread, 0},
		{"a station shimmed", 16, []int{0, 16, 16, 16}, reduce.Contradiction, 7},
		{"slow sinking", 12, []int{3, 9, 3, 11}, reduce.Uneven, 7},
	} {
		p := newPureStep(reduce.Rod{ID: 1, Kind: reduce.Standard}, 8, 7, 0)
		by := func(n int) reduce.Length { return reduce.Length(n) * reduce.Inch / 32 }
		h, err := reduce.NewHalving([]reduce.Rod{p.rod}, p.readings, []reduce.Observation{p.read(0, by(c.jump))}, by(1))
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range c.shots {
			i, ok := h.Next()
			if !ok {
				break
			}
			h = h.Take(p.read(i, by(s)))
		}
		f := h.Finding()
		if f.State != reduce.Stopped || f.Why != c.why || len(f.Again) != c.again || f.Chance != 0 {
			t.Errorf("%s: %+v", c.name, f)
		}
	}
}

// TestSlippedReceiver: the check shot of a second rod agrees, so only the
// first rod's readings are searched and split, and the finding says why.
// Without that second check shot its readings stay open.
func TestSlippedReceiver(t *testing.T) {
	rods := []reduce.Rod{{ID: 1, Kind: reduce.Direct}, {ID: 2, Kind: reduce.Standard}}
	at := func(rod, station int, v reduce.Length) reduce.Observation {
		return reduce.Observation{Rod: rod, Station: reduce.Corner(station), Value: v}
	}
	var readings []reduce.Observation
	for k := range 12 {
		v := reduce.Length(0)
		if k%2 == 0 && k > 5 {
			v = reduce.Inch / 4
		}
		readings = append(readings, at(1+k%2, k+1, v))
	}
	one, two := at(1, 1, reduce.Inch/4), at(2, 2, 0)
	for _, c := range []struct {
		checks   []reduce.Observation
		receiver bool
		open     int
	}{
		{[]reduce.Observation{one, two}, true, 0},
		{[]reduce.Observation{one}, false, 6},
	} {
		h, err := reduce.NewHalving(rods, readings, c.checks, reduce.Inch/64)
		if err != nil {
			t.Fatal(err)
		}
		f, _ := search(t, h, func(i int) reduce.Observation { return at(1, i+1, reduce.Inch/4) })
		if f.State != reduce.Found || f.After != 4 || f.Before != 6 || f.Receiver != c.receiver ||
			len(f.Open) != c.open || len(f.Earlier) != 3 || len(f.Later) != 3 {
			t.Errorf("%d checks: %+v", len(c.checks), f)
		}
	}
	two.Value = reduce.Inch // the other way, and more
	h, err := reduce.NewHalving(rods, readings, []reduce.Observation{one, two}, reduce.Inch/64)
	if f := h.Finding(); err != nil || f.Why != reduce.RodsDisagree {
		t.Errorf("two jumps: %+v, %v", f, err)
	}
	for name, bad := range map[string][]reduce.Observation{
		"no check": nil, "unknown rod": {at(9, 1, 0)}, "never read": {at(1, 77, 0)},
	} {
		if _, err := reduce.NewHalving(rods, readings, bad, reduce.Inch/64); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if _, err := reduce.NewHalving(rods, readings, []reduce.Observation{one}, 0); err == nil {
		t.Error("no noise: no error")
	}
}
