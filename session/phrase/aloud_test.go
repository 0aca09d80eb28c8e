package phrase_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// TestAloudReadsBack: an amount and a rod's figure in words for the ear, said
// back with its side in the same language, is the same value; and no digit of a
// fraction of an inch is left in it.
func TestAloudReadsBack(t *testing.T) {
	in := map[reduce.RodKind]map[reduce.Unit]phrase.Context{}
	for _, r := range []reduce.RodKind{reduce.Direct, reduce.Standard} {
		in[r] = map[reduce.Unit]phrase.Context{}
		for _, u := range []reduce.Unit{reduce.UnitInch, reduce.UnitFoot, reduce.UnitMillimetre} {
			in[r][u] = yard(t, r, u)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom([]reduce.Unit{reduce.UnitInch, reduce.UnitFoot, reduce.UnitMillimetre}).Draw(t, "unit")
		lang := rapid.SampledFrom([]string{"en", "es"}).Draw(t, "lang")
		c := in[reduce.Direct][unit]
		if unit == reduce.UnitInch {
			c.Finest = reduce.Inch / reduce.Length(rapid.SampledFrom([]int{8, 16, 32, 64}).Draw(t, "finest"))
		}
		high, low := phrase.SideWords(lang)
		v := c.Finest * reduce.Length(rapid.Int64Range(1, int64(reduce.DirectReach/c.Finest)-1).Draw(t, "steps"))
		said := phrase.AmountWords(lang, unit, unit.Amount(v, c.Finest))
		if unit == reduce.UnitInch && strings.ContainsAny(said, "0123456789/") && c.Finest > reduce.Inch/32 {
			t.Fatalf("%v is said as %q", v, said)
		}
		parsesTo(t, c, said+" "+low, -v)
		parsesTo(t, c, "c3 "+said+" "+high, v)
		if unit == reduce.UnitInch && c.Finest == unit.Finest() {
			a := unit.Amount(v+c.Finest/2, c.Finest)
			parsesTo(t, c, phrase.AmountWords(lang, unit, a)+" "+low, -v-c.Finest/2)
		}

		c = in[reduce.Standard][unit]
		v = c.Finest * reduce.Length(rapid.Int64Range(int64(reduce.Foot/c.Finest), int64(10*reduce.Foot/c.Finest)).Draw(t, "rod"))
		parsesTo(t, c, phrase.RodWords(lang, unit, unit.RodFigure(v, c.Finest)), v)
	})
}

// TestYesArguments: what may stand behind yes.
func TestYesArguments(t *testing.T) {
	c := yard(t, reduce.Direct, reduce.UnitInch)
	c.Asked = reduce.Corner(2)
	for text, want := range map[string]phrase.Arg{
		"yes": nil, "sí": nil, "that's right": nil, "yes c3": phrase.StationArg{Station: reduce.Corner(3)}, "sí c3": phrase.StationArg{Station: reduce.Corner(3)},
		"yes to all": phrase.Text("all"), "sí a todo": phrase.Text("all"), "confirm all": phrase.Text("all"),
	} {
		if m := phrase.Parse(c, text); m.Kind != phrase.Command || m.Command != phrase.CmdYes || m.Arg != want {
			t.Errorf("%q: %s %s %v", text, phrase.KindName(m), m.Command, m.Arg)
		}
	}
}
