package session_test

import "testing"

// TestTieMisread: where all that a further round read is off alike, its one tie
// is suspected, nothing is asked back, and once the tie is put right nothing need
// be read again.
func TestTieMisread(t *testing.T) {
	tb := talk(t, after(roundOne, sent{"shimmed all", ""}, sent{"next round", ""}, sent{"bm 1-1/2 in high", "tied by bm"},
		sent{"c1+4 0", "c1+4: 1 low, and it should be about level (of c1). Which is it?"},
		// The reading that was asked back is kept with the second.
		sent{"c2 0", "All 2 that set-up 2 read of the sill are about 1 lower than they should be: is bm misread?"},
		sent{"c2+4 0", "All 3 that set-up 2 read"}))
	wants(t, tb.tap("ann", "read bm again"), "Next: bm")
	wants(t, tb.say("ann", "1/2 high"), "bm: 1/2 high (of c1), before 1 1/2 high\nNext: c3")
	wants(t, tb.say("ann", "left"), "4 left: c1, c3, c3+4, c4+4")
	wants(t, tb.say("ann", "c1 0"), "c1: level (of c1), on\nNext: c3")
	for _, s := range []string{"c1+4", "c2", "c2+4"} {
		if got := tb.elevation(s); got != "0" {
			t.Errorf("%s stands %s", s, got)
		}
	}
	// Told to be so, it is not asked again.
	tb = talk(t, after(roundOne, sent{"next round", ""}, sent{"bm 1 in high", "tied by bm"}, sent{"c1 0", "1/2 lower than it should be"}, sent{"c2 0", "All 2 that set-up 2"}))
	wants(t, tb.tap("ann", "it is so"), "Kept.")
	if said := tb.say("ann", "c2+4 0"); said != "c2+4: 1/2 low (of c1), raise 1/2, rod 0\nNext: c3, should read 1/8 high (3/8 low)" {
		t.Error(said)
	}
	// One that is as it should be speaks for the tie.
	talk(t, after(roundOne, sent{"next round", ""}, sent{"bm 1/2 high", ""}, sent{"c1 0", "on"}, sent{"c2 1/2 low", "c2: 1/2 lower than it should be."}, sent{"c2+4 1/2 low", "c2+4: 1/2 lower than it should be."}))
}
