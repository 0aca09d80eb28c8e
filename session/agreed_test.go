package session_test

import (
	"strings"
	"testing"
)

// TestAgreedKeepsNothing: a word that only says that it is fine stores nothing,
// leaves what is asked as it was, and what it offers says at which station.
func TestAgreedKeepsNothing(t *testing.T) {
	for _, c := range []struct{ lang, ok, again, level, yes string }{
		{"english", "ok", "ok picks nothing, and nothing is kept", "c1+8 level", "yes"},
		{"español", "vale", "vale no escoge nada y no se guarda nada", "c1+8 a nivel", "sí"},
	} {
		tb := onSite(t)
		tb.say("ann", c.lang)
		nothing := func(where string) string {
			t.Helper()
			was := tb.talks["ann"].Question
			got := tb.say("ann", c.ok)
			if len(tb.last.Events) > 0 {
				t.Errorf("%s: %s stored something", where, c.ok)
			}
			if q := tb.talks["ann"].Question; was != nil && (q == nil || q.Kind != was.Kind || q.Text != was.Text || len(q.Buttons) != len(was.Buttons)) {
				t.Errorf("%s: %s left %+v of %+v", where, c.ok, q, was)
			}
			return got
		}
		tb.say("ann", "-1/8")
		if got := nothing("walk"); strings.Contains(got, c.again) || !strings.Contains(got, "["+c.level+"]") {
			t.Errorf("on the walk: %q", got)
		}
		tb.say("ann", "3/8")
		if got := nothing("side"); !strings.HasPrefix(got, c.again) {
			t.Errorf("asked for the side: %q", got)
		}
		tb.say("ann", "test rod")
		nothing("scrap")
		tb.say("ann", "no")
		tb.speak("ann", "three eighths low", "three eighths high")
		nothing("heard")
		tb.say("ann", c.yes)
		tb.say("ann", "done")
		nothing("skipped check")
		tb.say("ann", "skip")
		nothing("levels")
		tb.say("ann", "datum first")
		nothing("left out")
	}
}
