package session_test

import (
	"strings"
	"testing"
)

// TestCheckFar: a check that is off by more than any bump is asked back before it
// is taken; one that is off by a bump is not.
func TestCheckFar(t *testing.T) {
	begin := func() *table {
		tb := newTable(t)
		for _, s := range []string{"new B", "12x8", "standard rod", "bm 3' 0", "3' 0", "3' 0 1/8", "3' 0 1/4"} {
			tb.say("ann", s)
		}
		return tb
	}
	const asked = "Check bm: rod 5' 6 1/16\" would be 30 1/16 in lower than before"
	stands := func(tb *table, checks int) {
		t.Helper()
		n := 0
		for _, r := range tb.job().Readings() {
			if r.Check && !r.Void {
				n++
			}
		}
		if n != checks {
			t.Errorf("%d checks count, want %d", n, checks)
		}
	}

	// Put right by the figure that the rod shows.
	tb := begin()
	tb.say("ann", "check bm")
	tb.mustSay("ann", "5' 6 1/16", asked)
	stands(tb, 0)
	tb.mustSay("ann", "3' 0 1/16", "Check bm: 1/16 lower than before")
	stands(tb, 1)

	// Kept, by a tap, a word, or the same again.
	for _, keep := range []string{"keep", "yes", "5' 6 1/16", "bm 5' 6 1/16"} {
		tb = begin()
		tb.say("ann", "check bm")
		tb.mustSay("ann", "5' 6 1/16", asked)
		tb.mustSay("ann", keep, "Check bm: 30 1/16 lower than before")
		stands(tb, 1)
	}
	tb = begin()
	tb.mustSay("ann", "check bm 5' 6 1/16", asked)
	stands(tb, 0)
	tb.tap("ann", "keep it")
	stands(tb, 1)

	// In a text of several lines the next one is for what comes behind the check.
	tb = begin()
	tb.say("ann", "check bm")
	tb.mustSay("ann", "5' 6 1/16\n3' 0 3/8", "c2: 3/8 low")
	stands(tb, 0)
	tb.mustSay("ann", "keep", "Check bm: 30 1/16 lower than before")
	stands(tb, 1)

	tb = begin()
	tb.mustSay("ann", "check bm 5' 6 1/16\n3' 0 3/8", "Else send the check of bm again.")
	stands(tb, 0)
	tb.mustSay("ann", "keep", "Check bm: 30 1/16 lower than before")
	stands(tb, 1)

	// In the search for a bump it is asked back as well, and the search goes on.
	tb = begin()
	tb.mustSay("ann", "check bm 3' 0 1/2", "Read c1+4 again")
	tb.mustSay("ann", "3' 5 1/8", "Check c1+4: rod 3' 5 1/8\" would be 5 in lower than before, and a bump is hardly over 3 in (our figure). Right as sent: keep. Else send what the rod shows at c1+4.")
	tb.mustSay("ann", "3' 0 1/8", "c1+4: as before.")

	tb = begin()
	tb.say("ann", "español")
	tb.mustSay("ann", "revisa bm", "¿qué marca la regla")
	tb.mustSay("ann", "5' 6 1/16", "más bajo que antes, y un golpe")
	tb.mustSay("ann", "así es", "Revisión bm: 30 1/16 más bajo")
	stands(tb, 1)

	// Changed by an edit it is asked back as well, and the old one stands till then.
	for _, c := range [][4]string{
		{"english", "check bm 3' 0 1/16", "check bm 5' 6 1/16", "bm keeps its reading. " + asked},
		{"español", "revisa bm 3' 0 1/16", "revisa bm 5' 6 1/16", "bm conserva su lectura. Revisión bm: regla 5' 6 1/16\" sería 30 1/16 pulg más bajo"},
	} {
		tb = begin()
		tb.say("ann", c[0])
		tb.say("ann", c[1])
		if got := tb.edit("ann", tb.next, c[2]); !strings.HasPrefix(got, c[3]) || len(tb.last.Events) > 0 {
			t.Errorf("%q, %d events", got, len(tb.last.Events))
		}
		// Kept, it takes the place of the old one, and undo brings that back.
		tb.say("ann", map[string]string{"english": "keep", "español": "así es"}[c[0]])
		stands(tb, 1)
		if r := tb.job().Readings(); r[len(r)-1].Said != c[2] {
			t.Errorf("what counts is %q", r[len(r)-1].Said)
		}
		tb.say("ann", "undo")
		stands(tb, 1)
		if r := tb.job().Readings(); r[len(r)-1].Said != c[1] {
			t.Errorf("after the undo %q counts", r[len(r)-1].Said)
		}
	}

	// What a bump may be is not asked back.
	tb = begin()
	tb.mustSay("ann", "check bm 3' 2 1/2", "Check bm: 2 1/2 lower than before")
	stands(tb, 1)
}
