package phrase_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// yard is the job that the tables of phrases speak of: 40 x 28 ft, marks every
// 4 ft, a pier, c1+8 asked for.
func yard(t testing.TB, rod reduce.RodKind, unit reduce.Unit) phrase.Context {
	t.Helper()
	o, err := reduce.Outline{Grid: reduce.GridFor(reduce.UnitInch)}.WithLoop("", reduce.Point{}, reduce.Rectangle(40*reduce.Foot, 28*reduce.Foot))
	if err != nil {
		t.Fatal(err)
	}
	if o, err = o.WithPiers([]reduce.Point{{X: 20 * reduce.Foot, Y: 14 * reduce.Foot}}); err != nil {
		t.Fatal(err)
	}
	return phrase.Context{Rod: rod, Unit: unit, Finest: unit.Finest(), Outline: &o, Asked: reduce.Along(1, 8*reduce.Foot)}
}

// row is one line of a table: message, station, meaning, value in mm, and the
// answers that are offered, with " | " between them.
type row struct{ message, station, meaning, value, answers string }

func rows(t testing.TB, file string) []row {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "..", "testdata", "phrases", file))
	if err != nil {
		t.Fatal(err)
	}
	var out []row
	for _, l := range strings.Split(string(b), "\n") {
		if strings.HasPrefix(l, "#") || strings.TrimSpace(l) == "" {
			continue
		}
		f := strings.Split(l, "\t")
		for len(f) < 5 {
			f = append(f, "")
		}
		out = append(out, row{f[0], f[1], f[2], strings.TrimSpace(f[3]), strings.TrimSpace(f[4])})
	}
	return out
}

func checkRow(t *testing.T, c phrase.Context, r row) {
	t.Helper()
	m := phrase.Parse(c, r.message)
	got := phrase.KindName(m)
	if m.Kind == phrase.Command {
		got = "command:" + string(m.Command)
	}
	if got != r.meaning {
		t.Errorf("%q: %s (why %v, value %v), want %s", r.message, got, m.Why, m.Value, r.meaning)
		return
	}
	if offered := strings.Join(m.Answers, " | "); r.answers != "" && offered != r.answers {
		t.Errorf("%q: offers %q, want %q", r.message, offered, r.answers)
	}
	for _, a := range m.Answers {
		if k := phrase.Parse(c, a).Kind; k != phrase.Reading && k != phrase.Command {
			t.Errorf("%q: the answer %q is no reading", r.message, a)
		}
	}
	if m.Kind != phrase.Reading && !(m.Kind == phrase.Command && r.station != "-" && r.station != "") {
		return
	}
	want := r.station
	if want == "." {
		want = "c1+8"
	}
	if name := m.Station.Name(reduce.Foot); name != want {
		t.Errorf("%q: at %s, want %s", r.message, name, want)
	}
	if m.Kind == phrase.Reading && m.Value.String() != r.value {
		t.Errorf("%q: %v mm, want %s", r.message, m.Value, r.value)
	}
}

func TestDirectRows(t *testing.T) {
	for _, file := range []string{"phrases.tsv", "crew.tsv"} {
		for _, r := range rows(t, file) {
			checkRow(t, yard(t, reduce.Direct, reduce.UnitInch), r)
		}
	}
}

func TestStandardRows(t *testing.T) {
	for _, file := range []string{"phrases-standard.tsv", "crew-standard.tsv"} {
		for _, r := range rows(t, file) {
			checkRow(t, yard(t, reduce.Standard, reduce.UnitInch), r)
		}
	}
}
