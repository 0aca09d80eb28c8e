package session_test

import (
	"fmt"
	"strings"
	"testing"

	"rodcall/session"
)

// calm is a wall of eleven stations that is read without a question.
const calm = "on\n1/8 low\n1/8 low\n1/4 low\n1/4 low\n5/16 low\n3/8 low\n3/8 low\n3/8 low\n5/16 low\n3/8 low"

func calmWall(t *testing.T) *table {
	tb := newTable(t)
	for _, s := range []string{"new East house", "40x28", "direct rod"} {
		tb.say("ann", s)
	}
	if got := tb.say("ann", calm); strings.Contains(got, "Which is it?") {
		t.Fatalf("a calm wall was doubted: %s", got)
	}
	return tb
}

// quiet says a line that must store nothing.
func (tb *table) quiet(who, text, want string) string {
	tb.t.Helper()
	got := tb.mustSay(who, text, want)
	if len(tb.last.Events) > 0 {
		tb.t.Errorf("%q stored %d events", text, len(tb.last.Events))
	}
	return got
}

// TestDoubtStoresNothing: an unlikely reading waits for its answer, through
// nonsense too; the same again confirms it, and the mark is in the log.
func TestDoubtStoresNothing(t *testing.T) {
	tb := calmWall(t)
	tb.quiet("ann", "3/8 high", "c2+4: 3/8 high, its neighbours are about 3/8 low")
	tb.quiet("ann", "banana", "not understood")
	tb.mustSay("ann", "3/8 high", "Next: c2+8")
	if r, ok := tb.last.Events[0].Body.(session.Read); !ok || !r.Sure {
		t.Errorf("stored %+v", tb.last.Events[0].Body)
	}
	if got := tb.say("ann", "c2+4 3/8 high"); strings.Contains(got, "Which is it?") {
		t.Errorf("asked again: %s", got)
	}
	if got := tb.say("ann", "c2+4 3/8 high"); strings.Contains(got, "Which is it?") {
		t.Errorf("asked once more: %s", got)
	}
	tb.mustSay("ann", "undo", "c2+4")
	tb.mustSay("ann", "undo", "c2+4")
	tb.mustSay("ann", "undo", "c2+4: taken back, unread again.")
	tb.quiet("ann", "c2+4 3/8 high", "Which is it?")
}

// TestDoubtSlips: each answer is a reading that does what it says.
func TestDoubtSlips(t *testing.T) {
	for said, label := range map[string]string{
		"3/8 high":   "c2+4 3/8 low",
		"1 3/8 low":  "c2+4 3/8 low",
		"c2+4 3/8 +": "c2+4 3/8 low",
	} {
		tb := calmWall(t)
		tb.quiet("ann", said, "["+label+"]")
		if got := tb.tap("ann", label); !strings.Contains(got, "c2+4: 3/8 low (of c1)") {
			t.Errorf("%q, then %q: %s", said, label, got)
		}
		if e := tb.last.Events[0]; e.Message != fmt.Sprint(tb.next) {
			t.Errorf("%q is put down to message %s", label, e.Message)
		}
	}
}

// TestNeverDoubted: checks, benchmarks, piers, the reference and the first ten
// stations are taken as they come, and so is what a later reading replaces with
// a likely one.
func TestNeverDoubted(t *testing.T) {
	tb := calmWall(t)
	tb.say("ann", "piers 10,14")
	for _, s := range []string{"check c2 1-1/2 high", "bm 1-1/2 high", "p1 1-1/2 high", "c1 1-1/2 high"} {
		if got := tb.say("ann", s); strings.Contains(got, "Which is it?") || len(tb.last.Events) == 0 {
			t.Errorf("%q was answered %q", s, got)
		}
	}
	tb = newTable(t)
	for _, s := range []string{"new East house", "40x28", "direct rod", "on"} {
		tb.say("ann", s)
	}
	for i := range 9 {
		said := "1/8 low"
		if i%3 == 2 {
			said = "2 1/2 high"
		}
		if got := tb.say("ann", said); strings.Contains(got, "Which is it?") {
			t.Errorf("station %d: %s", i+2, got)
		}
	}
}

// TestDoubtOfTwo: one person's doubt is not another's, and lines that waited to
// be told who holds the rod are doubted when they are heard.
func TestDoubtOfTwo(t *testing.T) {
	tb := calmWall(t)
	tb.quiet("ann", "3/8 high", "Which is it?")
	tb.quiet("bob", "c2+8 3/8 high", "Did you take it over")
	tb.mustSay("bob", "took over", "c2+8: 3/8 high, its neighbours")
	tb.quiet("ann", "c2+4 3/8 high", "Did you take it over")
	tb.mustSay("bob", "c2+8 3/8 high", "c2+8: 3/8 high (of c1)")
}

// TestDoubtStandardRod: on a standard rod the figure is said too.
func TestDoubtStandardRod(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new East house", "12x8 m", "standard rod", "units mm"} {
		tb.say("ann", s)
	}
	for _, s := range []string{"1412", "1414", "1413", "1415", "1414", "1416", "1414", "1415", "1413", "1414", "1415"} {
		tb.say("ann", s)
	}
	got := tb.quiet("ann", "1314", "Which is it?")
	for _, want := range []string{"98 mm high", "1314 mm", "[c1+11 1414 mm]"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in %s", want, got)
		}
	}
}

// TestDoubtInSpanish: the conversation's language holds for the question and its
// answers.
func TestDoubtInSpanish(t *testing.T) {
	tb := calmWall(t)
	tb.say("ann", "español")
	tb.quiet("ann", "3/8 alto", "sus vecinos andan por 3/8 bajo")
	if got := tb.tap("ann", "así es"); !strings.Contains(got, "c2+4: 3/8 alto") {
		t.Error(got)
	}
}

// TestFirstReadingFarOff: while too few are read to show how they scatter, a reading
// is asked back that is off the nearest one by more than a wall is, and a figure
// like 46 is offered as feet and inches where that fits. What is nearer is not.
func TestFirstReadingFarOff(t *testing.T) {
	for _, c := range []struct{ lang, keep, asked, first string }{
		{"english", "keep", "c1+4: 9 high, rod 3' 10\", its neighbours are about level (of c1).", "Or is c1 wrong? Put it right, like c1 is 3' 10\""},
		{"español", "así es", "c1+4: 9 alto, regla 3' 10\", sus vecinos andan por a nivel (de c1).", "¿O está mal c1? Corrígelo, como c1 es 3' 10\""},
	} {
		begin := func() *table {
			tb := newTable(t)
			for _, s := range []string{"new East house", "40x28", "standard rod", c.lang, "55"} {
				tb.say("ann", s)
			}
			return tb
		}
		tb := begin()
		tb.mustHear(tb.say("ann", "46"), c.asked, c.first, "[c1+4 4' 6\"]")
		tb.mustStand(map[string]string{"c1+4": ""})
		tb.tap("ann", "c1+4 4' 6\"")
		tb.mustStand(map[string]string{"c1+4": "25.4"})
		tb.mustHear(tb.say("ann", "46 1/8"), "[c1+8 4' 6 1/8\"]")
		if got := tb.say("ann", "52 1/2"); len(tb.last.Events) != 1 {
			t.Errorf("a step of 1 1/2 in: %q", got)
		}
		tb = begin()
		tb.say("ann", "46")
		tb.say("ann", c.keep)
		tb.mustStand(map[string]string{"c1+4": "228.6"})
		if got := tb.say("ann", "46 1/4"); len(tb.last.Events) != 1 {
			t.Errorf("level with the one beside it: %q", got)
		}
	}
}
