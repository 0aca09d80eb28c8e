package session_test

import (
	"slices"
	"strings"
	"testing"
)

// asksNext is the last line of an answer that asks for a station.
func asksNext(said string) string {
	for _, l := range slices.Backward(strings.Split(said, "\n")) {
		if strings.HasPrefix(l, "Next") {
			return l
		}
	}
	return ""
}

// TestUndoOfStray: an undo of a reading at another station than the one asked
// for asks again for what was asked for before it; of one at the station asked
// for, for that station.
func TestUndoOfStray(t *testing.T) {
	for _, c := range []struct {
		said []string
		want string
	}{
		{[]string{"c2+8 is 1/2 low", "undo"}, "Next: c1+12"},
		{[]string{"c2+8 1/2 low", "undo"}, "Next: c1+12"},
		{[]string{"c2 1/2 low", "undo"}, "Next: c1+12"},
		{[]string{"1/2 low", "undo"}, "Next: c1+12"},
		{[]string{"c2 1/2 low", "undo", "undo"}, "Next: c1+8"},
		{[]string{"c2 1/2 low", "1/4 low", "undo"}, "Next: c2+4"},
		{[]string{"c2 1/2 low", "1/4 low", "undo", "undo"}, "Next: c1+12"},
		{[]string{"c2 1/2 low", "c3 1/4 low", "undo", "undo"}, "Next: c1+12"},
		{[]string{"c2 1/2 low", "c1+12 3/8 low", "undo"}, "Next: c2+4"},
		{[]string{"c2 1/2 low", "walls 20x16", "undo", "undo"}, "Next: c1+12"},
		{[]string{"moved the laser", "c3 1/8 low", "undo"}, "Next, to join set-up 2: c1, or any station read before"},
	} {
		tb := newTable(t)
		for _, s := range append([]string{"new U", "16x12", "direct rod", "on", "1/8 low", "1/4 low"}, c.said[:len(c.said)-1]...) {
			tb.say("ann", s)
		}
		if said := tb.say("ann", c.said[len(c.said)-1]); asksNext(said) != c.want {
			t.Errorf("%q: not %q in %q", c.said, c.want, said)
		}
	}
}

// TestUndoOfLateEdit: the undo of an edit that read a station passed over long
// ago asks again for what was asked for when it came.
func TestUndoOfLateEdit(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new U", "16x12", "direct rod", "on", "1/4 low"} {
		tb.say("ann", s)
	}
	tb.say("ann", "ok")
	mended := tb.next
	for _, s := range []string{"skip", "1/4 low", "1/8 low"} {
		tb.say("ann", s)
	}
	if said := tb.edit("ann", mended, "1/8 low"); !strings.Contains(said, "c1+8: 1/8 low (of c1)\nNext: c2+4") {
		t.Fatal(said)
	}
	if said := tb.say("ann", "undo"); asksNext(said) != "Next: c2+4" || !strings.Contains(said, "c1+8: taken back, unread again.") {
		t.Error(said)
	}
}

// TestBareAnswer: a bare reading that answers what was asked back of another
// station is read there.
func TestBareAnswer(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new U", "16x12", "direct rod", "on", "c3 3/8"} {
		tb.say("ann", s)
	}
	tb.mustSay("ann", "3/8 low", "c3: 3/8 low (of c1)")
	tb.say("ann", "c4 1/4")
	tb.mustSay("ann", "1/8 low", "c3+4: 1/8 low (of c1)")
}

// TestStrayedOthers: what somebody else has read since is not asked for again.
func TestStrayedOthers(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new U", "16x12", "direct rod", "on", "1/8 low", "c2 1/4 low"} {
		tb.say("ann", s)
	}
	tb.say("bob", "c1+8 1/4 low")
	tb.say("bob", "took over")
	if said := tb.say("ann", "undo"); asksNext(said) != "Next: c2" {
		t.Errorf("undo: %q", said)
	}
}
