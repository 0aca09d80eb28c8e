package session_test

import (
	"strconv"
	"strings"
	"testing"

	"rodcall/reduce"
	"rodcall/session"
)

// TestThreeKeysAndATap: with digits that count parts of an inch, every reading to
// 2 in either way is at most three keys, the one that sends among them, and a tap;
// and the echo says it as a fraction in lowest terms.
func TestThreeKeysAndATap(t *testing.T) {
	for part, word := range map[int]string{8: "eighths", 16: "sixteenths"} {
		tb := onSite(t)
		tb.mustSay("ann", "count in "+word, "Digits alone now count "+word)
		for n := -2 * part; n <= 2*part; n++ {
			want := reduce.Length(n) * reduce.Inch / reduce.Length(part)
			typed := strconv.Itoa(max(n, -n))
			keys, taps := len(typed)+1, 0
			got := tb.say("ann", typed)
			if q := tb.last.Conversation.Question; n != 0 {
				if q == nil || len(q.Buttons) != 2 || !strings.Contains(got, "high or low?") {
					t.Fatalf("%d in 1/%d: asked %q", n, part, got)
				}
				b := q.Buttons[0]
				if n > 0 {
					b = q.Buttons[1]
				}
				got = tb.tap("ann", b.Label)
				taps++
			}
			r, ok := lastRead(tb.last)
			if !ok || r.Value != want {
				t.Fatalf("%d in 1/%d: read %v (%v), want %v: %s", n, part, r.Value, ok, want, got)
			}
			if keys > 3 || taps > 1 {
				t.Errorf("%d in 1/%d takes %d keys and %d taps", n, part, keys, taps)
			}
			say := "level"
			if n != 0 {
				say = reduce.UnitInch.Amount(want, reduce.Inch/16).Figure
				if want%reduce.Inch == 0 {
					say += `"` // 1 alone would be a part
				}
				say += map[bool]string{true: " low", false: " high"}[n < 0]
			}
			if !strings.HasPrefix(got, "c1+4: "+say+" (of c1)") {
				t.Errorf("%d in 1/%d is echoed %q, want %q", n, part, got, say)
			}
			tb.say("ann", "undo")
		}
	}
}

// lastRead is the reading that a message gave.
func lastRead(o session.Outcome) (session.Read, bool) {
	for _, e := range o.Events {
		if r, ok := e.Body.(session.Read); ok {
			return r, true
		}
	}
	return session.Read{}, false
}

// TestCountThatChangedMeanwhile: a figure that waits for an answer counts what it
// counted when it was sent.
func TestCountThatChangedMeanwhile(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "count eighths")
	tb.say("bob", "c1 0")
	tb.mustSay("bob", "6 low", "6 low")
	tb.say("ann", "count sixteenths")
	if got := tb.tap("bob", "I hold another"); !strings.Contains(got, "3/4 low") {
		t.Errorf("held: %q", got)
	}
	tb.say("ann", "count eighths")
	tb.mustSay("ann", "6", "6/8 = 3/4: high or low?")
	tb.say("bob", "count sixteenths")
	tb.mustSay("ann", "low", ": 3/4 low")
	tb.mustSay("ann", "6", "6/16 = 3/8: high or low?")
}
