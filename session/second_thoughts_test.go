package session_test

import (
	"strings"
	"testing"
)

// TestCheckInTwoSteps: "check c1" by itself asks for the check; what is sent
// next is that check, in place of nothing, and the walk goes on where it was.
func TestCheckInTwoSteps(t *testing.T) {
	for _, answer := range []string{"1/16 low", "c1 1/16 low"} {
		tb := onSite(t)
		tb.say("ann", "-1/4")
		tb.mustSay("ann", "check c1", "Check of c1: what does the rod show there?")
		tb.mustSay("ann", answer, "Next: c1+8")
		if r := newest(tb); !r.Check || r.Station.Number != 1 || r.Station.Past != 0 || r.Value.String() != "-1.5875" {
			t.Errorf("%q: stored %+v, want a check of c1 of -1.5875 mm", answer, r)
		}
		tb.mustSay("ann", "-1/2", "c1+8: ")
		if r := newest(tb); r.Check {
			t.Errorf("the reading behind it was a check: %+v", r)
		}
	}
	// A side that has to be asked for keeps it a check.
	tb := onSite(t)
	tb.say("ann", "check c1")
	tb.say("ann", "1/16")
	tb.mustSay("ann", "low", "Next: c1+4")
	if r := newest(tb); !r.Check {
		t.Errorf("stored %+v, want a check", r)
	}
	// Whoever goes elsewhere does not check.
	tb.say("ann", "check c1")
	tb.mustSay("ann", "skip", "Next: c1+4")
	tb.say("ann", "check c1")
	tb.say("ann", "c1+4 0")
	if r := newest(tb); r.Check {
		t.Errorf("stored %+v, want a reading", r)
	}
	tb.mustSay("ann", "0", "c1+8: ")
	// In one text too, and for whoever has still to say which rod they hold.
	tb.say("bob", "check c1+8\n-1/4")
	tb.tap("bob", "I took it over")
	if r := newest(tb); !r.Check || r.Value.String() != "-6.35" {
		t.Errorf("stored %+v, want a check of -6.35 mm", r)
	}
}

// TestUndoOfATurn: undo after "other way" turns the walk back and takes no
// reading; looking at something in between changes nothing.
func TestUndoOfATurn(t *testing.T) {
	for _, between := range []string{"", "left", "summary"} {
		tb := onSite(t)
		tb.say("ann", "-1/8")
		tb.mustSay("ann", "other way", "Next: c4+24")
		if between != "" {
			tb.say("ann", between)
		}
		if got := tb.say("ann", "undo"); !strings.Contains(got, "as before") || !strings.Contains(got, "Next: c1+8") || len(tb.last.Events) > 0 {
			t.Errorf("after %q: %q, %d events", between, got, len(tb.last.Events))
		}
		tb.mustSay("ann", "-1/4", "c1+8: ")
		tb.mustSay("ann", "undo", "c1+8: taken back")
	}
}

// TestSkipOfAReadStation: a reply of skip to an older message skips nothing.
func TestSkipOfAReadStation(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "-1/8")
	first := tb.next
	tb.say("ann", "-1/4")
	if got := tb.replyTo("ann", first, "skip"); !strings.HasPrefix(got, "c1+4 is read") || !strings.Contains(got, "Next: c1+12") {
		t.Errorf("skip of a read station: %q", got)
	}
	tb.mustSay("ann", "0", "c1+12: ")
}

// TestReferenceEchoesItsMove: once there is a datum, the reference says what it
// asks of it, like every other station.
func TestReferenceEchoesItsMove(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "c2 1/2 high")
	tb.say("ann", "datum high")
	tb.mustSay("ann", "c1 0", "To the datum: raise 1/2.")
	tb.mustSay("ann", "c1 1/8 low", "To the datum: raise 5/8.")
}
