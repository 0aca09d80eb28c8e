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
	if got := tb.edit("ann", first, "hello there"); strings.Contains(got, "anew") {
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
