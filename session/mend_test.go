package session_test

import (
	"strings"
	"testing"

	"rodcall/reduce"
)

// TestOneTapMends: what alone would close walls is named, likeliest first, and
// one tap sends them so.
func TestOneTapMends(t *testing.T) {
	for _, c := range []struct {
		unit, walls, says, tap string
		corners                int
	}{
		{"", "walls 40 left 28 left 40 left 26", "It closes if c2→c3 is 26 ft, not 28 ft.\nIt closes if c4→c1 is 28 ft, not 26 ft.", "c4→c1 28 ft", 4},
		{"", "walls 40 left 28 left 40 left 27' 6\"", "It closes if c2→c3 is 27.5 ft, not 28 ft.", "c2→c3 27.5 ft", 4},
		{"", "walls 40 left 14 left 20 left 14 left 20 left 28", "It closes if the turn at c4 is right, not left.", "c4 right", 6},
		{"", "walls 20 left 45 deg 14.14 left 10 left 30 left 20", "It closes if the turn at c3 is left 45°, not left.", "c3 left 45°", 5},
		{"", "walls 12 left 120 deg 12 left 120 deg 12 left 120 deg 12 left 120 deg 12 left 120 deg 12", "Walls 1 and 3 cross or touch. Nothing changed. Check a turn: left or right.\nIt closes if those are the angles between the walls.", "angles between walls", 6},
		{"units mm", "walls 6 left 45 deg 4.24 left 45 deg 3 left 9 left 6.5", "It closes if c5→c1 is 6 m, not 6.5 m.", "c5→c1 6 m", 5},
		{"español", "muros 20 izq 45 grados 14.14 izq 45 grados 10 izq 30 izq 22", "Cierra si c5→c1 mide 20 pies y no 22 pies.", "c5→c1 20 pies", 5},
	} {
		tb := newTable(t)
		tb.say("ann", "new East house")
		if c.unit != "" {
			tb.say("ann", c.unit)
		}
		if got := tb.say("ann", c.walls); !strings.Contains(got, c.says) {
			t.Errorf("%s: no %q in %q", c.walls, c.says, got)
		}
		if !tb.job().Outline.Empty() {
			t.Errorf("%s: an outline all the same", c.walls)
		}
		tb.tap("ann", c.tap)
		if n := tb.job().Outline.Corners(); n != c.corners {
			t.Errorf("%s, %s tapped: %d corners, want %d", c.walls, c.tap, n, c.corners)
		}
	}
	// A loop's corners have its own numbers, and its place stays.
	tb := onSite(t)
	if got := tb.say("ann", "loop porch walls 10 left 60 deg 5 left 120 deg 10 left 60 deg 6 at 0,-8"); !strings.Contains(got, "to c5 it is") || !strings.Contains(got, "It closes if c8→c5 is 5 ft, not 6 ft.") {
		t.Errorf("a porch: %q", got)
	}
	tb.tap("ann", "c8→c5 5 ft")
	if at, loop, _ := tb.job().Outline.Position(reduce.Corner(5)); loop != "porch" || at != (reduce.Point{Y: -8 * reduce.Foot}) {
		t.Errorf("the porch is %q at %v", loop, at)
	}
	// Nothing alone explains it: only the gap, as ever.
	if got := tb.say("ann", "walls 40 left 28 left 39 left 26"); strings.Contains(got, "It closes") {
		t.Errorf("no single change closes this: %q", got)
	}
	// More than three: the rest is counted.
	tb.mustSay("ann", "walls 40 left 10 left 10 right 10 left 10 right 10 left 18 left 30", "1 other single change would close it too.")
}

// TestSlantedLoops: loops over, beside and on slanted walls; piers on them; a
// spot with two names.
func TestSlantedLoops(t *testing.T) {
	for _, c := range []struct {
		say, part string
		over      bool
	}{
		{"loop porch 4x4 at 26,0", "", false},                                                    // in the cut corner's lee
		{"loop porch 4x4 at 24,1", "lies over house", true},                                      // its corner over the slanted wall
		{"loop porch 4x4 at 10,8", "lies over house", true},                                      // inside
		{"loop porch 6 left 135 deg 8.49 left 135 deg 6 at 20,-6", "", false},                    // apart
		{"loop porch walls 10 left 10 left 135 deg 14.14 at 20,0", "c6 = c2, c8 = c3", false},    // fills the cut corner
		{"loop porch walls 10 left 10 left 135 deg 14.14 at 19.5,0", "lies over house", true},    // half a foot too far
		{"piers 25,5 25,4", "on a wall: p1.", false},                                             // on the slanted wall
		{"loop porch walls 10 left 10 left 135 deg 14.14 at 20.01,0", "c6 = c2, c8 = c3", false}, // to a hundredth
	} {
		tb := newTable(t)
		tb.say("ann", "new East house")
		tb.say("ann", "walls 20 left 45 deg 14.14 left 45 deg 10 left 30 left 20")
		got := tb.say("ann", c.say)
		if strings.Contains(got, "lies over") != c.over || !strings.Contains(got, c.part) {
			t.Errorf("%s: %q, want %q", c.say, got, c.part)
		}
	}
}
