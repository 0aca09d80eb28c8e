package session_test

import (
	"strings"
	"testing"
)

// TestHeldLinesKeepTheirStations: lines that wait to hear who holds the rod
// are booked at the stations that were asked for when they were sent, whatever
// others read meanwhile, with either answer.
func TestHeldLinesKeepTheirStations(t *testing.T) {
	for _, answer := range []string{"I took it over", "I hold another"} {
		tb := onSite(t)
		tb.say("ann", "-1/8")
		tb.mustSay("bob", "-1/4", "c1+8 -1/4")
		tb.mustSay("bob", "-1/2", "c1+8 -1/4, c1+12 -1/2")
		tb.mustSay("ann", "-1/16", "c1+8: 1/16 low")
		tb.mustSay("ann", "-3/16", "c1+12: 3/16 low")
		tb.tap("bob", answer)
		got := map[string]string{}
		for _, r := range tb.job().Readings() {
			if r.By == tb.ids["bob"] {
				got[tb.job().StationName(r.Station)] = r.Value.String()
			}
		}
		if len(got) != 2 || got["c1+8"] != "-6.35" || got["c1+12"] != "-12.7" {
			t.Errorf("%s: bob's readings are %v", answer, got)
		}
		tb.mustSay("bob", "repeat", "Next: c1+16")
	}
}

// TestHeldFiguresWithoutASide wait too, and are asked back afterwards for
// their own station.
func TestHeldFiguresWithoutASide(t *testing.T) {
	tb := onSite(t)
	got := tb.say("bob", "-1/4\n3/8\nasdf\n-1/2")
	if n := strings.Count(got, "Somebody else"); n != 1 || !strings.Contains(got, "c1+8 3/8, c1+12 -1/2") {
		t.Errorf("asked %d times: %q", n, got)
	}
	tb.tap("bob", "I took it over")
	tb.tap("bob", "c1+8 3/8 high")
	tb.mustStand(map[string]string{"c1+4": "-6.35", "c1+8": "9.525", "c1+12": "-12.7"})
}

// TestHeldLinesLeft: no drops what waits, and says so.
func TestHeldLinesLeft(t *testing.T) {
	tb := onSite(t)
	tb.say("bob", "-1/4\n-1/8")
	if got := tb.say("bob", "no"); !strings.Contains(got, "holds the rod: c1+4 -1/4, c1+8 -1/8") || !strings.Contains(got, "Next: c1+4") {
		t.Errorf("no: %q", got)
	}
	tb.say("bob", "-1/4")
	tb.mustSay("bob", "new Porch", "holds the rod: c1+4 -1/4")
}
