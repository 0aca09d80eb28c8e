package voice

import (
	"cmp"
	"slices"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// closeTo lists the readings of the same station that fit nearly as well as the
// one heard, nearest first; one that the neighbours make likely comes before
// others.
func closeTo(l Listening, stations []spoken, heard phrase.Meaning, others []Other) []string {
	type rival struct {
		text   string
		value  reduce.Length
		behind float64
	}
	var all []rival
	for _, o := range others {
		s := meaningOf(l.Context, stations, o.Text)
		m := s.meaning
		if m.Kind != phrase.Reading || m.Station != heard.Station || m.Value == heard.Value {
			continue
		}
		limit := closeMargin
		if cmp.Compare(m.Value, 0) != cmp.Compare(heard.Value, 0) {
			limit = closeSide
		}
		if o.Behind > limit {
			continue
		}
		behind := o.Behind
		if slices.Contains(l.Expect, m.Value) {
			behind -= closeMargin
		}
		all = append(all, rival{s.text, m.Value, behind})
	}
	slices.SortStableFunc(all, func(a, b rival) int { return cmp.Compare(a.behind, b.behind) })
	var out []string
	var seen []reduce.Length
	for _, r := range all {
		if !slices.Contains(seen, r.value) {
			out, seen = append(out, r.text), append(seen, r.value)
		}
	}
	return out
}
