package session_test

import (
	"strings"
	"testing"
)

// TestHeardHalves: where a line comes in two halves, what could not be ruled out
// for a spoken one keeps the whole from becoming firm by going on.
func TestHeardHalves(t *testing.T) {
	for _, first := range []func(tb *table) string{
		func(tb *table) string { return tb.say("ann", "3/8") },
		func(tb *table) string { return tb.speak("ann", "three eighths") },
	} {
		tb := heardJob(t)
		first(tb)
		tb.speak("ann", "low", "high")
		tb.say("ann", "c2 1/4 low")
		tb.wantHeard("c1+4 -9.525 open")
	}
	for _, second := range []func(tb *table) string{
		func(tb *table) string { return tb.say("ann", "low") },
		func(tb *table) string { return tb.speak("ann", "low") },
	} {
		tb := heardJob(t)
		tb.speak("ann", "c3 three eighths", "c2 three eighths")
		second(tb)
		tb.say("ann", "c3+4 1/4 low")
		tb.wantHeard("c3 -9.525 open")
	}
	tb := heardJob(t)
	tb.speak("ann", "three eighths", "five eighths")
	if got := tb.say("ann", "low"); !strings.Contains(got, "[5/8 low]") {
		t.Error(got)
	}
	tb.say("ann", "c2 1/4 low")
	tb.wantHeard("c1+4 -9.525 firm")
}

// TestHeardSigned: nothing that was heard and is not firm is signed off.
func TestHeardSigned(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new South", "8x8", "surface plate", "bolts tight", "direct rod", "c1 0", "c1+4 0", "c2 0", "c2+4 0", "c3 0", "c3+4 0", "c4 0"} {
		tb.say("ann", s)
	}
	tb.speak("ann", "on")
	tb.say("ann", "datum first")
	tb.mustSay("ann", "sign", "Not signed: 1 reading was heard")
	tb.say("ann", "yes")
	tb.mustSay("ann", "sign", "signed off by ann")
}
