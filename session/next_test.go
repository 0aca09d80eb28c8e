package session_test

import (
	"slices"
	"strings"
	"testing"

	"rodcall/reduce"
	"rodcall/session"
)

// uneven is a walk of an 8x8 ft foundation, and what follows it.
func uneven(t testing.TB, messages ...string) *table {
	tb := newTable(t)
	for _, text := range []string{"new East house", "8x8", "direct rod", "0", "1/8 low", "1/4 low", "3/8 low", "1/8 low", "0", "1/8 high", "1/4 low"} {
		tb.say("ann", text)
	}
	for _, text := range messages {
		tb.say("ann", text)
	}
	return tb
}

// lacks fails where a text holds one of the parts.
func lacks(t *testing.T, got string, parts ...string) {
	t.Helper()
	for _, p := range parts {
		if strings.Contains(got, p) {
			t.Errorf("%q is in:\n%s", p, got)
		}
	}
}

// TestSignMeasured: nothing is signed off that was not held against the level on
// the plate: without the plate's thickness, with nothing or one station read,
// without a tie. Each refusal offers the one step that goes on, and [sign] is
// not offered before it would be taken.
func TestSignMeasured(t *testing.T) {
	plate := []string{"bm 0", "done", "datum c1", "tolerance 3/8", "surface plate", "bolts tight"}
	for _, c := range []struct {
		name     string
		messages []string
		want     []string
	}{
		{"no thickness", []string{"bm 0", "c1 5 in high\n5 in low\n3 in high\n2 in low", "done"}, []string{"how thick is the plate?", "[plate 1 1/2]"}},
		{"only bm", []string{"plate 1 1/2", "bm 0", "done"}, []string{"5 stations that matter are not read on the plate: c1, c2, c2+4, c3, c4", "[read c1]"}},
		{"one station", []string{"plate 1 1/2", "bm 0", "c2 1 1/4 in high", "done"}, []string{"4 stations that matter", "c1, c2+4, c3, c4", "[read c1]"}},
		{"no tie", []string{"plate 1 1/2", "c2 1 1/4 in high", "c3 1 1/2 in high", "done"}, []string{"c2, c3 are read and have no height", "Read bm", "[read bm]"}},
		{"no beam anywhere", []string{"plate 1 1/2", "bm 0", "no beam c1", "no beam c2", "no beam c2+4", "no beam c3", "no beam c4", "done"}, []string{"nothing of round 2 is held against the level"}},
	} {
		tb := uneven(t, append(plate[:len(plate):len(plate)], c.messages[:len(c.messages)-1]...)...)
		end := tb.say("ann", c.messages[len(c.messages)-1])
		lacks(t, c.name+": "+end, "[sign]")
		got := tb.say("ann", "sign")
		wants(t, c.name+": "+got, append(c.want, "Not signed")...)
		if tb.job().Signed != nil {
			t.Errorf("%s: signed all the same", c.name)
		}
		lacks(t, tb.say("ann", "done")+tb.say("ann", "summary"), "[sign]", "sign-off, on the plate")
		es := tb.say("ann", "español\nfirma")
		wants(t, c.name+": "+es, "Sin firmar")
	}
}

// TestSignReadOn: the button of a refusal goes on reading, and what the beam
// does not reach is listed with the signature.
func TestSignReadOn(t *testing.T) {
	tb := uneven(t, "bm 0", "done", "datum c1", "tolerance 3/8", "surface plate", "bolts tight", "plate 1 1/2", "bm 0", "c2 1 1/4 in high", "done")
	tb.say("ann", "sign")
	wants(t, tb.tap("ann", "read c1"), "Next: c1")
	for _, text := range []string{"1 1/2 in high", "c2+4 1 1/4 in high", "c3 1 1/2 in high", "no beam c4", "done"} {
		tb.say("ann", text)
	}
	wants(t, tb.say("ann", "sign"), "signed off by ann", "4 stations within 3/8 in", "Not read on the plate as it lies now, 4: c1+4, c3+4, c4, c4+4.", "Drawn by lot and not read again, 1: ")
	if s := tb.job().Signed; s.On != 4 || s.Unread != 4 {
		t.Errorf("signed %+v", s)
	}
}

// TestSignHungOnItself: where nothing off the sill joins the plate to the
// concrete the reference is at the level because it was taken to be; it is not
// counted, and that is said. A round that goes over to the plate before anything
// is read asks for the corners.
func TestSignHungOnItself(t *testing.T) {
	tb := newTable(t)
	for _, text := range []string{"new East house", "8x8", "direct rod", "0", "0", "0", "0", "0", "0", "0", "0", "skip", "datum c1", "next round", "bolts tight"} {
		tb.say("ann", text)
	}
	wants(t, tb.say("ann", "surface plate"), "Round 2, rod on the plate, bolts tight. 4 stations matter: c1, c2, c3, c4")
	for _, text := range []string{"plate 1 1/2", "0", "0", "0", "0", "skip"} {
		tb.say("ann", text)
	}
	wants(t, tb.say("ann", "sign"), "3 stations within 1/8 in", "hang on c1: nothing off the sill checks them")
	if s := tb.job().Signed; s == nil || s.On != 3 || s.Unread != 4 {
		t.Errorf("signed %+v", s)
	}
	if again, err := session.Fold(tb.logs[tb.chat.Current]); err != nil || again.Signed == nil || again.Round != 2 {
		t.Errorf("read back: %v", err)
	}
}

// TestComesNext: at each turn the step that follows is said, with its button.
func TestComesNext(t *testing.T) {
	tb := uneven(t)
	for _, step := range []struct {
		text string
		want []string
	}{
		{"skip", []string{"Which level to build to?", "[high spot]"}},
		{"done", []string{"Round ended"}},
		{"done", []string{"This round has ended.", "Next: choose the level.", "[high spot]"}},
		{"datum high", []string{"Next: shims at ", "[shim plan] [Start shimming]"}},
		{"tolerance 1/8", []string{"Next: shims at ", "[shim plan] [Start shimming]"}},
		{"bearing 24", []string{"Next: shims at ", "[Start shimming]"}},
		{"splices c1+4", []string{"Next: shims at ", "[Start shimming]"}},
		{"done", []string{"This round has ended.", "[Start shimming]"}},
		{"shimmed all", []string{"All shims are set.", "[Next round]"}},
		{"done", []string{"Next: read again where shims were set", "[next round]"}},
		{"summary", []string{"Still to do: ", "again"}},
	} {
		got := tb.say("ann", step.text)
		wants(t, step.text+": "+got, step.want...)
	}
	// The level was chosen before the walk was ended.
	tb = uneven(t, "datum high", "undo", "undo", "datum high")
	wants(t, tb.say("ann", "done"), "Round ended with 7 read.", "Next: shims at ", "[Start shimming]")

	tb = newTable(t)
	for _, text := range []string{"new East house", "4x4", "direct rod", "0", "0", "0", "0"} {
		tb.say("ann", text)
	}
	for _, text := range []string{"datum c1", "tolerance 1/8", "bearing 24", "start shimming", "shims", "done", "done", "check c2 0"} {
		got := tb.say("ann", text)
		if text != "done" || !strings.Contains(got, "Round ended") {
			wants(t, text+": "+got, "Nothing to shim. Next: lay the plate", "[surface plate]")
		}
	}
	wants(t, tb.say("ann", "summary"), "Still to do: sign-off, on the plate")

	tb = levelTable(t)
	wants(t, tb.say("ann", "tolerance 1/8"), "Next: sign-off.", "The lot was not read again, 1: ", "[sign] [re-shoot 1]")
	tb.say("ann", "re-shoot")
	got := tb.say("ann", "0")
	wants(t, got, "The lot is done.", "Next: sign-off.", "[sign]")
	lacks(t, got, "[re-shoot")
	lacks(t, tb.say("ann", "sign"), "by lot")
}

// TestLeftOut: a level chosen on a walk that was ended early leads to what was
// left out, not to shims or the plate: where a corner is unread, or most of the
// walk; a spot or two are only named. What the beam does not reach is not asked
// for.
func TestLeftOut(t *testing.T) {
	tb := onSite(t)
	for _, text := range []string{"1/8 low", "done"} {
		tb.say("ann", text)
	}
	got := tb.say("ann", "datum high")
	wants(t, got, "Next: read what was left out, 32: c1+8, ", "[read c1+8]")
	lacks(t, got, "Nothing to shim", "[surface plate]", "Not read")
	wants(t, tb.say("ann", "summary"), "Still to do: read 32 left out")
	wants(t, tb.say("ann", "sign"), "Not signed: in round 1, 32 were left out: c1+8, ", "[read c1+8]")
	wants(t, tb.tap("ann", "read c1+8"), "The walk goes on.", "Next: c1+8")

	left := func(unread ...string) *table {
		tb := newTable(t)
		for _, text := range []string{"new East house", "40x28", "direct rod"} {
			tb.say("ann", text)
		}
		for _, s := range tb.job().View().Left {
			if name := session.SayStation("en", tb.job(), s); !slices.Contains(unread, name) {
				tb.say("ann", name+" 0")
			}
		}
		tb.say("ann", "done")
		return tb
	}
	wants(t, left("c1+8", "c3+4").say("ann", "datum high"), "Not read, 2: c1+8, c3+4", "Nothing to shim", "[surface plate]")
	wants(t, left("c1+8", "c3").say("ann", "datum high"), "Next: read what was left out, 2: c1+8, c3.", "[read c1+8]")
	tb = left("c3")
	tb.say("ann", "no beam c3")
	tb.say("ann", "done")
	wants(t, tb.say("ann", "datum high"), "Nothing to shim", "[surface plate]")
}

// TestOneLot: what is drawn in a round stays drawn, whoever asks and whatever is
// read anew; only where it is read again is another one drawn.
func TestOneLot(t *testing.T) {
	tb := uneven(t, "done")
	lot := func(got string) string {
		_, list, _ := strings.Cut(got, "To read again, 1: ")
		name, _, _ := strings.Cut(list, "\n")
		return name
	}
	first := lot(tb.say("ann", "re-shoot"))
	if first == "" {
		t.Fatal("nothing drawn")
	}
	tb.say("ann", "skip")
	for _, text := range []string{"c3 1/4 low", "c2 0", "bm 0", "datum high", "another rod"} {
		tb.say("ann", text)
		if got := lot(tb.say("ann", "re-shoot")); got != first {
			t.Errorf("after %q the lot is %s, was %s", text, got, first)
		}
	}
	tb.say("bob", "took over")
	if got := lot(tb.say("bob", "re-shoot")); got != first {
		t.Errorf("another person's lot is %s, not %s", got, first)
	}
	tb.say("ann", "check "+first+" 0")
	if got := lot(tb.say("ann", "re-shoot")); got == first || got == "" {
		t.Errorf("once it was read again: %q", got)
	}
}

// TestBenchmarkReadAgain: a benchmark that is read again unasked, as before,
// checks what was read between; otherwise it is said that it replaces.
func TestBenchmarkReadAgain(t *testing.T) {
	begin := []string{"new East house", "8x8", "direct rod", "bm 0", "c1 0", "0", "1/8 low"}
	table := func() *table {
		tb := newTable(t)
		for _, text := range begin {
			tb.say("ann", text)
		}
		return tb
	}
	tb := table()
	wants(t, tb.say("ann", "bm 0"), "bm reads as before: that counts as a check shot.")
	lacks(t, tb.say("ann", "done"), "check shot")
	tb = table()
	tb.say("ann", "bm 0")
	tb.say("ann", "1/16 low")
	wants(t, tb.say("ann", "done"), "No check shot came after 1 reading:")
	tb = table()
	wants(t, tb.say("ann", "bm 1/2 high"), "takes the place of the reading of bm before, 1/2 off it", "check bm 1/2 high")
	wants(t, tb.say("ann", "done"), "No check shot came after 4 readings:")
	tb = newTable(t)
	for _, text := range begin[:4] {
		tb.say("ann", text)
	}
	lacks(t, tb.say("ann", "bm 1/2 high"), "check shot", "takes the place")
}

// TestChoicesSayCloseCalls: the levels laid side by side say how many stations
// would be close calls, as many as there are once one is chosen.
func TestChoicesSayCloseCalls(t *testing.T) {
	tb := uneven(t, "skip")
	for _, c := range []struct{ name, datum string }{{"\nhigh spot c4", "datum high"}, {"\nfirst c1", "datum first"}} {
		got := tb.say("ann", "choices")
		_, line, _ := strings.Cut(got, c.name)
		line, _, _ = strings.Cut(line, "\n")
		tb.say("ann", c.datum)
		n := 0
		for _, s := range tb.job().View().Stations {
			if s.Verdict == reduce.Unsure {
				n++
			}
		}
		if want := map[bool]string{true: " close calls", false: " close call"}[n > 1]; n == 0 || !strings.Contains(line, "; "+string(rune('0'+n))+want) {
			t.Errorf("%s: %d close calls, and: %s", c.datum, n, line)
		}
	}
}

// TestChoicesWhileWaiting: who has to say first whether they hold the rod is
// told so beside the levels.
func TestChoicesWhileWaiting(t *testing.T) {
	tb := uneven(t, "skip")
	tb.say("bob", "c1 0")
	wants(t, tb.say("bob", "choices"), "Which level to build to?", "But first: did you take the rod over", "[I took it over]")
	tb.tap("bob", "I took it over")
	wants(t, tb.say("bob", "choices"), "[high spot]")
}

// TestLevelMoves: a level that moves with a later reading says so, once.
func TestLevelMoves(t *testing.T) {
	tb := uneven(t, "skip", "datum high")
	wants(t, tb.say("ann", "c3+4 1/4 high"), "The level to build to is now 1/8 higher: high spot, c3+4, 1/4 above c1.")
	lacks(t, tb.say("ann", "c2 3/16 low"), "level to build to")
	wants(t, tb.say("ann", "undo\nundo"), "The level to build to is now 1/8 lower: high spot, c4")
	lacks(t, tb.say("ann", "datum c1")+tb.say("ann", "c3+4 1/2 high"), "level to build to")
}
