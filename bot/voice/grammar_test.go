package voice

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// site is a job of 40 × 28 ft with a pier, where c1+8 is asked for.
func site(t testing.TB, rod reduce.RodKind, unit reduce.Unit) phrase.Context {
	t.Helper()
	o, err := reduce.Outline{Grid: reduce.GridFor(unit)}.WithLoop("", reduce.Point{}, reduce.Rectangle(40*reduce.Foot, 28*reduce.Foot))
	if err != nil {
		t.Fatal(err)
	}
	if o, err = o.WithPiers([]reduce.Point{{X: 20 * reduce.Foot, Y: 14 * reduce.Foot}}); err != nil {
		t.Fatal(err)
	}
	return phrase.Context{Rod: rod, Unit: unit, Finest: unit.Finest(), Outline: &o, Asked: reduce.Along(1, 8*reduce.Foot)}
}

// everyWord knows every word.
var everyWord = lexicon{func(string) bool { return true }, func(a, b string) bool { return a == b }}

// sentenceOf draws a sentence of a rule.
func sentenceOf(t *rapid.T, g Grammar, r rule) []string {
	var out []string
	for _, token := range rapid.SampledFrom(r.ways).Draw(t, r.name) {
		if isRule(token) {
			out = append(out, sentenceOf(t, g, g.rule(token))...)
		} else {
			out = append(out, token)
		}
	}
	return out
}

// TestGrammarIsTyped: every sentence of the grammar, as it is handed on, is a
// reading or a command, on every rod; one of a station that the job does not
// have is refused for that.
func TestGrammarIsTyped(t *testing.T) {
	for _, rod := range []reduce.RodKind{reduce.Direct, reduce.Standard} {
		for _, unit := range []reduce.Unit{reduce.UnitInch, reduce.UnitFoot, reduce.UnitMillimetre} {
			c := site(t, rod, unit)
			var all []reading
			if rod == reduce.Direct {
				all = everyWord.readings(c)
			}
			g, sentences := everyWord.grammar(c, all), everyWord.sentences(c, all)
			rapid.Check(t, func(t *rapid.T) {
				way := rapid.SampledFrom(g.rules[0].ways).Draw(t, "way")
				line := strings.Join(sentenceOf(t, g, rule{ways: [][]string{way}}), " ")
				m := sentences.meaning(line).meaning
				why := []phrase.WhyCode{phrase.WhyNoStation, phrase.WhyNoPier, phrase.WhyPastEnd}
				switch {
				case m.Kind == phrase.Reading, m.Kind == phrase.Command:
				case m.Kind == phrase.Refuse && slices.Contains(way, "<other>") && slices.Contains(why, m.Why.Code):
				default:
					t.Errorf("%v %v: %q is %s: %v", rod, unit, line, phrase.KindName(m), m.Why)
				}
			})
		}
	}
}

// TestReadingsMean: each sentence of a direct rod means the value that it is
// listed with.
func TestReadingsMean(t *testing.T) {
	for _, unit := range []reduce.Unit{reduce.UnitInch, reduce.UnitFoot, reduce.UnitMillimetre} {
		c := site(t, reduce.Direct, unit)
		all := everyWord.readings(c)
		if len(all) < 100 {
			t.Errorf("%v: only %d sentences", unit, len(all))
		}
		for _, r := range all {
			if m := phrase.Parse(c, strings.Join(r.words, " ")); m.Kind != phrase.Reading || m.Value != r.value {
				t.Errorf("%v: %q is %v, not %v", unit, r.words, m.Value, r.value)
			}
		}
	}
}

// TestLikelyStations: the station that is asked for is expected first, then the
// others of the walk, then those that the job does not have, and least a spot of
// its walls between the stations; where no outline was told, all are alike.
func TestLikelyStations(t *testing.T) {
	weights := func(c phrase.Context) map[string]float64 {
		g := everyWord.grammar(c, everyWord.readings(c))
		start, out := g.rule("<sentence>"), map[string]float64{}
		for i, way := range start.ways {
			if len(way) == 2 && isRule(way[0]) {
				for _, words := range g.rule(way[0]).ways {
					out[strings.Join(words, " ")] = start.weight(i)
				}
			}
		}
		return out
	}
	c := site(t, reduce.Direct, reduce.UnitInch)
	c.Asked = reduce.Along(3, 16*reduce.Foot)
	w := weights(c)
	asked, walked, foreign, between := w["corner three plus sixteen"], w["corner two plus sixteen"], w["corner seven"], w["corner three plus fifteen"]
	if asked != 1 || walked >= asked || foreign >= walked || between >= foreign || between <= 0 {
		t.Errorf("asked for %g, of the walk %g, not of the job %g, between stations %g", asked, walked, foreign, between)
	}
	c.Outline = &reduce.Outline{Grid: c.Outline.Grid}
	w = weights(c)
	if w["corner two plus sixteen"] != walked || w["corner three plus fifteen"] != walked {
		t.Errorf("without an outline %g and %g, want %g", w["corner two plus sixteen"], w["corner three plus fifteen"], walked)
	}
}
