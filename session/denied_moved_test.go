package session_test

import "testing"

// TestNoSinceMoved: once the laser was moved, no asks which reading it is about,
// and whatever is taken back then, the set-up's tie goes on being asked for.
func TestNoSinceMoved(t *testing.T) {
	const tie = "Next, to join set-up 2: c1, or any station read before"
	begin := func() *table {
		tb := newTable(t)
		for _, s := range []string{"new V", "16x12", "direct rod", "on", "1/8 low"} {
			tb.say("ann", s)
		}
		return tb
	}
	tb := begin()
	tb.speak("ann", "three eighths low")
	tb.say("ann", "moved the laser")
	tb.mustHear(tb.say("ann", "no"), "c1+8: heard 3/8 low", "Was that right?", tie)
	tb.mustHear(tb.say("ann", "no"), "c1+8: taken back, unread again.", tie)
	tb.say("ann", "0")
	tb.say("ann", "1/8 low")
	tb.mustSay("ann", "repeat", "Next: c1+8")

	tb = begin()
	tb.speak("ann", "three eighths low")
	tb.say("ann", "moved the laser")
	tb.say("ann", "no")
	tb.mustHear(tb.say("ann", "yes"), "c1+8: 3/8 low, confirmed.", tie)
	tb.mustHear(tb.say("ann", "no"), "Nothing was being asked.", tie)

	// What waits to be told who holds the rod is dropped, and its station is not
	// one that ties.
	tb = begin()
	tb.say("bob", "1/4 low")
	tb.say("bob", "moved the laser")
	tb.mustHear(tb.say("bob", "no"), "Not kept", "c1+8 1/4 low", tie)

	newTable(t).mustSay("ann", "no", "")
}
