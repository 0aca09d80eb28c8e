package madesite_test

import (
	"strings"
	"testing"
)

// Operators of the keystroke-level model, in seconds: S. K. Card, T. P. Moran and
// A. Newell, "The keystroke-level model for user performance time with interactive
// systems", Communications of the ACM 23 (1980), and "The Psychology of
// Human-Computer Interaction" (1983). K, P, H and M were read in a table that a
// university's course copies from the book (asi-www.informatik.uni-hamburg.de,
// SE_Evaluation/goms), B in a later cheat sheet of the model. They were found at a
// desk, with a mouse: a thumb on a phone, and a glove, are not in them.
var operators = map[rune]float64{
	'K': 0.28, // a key, of an average typist who is no typist by trade (40 words a minute)
	'P': 1.10, // pointing at a target on a display
	'B': 0.10, // a button pressed, or released
	'H': 0.40, // the hand to another device: none here, the phone is in it
	'M': 1.35, // making up one's mind
	'R': 0.50, // waiting for the page that more… opens: our assumption, no source
	'S': 0.40, // a word saidOnly: 150 words a minute, common in conversation (from memory)
}

// The strings, one reading each. The wait for the answer is none where somebody
// walks on to the next station meanwhile.
const (
	// oneTap finds the value among the keys, and taps it; furtherTap waits for the
	// next page, finds the key there, and taps it.
	oneTap, furtherTap = "MPBB", "RMPBB"
	// typedWords is "3/8 low" into the field: the field is tapped, seven keys and
	// two changes between figures and letters, and the button that sends.
	// typedSign is "-3/8" with one change.
	typedWords, typedSign = "MPBB" + "KKKKKKKKK" + "PBB", "MPBB" + "KKKKK" + "PBB"
	// saidOnly holds the button of the microphone, says "three eighths low", and lets
	// go; saidAndRead also reads what was heard.
	saidOnly, saidAndRead = "MPB" + "SSS" + "B", "MPB" + "SSS" + "B" + "M"
)

// seconds is what a string takes.
func seconds(s string) float64 {
	sum := 0.0
	for _, op := range s {
		sum += operators[op]
	}
	return sum
}

// walkStations is how many stations the walk of the model has.
const walkStations = 34

// deskModel logs the model's table for a walk, and holds tapping to 105 s, with as
// many taps a reading as were measured.
func deskModel(t *testing.T, taps float64) {
	t.Helper()
	t.Logf("keystroke-level model, a walk of %d stations: a desk model, without gloves, glare or cold; walking and reading the rod are not in it", walkStations)
	tapping := walkStations * (seconds(oneTap) + (taps-1)*seconds(furtherTap))
	t.Logf("%-34s %-24s %6.2f s a reading %6.1f s a walk", "tapping", oneTap+" + "+furtherTap+" a further", tapping/walkStations, tapping)
	for _, way := range []struct{ name, ops string }{
		{`typing "3/8 low"`, typedWords}, {`typing "-3/8"`, typedSign},
		{`saying "three eighths low"`, saidOnly}, {"saying it, and reading the echo", saidAndRead},
	} {
		if strings.Trim(way.ops, "KPBHMRS") != "" {
			t.Fatalf("%s: an operator without a time in %q", way.name, way.ops)
		}
		t.Logf("%-34s %-24s %6.2f s a reading %6.1f s a walk", way.name, way.ops, seconds(way.ops), walkStations*seconds(way.ops))
	}
	if tapping > 105 {
		t.Errorf("tapping takes %.1f s, at %.3f taps a reading", tapping, taps)
	}
}
