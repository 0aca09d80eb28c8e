package phrase_test

import (
	"testing"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// TestChoiceArgs: what levels are weighed by, in both languages and all units,
// and the levels that are searched for.
func TestChoiceArgs(t *testing.T) {
	fewest, least := phrase.DatumArg{Choice: reduce.DatumFewest}, phrase.DatumArg{Choice: reduce.DatumLeast}
	for _, c := range []struct {
		unit reduce.Unit
		line string
		want phrase.Arg
	}{
		{reduce.UnitInch, "datum fewest", fewest}, {reduce.UnitInch, "Datum fewest spots.", fewest}, {reduce.UnitInch, "fewest spots", fewest},
		{reduce.UnitInch, "datum menos puntos", fewest}, {reduce.UnitInch, "menos puntos", fewest},
		{reduce.UnitInch, "datum least", least}, {reduce.UnitInch, "least work please", least}, {reduce.UnitInch, "datum mínimo", least},
		{reduce.UnitInch, "datum menos trabajo", least}, {reduce.UnitInch, "/datum least", least},
		{reduce.UnitInch, "grinding costs 4", phrase.CostArg{400}}, {reduce.UnitInch, "grinding costs 2.25 times as much", phrase.CostArg{225}},
		{reduce.UnitInch, "esmerilar cuesta 2,5 veces", phrase.CostArg{250}}, {reduce.UnitInch, "grinding costs 1000", phrase.CostArg{100_000}},
		{reduce.UnitInch, "grind at most 1/8", phrase.LimitArg{Length: reduce.Inch / 8}}, {reduce.UnitInch, "grind at most 0", phrase.LimitArg{}},
		{reduce.UnitInch, "grind at most none", phrase.LimitArg{}}, {reduce.UnitInch, "no grinding", phrase.LimitArg{}},
		{reduce.UnitInch, "sin esmerilar", phrase.LimitArg{}}, {reduce.UnitInch, "esmerilar máximo 3 mm", phrase.LimitArg{Length: 3 * reduce.Millimetre}},
		{reduce.UnitMillimetre, "grind at most 3", phrase.LimitArg{Length: 3 * reduce.Millimetre}},
		{reduce.UnitFoot, "grind at most 0.02", phrase.LimitArg{Length: reduce.Foot / 50}},
		{reduce.UnitInch, "shim at most 1", phrase.LimitArg{Length: reduce.Inch}}, {reduce.UnitInch, "shim at most 1 1/2 in", phrase.LimitArg{Length: 3 * reduce.Inch / 2}},
		{reduce.UnitInch, "shim at most none", phrase.LimitArg{None: true}}, {reduce.UnitInch, "shim at most no limit", phrase.LimitArg{None: true}},
		{reduce.UnitInch, "calzar máximo sin límite", phrase.LimitArg{None: true}}, {reduce.UnitInch, "calzar a lo más 1/2", phrase.LimitArg{Length: reduce.Inch / 2}},
	} {
		for _, rod := range []reduce.RodKind{reduce.Direct, reduce.Standard} {
			if m := phrase.Parse(yard(t, rod, c.unit), c.line); m.Kind != phrase.Command || m.Arg != c.want {
				t.Errorf("%s, %s: %q is %s with %+v, want %+v", rod, c.unit, c.line, phrase.KindName(m), m.Arg, c.want)
			}
		}
	}
	for _, line := range []string{
		"grinding costs 0", "grinding costs -2", "grinding costs", "grinding costs much", "grinding costs 1/2", "grinding costs 1.234", "grinding costs 1001", "grinding costs 99999999999999",
		"grind at most", "grind at most -1/8", "grind at most much", "grind at most 1/8 low", "shim at most 0", "shim at most -1", "shim at most c2", "datum fewer",
	} {
		c := yard(t, reduce.Direct, reduce.UnitInch)
		m := phrase.Parse(c, line)
		if m.Kind != phrase.Refuse || m.Command == "" || len(m.Why.Args) < 2 {
			t.Errorf("%q is %s with %+v: %+v, want a refusal", line, phrase.KindName(m), m.Arg, m.Why)
			continue
		}
		if k := phrase.Parse(c, m.Why.Args[len(m.Why.Args)-1]); k.Kind != phrase.Command {
			t.Errorf("%q: the example %q is %s", line, m.Why.Args[len(m.Why.Args)-1], phrase.KindName(k))
		}
	}
}
