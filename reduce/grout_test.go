package reduce_test

import (
	"math/big"
	"slices"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"rodcall/reduce"
)

// TestGroutByHand is worked out by hand. A plate 5.5 in wide, bearing points
// 16 in apart, gaps of 0, 1/4, 5/16, 1/8 and 0 in:
//
//	16 × (0 + 1/4)/2     = 2    in²
//	16 × (1/4 + 5/16)/2  = 4.5  in²
//	16 × (5/16 + 1/8)/2  = 3.5  in²
//	16 × (1/8 + 0)/2     = 1    in²
//	                      11    in² × 5.5 in = 60.5 in³
//
// 1 in³ = 16,387.064 mm³, so 991,417.372 mm³, 0.99 l. Ten such walls are
// 9,914,173.72 mm³, with 10 % more 10,905,591.092: one bag of 11.327 l. Eleven
// are 11,996,150.2012 mm³ with the waste: two bags.
func TestGroutByHand(t *testing.T) {
	in := reduce.Inch
	run := []reduce.Gap{{0, 0}, {16 * in, in / 4}, {32 * in, 5 * in / 16}, {48 * in, in / 8}, {64 * in, 0}}
	v := reduce.GroutVolume(11*in/2, run)
	if !v.Equal(decimal.RequireFromString("991417.372")) {
		t.Errorf("volume %v", v)
	}
	for n, bags := range map[int64]int64{0: 0, 1: 1, 10: 1, 11: 2} {
		if got := reduce.GroutBags(v.Mul(decimal.NewFromInt(n)), 10, reduce.DefaultBag); got != bags {
			t.Errorf("%d walls: %d bags, want %d", n, got, bags)
		}
	}
	// Just a bag, and a thousandth of a cubic millimetre more.
	if a, b := reduce.GroutBags(decimal.NewFromInt(12_000_000), 0, 12_000), reduce.GroutBags(decimal.RequireFromString("12000000.001"), 0, 12_000); a != 1 || b != 2 {
		t.Errorf("%d bags, %d bags", a, b)
	}
}

// TestGroutRunsOut: from 1/4 in down to concrete 1/4 in above the line, 8 in
// apart, the gap runs out half way: a triangle of 4 × 1/4 / 2 = 1/2 in², by 2 in
// 1 in³. The other way round it is as much, and concrete above the line at both
// ends leaves nothing.
func TestGroutRunsOut(t *testing.T) {
	in := reduce.Inch
	cubic := decimal.RequireFromString("16387.064")
	for _, run := range [][]reduce.Gap{{{0, in / 4}, {8 * in, -in / 4}}, {{0, -in / 4}, {8 * in, in / 4}}} {
		if v := reduce.GroutVolume(2*in, run); !v.Equal(cubic) {
			t.Errorf("%v: %v", run, v)
		}
	}
	for _, run := range [][]reduce.Gap{nil, {{0, in}}, {{0, -in}, {8 * in, -in}}, {{0, 0}, {8 * in, -in}}} {
		if v := reduce.GroutVolume(2*in, run); !v.IsZero() {
			t.Errorf("%v: %v", run, v)
		}
	}
}

// TestGroutInSlices: a gap cut finer at its own height is the same gap. Heights
// are multiples of the cuts, so that nothing is rounded.
func TestGroutInSlices(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		cuts := reduce.Length(rapid.Int64Range(1, 12).Draw(r, "cuts"))
		width := reduce.Length(rapid.Int64Range(1, 300_000_000).Draw(r, "width"))
		var coarse, fine []reduce.Gap
		want := new(big.Rat)
		along := reduce.Length(0)
		for i := range rapid.IntRange(1, 8).Draw(r, "places") {
			h := cuts * reduce.Length(rapid.Int64Range(-3_000_000, 3_000_000).Draw(r, "height"))
			if i > 0 {
				step := cuts * reduce.Length(rapid.Int64Range(1, 2_000_000_000).Draw(r, "step"))
				last := coarse[len(coarse)-1]
				for k := reduce.Length(1); k < cuts; k++ {
					fine = append(fine, reduce.Gap{Along: along + step/cuts*k, Height: last.Height + (h-last.Height)/cuts*k})
				}
				along += step
				want.Add(want, under(last.Height, h, step))
			}
			coarse, fine = append(coarse, reduce.Gap{Along: along, Height: h}), append(fine, reduce.Gap{Along: along, Height: h})
		}
		want.Mul(want, big.NewRat(int64(width), 1_000_000_000_000_000_000))
		a, b := reduce.GroutVolume(width, coarse), reduce.GroutVolume(width, fine)
		limit := big.NewRat(1, 1_000_000_000_000)
		for _, v := range []decimal.Decimal{a, b} {
			off := new(big.Rat).Sub(v.Rat(), want)
			if off.Abs(off).Cmp(limit) > 0 {
				r.Fatalf("%v mm³, want %s", v, want.FloatString(12))
			}
		}
	})
}

// under is the area under a line from a to b over a step, above 0: square
// nanometres.
func under(a, b, step reduce.Length) *big.Rat {
	x, y, s := new(big.Rat).SetInt64(int64(a)), new(big.Rat).SetInt64(int64(b)), new(big.Rat).SetInt64(int64(step))
	half := big.NewRat(1, 2)
	switch {
	case a <= 0 && b <= 0:
		return new(big.Rat)
	case a >= 0 && b >= 0:
		return s.Mul(s, half.Mul(half, x.Add(x, y)))
	case a < 0:
		x, y = y, x
	}
	// x above, y below: it runs out x / (x - y) of the way along.
	s.Mul(s, new(big.Rat).Quo(x, new(big.Rat).Sub(x, y)))
	return s.Mul(s, half.Mul(half, x))
}

// TestRunsOfPlate: the gap of a plan is one run a wall, from corner to corner,
// and ends at a spot that is not read.
func TestRunsOfPlate(t *testing.T) {
	o, err := reduce.Outline{Grid: reduce.GridFor(reduce.UnitInch)}.WithLoop("", reduce.Point{}, reduce.Rectangle(12*reduce.Foot, 8*reduce.Foot))
	if err != nil {
		t.Fatal(err)
	}
	var spots []reduce.PlateSpot
	for _, s := range o.Stations() {
		spots = append(spots, reduce.PlateSpot{Station: s, Deviation: -reduce.Inch / 4, Read: s != reduce.Along(1, 8*reduce.Foot)})
	}
	plan := reduce.PlanPlate(&o, spots, nil, reduce.PlateDefaults(reduce.UnitInch))
	var lengths []reduce.Length
	volume := decimal.Decimal{}
	for _, r := range plan.Runs {
		lengths = append(lengths, r[len(r)-1].Along-r[0].Along)
		volume = volume.Add(reduce.GroutVolume(4*reduce.Inch, r))
	}
	ft := reduce.Foot
	if want := []reduce.Length{4 * ft, 0, 8 * ft, 12 * ft, 8 * ft}; !slices.Equal(lengths, want) {
		t.Errorf("runs of %v", lengths)
	}
	// 32 ft × 1/4 in × 4 in = 384 in³ of 16387.064 mm³.
	if !volume.Equal(decimal.RequireFromString("6292632.576")) {
		t.Errorf("volume %v", volume)
	}
}
