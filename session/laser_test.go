package session_test

import (
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
	"rodcall/session"
)

// TestPublishedTwoPegsInChat plays the published two-peg test whose distances are
// known (two-peg.tsv, with its source and status) and wants the corrected
// reading of the farther peg: 1.80 m where 1.50 m was read 120 m off.
func TestPublishedTwoPegsInChat(t *testing.T) {
	rows, err := os.ReadFile("../testdata/checks/two-peg.tsv")
	if err != nil {
		t.Fatal(err)
	}
	asked := 0
	for line := range strings.Lines(string(rows)) {
		f := strings.Fields(line)
		if strings.HasPrefix(line, "#") || len(f) != 12 || f[10] == "-" {
			continue
		}
		asked++
		tb := newTable(t)
		for _, s := range []string{"new Slope", "12x8 m", "units mm", "standard rod", "two pegs"} {
			tb.say("ann", s)
		}
		for _, i := range []int{0, 1, 4, 5} {
			tb.say("ann", f[i]+" m")
			if len(tb.last.Events) > 0 {
				t.Fatalf("%s stored something", f[i])
			}
		}
		tb.say("ann", f[6]+" m")
		got := tb.say("ann", f[7])
		want := decimal.RequireFromString(f[10]).Shift(3).String() + " mm"
		if !strings.Contains(got, "a should show "+want) {
			t.Errorf("want %s: %s", want, got)
		}
		// −0.25 m over 100 m is 75 mm in 30 m.
		if !strings.Contains(got, "off by 75.0 mm in 30 m") || !strings.Contains(got, "more than these readings leave to chance") {
			t.Error(got)
		}
	}
	if asked != 1 {
		t.Errorf("%d published tests asked", asked)
	}
}

// metricTable is a job with a standard rod in millimetres.
func metricTable(t *testing.T) *table {
	tb := newTable(t)
	for _, s := range []string{"new Slope", "12x8 m", "units mm", "standard rod"} {
		tb.say("ann", s)
	}
	return tb
}

// TestLaserTests: each dialogue, with nonsense, a look and an undo in its middle,
// keeps one event and is undone as one.
func TestLaserTests(t *testing.T) {
	for _, c := range []struct {
		start, lines []string
		result       string
		paper        string
	}{
		{[]string{"two pegs"}, []string{"1400", "1500", "1450", "1551", "2", "42 m"},
			"b should show 1550 mm and showed 1551 mm", "two pegs, 0.8 mm in 30 m"},
		{[]string{"four headings"}, []string{"30", "1412", "1410", "1408", "1410"},
			"tilts by 2.0 mm in 30 m", "four headings, 2.0 mm in 30 m"},
		// What it gives is checked below.
		{[]string{"c1 1400", "c2 1406", "c3 1406", "c4 1400", "half turn"}, []string{"1500", "1502", "1502"},
			"", "half turn, "},
	} {
		tb := metricTable(t)
		for _, s := range c.start {
			tb.say("ann", s)
		}
		for i, s := range c.lines {
			if i == 1 {
				tb.quiet("ann", "banana", "not understood")
				first := tb.quiet("ann", "repeat", "?")
				tb.quiet("ann", "left", "")
				tb.quiet("ann", "undo", "?")
				tb.quiet("ann", c.lines[0], "?")
				if again := tb.quiet("ann", "repeat", "?"); again != first {
					t.Errorf("asked %q, and after an undo %q", first, again)
				}
			}
			got := tb.say("ann", s)
			if i < len(c.lines)-1 && len(tb.last.Events) > 0 {
				t.Fatalf("%q stored something: %s", s, got)
			}
			if i == len(c.lines)-1 && !strings.Contains(got, c.result) {
				t.Errorf("want %q: %s", c.result, got)
			}
		}
		e := tb.last.Events
		if len(e) != 1 || session.KindOf(e[0].Body) != "laser-checked" {
			t.Fatalf("%v: %v", c.start, e)
		}
		if got := tb.job().View().SayLaser("en"); !strings.Contains(got, "beam tested 2026-05-04: "+c.paper) {
			t.Error(got)
		}
		tb.mustSay("ann", "undo", "Taken back: the check of the laser.")
		if got := tb.job().View().SayLaser("es"); got != "rayo sin probar en esta obra" {
			t.Error(got)
		}
	}
}

// TestHalfTurnInChat: slab and beam come apart as they were made.
func TestHalfTurnInChat(t *testing.T) {
	tb := metricTable(t)
	// The slab rises 12 mm over 12 m towards c2, the beam 6 mm: a standard rod
	// reads less on a high spot and more under a high beam.
	for _, s := range []string{"c1 1400", "c2 1394", "c3 1394", "c4 1400", "half turn"} {
		tb.say("ann", s)
	}
	j := tb.job()
	turned := map[string]string{"c1": "1406", "c2": "1388", "c3": "1388", "c4": "1406"}
	q := tb.talks["ann"].Question
	var got string
	for _, s := range q.Stations {
		got = tb.say("ann", turned[j.StationName(s)])
	}
	for _, want := range []string{"The three stations rise 30.0 mm in 30 m towards c2", "the beam rose 15.0 mm in 30 m towards c2", "send moved", "[moved]"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in %s", want, got)
		}
	}
	c := j.LaserCheck
	if c == nil || c.Rise != 15*reduce.Millimetre || c.Run != 30*reduce.Metre || len(c.Values) != 6 || !slices.Equal(c.Stations, q.Stations) {
		t.Errorf("stored %+v", c)
	}
}

// TestLaserTestsAreLeft: another reading or command ends a test and says so;
// another person's lines do not.
func TestLaserTestsAreLeft(t *testing.T) {
	tb := metricTable(t)
	tb.say("ann", "c1 1400")
	tb.say("ann", "two pegs")
	tb.say("ann", "1400")
	tb.say("bob", "c2 1410")
	tb.quiet("ann", "1500", "facing the same way")
	tb.mustSay("ann", "c2 1410", "The test of the laser is left there")
	tb.say("ann", "español")
	tb.say("ann", "cuatro lados")
	tb.quiet("ann", "999999", "no es distancia")
	tb.quiet("ann", "no", "Queda como estaba")
	tb.mustSay("ann", "c3 1400", "c3")
}

// TestCrossedHeadings: a laser that came to stand at another height is not
// judged.
func TestCrossedHeadings(t *testing.T) {
	tb := metricTable(t)
	for _, s := range []string{"four headings", "30", "1412", "1420", "1412"} {
		tb.say("ann", s)
	}
	tb.quiet("ann", "1420", "stood at another height after a turn")
}
