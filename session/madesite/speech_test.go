package madesite_test

import (
	"testing"

	"rodcall/reduce"
	"rodcall/session/madesite"
	"rodcall/session/phrase"
)

// TestSpeechIsUnderstood: what a crew would send means the reading that it was
// made of, on both kinds of rod, in all units and both languages.
func TestSpeechIsUnderstood(t *testing.T) {
	o := house(t)
	for _, u := range []reduce.Unit{reduce.UnitInch, reduce.UnitFoot, reduce.UnitMillimetre} {
		p := madesite.Default(u, u.Finest())
		for _, kind := range []reduce.RodKind{reduce.Direct, reduce.Standard} {
			for seed := range uint64(60) {
				s := madesite.New(seed, o, p.Ground)
				crew := s.NewCrew(1, kind, u, s.SetUp(1, p), p)
				for _, st := range o.Stations() {
					v, ok := crew.See(st)
					if !ok {
						t.Fatal("out of reach")
					}
					lang := []string{"en", "es"}[seed%2]
					text := crew.Say(lang, v)
					for _, named := range []bool{false, true} {
						said := text
						if named {
							said = st.Name(reduce.Foot) + " " + text
						}
						m := phrase.Parse(phrase.Context{Rod: kind, Unit: u, Finest: u.Finest(), Outline: &o, Asked: st}, said)
						if m.Kind != phrase.Reading || m.Value != v || m.Station != st {
							t.Fatalf("%v %v %s: %q means %+v, want %v at %v", u, kind, lang, said, m, v, st)
						}
					}
				}
			}
		}
	}
}
