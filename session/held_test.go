package session_test

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"rodcall/reduce"
	"rodcall/session"
)

// TestHeldLinesKeepTheirStations: lines that wait to hear who holds the rod
// are booked at the stations that were asked for when they were sent, whatever
// others read meanwhile: with a rod of one's own beside that, with the same rod
// only where nobody read since.
func TestHeldLinesKeepTheirStations(t *testing.T) {
	for answer, want := range map[string]map[string]string{
		"I took it over": {"c1+16": "-9.525"},
		"I hold another": {"c1+8": "-6.35", "c1+12": "-12.7", "c1+16": "-9.525"},
	} {
		tb := onSite(t)
		tb.say("ann", "-1/8")
		tb.mustSay("bob", "-1/4", "c1+8 -1/4")
		tb.mustSay("bob", "-1/2", "that: c1+12 -1/2, and 1 before")
		tb.say("bob", "-3/8")
		tb.mustSay("ann", "-1/16", "c1+8: 1/16 low")
		tb.mustSay("ann", "-3/16", "c1+12: 3/16 low")
		told := tb.tap("bob", answer)
		got := map[string]string{}
		for _, r := range tb.job().Readings() {
			if r.By == tb.ids["bob"] {
				got[tb.job().StationName(r.Station)] = r.Value.String()
			}
		}
		if !maps.Equal(got, want) {
			t.Errorf("%s: bob's readings are %v, want %v", answer, got, want)
		}
		if kept := strings.Contains(told, "c1+8 was read by somebody else meanwhile and stands 1/16 low"); kept != (len(want) == 1) {
			t.Errorf("%s: %q", answer, told)
		}
		tb.mustSay("bob", "repeat", "Next: c1+20")
	}
}

// TestHeldFiguresWithoutASide wait too, and are asked back afterwards for
// their own station.
func TestHeldFiguresWithoutASide(t *testing.T) {
	tb := onSite(t)
	got := tb.say("bob", "-1/4\n3/8\nasdf\n-1/2")
	if n := strings.Count(got, "Somebody else"); n != 1 || !strings.Contains(got, "c1+8 3/8, c1+12 -1/2") {
		t.Errorf("asked %d times: %q", n, got)
	}
	tb.tap("bob", "I took it over")
	tb.tap("bob", "c1+8 3/8 high")
	tb.mustStand(map[string]string{"c1+4": "-6.35", "c1+8": "9.525", "c1+12": "-12.7"})
}

// TestHeldLinesLeft: no drops what waits, and says so.
func TestHeldLinesLeft(t *testing.T) {
	tb := onSite(t)
	tb.say("bob", "-1/4\n-1/8")
	if got := tb.say("bob", "no"); !strings.Contains(got, "holds the rod: c1+4 -1/4, c1+8 -1/8") || !strings.Contains(got, "Next: c1+4") {
		t.Errorf("no: %q", got)
	}
	tb.say("bob", "-1/4")
	tb.mustSay("bob", "new Porch", "holds the rod: c1+4 -1/4")
}

// TestOvertakenLineAsACheck: what is said to keep a reading that was overtaken
// keeps it, beside the newer one.
func TestOvertakenLineAsACheck(t *testing.T) {
	for _, line := range []string{"-1/4", "c1+4 -1/4", "c1+4 is -1/4"} {
		tb := onSite(t)
		tb.say("bob", line)
		tb.say("ann", "-1/8")
		got := tb.tap("bob", "I took it over")
		if len(tb.last.Events) != 1 || !strings.Contains(got, "Next: c1+8") {
			t.Fatalf("%s: %d events, %q", line, len(tb.last.Events), got)
		}
		_, check, _ := strings.Cut(got, "beside it: ")
		check, _, _ = strings.Cut(check, "\n")
		tb.say("bob", check)
		if r := newest(tb); !r.Check || r.Value.String() != "-6.35" {
			t.Errorf("%s: %q stored %+v, want a check of -6.35 mm", line, check, r)
		}
	}
}

// TestWhichRodWasTakenOver: with several rods out it is asked which, and the
// lines that wait are read with that one.
func TestWhichRodWasTakenOver(t *testing.T) {
	tb := onSite(t)
	tb.say("bob", "another rod")
	tb.say("bob", "c1 -1/2")
	tb.mustSay("cid", "-1/4", "Others hold rod 1 (direct rod), rod 2 (direct rod) here.")
	if got := tb.tap("cid", "I took it over"); got != "Which one did you take over? [rod 1 (direct rod)] [rod 2 (direct rod)]" {
		t.Errorf("took over: %q", got)
	}
	tb.mustSay("cid", "repeat", "which rod did you take over? [rod 1 (direct rod)]")
	tb.tap("cid", "rod 2 (direct rod)")
	if r := newest(tb); r.Rod != 2 || tb.job().Rods[1].By != tb.ids["cid"] || tb.job().Rods[0].By != tb.ids["ann"] {
		t.Errorf("read with rod %d; the rods are %+v", r.Rod, tb.job().Rods)
	}
	// Bob has none now. By its name in a group, in either language.
	for _, said := range []string{"rod 1", "Regla 1"} {
		tb.overhear("bob", "took over")
		tb.overhear("bob", said)
		if by := tb.job().Rods[0].By; by != tb.ids["bob"] {
			t.Errorf("%q: rod 1 is held by person %d", said, by)
		}
		tb.say("bob", "undo")
	}
}

// TestUndoOfHeldLines withdraws what waits, and nothing else.
func TestUndoOfHeldLines(t *testing.T) {
	tb := onSite(t)
	tb.say("bob", "-1/4\n-1/8")
	if got := tb.overhear("bob", "undo"); got != "Taken back before it was kept: c1+4 -1/4, c1+8 -1/8\nNext: c1+4" || len(tb.last.Events) > 0 {
		t.Errorf("undo: %q, %d events", got, len(tb.last.Events))
	}
	tb.say("bob", "-1/4")
	first := tb.next
	tb.say("bob", "-1/8")
	tb.mustHear(tb.replyTo("bob", first, "undo"), "Taken back before it was kept: c1+4 -1/4")
	tb.tap("bob", "I took it over")
	tb.mustStand(map[string]string{"c1+4": "", "c1+8": "-3.175"})
}

// TestAnsweredInTheSameText: what a later line of a text takes back, or answers,
// does not wait any more.
func TestAnsweredInTheSameText(t *testing.T) {
	for text, want := range map[string]string{"c3 1/8 low\nundo": "", "c3 1/8 low\ntook over": "-3.175", "c3 1/8 low\nno": ""} {
		tb := onSite(t)
		if got := tb.say("bob", text); strings.Contains(got, "Somebody else") || strings.Contains(got, "[I took it over]") {
			t.Errorf("%q: %q", text, got)
		}
		tb.say("bob", "took over")
		tb.mustStand(map[string]string{"c3": want})
	}
}

// TestEditOfHeldLines: lines that wait follow their message: what it changed is
// told, what it took out is gone, what is new is not heard; and what else it
// holds is edited as ever.
func TestEditOfHeldLines(t *testing.T) {
	tb := onSite(t)
	tb.say("bob", "-1/4\n-3/16")
	id := tb.next
	tb.mustHear(tb.edit("bob", id, "-1/4\n-1/2\n-3/8"), "Line 3 is new, and not heard in an edit. Send it anew: -3/8",
		"Waiting for that: c1+4 -1/4, c1+8 -1/2")
	tb.mustHear(tb.edit("bob", id, "-1/4"), "Taken back before it was kept: c1+8 -1/2", "Waiting for that: c1+4 -1/4 [")
	if got := tb.edit("bob", id, "-1/4"); got != "" {
		t.Errorf("the same text again: %q", got)
	}
	tb.tap("bob", "I took it over")
	tb.mustStand(map[string]string{"c1+4": "-6.35", "c1+8": "", "c1+12": ""})
	tb.mustSay("bob", "repeat", "Next: c1+8")

	tb = onSite(t)
	tb.say("bob", "tolerance 1/4\n-1/4")
	tb.mustHear(tb.edit("bob", tb.next, "tolerance 1/8\n-1/4"), "1/8")
	if got := tb.edit("bob", tb.next, "tolerance 1/8"); !strings.HasPrefix(got, "Taken back before it was kept: c1+4 -1/4") || !strings.HasSuffix(got, "Next: c1+4") {
		t.Errorf("the only one that waits: %q", got)
	}
	tb.say("bob", "took over")
	tb.mustStand(map[string]string{"c1+4": ""})
}

// TestUndoAsAReply takes back what that message gave, or says why not; never
// another station's reading.
func TestUndoAsAReply(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "-1/8")
	first := tb.next
	tb.say("ann", "-1/4\n-3/8")
	two := tb.next
	tb.say("ann", "-1/2")
	tb.mustHear(tb.replyTo("ann", first, "undo"), "c1+4: taken back", "Next: c1+20")
	tb.mustStand(map[string]string{"c1+4": "", "c1+8": "-6.35", "c1+16": "-12.7"})
	tb.mustHear(tb.replyTo("ann", first, "undo"), "c1+4 has a newer reading, or that one was taken back")
	tb.mustHear(tb.replyTo("bob", two, "undo"), "somebody else's")
	tb.mustHear(tb.replyTo("ann", two, "undo"), "c1+8: taken back", "c1+12: taken back")
	tb.mustStand(map[string]string{"c1+8": "", "c1+12": "", "c1+16": "-12.7"})
	// A message that gave nothing, and one that set something.
	tb.say("ann", "asdf")
	tb.mustHear(tb.replyTo("ann", tb.next, "undo"), "Nothing hangs on that message")
	tb.say("ann", "tolerance 1/4")
	set := tb.next
	tb.say("ann", "0")
	tb.mustHear(tb.replyTo("ann", set, "undo"), "tolerance")
	if tb.job().ToleranceSet || tb.elevation("c1+20") != "0" {
		t.Errorf("tolerance set %t, c1+20 at %q", tb.job().ToleranceSet, tb.elevation("c1+20"))
	}
	// A reply to the bot's message is a plain undo.
	tb.next++
	tb.hear("ann", session.Message{Kind: session.Said, ID: "x", Text: "undo", Asked: session.Place{Job: tb.job().ID, Station: reduce.Corner(2)}})
	tb.mustStand(map[string]string{"c1+20": "", "c1+16": "-12.7"})
	tb.mustSay("ann", "repeat", "Next: c1+20")
}

// mustHear wants parts in an answer.
func (tb *table) mustHear(got string, parts ...string) {
	tb.t.Helper()
	if i := slices.IndexFunc(parts, func(p string) bool { return !strings.Contains(got, p) }); i >= 0 {
		tb.t.Errorf("no %q in %q", parts[i], got)
	}
}
