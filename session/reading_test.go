package session_test

import (
	"strings"
	"testing"
)

// TestEchoOfAReplacement says what stood before, and for the reference that
// all heights moved.
func TestEchoOfAReplacement(t *testing.T) {
	tb := onSite(t)
	tb.mustSay("ann", "c1 1/16 high", "c1: rod 1/16 high, before 0. The reference: heights are from here.")
	tb.say("ann", "c1 0")
	tb.say("ann", "c3 1/8 low")
	tb.mustSay("ann", "c3 1/4 high", "c3: 1/4 high (of c1), before 1/8 low")
	tb.mustSay("ann", "c3 is 1/8 low", "c3: 1/8 low (of c1), before 1/4 high")
	tb.mustSay("ann", "c1 1/8 high", "c1: rod 1/8 high, before 0. The reference: all heights have moved with it.")
	if got := tb.say("ann", "c3 1/8 low"); strings.Contains(got, "before") {
		t.Errorf("the same again: %q", got)
	}
	if got := tb.edit("ann", tb.next, "c3 1/4 low"); !strings.Contains(got, "c3: 3/8 low (of c1), rod 1/4 low, before 1/4 low") {
		t.Errorf("an edit: %q", got)
	}
	// Another rod's reading stands beside it and replaces nothing.
	tb.say("bob", "another rod")
	tb.say("bob", "c1 0")
	if got := tb.say("bob", "c3 1/2 low"); strings.Contains(got, "before") {
		t.Errorf("another rod: %q", got)
	}
}

// TestEchoAfterTheDatum says what was heard and the move.
func TestEchoAfterTheDatum(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "piers 10,14")
	tb.say("ann", "c2 1/8 low")
	tb.say("ann", "datum c2")
	tb.mustSay("ann", "p1 1/4 high", "p1: 1/4 high (of c1), lower 3/8")
}

// TestCheckThatDisagrees says what it does to the heights, and begins the
// search for the moment of a bump; no leaves that.
func TestCheckThatDisagrees(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "c2 1/8 low")
	got := tb.say("ann", "check c2 1/4 high")
	for _, part := range []string{"3/8 higher than before (1/8 low)", "Both are kept; heights are adjusted between them: c2 stands 1/16 high now", "may have been bumped", "Read c2 again"} {
		if !strings.Contains(got, part) {
			t.Errorf("no %q in %q", part, got)
		}
	}
	tb.mustSay("ann", "no", "bumped goes on")
	tb.mustStand(map[string]string{"c2": "1.588"}) // (-1/8 + 1/4)/2 in = 1.5875 mm, to 0.001 mm, a tie to even
	other := onSite(t)
	other.mustSay("ann", "check c1 1/16 high", "no sign of a bump")
}

// TestTies says when a rod's readings get their heights.
func TestTies(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "c1+8 1/4 low")
	tb.say("bob", "another rod")
	tb.say("bob", "c1+12 0")
	got := tb.mustSay("bob", "c1+8 1/8 low", "Rod 2 is tied by c1+8 now: c1+12 1/8 low")
	if !strings.Contains(got, "c1+8: 1/4 low (of c1)") {
		t.Errorf("its own echo: %q", got)
	}
	if got := tb.say("bob", "c1+16 0"); strings.Contains(got, "tied") {
		t.Errorf("said again: %q", got)
	}
	// A third rod that only shares a station with the loose second.
	tb = onSite(t)
	tb.say("bob", "another rod")
	tb.say("bob", "c2 0")
	tb.say("carl", "another rod")
	tb.say("carl", "c2 1/8 low")
	tb.say("carl", "c3 1/8 low")
	tb.mustSay("ann", "c2 1/4 high", "Rod 2 is tied by c2 now.\nRod 3 is tied by c2 now: c3 1/4 high")
	// One rod, the reference last.
	tb = newTable(t)
	for _, s := range []string{"new Porch", "c2 1/8 low", "c3 0"} {
		tb.say("ann", s)
	}
	tb.mustSay("ann", "c1 1/8 high", "Heights now: c2 1/4 low, c3 1/8 low")
}

// TestWalkGoesOnAfterDone where a station that is not read is named; one put
// right does not take the walk up again.
func TestWalkGoesOnAfterDone(t *testing.T) {
	for _, first := range []string{"c3", "c3 1/8 low"} {
		tb := onSite(t)
		tb.say("ann", "done")
		if got := tb.say("ann", "c1 1/8 high"); strings.Contains(got, "goes on") || !strings.HasSuffix(strings.Split(got, " [")[0], "\nNext: choose the level.") {
			t.Errorf("a reading put right: %q", got)
		}
		tb.mustSay("ann", first, "The walk goes on.")
		tb.say("ann", "c3 1/4 low")
		tb.mustSay("ann", "repeat", "Next: c3+4")
		tb.mustSay("ann", "jobs", ": walk,")
		tb.mustSay("ann", "done", "Round ended with 2 read")
	}
	tb := onSite(t)
	tb.say("ann", "done")
	tb.say("ann", "no beam c4")
	tb.mustSay("ann", "undo", "no beam at c4")
	tb.mustSay("ann", "undo", "The walk goes on.")
}

// TestScrapIsAskedForAgain where the rod's test fits neither way: the next
// number is no reading of the walk.
func TestScrapIsAskedForAgain(t *testing.T) {
	tb := onSite(t)
	for _, s := range []string{"test rod", "3/4"} {
		tb.say("ann", s)
	}
	tb.mustSay("ann", "1/4 high", "fits neither way")
	tb.mustSay("ann", "3/8", "high or low")
	tb.mustSay("ann", "3/8 high", "fits neither way")
	tb.mustSay("ann", "3/4 high", "counts the right way")
	tb.mustStand(map[string]string{"c1+4": ""})
	// A scrap in millimetres, on a rod that might show that much.
	tb = newTable(t)
	for _, s := range []string{"new Court house", "units mm", "12x8 m", "standard rod", "1.412 m", "test rod", "18 mm"} {
		tb.say("ann", s)
	}
	tb.mustSay("ann", "1.394 m", "counts the right way")
	tb.mustStand(map[string]string{"c1+1": ""})
}
