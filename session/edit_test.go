package session_test

import (
	"strings"
	"testing"
)

// TestEditThatComesTooLate says the line that was sent, not another figure.
func TestEditThatComesTooLate(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "-1/8")
	first := tb.next
	tb.say("ann", "c1+4 -1/2")
	if got := tb.edit("ann", first, "3/8 high"); !strings.HasSuffix(got, "Send it anew: c1+4 3/8 high") {
		t.Errorf("an edit of a replaced reading: %q", got)
	}
	if got := tb.edit("ann", first, "c1+4 3/16 high"); !strings.HasSuffix(got, "Send it anew: c1+4 3/16 high") {
		t.Errorf("an edit that names its station: %q", got)
	}
	if got := tb.edit("ann", first, "lovely day"); strings.Contains(got, "anew") {
		t.Errorf("an edit into talk: %q", got)
	}
	if len(tb.last.Events) > 0 {
		t.Error("it was stored")
	}
}

// TestEditThatAddsALine: the lines that count stay, and the new one is not
// said to hang on nothing.
func TestEditThatAddsALine(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "-1/8\n-1/4")
	if got := tb.edit("ann", tb.next, "-1/8\n-1/4\n-1/2"); got != "Line 3 is new, and not heard in an edit. Send it anew: -1/2" {
		t.Errorf("an added line: %q", got)
	}
	tb.mustStand(map[string]string{"c1+4": "-3.175", "c1+8": "-6.35", "c1+12": ""})
	tb.say("ann", "undo")
	tb.say("ann", "undo")
	if got := tb.edit("ann", tb.next-2, "-1/8\n-1/4\n-1/2"); !strings.Contains(got, "Nothing hangs on that message") {
		t.Errorf("a message that was taken back: %q", got)
	}
}

// TestEditOfALineAskedBack: what another message has read meanwhile is not
// replaced by the edit of an older one that gave nothing.
func TestEditOfALineAskedBack(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "3/8")
	first := tb.next
	tb.say("ann", "c1+4 -1/8")
	for text, anew := range map[string]string{"3/8 low": "c1+4 3/8 low", "c1+4 is 3/8 low": "c1+4 is 3/8 low"} {
		if got := tb.edit("ann", first, text); !strings.HasPrefix(got, "c1+4 has a newer reading") || !strings.HasSuffix(got, "Send it anew: "+anew) {
			t.Errorf("%s: %q", text, got)
		}
	}
	tb.mustStand(map[string]string{"c1+4": "-3.175"})
	// A check goes beside it, and another station is free.
	tb.edit("ann", first, "c1+8 3/8 low")
	tb.mustStand(map[string]string{"c1+4": "-3.175", "c1+8": "-9.525"})
	// What was read before the message may be put right by its edit.
	tb = onSite(t)
	tb.say("ann", "-1/8")
	tb.say("ann", "c1+4 3/8")
	tb.edit("ann", tb.next, "c1+4 3/8 low")
	tb.mustStand(map[string]string{"c1+4": "-9.525"})
}

// TestEditThatMovesAReading says what became of both stations.
func TestEditThatMovesAReading(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "-1/8")
	tb.say("ann", "-1/4")
	moved := tb.next
	tb.mustHear(tb.edit("ann", moved, "c1+12 -1/4"), "c1+12: 1/4 low", "c1+8 is unread again")
	tb.mustStand(map[string]string{"c1+8": "", "c1+12": "-6.35"})
	// Onto a station that was read before it: that one's figure is told.
	tb.mustHear(tb.edit("ann", moved, "c1+4 -1/4"), "c1+4: 1/4 low (of c1), before 1/8 low", "c1+12 is unread again")
	// Onto one that was read since: nothing.
	tb.say("ann", "c2 0")
	tb.mustHear(tb.edit("ann", moved, "c2 -1/4"), "c2 has a newer reading", "Send it anew: c2 -1/4")
	tb.mustStand(map[string]string{"c1+4": "-6.35", "c2": "0"})
	// Away from one that was read twice: the other counts again.
	tb.mustHear(tb.edit("ann", moved, "c1+20 -1/4"), "c1+4 stands 1/8 low, by what else was read there")
}

// TestEditOfABadName: once the name is put right, the lines that were held back
// for it follow it, wherever the walk is by then.
func TestEditOfABadName(t *testing.T) {
	for _, between := range []string{"", "c2 0"} {
		tb := onSite(t)
		tb.say("ann", "c9 1/8 low\n1/4 low\n3/8 low")
		id := tb.next
		if between != "" {
			tb.say("ann", between)
		}
		tb.mustHear(tb.edit("ann", id, "c8 1/8 low\n1/4 low\n3/8 low"), "There is no c8", "Line 2 still has no station")
		tb.edit("ann", id, "c3 1/8 low\n1/4 low\n3/8 low")
		tb.mustStand(map[string]string{"c3": "-3.175", "c3+4": "-6.35", "c3+8": "-9.525", "c1+4": "", "c2+4": ""})
		// Once they are read they are like any others.
		tb.edit("ann", id, "c3 1/8 low\n1/2 low\n3/8 low")
		tb.mustStand(map[string]string{"c3": "-3.175", "c3+4": "-12.7", "c3+8": "-9.525"})
	}
	// One that names its own station needs none before it.
	tb := onSite(t)
	tb.say("ann", "c9 1/8 low\n1/4 low")
	tb.edit("ann", tb.next, "c9 1/8 low\nc4 1/4 low")
	tb.mustStand(map[string]string{"c4": "-6.35"})
}

// TestEditThatPutsALineBack: a line that an edit took out counts again where it
// is back, and what was taken back by its person is refused aloud.
func TestEditThatPutsALineBack(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "-1/8\n-1/4\n-3/16\ncheck c1 0")
	id := tb.next
	tb.edit("ann", id, "-1/8")
	tb.mustStand(map[string]string{"c1+4": "-3.175", "c1+8": "", "c1+12": ""})
	tb.mustHear(tb.edit("ann", id, "-1/8\n-1/4\n-1/2\ncheck c1 0"), "c1+8: 1/4 low", "c1+12: 1/2 low", "Check c1: same as before")
	tb.mustStand(map[string]string{"c1+4": "-3.175", "c1+8": "-6.35", "c1+12": "-12.7"})
	if tb.edit("ann", id, "-1/8\n-1/4\n-1/2\ncheck c1 0"); len(tb.last.Events) > 0 {
		t.Errorf("the same text again: %d events", len(tb.last.Events))
	}
	// Its undo leaves nothing there.
	tb.mustHear(tb.replyTo("ann", id, "undo"), "c1+8: taken back, unread again", "c1+12: taken back, unread again")
	// Not over what another message has read since.
	tb = onSite(t)
	tb.say("ann", "-1/8\n-1/4")
	tb.edit("ann", tb.next, "-1/8")
	tb.say("ann", "c1+8 -1/2")
	tb.mustHear(tb.edit("ann", tb.next-1, "-1/8\n-1/4"), "c1+8 has a newer reading", "Send it anew: c1+8 -1/4")
	tb.mustHear(tb.edit("ann", tb.next-1, "-1/8\nlovely day"), "c1+8 has a newer reading")
	tb.mustStand(map[string]string{"c1+8": "-12.7"})
	// Taken back by an undo.
	tb = onSite(t)
	tb.say("ann", "-1/8")
	tb.say("ann", "undo")
	tb.mustHear(tb.edit("ann", tb.next-1, "-1/8"), "c1+4 has a newer reading, or that one was taken back", "Send it anew: c1+4 -1/8")
}

// TestEditOfACheck answers as the same line sent anew: it is compared, and a
// large difference begins the search for a bump, a small one ends it.
func TestEditOfACheck(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "-1/8")
	tb.say("ann", "-1/8")
	tb.say("ann", "check c1 0")
	id := tb.next
	tb.mustHear(tb.edit("ann", id, "check c1 -1/2"), "Check c1: 1/2 lower than before (level)",
		"Looking for when", "Read c1+4 again", "[not now]")
	if got := tb.edit("ann", id, "check c1 -1/16"); !strings.Contains(got, "no sign of a bump") || !strings.HasSuffix(got, "Next: c1+12") {
		t.Errorf("a small one: %q", got)
	}
	tb.mustSay("ann", "-1/4", "c1+12: 3/16 low (of c1), rod 1/4 low\nNext: c1+16")
	// A re-shot that is edited goes on with the search as it is now.
	tb = onSite(t)
	for _, line := range []string{"-1/8", "-1/8", "-1/8", "check c1 1/2 high", "1/8 low"} {
		tb.say("ann", line)
	}
	if got := tb.edit("ann", tb.next, "3/8 high"); !strings.HasPrefix(got, "c1+8: 1/2 higher") {
		t.Errorf("a re-shot: %q", got)
	}
}

// TestEditThatTakesALineOut says what counts at its station now.
func TestEditThatTakesALineOut(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "c2 -1/4")
	tb.say("ann", "-1/8\nc2 1/8 high\n-1/16")
	tb.mustHear(tb.edit("ann", tb.next, "-1/8"), "c2: that line is gone, so what it read is taken back. It stands 1/4 low",
		"c2+8: that line is gone, so its reading is taken back")
	tb.mustStand(map[string]string{"c2": "-6.35", "c2+4": "-3.175", "c2+8": ""})
}
