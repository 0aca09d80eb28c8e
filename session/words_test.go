package session_test

import (
	"strings"
	"testing"
)

// stepped is a job on a standard rod that is walked up to a section 8 in lower.
func stepped(t *testing.T) *table {
	tb := newTable(t)
	for _, s := range []string{"new East house", "40x28", "standard rod", "step c1+28 c3+12 8 in lower",
		"55", "55 1/4", "55 1/8", "55", "55 1/4", "55 1/4", "55", "63 1/4", "63"} {
		tb.say("ann", s)
	}
	return tb
}

// TestMissedStep: a reading that would fit without the step is asked back,
// however few are read in the section, and once; a likely one is not.
func TestMissedStep(t *testing.T) {
	tb := stepped(t)
	tb.quiet("ann", "55 3/4", "c1+36: 7 1/4 high, rod 4' 7 3/4\", its neighbours are about level")
	tb.mustSay("ann", "55 3/4", "Next: c2")
	tb.mustSay("ann", "undo", "taken back")
	tb.mustSay("ann", "63 1/8", "Next: c2")
	for _, s := range []string{"c2 63", "c2+4 63 1/4", "c2+8 63", "c2+12 63", "c2+16 63", "c2+20 63", "c2+24 63", "c3 63", "c3+4 63 1/8", "c3+8 63"} {
		if got := tb.say("ann", s); strings.Contains(got, "Which is it?") {
			t.Errorf("%s: %q", s, got)
		}
	}
	tb.quiet("ann", "c3+16 63 1/8", "c3+16: 8 1/8 low")
	tb.mustSay("ann", "c3+16 55", "c3+16: level")
}

// TestOtherHeightAtStep: the height at a step that is not asked for is named as
// not read until it is.
func TestOtherHeightAtStep(t *testing.T) {
	tb := stepped(t)
	open := "The other height at a step, not read and not asked for: c1+28 top, c3+12 top"
	tb.mustSay("ann", "left", open)
	tb.mustSay("ann", "summary", open)
	tb.say("ann", "c1+28 top 55")
	tb.mustSay("ann", "left", "not asked for: c3+12 top")
	tb.say("ann", "c3+12 top 55")
	if got := tb.say("ann", "left"); strings.Contains(got, "other height") {
		t.Error(got)
	}
	tb.say("ann", "español")
	tb.mustSay("ann", "c1+28 inferior 63 1/4", "c1+28 inferior: 1/4 bajo")
}

// TestUndoOfStepNone says what holds again.
func TestUndoOfStepNone(t *testing.T) {
	for _, none := range []string{"step none", "step c1+28 c3+12 none"} {
		tb := stepped(t)
		tb.say("ann", none)
		tb.mustSay("ann", "undo", "Holds again: c1+28 to c3+12: 8 in lower.")
	}
	tb := stepped(t)
	tb.say("ann", "step c1+28 c3+12 7 in lower")
	tb.mustSay("ann", "undo", "Taken back: c1+28 to c3+12: 7 in lower. Holds again: c1+28 to c3+12: 8 in lower.")
}

// TestPointOffSillIsNoLevel: it is said why, and corners are offered.
func TestPointOffSillIsNoLevel(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new East house", "8x8", "bm 1 in high", "0", "c2 1/8 low"} {
		tb.say("ann", s)
	}
	tb.quiet("ann", "datum bm", "bm is off the sill")
	tb.mustSay("ann", "datum bm", "[datum c1] [datum c2]")
	if got := tb.tap("ann", "datum c2"); !strings.Contains(got, "Datum: c2") {
		t.Error(got)
	}
}

// TestNoMoveOfNothing: a move too small to show is not one of 0.
func TestNoMoveOfNothing(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new East house", "8x8", "finest 1/64", "0", "1/64 high", "0", "0", "0", "0", "0", "0", "tolerance 0.002 in", "finest 1/16"} {
		tb.say("ann", s)
	}
	got := tb.say("ann", "datum c1")
	if !strings.Contains(got, "the most lower under 1/16 at c1+4") || strings.Contains(got, " 0 at") {
		t.Error(got)
	}
}

// TestDoneNamesHeldLines: an end does not pass over what waits.
func TestDoneNamesHeldLines(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "-1/8")
	tb.say("bob", "-1/4")
	got := tb.say("bob", "done")
	if !strings.Contains(got, "Not counted yet") || !strings.Contains(got, "c1+8 -1/4") || !strings.Contains(got, "[I took it over]") {
		t.Error(got)
	}
	if got = tb.tap("bob", "I took it over"); !strings.Contains(got, "c1+8: 1/4 low") {
		t.Error(got)
	}
}

// TestSpanishWords: what the bot says in Spanish it understands.
func TestSpanishWords(t *testing.T) {
	tb := stepped(t)
	tb.say("ann", "español")
	for said, want := range map[string]string{
		"sobre la solera": "regla sobre la solera", "sobre calzas": "regla sobre calzas", "sobre concreto": "regla sobre concreto",
		"nivel menos trabajo": "hay menos trabajo", "nivel menos puntos": "se mueven menos puntos",
	} {
		tb.mustSay("ann", said, want)
	}
	tb = newTable(t)
	tb.mustSay("ann", "/ayuda", "Manda lo que marca la regla")
}

// TestPartsPointToSteps: a part of the building that is lower is no reading.
func TestPartsPointToSteps(t *testing.T) {
	tb := newTable(t)
	tb.say("ann", "new East house")
	tb.say("ann", "8x8")
	for _, s := range []string{"garage 8 in lower", "40x28, garage 8 in lower", "the garage is 8 inches lower", "cochera 8 pulg más baja"} {
		if got := tb.quiet("ann", s, "step c2 c3 8 in lower"); strings.Contains(got, "[") {
			t.Errorf("%q: %q", s, got)
		}
	}
	tb.say("ann", "loop garage 4x4 at 20,0")
	tb.quiet("ann", "the garage is 8 inches lower", "[step garage 8 inches lower]")
	tb.mustSay("ann", "step garage 8 inches lower", "garage: 8 in lower")
	for _, s := range []string{"help step", "help steps", "ayuda escalones"} {
		tb.mustSay("ann", s, "step")
	}
}

// TestExamplesFitOutline: what a refusal offers can be sent.
func TestExamplesFitOutline(t *testing.T) {
	for _, said := range []string{"posts foo", "posts c9", "posts c1+9", "splices foo", "bolts at c9", "step foo", "step c5 c8 8 in lower", "fall c1 foo", "fall c1 c1 1/8", "fall c1 c3 1/8", "step c2 c3 lower"} {
		tb := newTable(t)
		tb.say("ann", "new East house")
		tb.say("ann", "8x8")
		_, like, ok := strings.Cut(tb.quiet("ann", said, "ike: "), "ike: ")
		if like, _, _ = strings.Cut(like, "\n"); !ok {
			t.Fatalf("%q", said)
		}
		if got := tb.say("ann", like); len(tb.last.Events) == 0 {
			t.Errorf("%q offers %q, which is answered %q", said, like, got)
		}
	}
}

// TestOtherHeightOffered: a figure that fits the other height at a spot is
// offered as that first, before the next station.
func TestOtherHeightOffered(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new East house", "8x8", "direct rod", "bm 1-1/2 high", "step c2 c3 8 in lower", "c1 0", "c1+4 0", "c2 bottom 8 in low",
		"c2 top 0", "c2+4 8 in low", "c3 bottom 8 in low", "c3 top 0", "c3+4 0", "c4 0", "c4+4 0", "datum c1", "next round", "laser not moved", "bm 1-1/2 high", "0"} {
		tb.say("ann", s)
	}
	tb.quiet("ann", "on", "[c2 top 0] [c3 top 0] [keep it]")
	if got := tb.tap("ann", "c2 top 0"); !strings.Contains(got, "c2 top: level") {
		t.Error(got)
	}
	if got := tb.say("ann", "left"); strings.Contains(got, "other height") {
		t.Error(got)
	}
}

// TestNoShiftOfNothing: what a check moves by too little to show is not told.
func TestNoShiftOfNothing(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "-1/8")
	tb.say("ann", "check c1 0")
	tb.say("ann", "check c1 0")
	if got := tb.say("ann", "check c1 1/16 high"); strings.Contains(got, "what this rod read is") || !strings.Contains(got, "Check c1: 1/16 higher") {
		t.Error(got)
	}
}
