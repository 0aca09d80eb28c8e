package voice

import (
	"cmp"
	"slices"

	"rodcall/session/phrase"
)

// closeTo lists the readings that fit nearly as well as the one heard, nearest
// first; a value that the neighbours make likely comes before others.
func closeTo(l Listening, all sentences, heard phrase.Meaning, others []Other) []string {
	type rival struct {
		text   string
		m      phrase.Meaning
		behind float64
	}
	var rivals []rival
	for _, o := range others {
		s := all.meaning(o.Text)
		m := s.meaning
		if m.Kind != phrase.Reading || m.Station == heard.Station && m.Value == heard.Value {
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
		rivals = append(rivals, rival{s.text, m, behind})
	}
	slices.SortStableFunc(rivals, func(a, b rival) int { return cmp.Compare(a.behind, b.behind) })
	var out []string
	var seen []phrase.Meaning
	for _, r := range rivals {
		if !slices.ContainsFunc(seen, func(m phrase.Meaning) bool { return m.Station == r.m.Station && m.Value == r.m.Value }) {
			out, seen = append(out, r.text), append(seen, r.m)
		}
	}
	return out
}
