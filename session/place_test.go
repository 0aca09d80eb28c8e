package session_test

import (
	"strings"
	"testing"
)

// TestPointOffTheWalkIsAskedOnce: named by itself it is asked for once, and
// the walk goes on where it was.
func TestPointOffTheWalkIsAskedOnce(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "c3")
	tb.mustSay("ann", "bm", "Next: bm")
	tb.mustSay("ann", "1/4 low", "bm: 1/4 low")
	tb.mustSay("ann", "1/8 low", "c3: 1/8 low")
	tb.say("ann", "bm")
	tb.mustSay("ann", "skip", "Next: c3+4")
	tb.mustSay("ann", "undo", "Next: bm")
	tb.mustSay("ann", "0", "Next: c3+4")
	// With nothing left to read, nothing is asked for afterwards.
	tb = newTable(t)
	for _, s := range []string{"new Porch", "8x8", "direct rod", "0", "0", "0", "0", "0", "0", "0", "0", "bm", "1/8 low"} {
		tb.say("ann", s)
	}
	tb.mustSay("ann", "1/4 low", "no station is being asked for")
}

// TestNoBeamWhereItWasRead says that the reading stays.
func TestNoBeamWhereItWasRead(t *testing.T) {
	tb := onSite(t)
	if got := tb.mustSay("ann", "no beam c1", "Its reading stays"); strings.Contains(got, "unread") {
		t.Errorf("no beam: %q", got)
	}
	tb.mustSay("ann", "no beam c2", "left unread")
}

// TestPlaceFollowsTheOutline: nobody is left at a mark that the new outline
// does not have.
func TestPlaceFollowsTheOutline(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "-1/8")
	tb.say("bob", "another rod")
	tb.mustSay("bob", "c2", "Next: c2")
	tb.mustSay("bob", "c2+8", "Next: c2+8")
	tb.say("ann", "12x8 m")
	for _, who := range []string{"ann", "bob"} {
		got := tb.say(who, "repeat")
		if strings.Contains(got, ".") {
			t.Errorf("%s is left at a mark that is none: %q", who, got)
		}
	}
	tb.say("ann", "undo")
	tb.mustSay("ann", "repeat", "Next: c1+8")
}
