package session_test

import (
	"strings"
	"testing"
)

// TestRodsApart: two rods that contradict each other at one station are told
// apart; rods whose zeros differ, and what readings differ by, are not.
func TestRodsApart(t *testing.T) {
	begin := func() *table {
		tb := newTable(t)
		for _, s := range []string{"new R", "16x12", "direct rod", "on", "1/8 low"} {
			tb.say("ann", s)
		}
		tb.say("bob", "another rod")
		// Its zero is 1/2 higher: it shows 1/2 less.
		tb.say("bob", "c1 1/2 low")
		tb.say("bob", "c2 3/4 low")
		return tb
	}
	const differ = " they differ by "
	tb := begin()
	tb.mustSay("ann", "c2 3/4 low", "c2: rod 2 read 3/4 low, rod 1 3/4 low. By what both read elsewhere they differ by 1/2 here, and share it.")
	if said := tb.say("ann", "c2 1/4 low"); strings.Contains(said, differ) {
		t.Errorf("put right: %q", said)
	}
	for _, said := range []string{"c2 1/4 low", "c2 5/16 low", "c2 3/16 low"} {
		if got := begin().say("ann", said); strings.Contains(got, differ) {
			t.Errorf("%q: %q", said, got)
		}
	}

	// The standard rod's number falls as the spot rises.
	tb = begin()
	tb.say("cy", "standard rod")
	tb.say("cy", "c1 4' 0")
	if got := tb.say("cy", "c1+4 4' 0 1/8"); strings.Contains(got, differ) {
		t.Errorf("a standard rod beside: %q", got)
	}
	tb.mustSay("cy", "c2 4' 0 3/4", "rod 3 4' 3/4\"")
}
