package madesite_test

import (
	"testing"

	"rodcall/reduce"
	"rodcall/session/madesite"
)

// TestWrongReadings: each way to misread does what its name says.
func TestWrongReadings(t *testing.T) {
	const in, eighth = reduce.Inch, reduce.Inch / 8
	tests := []struct {
		rod      reduce.RodKind
		unit     reduce.Unit
		slip     reduce.SlipKind
		right    reduce.Length
		want, or reduce.Length // either will do; want 0: it cannot be
	}{
		{reduce.Direct, reduce.UnitInch, reduce.OtherSign, 3 * eighth, -3 * eighth, -3 * eighth},
		{reduce.Direct, reduce.UnitInch, reduce.OtherSign, 0, 0, 0},
		{reduce.Standard, reduce.UnitInch, reduce.OtherSign, 50 * in, 0, 0},
		{reduce.Standard, reduce.UnitInch, reduce.WholeUnit, 50 * in, 51 * in, 49 * in},
		{reduce.Standard, reduce.UnitInch, reduce.WholeFoot, 50 * in, 62 * in, 38 * in},
		{reduce.Direct, reduce.UnitInch, reduce.WholeFoot, in, 0, 0},
		{reduce.Direct, reduce.UnitInch, reduce.TurnedRound, in + 3*eighth, 3*in + eighth, 3*in + eighth},
		{reduce.Direct, reduce.UnitInch, reduce.TurnedRound, -in - 3*eighth, -3*in - eighth, -3*in - eighth},
		{reduce.Standard, reduce.UnitInch, reduce.TurnedRound, 55*in + eighth*2, 88*in + eighth*2, 88*in + eighth*2}, // 4' 7 1/4", 7' 4 1/4"
		{reduce.Standard, reduce.UnitMillimetre, reduce.TurnedRound, 1412 * reduce.Millimetre, 1421 * reduce.Millimetre, 1421 * reduce.Millimetre},
		{reduce.Standard, reduce.UnitFoot, reduce.TurnedRound, 462 * reduce.Foot / 100, 426 * reduce.Foot / 100, 426 * reduce.Foot / 100},
		{reduce.Standard, reduce.UnitMillimetre, reduce.SkippedOne, 1412 * reduce.Millimetre, 1405 * reduce.Millimetre, 1405 * reduce.Millimetre},
	}
	for _, test := range tests {
		p := madesite.Default(test.unit, test.unit.Finest())
		s := madesite.New(1, house(t), p.Ground)
		crew := s.NewCrew(1, test.rod, test.unit, s.SetUp(1, p), p)
		got, ok := crew.Wrong(test.slip, test.right, 1405*reduce.Millimetre)
		if ok != (test.want != 0) || ok && got != test.want && got != test.or {
			t.Errorf("%v %v of %v: %v %t, want %v or %v", test.rod, test.slip, test.right, got, ok, test.want, test.or)
		}
	}
}

// TestMistakesAsOftenAsSaid counts the ways drawn against their shares.
func TestMistakesAsOftenAsSaid(t *testing.T) {
	p := madesite.Default(reduce.UnitInch, sixteenth)
	s := madesite.New(2, house(t), p.Ground)
	crew := s.NewCrew(1, reduce.Direct, reduce.UnitInch, s.SetUp(1, p), p)
	const n = 400_000
	counts := map[reduce.SlipKind]int{}
	for range n {
		counts[crew.Mistake()]++
	}
	for kind, share := range map[reduce.SlipKind]float64{
		reduce.OtherSign: p.Misread.OtherSign, reduce.WholeUnit: p.Misread.WholeUnit, reduce.WholeFoot: p.Misread.WholeFoot,
		reduce.TurnedRound: p.Misread.Digits, reduce.SkippedOne: p.Misread.Skipped, reduce.SwappedTwo: p.Misread.Swapped,
	} {
		// Four standard deviations of a count.
		got := float64(counts[kind]) / n
		if d := got - share; d*d > 16*share/n {
			t.Errorf("%v: %.4f, want %.4f", kind, got, share)
		}
	}
}
