package session_test

import (
	"strings"
	"testing"
)

// sent is what somebody sends and what the answer must hold.
type sent struct{ text, want string }

func talk(t *testing.T, steps []sent) *table {
	t.Helper()
	tb := newTable(t)
	for _, s := range steps {
		if got := tb.say("ann", s.text); !strings.Contains(got, s.want) {
			t.Errorf("%q was answered %q, want %q in it", s.text, got, s.want)
		}
	}
	return tb
}

var walkedHalf = []sent{
	{"new East house", ""}, {"40x28", ""}, {"direct rod", ""}, {"0", ""}, {"c2 -1/8", ""}, {"c3 -1/4", ""}, {"c1+4 on", "Next: c1+8"},
}

// TestTiesAreAskedFor: after a move the reference, then what is farthest from
// it; then the walk goes on where it was.
func TestTiesAreAskedFor(t *testing.T) {
	talk(t, append(walkedHalf,
		sent{"moved", "to join set-up 2: c1, or any"},
		sent{"1/2 high", "to check set-up 2: c3"},
		sent{"1/4 high", "Set-up 2 is checked: its 2 ties agree.\nA third one off their line, like c2, would show a tilt.\nNext: c1+8"},
		sent{"c2 3/8 high", "its 3 ties agree.\nNext: c1+8"},
		sent{"3/8 high", "c1+8: 1/8 low"},
	))
}

// TestBenchmarkTiesFirst: a benchmark that was read is asked for before all.
func TestBenchmarkTiesFirst(t *testing.T) {
	talk(t, append(walkedHalf, sent{"bm 3/8 high", "bm: 3/8 high"}, sent{"moved", "to join set-up 2: bm, or any"},
		sent{"c3 on", "to check set-up 2: bm"}, sent{"5/8 high", "ties agree"}))
}

// TestTiesMayBeLeft: skip goes on, a new station too, and both are told what is
// lacking; undo of the move takes the asking back.
func TestTiesMayBeLeft(t *testing.T) {
	talk(t, append(walkedHalf,
		sent{"moved", "to join set-up 2: c1"},
		sent{"skip", "to join set-up 2: c3"},
		sent{"1/4 high", "to check set-up 2: c1+4"},
		sent{"skip", "joined by c3 alone: unchecked.\nNext: c1+8"},
		sent{"quality", "Set-up 2: tied by c3, unchecked."},
		sent{"moved", "to join set-up 3: c1"},
		sent{"c1+8 1/4 low", "kept. It gets a height once c1"},
		sent{"quality", "Set-up 3: tied to nothing, no heights."},
		sent{"moved", "to join set-up 4"},
		sent{"undo", "Next: c1+12"},
	))
}

// TestTiesThatDisagree by more than readings explain are not passed over.
func TestTiesThatDisagree(t *testing.T) {
	talk(t, append(walkedHalf,
		sent{"moved", ""}, sent{"1/2 high", ""},
		sent{"1 1/4 high", "Set-up 2 does not check: its 2 ties differ by 1, more than readings explain. Read the ties again."},
		sent{"quality", "Set-up 1: tied by c1, and its ties do not agree."},
		sent{"quality", "which reading is off cannot be told: c1, c3"},
		sent{"summary", "Readings differ by more than they can, at c1, c3: read again."},
		sent{"español", ""},
		sent{"calidad", "Posición 1: unida por c1, y sus uniones no coinciden."},
		sent{"resumen", "Las lecturas difieren más de lo que pueden, en c1, c3: lee otra vez."},
	))
}

// TestSurveySettings: each is said back, and undone.
func TestSurveySettings(t *testing.T) {
	talk(t, append(walkedHalf,
		sent{"known c1 100 ft", "That puts c1 at 100.00 ft."},
		sent{"known c1 101 ft", "That puts c1 at 101.00 ft."},
		sent{"undo", "it is 100.00 ft again"},
		sent{"known c1 none", "c1 is not known any more."},
		sent{"known c1 none", "No height was given for c1."},
		sent{"known bm 100", "Which one?"},
		sent{"weights setups", "counts alike"},
		sent{"undo", "it is by the error budget again"},
		sent{"weights", "Which one?"},
		sent{"laser 20 14", "laser 20,14"},
		sent{"laser 20,14", "stands at 20,14"},
		sent{"laser 10,14", "stands at 10,14"},
		sent{"undo", "it is 20,14 again"},
		sent{"undo", "Taken back: the laser's place in set-up 1"},
		sent{"budget beam 1/8 per 100 ft", "beam 1/8 in per 100 ft"},
		sent{"undo", "it is ours again"},
		sent{"budget receiver 0", "receiver 0"},
		sent{"budget reading 0", "cannot both be without error"},
		sent{"budget default", "Error budget (ours"},
		sent{"notes", "elevations above c1, feet"},
	))
}
