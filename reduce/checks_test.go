package reduce_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
)

// checks reads a table of published figures: its rows, cut at tabs, without
// comments. The sources stand in the file itself. It fails where the number of
// rows or of fields is not the one expected, so that no check is lost unseen.
func checks(t *testing.T, name string, rows, fields int) [][]string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "testdata", "checks", name))
	if err != nil {
		t.Fatal(err)
	}
	var out [][]string
	for line := range strings.Lines(string(b)) {
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		f := strings.Split(line, "\t")
		if len(f) != fields {
			t.Fatalf("%s: %d fields in %q, want %d", name, len(f), line, fields)
		}
		out = append(out, f)
	}
	if len(out) != rows {
		t.Fatalf("%s: %d rows, want %d", name, len(out), rows)
	}
	return out
}

// length is so many units, exactly.
func length(t testing.TB, amount string, unit reduce.Length) reduce.Length {
	t.Helper()
	d, err := decimal.NewFromString(amount)
	if err != nil {
		t.Fatal(err)
	}
	l, err := reduce.FromDecimal(d, unit)
	if err != nil {
		t.Fatalf("%s: %v", amount, err)
	}
	return l
}

// TestSixteenthsInDecimalFeet checks the table of every sixteenth of an inch.
func TestSixteenthsInDecimalFeet(t *testing.T) {
	for _, row := range checks(t, "inch-sixteenths.tsv", 15, 2) {
		n := decimal.RequireFromString(row[0]).IntPart()
		l, err := reduce.Fraction(n, 16, reduce.Inch)
		if err != nil {
			t.Fatal(err)
		}
		if got := l.Decimal(reduce.Foot).Round(6); !got.Equal(decimal.RequireFromString(row[1])) {
			t.Errorf("%s/16 in = %v ft, want %s", row[0], got, row[1])
		}
	}
}

// TestPublishedConversions checks conversions that others published.
func TestPublishedConversions(t *testing.T) {
	units := map[string]reduce.Length{
		"ft": reduce.Foot, "in": reduce.Inch, "cm": reduce.Centimetre, "mm": reduce.Millimetre,
	}
	for _, row := range checks(t, "lengths.tsv", 9, 5) {
		var l reduce.Length
		for i, unit := range strings.Fields(row[0]) {
			l += length(t, strings.Fields(row[1])[i], units[unit])
		}
		places := int32(decimal.RequireFromString(row[3]).IntPart())
		var got []string
		to := strings.Fields(row[2])
		for i, name := range to {
			unit := units[name]
			if i == len(to)-1 {
				got = append(got, l.Decimal(unit).StringFixed(places))
				break
			}
			whole := l / unit
			got = append(got, decimal.NewFromInt(int64(whole)).String())
			l -= whole * unit
		}
		if s := strings.Join(got, " "); s != row[4] {
			t.Errorf("%s %s = %s %s, want %s", row[1], row[0], s, row[2], row[4])
		}
	}
}
