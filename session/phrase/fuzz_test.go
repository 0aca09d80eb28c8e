package phrase_test

import (
	"slices"
	"strings"
	"testing"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// upper writes the letters of the English alphabet in capitals and leaves
// every other byte alone, as a line need not be valid text.
func upper(line string) string {
	b := []byte(line)
	for i := range b {
		if 'a' <= b[i] && b[i] <= 'z' {
			b[i] -= 'a' - 'A'
		}
	}
	return string(b)
}

// sameMeaning compares what a line means, without the words it was said in.
func sameMeaning(a, b phrase.Meaning) bool {
	return a.Kind == b.Kind && a.Station == b.Station && a.Named == b.Named && a.Value == b.Value &&
		a.Command == b.Command && a.Why.Code == b.Why.Code && a.Lang == b.Lang && slices.Equal(a.Answers, b.Answers)
}

// FuzzParse: any line has one meaning, whatever its case and the space around
// it; a reading has a station and a value that the rod can show; a
// question has an answer, and whatever is offered as one is itself a reading
// or a command. It is so whatever digits alone count.
func FuzzParse(f *testing.F) {
	for _, file := range []string{"phrases.tsv", "phrases-standard.tsv", "crew.tsv", "crew-standard.tsv"} {
		for i, r := range rows(f, file) {
			f.Add(r.message, uint8(i))
		}
	}
	f.Add("c1 -1/8\xff", uint8(0))
	f.Add(strings.Repeat("9", 400), uint8(1))
	f.Fuzz(func(t *testing.T, line string, mode uint8) {
		rod := []reduce.RodKind{reduce.Direct, reduce.Standard}[mode%2]
		unit := []reduce.Unit{reduce.UnitInch, reduce.UnitFoot, reduce.UnitMillimetre}[mode/2%3]
		c := yard(t, rod, unit)
		if mode >= 128 {
			c.Outline = &reduce.Outline{Grid: reduce.GridFor(unit)}
		}
		c.Count = []int{0, 8, 16}[len(line)%3]
		m := phrase.Parse(c, line)
		if trimmed := strings.TrimSpace(line); m.Why.Code != phrase.WhyTooLong && m.Said != trimmed {
			t.Errorf("said %q, kept %q", trimmed, m.Said)
		}
		switch m.Kind {
		case phrase.Reading:
			if m.Station == (reduce.Station{}) || !rod.Reaches(m.Value) {
				t.Errorf("%q: a reading of %v at %v", line, m.Value, m.Station)
			}
		case phrase.Command:
			if m.Command == "" {
				t.Errorf("%q: a command without a name", line)
			}
		case phrase.Ask, phrase.Refuse:
			if m.Why.Code == "" || m.Value != 0 {
				t.Errorf("%q: %v with value %v", line, m.Why, m.Value)
			}
		default:
			t.Errorf("%q: kind %d", line, m.Kind)
		}
		if m.Kind == phrase.Ask && len(m.Answers) == 0 {
			t.Errorf("%q: a question (%v) without an answer", line, m.Why)
		}
		if m.Kind != phrase.Ask && len(m.Answers) > 0 {
			t.Errorf("%q: answers %q to no question", line, m.Answers)
		}
		for _, a := range m.Answers {
			if k := phrase.Parse(c, a); k.Kind != phrase.Reading && k.Kind != phrase.Command {
				t.Errorf("%q: the answer %q is neither a reading nor a command", line, a)
			} else if k.Kind == phrase.Reading && k.Station != m.Station && m.Named {
				// An answer may name another station, but only by name.
				if !k.Named {
					t.Errorf("%q: the answer %q lost the station", line, a)
				}
			}
		}
		if again := phrase.Parse(c, " \t"+line+" \n"); !sameMeaning(m, again) || m.Said != again.Said {
			t.Errorf("%q means another thing with space around it", line)
		}
		if loud := phrase.Parse(c, upper(line)); !sameMeaning(m, loud) {
			t.Errorf("%q means another thing in capitals: %+v, %+v", line, m, loud)
		}
	})
}
