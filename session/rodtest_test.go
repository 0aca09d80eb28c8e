package session_test

import (
	"strings"
	"testing"
)

// TestNoThicknessIsAskedBack: what cannot be a scrap's thickness stays in the
// rod's test and is filed nowhere.
func TestNoThicknessIsAskedBack(t *testing.T) {
	for rod, answers := range map[string][]string{
		"direct rod":   {"0", "1/8 low", "55", "-3/4", "on", "4' 7 3/8\"", "99999"},
		"standard rod": {"0", "55", "55 3/8", "4' 7 3/8\"", "1.412 m"},
	} {
		tb := newTable(t)
		for _, s := range []string{"new East house", "40x28", rod, map[string]string{"direct rod": "0", "standard rod": "55"}[rod], "test rod"} {
			tb.say("ann", s)
		}
		for _, a := range answers {
			if got := tb.say("ann", a); len(tb.last.Events) > 0 || !strings.Contains(got, "scrap") {
				t.Errorf("%s: %q was answered %q, %d events", rod, a, got, len(tb.last.Events))
			}
		}
		tb.mustSay("ann", "3/4", "Now the rod on the scrap")
		tb.mustSay("ann", map[string]string{"direct rod": "3/4 high", "standard rod": "54 1/4"}[rod], "counts the right way")
	}
}

// TestRodTestOfferedWhereItCanBeDone: the test begins on what the rod shows at
// the reference, so its button stands only where that is read.
func TestRodTestOfferedWhereItCanBeDone(t *testing.T) {
	for _, c := range []struct {
		lines []string
		begun string
	}{
		{[]string{"new East house", "40x28", "direct rod", "test rod", "on"}, "Put a scrap"},
		{[]string{"nuevo Casa este", "40x28", "regla estándar", "probar regla", "55"}, "Pon un taco"},
	} {
		tb := newTable(t)
		for i, s := range c.lines {
			tb.say("ann", s)
			offered := false
			for _, r := range tb.last.Replies {
				for _, b := range r.Buttons {
					offered = offered || b.Text == "test rod"
				}
			}
			if last := i == len(c.lines)-1; offered != last {
				t.Errorf("after %q the rod's test is offered: %v", s, offered)
			}
		}
		if got := tb.say("ann", "test rod"); !strings.Contains(got, c.begun) {
			t.Errorf("%q", got)
		}
	}
}
