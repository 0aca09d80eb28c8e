package session_test

import (
	"strings"
	"testing"
)

// TestUndoSaysWhatItTookBack, one setting after the other.
func TestUndoSaysWhatItTookBack(t *testing.T) {
	for _, c := range []struct{ set, want string }{
		{"tolerance 1/4", "Taken back: tolerance 1/4 in; it is 1/8 in again."},
		{"reference c2", "Taken back: reference c2; it is c1 again."},
		{"surface plate", "Taken back: rod on the plate; it is on concrete again."},
		{"bolts tight", "Taken back: bolts tight; it is loose again."},
		{"finest 1/32", "Taken back: amounts in inches (1/32); it is inches (1/16) again."},
		{"30x20", "Taken back: the outline of 4 corners and 26 stations, marks every 4 ft; it is of 4 corners and 34 stations, marks every 4 ft again."},
		{"no beam c3", "Taken back: no beam at c3."},
		{"done", "Taken back: the round's end. The walk goes on."},
		{"standard rod", "Taken back: rod 2 (standard rod)."},
		{"flip rod", "Taken back: rod 1 counts again as it did before."},
		{"moved", "Taken back: set-up 2."},
	} {
		tb := onSite(t)
		before := tb.say("ann", "summary")
		tb.say("ann", c.set)
		tb.mustSay("ann", "undo", c.want)
		if got := tb.say("ann", "summary"); got != before {
			t.Errorf("%s: after its undo the summary is %q, want %q", c.set, got, before)
		}
		tb.mustSay("ann", "undo", "c1: taken back")
	}
}

// TestUndoKeepsThePlace: the walk stays at what is asked for.
func TestUndoKeepsThePlace(t *testing.T) {
	tb := onSite(t)
	for _, s := range []string{"1/8 low", "1/4 low", "tolerance 1/4", "c2 1/2 high"} {
		tb.say("ann", s)
	}
	tb.mustSay("ann", "undo", "Next: c2")
	if got := tb.say("ann", "undo"); !strings.HasSuffix(got, "Next: c2") {
		t.Errorf("the undo of a tolerance moved the walk: %q", got)
	}
	// Who comes new is sent behind what counts, not behind what was undone.
	tb.mustSay("bob", "repeat", "Next: c1+12")

	tb = onSite(t)
	tb.say("ann", "c3 1/8 low")
	tb.say("ann", "undo")
	tb.say("ann", "undo")
	if got := tb.say("ann", "undo"); !strings.HasSuffix(got, "Next: c1") || !strings.Contains(got, "rod 1 (direct rod)") {
		t.Errorf("the undo of the rod: %q", got)
	}
}

// TestUndoBesideOthers: what other people did stands in the way only where it
// concerns the same thing.
func TestUndoBesideOthers(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "tolerance 1/4")
	tb.say("bob", "another rod")
	tb.say("bob", "surface plate")
	tb.mustSay("ann", "undo", "tolerance 1/4 in; it is 1/8 in again")

	tb = newTable(t)
	for _, s := range []string{"new East house", "40x28", "direct rod"} {
		tb.say("ann", s)
	}
	tb.say("bob", "took over")
	if got := tb.mustSay("ann", "undo", "rod 1"); !strings.Contains(got, "taken up") || len(tb.last.Events) > 0 {
		t.Errorf("ann undid a rod that bob holds: %q", got)
	}
}

// TestUndoOfAnOlderReading: where somebody read the station later, that is
// what stands, and it is not called the older one.
func TestUndoOfAnOlderReading(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "-1/8")
	tb.say("bob", "took over")
	tb.say("bob", "c1+4 -1/4")
	if got := tb.mustSay("ann", "undo", "It still stands 1/4 low"); strings.Contains(got, "Before") {
		t.Errorf("undo: %q", got)
	}
	tb.mustStand(map[string]string{"c1+4": "-6.35"})
	// Not tied to the reference, and read all the same.
	tb = onSite(t)
	tb.say("bob", "another rod")
	tb.say("bob", "c2 -1/8")
	tb.say("bob", "c2 -1/4")
	tb.mustSay("bob", "undo", "Before it stood at rod 1/8 low")
}
