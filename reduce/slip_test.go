package reduce_test

import (
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

// TestSlipsListed: each slip is named first for a reading that it explains.
func TestSlipsListed(t *testing.T) {
	in := func(a string) reduce.Length { return length(t, a, reduce.Inch) }
	next, before := reduce.Corner(9), reduce.Corner(7)
	for _, c := range []struct {
		name            string
		kind            reduce.RodKind
		unit            reduce.Unit
		value, expected reduce.Length
		next, was, due  reduce.Length
		want            reduce.SlipKind
		is              reduce.Length
	}{
		{"other sign", reduce.Direct, reduce.UnitInch, in("0.375"), in("-0.4"), 0, 0, 0, reduce.OtherSign, in("-0.375")},
		{"inch", reduce.Standard, reduce.UnitInch, in("55.25"), in("54.25"), 0, 0, 0, reduce.WholeUnit, in("54.25")},
		{"inch, direct", reduce.Direct, reduce.UnitInch, in("-1.25"), in("-0.3"), 0, 0, 0, reduce.WholeUnit, in("-0.25")},
		{"foot", reduce.Standard, reduce.UnitInch, in("55.25"), in("67.25"), 0, 0, 0, reduce.WholeFoot, in("67.25")},
		{"numerator", reduce.Direct, reduce.UnitInch, in("1.375"), in("3.125"), 0, 0, 0, reduce.TurnedRound, in("3.125")},
		{"feet and inches", reduce.Standard, reduce.UnitInch, in("88.5"), in("55.5"), 0, 0, 0, reduce.TurnedRound, in("55.5")},
		{"digits, mm", reduce.Standard, reduce.UnitMillimetre, 1431 * reduce.Millimetre, 1413 * reduce.Millimetre, 0, 0, 0,
			reduce.TurnedRound, 1413 * reduce.Millimetre},
		{"digits, ft", reduce.Standard, reduce.UnitFoot, length(t, "4.26", reduce.Foot), length(t, "4.62", reduce.Foot), 0, 0, 0,
			reduce.TurnedRound, length(t, "4.62", reduce.Foot)},
		{"tenth", reduce.Standard, reduce.UnitFoot, length(t, "4.26", reduce.Foot), length(t, "4.36", reduce.Foot), 0, 0, 0,
			reduce.WholeUnit, length(t, "4.36", reduce.Foot)},
		{"centimetre", reduce.Standard, reduce.UnitMillimetre, 1433 * reduce.Millimetre, 1423 * reduce.Millimetre, 0, 0, 0,
			reduce.WholeUnit, 1423 * reduce.Millimetre},
		{"skipped", reduce.Standard, reduce.UnitInch, in("62.5"), in("54.25"), in("62.25"), 0, 0, reduce.SkippedOne, in("62.5")},
		{"swapped", reduce.Standard, reduce.UnitInch, in("62.5"), in("54.25"), in("54.25"), in("54.25"), in("62.25"),
			reduce.SwappedTwo, in("54.25")},
	} {
		s := reduce.Suspect{
			Rod: reduce.Rod{ID: 1, Kind: c.kind}, Unit: c.unit, Finest: c.unit.Finest(), Value: c.value, Expected: c.expected,
			Limit: reduce.Inch / 4, Scatter: reduce.Inch / 16,
		}
		if c.unit == reduce.UnitMillimetre {
			s.Limit, s.Scatter = 4*reduce.Millimetre, reduce.Millimetre
		}
		if c.next != 0 {
			s.Next, s.NextExpected = next, c.next
		}
		if c.was != 0 {
			s.Previous, s.PreviousValue, s.PreviousExpected = before, c.was, c.due
		}
		got := s.Slips()
		if len(got) == 0 || got[0].Kind != c.want || got[0].Value != c.is {
			t.Errorf("%s: %+v", c.name, got)
		}
	}
}

// TestNoNonsense: figures that no rod shows turned round are not offered, and
// a reading that no slip explains has none.
func TestNoNonsense(t *testing.T) {
	for name, value := range map[string]string{
		"1/8": "0.125", "3/16": "0.1875", "2 3/8": "2.375", "9 1/8": "9.125", "an even inch": "5", "1 1/2": "1.5",
	} {
		for expected := -12 * reduce.Inch; expected <= 12*reduce.Inch; expected += reduce.Inch / 16 {
			s := reduce.Suspect{
				Rod: reduce.Rod{Kind: reduce.Direct}, Unit: reduce.UnitInch, Finest: reduce.Inch / 16,
				Value: length(t, value, reduce.Inch), Expected: expected, Limit: reduce.Inch / 8, Scatter: reduce.Inch / 32,
			}
			for _, slip := range s.Slips() {
				if slip.Kind == reduce.TurnedRound {
					t.Errorf("%s turned round to %v", name, slip.Value)
				}
			}
		}
	}
	s := reduce.Suspect{
		Rod: reduce.Rod{Kind: reduce.Standard}, Unit: reduce.UnitInch, Finest: reduce.Inch / 16,
		Value: 54 * reduce.Inch, Expected: 54*reduce.Inch + 7*reduce.Inch/16, Limit: reduce.Inch / 4, Scatter: reduce.Inch / 16,
	}
	if got := s.Slips(); got != nil {
		t.Errorf("7/16 off: %+v", got)
	}
}

// TestSlipsWithin: whatever is asked, each slip is a reading that the rod can
// show, within the limit, and at least twice as near as what was read.
func TestSlipsWithin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom([]reduce.Unit{reduce.UnitInch, reduce.UnitFoot, reduce.UnitMillimetre}).Draw(t, "unit")
		kind := rapid.SampledFrom([]reduce.RodKind{reduce.Direct, reduce.Standard}).Draw(t, "kind")
		low, high := reduce.Length(0), reduce.StandardReach
		if kind == reduce.Direct {
			low, high = -reduce.DirectReach, reduce.DirectReach
		}
		any := rapid.Custom(func(t *rapid.T) reduce.Length {
			return reduce.Length(rapid.Int64Range(int64(low/unit.Finest()), int64(high/unit.Finest())).Draw(t, "n")) * unit.Finest()
		})
		s := reduce.Suspect{
			Rod: reduce.Rod{Kind: kind}, Unit: unit, Finest: unit.Finest(), Value: any.Draw(t, "value"),
			Expected: any.Draw(t, "expected"), Limit: reduce.Inch / 2, Scatter: reduce.Inch / 8,
			Next: reduce.Corner(2), NextExpected: any.Draw(t, "next"),
			Previous: reduce.Corner(3), PreviousValue: any.Draw(t, "was"), PreviousExpected: any.Draw(t, "due"),
		}
		for _, slip := range s.Slips() {
			if !kind.Reaches(slip.Value) || slip.Off.Abs() > s.Limit || 2*slip.Off.Abs() > (s.Value-s.Expected).Abs() {
				t.Fatalf("%+v of %+v", slip, s)
			}
			if alone := slip.Station.IsZero(); alone && slip.Value == s.Value {
				t.Fatalf("no change: %+v", slip)
			}
		}
	})
}
