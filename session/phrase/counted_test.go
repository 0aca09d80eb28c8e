package phrase_test

import (
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// counting is the yard with digits that count parts.
func counting(t testing.TB, part int) phrase.Context {
	t.Helper()
	c := yard(t, reduce.Direct, reduce.UnitInch)
	c.Count = part
	return c
}

// TestCountedRows: what digits mean where they count sixteenths; all else is what
// it always is.
func TestCountedRows(t *testing.T) {
	c := counting(t, 16)
	for _, r := range []row{
		{"-6", ".", "reading", "-9.525", ""},
		{"+6", ".", "reading", "9.525", ""},
		{"6 low", ".", "reading", "-9.525", ""},
		{"6 bajo", ".", "reading", "-9.525", ""},
		{"raise 6", ".", "reading", "-9.525", ""},
		{"6", ".", "ask", "", "3/8 low | 3/8 high"},
		{"007", ".", "ask", "", "7/16 low | 7/16 high"},
		{"32", ".", "ask", "", "2 in low | 2 in high"},
		{"6 heavy", ".", "ask", "", "3/8 heavy low | 3/8 heavy high"},
		{"6 heavy low", ".", "reading", "-10.31875", ""},
		{"6 shy high", ".", "reading", "8.73125", ""},
		{"0", ".", "reading", "0", ""},
		{"00", ".", "reading", "0", ""},
		{"-38", ".", "ask", "", "2 3/8 low | 3/8 low"},
		{"-40", ".", "reading", "-63.5", ""},
		{"-192", ".", "reading", "-304.8", ""},
		{"193", "-", "refuse", "", ""},
		{"-316", ".", "ask", "", "3/16 low"},
		{"-1316", ".", "ask", "", "13/16 low | 1 3/16 low"},
		{"c3 6", "c3", "ask", "", "c3 3/8 low | c3 3/8 high"},
		{"c3+8 6", "c3+8", "ask", "", "c3+8 3/8 low | c3+8 3/8 high"},
		{"c3+8 -6", "c3+8", "reading", "-9.525", ""},
		{"3+8 6 low", "c3+8", "reading", "-9.525", ""},
		{"p1 -6", "p1", "reading", "-9.525", ""},
		{"bm 6 high", "bm", "reading", "9.525", ""},
		{"c3+6", "c3+6", "ask", "", "c3+6 on"},
		{"c3 +6", "c3", "ask", "", "c3 3/8 high"},
		{"6 6", ".", "ask", "", "6 3/8 low | 6 3/8 high"},
		{"-1 6", ".", "ask", "", "1 3/8 low"},
		{"3 8", ".", "ask", "", "3/8 low | 3/8 high | 3 1/2 low | 3 1/2 high"},
		{"-6 -4", ".", "ask", "", "3/8 low | 1/4 low"},
		{"lower 6", ".", "ask", "", "3/8 low | 3/8 high"},
		{"check c3 -6", "c3", "command:check", "", ""},
		{"c3 is -6", "c3", "command:correct", "", ""},
		{"3/8 low", ".", "reading", "-9.525", ""},
		{"-1 3/8", ".", "reading", "-34.925", ""},
		{"-1 38", ".", "reading", "-34.925", ""},
		{"-0.375", ".", "ask", "", "0.375 in low"},
		{"6.5 low", ".", "ask", "", "6.5 in low | 13/32 low"},
		{"-3.5", ".", "ask", "", "3.5 in low | 7/32 low"},
		{"0.5", ".", "ask", "", "0.5 in low | 0.5 in high | 1/32 low | 1/32 high"},
		{"c3 -6,5", "c3", "ask", "", "c3 6.5 in low | c3 13/32 low"},
		{"0.0", ".", "reading", "0", ""},
		{"minus point five", ".", "reading", "-12.7", ""},
		{"-9.5mm", ".", "reading", "-9.5", ""},
		{"-6s", ".", "reading", "-9.525", ""},
		{"-6e", ".", "reading", "-19.05", ""},
		{"6 in low", ".", "reading", "-152.4", ""},
		{"three eighths low", ".", "reading", "-9.525", ""},
		{"six low", ".", "ask", "", "6 in low"},
	} {
		checkRow(t, c, r)
	}
	c.Count = 8
	for _, r := range []row{
		{"-3", ".", "reading", "-9.525", ""},
		{"6", ".", "ask", "", "3/4 low | 3/4 high"},
		{"16 low", ".", "reading", "-50.8", ""},
	} {
		checkRow(t, c, r)
	}
}

// TestCountedDigits: digits alone, with a sign or without, are so many parts, or
// asked back with sides, or refused; nothing else. What the rod shows is never
// another number than was sent without being asked.
func TestCountedDigits(t *testing.T) {
	in := map[int]phrase.Context{8: counting(t, 8), 16: counting(t, 16)}
	rapid.Check(t, func(t *rapid.T) {
		part := rapid.SampledFrom([]int{8, 16}).Draw(t, "part")
		sign := rapid.SampledFrom([]string{"", "-", "+"}).Draw(t, "sign")
		digits := rapid.StringMatching(`[0-9]{1,6}`).Draw(t, "digits")
		n, err := strconv.Atoi(digits)
		if err != nil {
			t.Fatal(err)
		}
		c := in[part]
		v := reduce.Length(n) * reduce.Inch / reduce.Length(part)
		m := phrase.Parse(c, sign+digits)
		far := v > reduce.DirectReach
		if habit := v > 2*reduce.Inch && !far && m.Kind == phrase.Ask; habit {
			// It would be a fraction without counting, too: both are offered.
			if k := phrase.Parse(c, m.Answers[0]); k.Value.Abs() != v || len(m.Answers) < 2 {
				t.Fatalf("%s%s in 1/%d offers %q", sign, digits, part, m.Answers)
			}
			return
		}
		switch {
		case m.Kind == phrase.Reading:
			if far || m.Value.Abs() != v || n > 0 && sign == "" || n > 0 && (m.Value < 0) != (sign == "-") {
				t.Fatalf("%s%s in 1/%d reads %v", sign, digits, part, m.Value)
			}
		case n == 0, !far && sign != "":
			t.Fatalf("%s%s in 1/%d is a %s", sign, digits, part, phrase.KindName(m))
		case m.Kind == phrase.Ask:
			if !far && len(m.Answers) != 2 {
				t.Fatalf("%s in 1/%d offers %q", digits, part, m.Answers)
			}
			for i, a := range m.Answers {
				k := phrase.Parse(c, a)
				if k.Kind != phrase.Reading || !far && (k.Value.Abs() != v || (k.Value < 0) != (i == 0)) {
					t.Fatalf("%s in 1/%d offers %q, which reads %v", digits, part, a, k.Value)
				}
			}
		case m.Kind != phrase.Refuse || !far:
			t.Fatalf("%s%s in 1/%d is a %s", sign, digits, part, phrase.KindName(m))
		}
	})
}

// TestCountingLeavesTheRest: on a standard rod and in other units nothing hangs
// on the count, and a reading that is no number in digits alone is the same one.
func TestCountingLeavesTheRest(t *testing.T) {
	same := func(c phrase.Context, line string, all bool) {
		t.Helper()
		was := phrase.Parse(c, line)
		c.Count = 16
		if is := phrase.Parse(c, line); (all || was.Kind == phrase.Reading) && !sameMeaning(was, is) {
			t.Errorf("%q: %+v, counted %+v", line, was, is)
		}
	}
	kept, digits := 0, 0
	for _, file := range []string{"phrases.tsv", "crew.tsv"} {
		for _, r := range rows(t, file) {
			same(yard(t, reduce.Direct, reduce.UnitFoot), r.message, true)
			same(yard(t, reduce.Direct, reduce.UnitMillimetre), r.message, true)
			if strings.ContainsAny(r.message, "0123456789") && !strings.ContainsAny(r.message, "/⅛¼⅜½⅝¾⅞") {
				digits++ // -38 is another number, on purpose
				continue
			}
			kept++
			same(yard(t, reduce.Direct, reduce.UnitInch), r.message, false)
		}
	}
	if kept < 400 || digits < 100 {
		t.Errorf("%d rows without digits alone, %d with: the tables are not what this test reads", kept, digits)
	}
	for _, file := range []string{"phrases-standard.tsv", "crew-standard.tsv"} {
		for _, r := range rows(t, file) {
			same(yard(t, reduce.Standard, reduce.UnitInch), r.message, true)
		}
	}
}
