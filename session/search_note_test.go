package session_test

import "testing"

// TestSearchStands: a note, or a yes that answers nothing, leaves the re-shot
// that a search for a bump asks for.
func TestSearchStands(t *testing.T) {
	for _, between := range []string{"note loose board", "note c3 crack", "yes"} {
		tb := newTable(t)
		for _, s := range []string{"new B", "12x8", "direct rod", "bm 2-1/4 high", "on", "1/8 low", "1/4 low", "1/2 low", "1/4 low", "1/8 low", "1/8 low", "0", "0", "0"} {
			tb.say("ann", s)
		}
		tb.mustSay("ann", "check bm 2-3/4 high", "Read c2+4 again")
		tb.mustSay("ann", between, "c2+4")
		tb.mustSay("ann", "1/4 low", "c2+4: as before.\nRead c1+4 again")
	}

	// So does a check shot that was asked for on the way.
	tb := newTable(t)
	for _, s := range []string{"new B", "12x8", "direct rod", "check every 3", "on", "1/8 low", "1/4 low"} {
		tb.say("ann", s)
	}
	tb.mustSay("ann", "1/8 low", "Check shot on c1")
	tb.mustSay("ann", "note loose board", "Check shot on c1")
	tb.mustSay("ann", "0", "Check c1")
}
