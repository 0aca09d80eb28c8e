package session_test

import (
	"slices"
	"strings"
	"testing"

	"rodcall/reduce"
	"rodcall/session/report"
)

// TestPiersSetAnew: readings on piers are kept, and it is said which stand on
// another spot now and which on none.
func TestPiersSetAnew(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "piers 10,14 20,14 30,14")
	tb.say("ann", "p1 1/8 low\np2 1/4 low\np3 1/8 high")
	got := tb.say("ann", "piers 5,5 20,14")
	for _, part := range []string{"not on this outline (kept): p3", "another spot of the plan (kept): p1\n"} {
		if !strings.Contains(got, part) {
			t.Errorf("no %q in %q", part, got)
		}
	}
	// Without walls too.
	tb = newTable(t)
	for _, s := range []string{"new Deck", "piers 10,14 20,14", "c1 0", "p2 1/8 low"} {
		tb.say("ann", s)
	}
	tb.mustSay("ann", "piers 10,14", "not on this outline (kept): p2")
}

// TestOutlineAnew says what goes with the old one, and which unit the new one
// brings; piers stay at their true place.
func TestOutlineAnew(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "piers 10,14")
	tb.say("ann", "loop garage 24x22 at 40,0")
	tb.mustSay("ann", "40x28", "Gone with the old outline: garage. undo brings it back.")
	tb.say("ann", "undo")
	if n := len(tb.job().Outline.Loops); n != 2 {
		t.Errorf("%d loops after undo, want 2", n)
	}
	tb.mustSay("ann", "12x8 m", "Amounts in millimetres")
	want := reduce.Point{X: 10 * reduce.Foot, Y: 14 * reduce.Foot}
	if got := tb.job().Outline.Piers; len(got) != 1 || got[0] != want {
		t.Errorf("the pier is at %v, want %v", got, want)
	}
}

// TestReadingsOffTheMarks are counted apart and named.
func TestReadingsOffTheMarks(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new East house", "on", "-1/8", "c1+6 1/4 low", "c9 1/8 high"} {
		tb.say("ann", s)
	}
	if got := tb.mustSay("ann", "jobs", "4 read, no outline yet"); strings.Contains(got, "0 left") {
		t.Errorf("a free walk says what is left: %q", got)
	}
	if got := tb.mustSay("ann", "datum high", "The walk goes on"); strings.Contains(got, "0 still") {
		t.Errorf("datum in a free walk: %q", got)
	}
	got := tb.say("ann", "20x20")
	for _, part := range []string{"not on this outline (kept): c9", "between its marks (kept): c1+6"} {
		if !strings.Contains(got, part) {
			t.Errorf("no %q in %q", part, got)
		}
	}
	tb.mustSay("ann", "summary", "2 of 20 stations read, 4 readings. 4 stations unchecked. Also read, off the marks: c1+6. Read, but not on this outline: c9.")
	tb.mustSay("ann", "left", "Also read, off the marks: c1+6\nRead, but not on this outline (kept): c9\n")
}

// TestSpacingWithoutWalls speaks of marks, not of piers.
func TestSpacingWithoutWalls(t *testing.T) {
	tb := newTable(t)
	tb.say("ann", "new East house")
	if got := tb.mustSay("ann", "spacing 6", "A mark every 6 ft"); strings.Contains(got, "pier") {
		t.Errorf("spacing: %q", got)
	}
	tb.mustSay("ann", "0", "Next: c1+6")
}

// TestLoopsThatMeet: what lies over another loop is kept and said once; what
// only touches is not; a spot with two names is said.
func TestLoopsThatMeet(t *testing.T) {
	for _, c := range []struct {
		loop string
		over bool
		same string
	}{
		{"loop garage 24x22 at 40,0", false, "c5 = c2"},
		{"loop garage 24x22 at 38,0", true, ""},
		{"loop garage 24x22 at 8,2", true, ""},
		{"loop garage 24x22 at 50,0", false, ""},
		{"loop garage 40x28 at 0,0", true, "c5 = c1"},
		{"loop garage 60x10 at -10,9", true, ""},
		{"loop garage 20x10 at 10,28", false, ""},
	} {
		tb := onSite(t)
		got := tb.say("ann", c.loop)
		if over := strings.Contains(got, "lies over house"); over != c.over {
			t.Errorf("%s: overlap said %t, want %t: %q", c.loop, over, c.over, got)
		}
		if c.same != "" && !strings.Contains(got, c.same) {
			t.Errorf("%s: no %q in %q", c.loop, c.same, got)
		}
		if n := len(tb.job().Outline.Loops); n != 2 {
			t.Errorf("%s: %d loops", c.loop, n)
		}
		if got := tb.say("ann", "spacing 6"); strings.Contains(got, "lies over") {
			t.Errorf("%s: said twice: %q", c.loop, got)
		}
	}
	// A porch in the corner of an L touches it on two sides.
	tb := newTable(t)
	tb.say("ann", "new Court house")
	tb.say("ann", "walls 40 left 10 left 20 right 18 left 20 left 28")
	if got := tb.say("ann", "loop porch 20x18 at 20,10"); strings.Contains(got, "lies over") {
		t.Errorf("a porch in the corner: %q", got)
	}
	tb.mustSay("ann", "loop shed 20x18 at 19,10", "shed lies over house")
}

// TestOneQuestionAtATime: while the rod is asked for, no station is.
func TestOneQuestionAtATime(t *testing.T) {
	tb := newTable(t)
	tb.say("ann", "new East house")
	for _, s := range []string{"40x28", "loop garage 24x22 at 40,0", "piers 10,14"} {
		if got := tb.mustSay("ann", s, "Which rod?"); strings.Contains(got, "Next:") {
			t.Errorf("%s: two questions: %q", s, got)
		}
	}
	tb.mustSay("ann", "direct rod", "Next: c1")
}

// TestPiersWithoutAPlace: piers read before the outline and set on none of it
// count as read, but not on this outline, the same in chat, summary and
// drawing; none of them is the high spot.
func TestPiersWithoutAPlace(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new East house", "direct rod", "c1 0", "p1 1/2 high", "p2 1/4 high", "c2 1/8 high"} {
		tb.say("ann", s)
	}
	tb.mustSay("ann", "40x28", "Read, but not on this outline (kept): p1, p2")
	tb.mustSay("ann", "datum high", "the high spot, c2")
	tb.mustSay("ann", "summary", "2 of 34 stations read, 4 readings. 4 stations unchecked. Read, but not on this outline: p1, p2.")
	tb.mustSay("ann", "left", "Read, but not on this outline (kept): p1, p2")
	v := tb.job().View()
	if v.Read != 2 || len(v.Lost) != 2 || len(v.Off) != 0 || v.Extent.High.Station != reduce.Corner(2) {
		t.Errorf("read %d, lost %v, off %v, high spot %v", v.Read, v.Lost, v.Off, v.Extent.High)
	}
	for _, s := range v.Stations {
		if s.Station.Kind == reduce.Pier && (s.Move != nil || s.Elevation == nil) {
			t.Errorf("%s has move %v, elevation %v", s.Name, s.Move, s.Elevation)
		}
	}
	head := report.Scene(tb.job(), "en", tb.now).Lines
	if !slices.Contains(head, "read, but not on this outline: p1, p2") || !strings.HasPrefix(head[0], "2 of 34 stations read · 4 readings") {
		t.Errorf("the drawing says %q", head)
	}
	// With a place they are stations like the others.
	tb.say("ann", "piers 10,14 20,14")
	tb.mustSay("ann", "datum high", "the high spot, p1")
}

// TestMarksOfAnotherUnit: what changes the marks says so; marks that readings
// hang on stay, and that is said.
func TestMarksOfAnotherUnit(t *testing.T) {
	tb := newTable(t)
	tb.say("ann", "new East house")
	tb.say("ann", "40x28")
	tb.mustSay("ann", "units mm", "Marks every 1 m now.")
	tb.mustSay("ann", "units ft", "Marks every 4 ft now.")
	if got := tb.say("ann", "units in"); strings.Contains(got, "arks every") {
		t.Errorf("inches after feet: %q", got)
	}
	tb.say("ann", "direct rod")
	tb.say("ann", "0")
	tb.mustSay("ann", "units mm", "Marks every 1 m now.")
	tb.say("ann", "units in")
	tb.say("ann", "c1+4 0")
	tb.mustSay("ann", "units mm", "they stay as they are: marks every 4 ft.")
	// The same with an outline in metres, in a job whose unit nobody chose.
	tb = newTable(t)
	for _, s := range []string{"new Porch", "direct rod", "0", "0"} {
		tb.say("ann", s)
	}
	tb.mustSay("ann", "12x8 m", "they stay as they are: marks every 4 ft.")
	if e := tb.elevation("c1+4"); e != "0" {
		t.Errorf("c1+4 stands at %q", e)
	}
}

// TestOddPiers: one remark on piers that are hardly meant so.
func TestOddPiers(t *testing.T) {
	tb := onSite(t)
	tb.mustSay("ann", "piers 10,14 40,14 300,14 45,14 0,0", "Mind: on a wall: p2, p5; far outside the walls: p3. Kept;")
	if got := tb.say("ann", "piers 10,14 20,14"); strings.Contains(got, "Mind") {
		t.Errorf("plain piers: %q", got)
	}
	tb.mustSay("ann", "20x28", "Mind: on a wall: p2")
}
