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
	tb.mustSay("ann", "undo", "Next: c1+12")
	if got := tb.say("ann", "undo"); !strings.HasSuffix(got, "Next: c1+12") {
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

// TestUndoEdit: an undo of an edited message brings back what it said before,
// step by step, in this round and in an earlier one.
func TestUndoEdit(t *testing.T) {
	tb := talk(t, after(roundOne, sent{"next round", ""}, sent{"bm 1/2 high", ""}, sent{"c2 1/16 high", "Next: c2+4"}))
	last := tb.next
	tb.edit("ann", last, "c2 0")
	tb.edit("ann", last, "c2 1/16 low")
	wants(t, tb.say("ann", "undo"), "c2: taken back. Before it stood level; that counts again.\nNext: c2+4")
	wants(t, tb.say("ann", "undo"), "c2: taken back. Before it stood 1/16 high; that counts again.\nNext: c2+4")
	wants(t, tb.edit("ann", last, "c2 0"), "c2: level")
	wants(t, tb.say("ann", "undo"), "Before it stood 1/16 high")
	wants(t, tb.say("ann", "undo"), "c2: taken back, unread again.\nNext: c2,")
	// To another station.
	tb.say("ann", "0")
	tb.edit("ann", tb.next, "c2+4 0")
	wants(t, tb.say("ann", "undo"), "c2+4: taken back, unread again.\nc2: level, as that message said before, counts again.")
	// The one tie of the round.
	tb.edit("ann", last-1, "bm 9/16 high")
	wants(t, tb.say("ann", "undo"), "bm: taken back. Before it stood 1/2 high; that counts again.")
	wants(t, tb.replyTo("ann", last-1, "undo"), "bm: taken back, unread again.")
	// In the round before.
	tb.edit("ann", 6, "1/8 low")
	wants(t, tb.replyTo("ann", 6, "undo"), "c1+4, round 1: taken back. Before it stood 1/4 low; that counts again.")
	wants(t, talk(t, after(roundOne, sent{"next round", ""}, sent{"bm 1/2 high", "Next: c1,"})).say("ann", "undo"),
		"bm: taken back, unread again.\nSet-up 2 is joined to nothing", "Next, to join round 2 to those before: bm")
	// Not over what another message has read since.
	tb = talk(t, after(roundOne, sent{"next round", ""}, sent{"bm 1/2 high", ""}, sent{"c1 0", ""}))
	tb.edit("ann", tb.next, "c2 0")
	tb.say("ann", "c1 1/16 high")
	wants(t, tb.replyTo("ann", tb.next-1, "undo"), "c2: taken back, unread again.\nNext")
	if got := tb.elevation("c1"); got != "1.5875" {
		t.Errorf("c1 stands %s", got)
	}
}

// TestUndoOfAnEditedCheck: what the rod showed before counts again, and every
// height stands as it did, whatever was read there since and with whatever rod.
func TestUndoOfAnEditedCheck(t *testing.T) {
	for _, c := range []struct {
		check, edit string
		since       []string
		back        string
	}{
		{"check c1 1/4 high", "check c1 1/4 low", []string{"no", "c1 0"}, "1/4 high"},
		{"check c1 1/16 high", "check c1 1/16 low", []string{"moved", "c1+8 -1/4", "c1 -1/8"}, "1/16 high"},
	} {
		tb := onSite(t)
		tb.say("ann", "-1/8")
		tb.say("ann", c.check)
		id := tb.next
		for _, line := range c.since {
			tb.say("ann", line)
		}
		before := tb.say("ann", "summary")
		tb.edit("ann", id, c.edit)
		if tb.say("ann", "summary") == before {
			t.Errorf("%s: the edit into %s moved nothing", c.check, c.edit)
		}
		tb.mustSay("ann", "undo", "Check c1: taken back. What the rod showed before, "+c.back+", counts again")
		if got := tb.say("ann", "summary"); got != before {
			t.Errorf("%s: after the undo of the edit %q, want %q", c.check, got, before)
		}
	}
	// A reading comes back beside what another rod has read since.
	tb := onSite(t)
	tb.say("ann", "-1/8")
	id := tb.next
	tb.say("bob", "another rod")
	tb.say("bob", "c1 0")
	tb.say("bob", "c1+4 -1/8")
	tb.edit("ann", id, "-1/2")
	tb.mustHear(tb.replyTo("ann", id, "undo"), "c1+4: taken back. Before it stood 1/8 low; that counts again")
}
