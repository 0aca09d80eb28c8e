package session_test

import (
	"strings"
	"testing"

	"rodcall/reduce"
)

// TestToleranceSaysItsUnit, and one wider than an inch is asked back: it is
// kept once tapped or sent again, and not otherwise.
func TestToleranceSaysItsUnit(t *testing.T) {
	for unit, c := range map[string]struct{ small, said, wide, asked, mm string }{
		"in": {"tolerance 1", "Tolerance: 1 in either way", "tolerance 3", "3 in either way: is that meant?", "76.2"},
		"mm": {"tolerance 25", "Tolerance: 25 mm either way", "tolerance 26 mm", "26 mm either way: is that meant?", "26"},
		"ft": {"tolerance 0.01", "Tolerance: 0.01 ft either way", "tolerance 0.5", "0.50 ft either way: is that meant?", "152.4"},
	} {
		tb := onSite(t)
		tb.say("ann", "units "+unit)
		tb.mustSay("ann", c.small, c.said)
		was := tb.job().Tolerance
		stays := func(after string) {
			t.Helper()
			if got := tb.job().Tolerance; got != was {
				t.Errorf("%s: after %s the tolerance is %s mm", unit, after, got)
			}
		}
		tb.mustSay("ann", c.wide, c.asked)
		stays("the question")
		tb.mustSay("ann", "repeat", "is meant")
		tb.say("ann", "asdf")
		tb.mustSay("ann", c.wide, c.asked)
		stays("a question that was left")
		tb.say("ann", "0")
		tb.mustSay("ann", c.wide, c.asked)
		tb.say("ann", c.wide)
		if got := tb.job().Tolerance.String(); got != c.mm {
			t.Errorf("%s: sent twice, the tolerance is %s mm", unit, got)
		}
		tb.say("ann", "undo")
		stays("undo")
		tb.say("ann", c.wide)
		tb.tap("ann", "yes, "+strings.TrimSuffix(c.asked, " either way: is that meant?"))
		if got := tb.job().Tolerance.String(); got != c.mm {
			t.Errorf("%s: tapped, the tolerance is %s mm", unit, got)
		}
	}
}

// TestExamplesInMillimetres: a metric job is not sent to fractions of an inch.
func TestExamplesInMillimetres(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "units mm")
	for _, c := range [][2]string{
		{"finest 1/32", "1/32 is for inches; this job counts millimetres. Like: finest 0.1"},
		{"finest 1/8\"", "1/8 is for inches; this job counts millimetres. Like: finest 0.1"},
		{"finest 5", "Like: finest 0.1"}, {"tolerance asdf", "tolerance 3 mm"}, {"c2 9 high", "c2: 9 mm high"}, {"done", "datum -3"}, {"datum high", "set yours: tolerance 3 mm"},
		{"help", "c3 -9, c3+2 6 high"}, {"español", ""}, {"fino 1/32", "Como: fino 0.1"}, {"tolerancia asdf", "tolerancia 3 mm"},
	} {
		if got := tb.mustSay("ann", c[0], c[1]); strings.Contains(got, "3/8") || strings.Contains(got, "tolerance 1/8") {
			t.Errorf("%s: %q", c[0], got)
		}
	}
	// In inches the same word sets it.
	tb = onSite(t)
	tb.mustSay("ann", "finest 1/32", "to the nearest 1/32 in")
}

// TestTwoNamesOfOneSpot that do not agree are remarked on once, in a text of
// many lines too.
func TestTwoNamesOfOneSpot(t *testing.T) {
	shared := func() *table {
		tb := onSite(t)
		tb.say("ann", "loop garage 24x22 at 40,0")
		return tb
	}
	const remark = "c2 and c5 are one spot and differ by 1/8."
	tb := shared()
	tb.say("ann", "c2 1/8 low")
	tb.mustSay("ann", "c5 1/4 low", remark)
	if got := tb.say("ann", "c5 1/4 low"); strings.Contains(got, "one spot") {
		t.Errorf("said twice: %q", got)
	}
	tb = shared()
	tb.mustSay("ann", "c5 1/4 low\nc2 1/8 low\nc3 0", remark)
	tb = shared()
	tb.say("ann", "c2 1/8 low")
	if got := tb.say("ann", "c5 1/16 low"); strings.Contains(got, "one spot") {
		t.Errorf("no more apart than the finest amount: %q", got)
	}
	tb.mustHear(tb.edit("ann", tb.next, "c5 1/4 low"), remark)
	// One that has no height cannot be compared.
	tb = newTable(t)
	for _, s := range []string{"new East house", "40x28", "loop garage 24x22 at 40,0", "direct rod", "c2 1/8 low"} {
		tb.say("ann", s)
	}
	if got := tb.say("ann", "c5 1/2 low"); strings.Contains(got, "one spot") {
		t.Errorf("without the reference: %q", got)
	}
	if tb.job().Finest != reduce.Inch/16 {
		t.Errorf("the finest amount is %s mm", tb.job().Finest)
	}
}
