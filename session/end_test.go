package session_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"rodcall/session"
)

// sloped is a 40x28 job whose stations fall evenly along x, by a sixteenth
// every 4 ft: what a grade dialled in looks like.
func sloped(t *testing.T, fall bool) *table {
	tb := newTable(t)
	for _, s := range []string{"new East house", "40x28", "direct rod"} {
		tb.say("ann", s)
	}
	v := tb.job().View()
	var lines []string
	for i, s := range v.Stations {
		sixteenths := i * 7 % 3 // level, with a scatter
		if fall {
			sixteenths = int(s.At.X.Decimal(4 * 304_800_000).IntPart())
		}
		said := fmt.Sprintf("%s %d/16 low", s.Name, sixteenths)
		if sixteenths == 0 {
			said = s.Name + " 0"
		}
		lines = append(lines, said)
	}
	tb.say("ann", strings.Join(lines[:len(lines)-1], "\n"))
	tb.say("ann", lines[len(lines)-1])
	return tb
}

func text(tb *table) string { return tb.last.Replies[0].Text }

// TestGradeDialledIsAsked: once, at the end of a walk that fits a slope; never
// where it fits a level as well.
func TestGradeDialledIsAsked(t *testing.T) {
	tb := sloped(t, true)
	if got := text(tb); !strings.Contains(got, "All 34 read.") || !strings.Contains(got, "5/8 in in 40 ft, down towards c2: is a grade dialled in?") {
		t.Error(got)
	}
	if got := tb.say("ann", "done"); strings.Contains(got, "grade") {
		t.Errorf("asked again: %s", got)
	}
	if tb = sloped(t, false); strings.Contains(text(tb), "grade") {
		t.Errorf("a level slab: %s", text(tb))
	}
}

// TestLot: a tenth of the stations is offered at the end; taking it up asks for
// one after the other, and what is read there is a check.
func TestLot(t *testing.T) {
	tb := sloped(t, false)
	if got := text(tb); !strings.Contains(got, "Before sign-off, read 4 again, drawn by lot: ") {
		t.Fatal(got)
	}
	got := tb.tap("ann", "re-shoot 4")
	lot := slices.Clone(tb.talks["ann"].Lot)
	if len(lot) != 4 {
		t.Fatalf("a lot of %d", len(lot))
	}
	if !strings.Contains(got, "check "+tb.job().StationName(lot[0])) && !strings.Contains(got, tb.job().StationName(lot[0])) {
		t.Error(got)
	}
	for i, s := range lot {
		if tb.talks["ann"].Asked != s {
			t.Fatalf("asked for %v, want %v", tb.talks["ann"].Asked, s)
		}
		if i == 1 {
			tb.quiet("ann", "banana", "not understood")
			tb.quiet("ann", "skip", "not checked")
			continue
		}
		got := tb.say("ann", "1/16 low")
		if r, ok := tb.last.Events[0].Body.(session.Read); !ok || !r.Check || r.Station != s {
			t.Errorf("stored %+v", tb.last.Events[0].Body)
		}
		if done := strings.Contains(got, "The lot is done."); done != (i == len(lot)-1) {
			t.Errorf("station %d of the lot: %s", i+1, got)
		}
	}
	if st := tb.job().State(); st != session.StateReview || !tb.talks["ann"].Asked.IsZero() {
		t.Errorf("state %s, asked %v", st, tb.talks["ann"].Asked)
	}
}

// TestLotIsTheSameAgain: the same job draws the same stations, another others.
func TestLotIsTheSameAgain(t *testing.T) {
	a, b := sloped(t, false), sloped(t, false)
	if !slices.Equal(a.talks["ann"].Lot, b.talks["ann"].Lot) {
		t.Error("two lots from one job")
	}
	a.say("bob", "por sorteo")
	if len(a.talks["bob"].Lot) == 0 || slices.Equal(a.talks["bob"].Lot, a.talks["ann"].Lot) && len(a.logs) == 0 {
		t.Error("no lot for a second person")
	}
}

// TestDisagreement: the reading that agrees least is named, one at a time.
func TestDisagreement(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new East house", "40x28", "direct rod", "c1 0", "c2 0", "c3 0", "c4 0"} {
		tb.say("ann", s)
	}
	for _, who := range []string{"bob", "eve"} {
		for _, s := range []string{"another rod", "c1 0", "c2 1/2 high", "c3 0", "c4 1/4 high"} {
			tb.say(who, s)
		}
	}
	got := tb.say("ann", "done")
	// By c1, c3 and c4 the first rod reads 1/12 lower than the others, and these
	// read 1/2 at c2: 5/12 of an inch, shown as 7/16.
	if strings.Count(got, "One reading does not agree") != 1 || !strings.Contains(got, "c2 at rod 0 (rod 1), 7/16 too low. Read it again: check c2") {
		t.Error(got)
	}
}

// TestDisagreementOfTwo: where two ties contradict each other, no reading is
// named as the wrong one.
func TestDisagreementOfTwo(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new East house", "40x28", "direct rod", "c1 0", "c2 0", "c3 0", "moved the laser", "c1 0", "c2 1/4 high"} {
		tb.say("ann", s)
	}
	got := tb.say("ann", "done")
	if want := "cannot be told: c1, c2. Read one of them again: check c1"; !strings.Contains(got, want) || strings.Contains(got, "One reading does not agree") {
		t.Error(got)
	}
}
