package phrase_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// TestSpokenAmounts: an amount that is said is read as what it is worth, on
// every rod.
func TestSpokenAmounts(t *testing.T) {
	for _, rod := range []reduce.RodKind{reduce.Direct, reduce.Standard} {
		for _, unit := range []reduce.Unit{reduce.UnitInch, reduce.UnitFoot, reduce.UnitMillimetre} {
			c := yard(t, rod, unit)
			families := phrase.SpokenAmounts(c)
			side, sign := "", reduce.Length(1)
			if rod == reduce.Direct {
				_, low := phrase.SideWords("en")
				side, sign = " "+low, -1
			}
			for i, family := range families {
				rapid.Check(t, func(t *rapid.T) {
					var words []string
					var value reduce.Length
					for _, part := range family {
						p := rapid.SampledFrom(part).Draw(t, "part")
						if p.Text != "" {
							words = append(words, p.Text)
						}
						value += p.Value
					}
					line := strings.Join(words, " ") + side
					m := phrase.Parse(c, line)
					if m.Kind != phrase.Reading || m.Value != sign*value || m.Named {
						t.Fatalf("%v %v, family %d: %q is %s %v %v, not %v", rod, unit, i, line, phrase.KindName(m), m.Value, m.Why, sign*value)
					}
				})
			}
		}
	}
}

// TestSayStation: a station that is said is read as that station.
func TestSayStation(t *testing.T) {
	c := yard(t, reduce.Direct, reduce.UnitInch)
	stations := append(c.Outline.Stations(), reduce.BenchmarkNumber(1), reduce.TurningNumber(2))
	for _, s := range stations {
		said := phrase.SayStation(s, c.Outline.Grid.Mark)
		if len(said) == 0 {
			t.Errorf("%s is not said", s.Name(c.Outline.Grid.Mark))
		}
		for _, text := range said {
			line := text + " minus three eighths"
			if m := phrase.Parse(c, line); m.Kind != phrase.Reading || m.Station != s || !m.Named {
				t.Errorf("%q is %s of %v: %v", line, phrase.KindName(m), m.Station, m.Why)
			}
		}
	}
}
