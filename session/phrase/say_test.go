package phrase_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// TestWhatTheBotSaysReadsBack: an amount as the bot shows it, sent with its
// side in the same language, is the amount again. Whole inches are left out:
// "2 low" without a unit is asked back.
func TestWhatTheBotSaysReadsBack(t *testing.T) {
	in := map[reduce.Unit]phrase.Context{}
	for _, u := range []reduce.Unit{reduce.UnitInch, reduce.UnitFoot, reduce.UnitMillimetre} {
		in[u] = yard(t, reduce.Direct, u)
	}
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom([]reduce.Unit{reduce.UnitInch, reduce.UnitFoot, reduce.UnitMillimetre}).Draw(t, "unit")
		lang := rapid.SampledFrom([]string{"en", "es"}).Draw(t, "lang")
		c := in[unit]
		step := c.Finest
		if unit == reduce.UnitInch {
			step /= 2 // heavy and shy
		}
		v := step * reduce.Length(rapid.Int64Range(1, int64(reduce.DirectReach/step)-1).Draw(t, "steps"))
		high, low := phrase.SideWords(lang)
		a := unit.Amount(v, c.Finest)
		text := phrase.SayAmount(lang, unit, a)
		if unit == reduce.UnitInch && !strings.Contains(a.Figure, "/") {
			t.Skip("whole inches")
		}
		parsesTo(t, c, text+" "+low, -v)
		parsesTo(t, c, "c3 "+strings.Replace(text, " ", "-", strings.Count(a.Figure, " "))+" "+high, v)
	})
}

// TestExamplesRead: the example in a refusal is a reading of the rod at hand.
func TestExamplesRead(t *testing.T) {
	for _, rod := range []reduce.RodKind{reduce.Direct, reduce.Standard} {
		for _, unit := range []reduce.Unit{reduce.UnitInch, reduce.UnitFoot, reduce.UnitMillimetre} {
			c := yard(t, rod, unit)
			for _, at := range []string{"", "c3 ", "c3+1 "} {
				if m := phrase.Parse(c, at+c.Example()); m.Kind != phrase.Reading {
					t.Errorf("%v, %v: the example %q is no reading: %v", rod, unit, at+c.Example(), m.Why)
				}
			}
			if m := phrase.Parse(c, "asdf"); m.Why.Args[len(m.Why.Args)-1] != c.Example() {
				t.Errorf("%v, %v: the refusal %v does not end in the example %q", rod, unit, m.Why, c.Example())
			}
		}
	}
}

// benchLines are a mix as we expect crews to send it; it was not counted on
// real jobs.
var benchLines = []string{
	"-3/8", "3/8 low", "c3+8 -5/16", "three eighths low", "-38", "⅜ low", "-9.5 mm", "corner three plus eight, quarter low",
	"tres octavos bajo", "0", "on", "3/8", "c3 is -1/4", "undo", "what's left", "picture", "they bumped the laser", "asdf",
}

// BenchmarkParse reads one line of a typical mix; half of its lines are
// short typed readings.
func BenchmarkParse(b *testing.B) {
	c := yard(b, reduce.Direct, reduce.UnitInch)
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		if m := phrase.Parse(c, benchLines[i%len(benchLines)]); m.Kind == 0 {
			b.Fatal("no meaning")
		}
		i++
	}
}

// TestReasons: a command with a part that cannot be says why.
func TestReasons(t *testing.T) {
	c := yard(t, reduce.Direct, reduce.UnitInch)
	for line, want := range map[string]phrase.WhyCode{
		"walls 40": phrase.WhyFewWalls, "walls 40 straight 28": phrase.WhyNoTurn, "muros 40 28 40 28": phrase.WhyNoTurn,
		"999999x999999": phrase.WhyLongWall, "walls 999999 left 28 left 40 left 28": phrase.WhyLongWall,
		"tolerance 0": phrase.WhyNotPositive, "spacing 0": phrase.WhyNotPositive, "datum 1/8": phrase.WhyDatumSide,
		"undo c2": phrase.WhyTakesNone, "skip c2": phrase.WhyTakesNone, "delete c2": phrase.WhyTakesNone, "borra c2": phrase.WhyTakesNone,
		"8/8 low": phrase.WhyMeant, "udno": phrase.WhyMeant, "c1+4 c1+8 1/4 low": phrase.WhyTwoStations,
		"c1+99999999999999999 1/4 low": phrase.WhyPastEnd, "99999999999999999999/8 low": phrase.WhyReach,
	} {
		if m := phrase.Parse(c, line); m.Why.Code != want {
			t.Errorf("%q: %v, want %s", line, m.Why, want)
		}
	}
}
