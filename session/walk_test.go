package session_test

import (
	"strings"
	"testing"

	"rodcall/session"
)

// TestUndoPutsBack: undo goes back one line at a time, and a corrected
// station has its older reading again.
func TestUndoPutsBack(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new East house", "40x28", "c1 0", "c1+4 -1/8", "c1+4 is -1/4"} {
		tb.say("ann", s)
	}
	if e := tb.elevation("c1+4"); e != "-6.35" {
		t.Fatalf("corrected to %s", e)
	}
	tb.say("ann", "undo")
	if e := tb.elevation("c1+4"); e != "-3.175" {
		t.Errorf("after one undo c1+4 stands at %s, want its older reading -3.175", e)
	}
	tb.say("ann", "undo")
	if e := tb.elevation("c1+4"); e != "" {
		t.Errorf("after two c1+4 stands at %s, want nothing", e)
	}
	if got := tb.say("ann", "-1/2"); !strings.HasPrefix(got, "c1+4: 1/2 low") {
		t.Errorf("the walk went on at %q, want c1+4", got)
	}
}

// TestUndoOfASetting puts the outline and the datum back, and leaves what
// somebody else set since.
func TestUndoOfASetting(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new East house", "40x28", "c1 0", "c2 1/4 high", "datum high", "30x20"} {
		tb.say("ann", s)
	}
	tb.say("ann", "undo")
	if n := len(tb.job().Outline.Stations()); n != 34 {
		t.Errorf("%d stations after the outline was undone, want 34", n)
	}
	// Another's setting of another sort does not stand in the way; one of the
	// same sort does.
	tb.say("bob", "tolerance 1/4")
	tb.say("bob", "datum c1")
	if got := tb.say("ann", "undo"); !strings.Contains(got, "(datum)") || tb.job().Datum == nil {
		t.Errorf("ann undid past bob's datum: %q", got)
	}
	tb.mustSay("bob", "undo", "Taken back: datum c1; it is high spot, c2, 1/4 above c1 again.")
	tb.mustSay("ann", "undo", "Taken back: datum high spot, c2, 1/4 above c1; there is none now.")
	if tb.job().Datum != nil || !tb.job().ToleranceSet {
		t.Errorf("datum %v, tolerance set %v: want bob's tolerance only", tb.job().Datum, tb.job().ToleranceSet)
	}
}

// TestEditStaysWhereItWasRead: an edit is read at the station that its message
// was first read for, wherever the walk is now.
func TestEditStaysWhereItWasRead(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new East house", "40x28", "0", "-1/8", "-1/4", "3/8"} {
		tb.say("ann", s)
	}
	tb.edit("ann", 4, "1/8 high")
	if e := tb.elevation("c1+4"); e != "3.175" {
		t.Errorf("edited c1+4 stands at %q, want 3.175", e)
	}
	if got := tb.edit("ann", 4, "nonsense"); !strings.Contains(got, "keeps its reading") || tb.elevation("c1+4") != "3.175" {
		t.Errorf("an edit into nonsense: %q, c1+4 at %s", got, tb.elevation("c1+4"))
	}
	if got := tb.edit("ann", 4, "1/8 high"); got != "" {
		t.Errorf("an edit that changes nothing is answered %q", got)
	}
	// Message 6 had no side and gave no reading: its edit is read where it
	// was asked for.
	tb.edit("ann", 6, "3/8 low")
	if e := tb.elevation("c1+12"); e != "-9.525" {
		t.Errorf("c1+12 stands at %q, want -9.525", e)
	}
	if got := tb.edit("ann", 2, "30x20"); !strings.Contains(got, "corners") || len(tb.job().Outline.Stations()) == 34 {
		t.Errorf("the outline's message edited: %q", got)
	}
}

// TestReplyIsAboutItsMessage: a reply mends the station of the message it
// replies to, and the walk stays.
func TestReplyIsAboutItsMessage(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new East house", "40x28", "0", "-1/8", "-1/4"} {
		tb.say("ann", s)
	}
	tb.replyTo("ann", 4, "-1/2")
	if e := tb.elevation("c1+4"); e != "-12.7" {
		t.Errorf("c1+4 stands at %q, want -12.7", e)
	}
	if got := tb.say("ann", "0"); !strings.HasPrefix(got, "c1+12:") {
		t.Errorf("the walk went on with %q, want c1+12", got)
	}
}

// TestButtonActsOnce: the same tap again does nothing.
func TestButtonActsOnce(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new East house", "40x28", "0", "3/8"} {
		tb.say("ann", s)
	}
	q := tb.talks["ann"].Question
	tap := session.Message{Kind: session.Tapped, Question: q.Number, Text: q.Buttons[0].Text}
	tb.hear("ann", tap)
	if got := tb.hear("ann", tap); !strings.Contains(got, "past") || len(tb.last.Events) != 0 {
		t.Errorf("the second tap: %q, %d events", got, len(tb.last.Events))
	}
	if got := tb.hear("bob", session.Message{Kind: session.Tapped, Question: 99, Text: "datum high"}); len(tb.last.Events) != 0 {
		t.Errorf("a forged tap: %q", got)
	}
}

// TestWaitingLinesAreKept: what a second person sends before saying which rod
// they hold is heard afterwards, line by line, at the stations then asked for.
func TestWaitingLinesAreKept(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new East house", "40x28", "0", "-1/8"} {
		tb.say("ann", s)
	}
	tb.say("bob", "-1/4")
	tb.say("bob", "-1/2")
	tb.say("bob", "left")
	tb.tap("bob", "I took it over")
	if a, b := tb.elevation("c1+8"), tb.elevation("c1+12"); a != "-6.35" || b != "-12.7" {
		t.Errorf("c1+8 at %q and c1+12 at %q, want -6.35 and -12.7", a, b)
	}
}

// TestStandardRodSaysTheSame: a standard rod's smaller number is a higher
// spot.
func TestStandardRodSaysTheSame(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new East house", "40x28", "standard rod", `4' 7 3/8"`, `4' 7 3/4"`, `4' 7"`} {
		tb.say("ann", s)
	}
	if a, b := tb.elevation("c1+4"), tb.elevation("c1+8"); a != "-9.525" || b != "9.525" {
		t.Errorf("c1+4 at %q and c1+8 at %q, want -9.525 and 9.525", a, b)
	}
}

// TestAmountKeepsItsWord: what is said finer than the finest unit is echoed as
// it was said.
func TestAmountKeepsItsWord(t *testing.T) {
	tb := newTable(t)
	tb.say("ann", "new East house")
	tb.say("ann", "0")
	if got := tb.say("ann", "a strong quarter low"); !strings.HasPrefix(got, "c1+4: 1/4 heavy low (of c1)") {
		t.Errorf("heard %q", got)
	}
	if got := tb.say("ann", "quarter shy low"); !strings.HasPrefix(got, "c1+8: 1/4 shy low (of c1)") {
		t.Errorf("heard %q", got)
	}
}
