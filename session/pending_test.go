package session_test

import (
	"slices"
	"strings"
	"testing"

	"rodcall/session"
)

// TestUndoOfAQuestion: undo, while something is held back by a question, drops
// that and says so; no event, and what was read before stands.
func TestUndoOfAQuestion(t *testing.T) {
	eighths := []string{"c1+4 1/8 low", "c1+8 1/8 low", "c1+12 1/8 low", "c1+16 1/8 low", "c1+20 1/8 low", "c1+24 1/8 low", "c1+28 1/8 low", "c1+32 1/8 low", "c1+36 1/8 low", "c2 1/8 low"}
	for _, k := range []struct {
		first                []string
		asked, says, expects string
		next                 string
	}{
		{[]string{"1/8 low"}, "3/8", "high or low", "Not kept: c1+8 3/8.", "Next: c1+8"},
		{[]string{"1/8 low"}, "c3 3/8", "high or low", "Not kept: c3 3/8.", "Next: c1+8"},
		{eighths, "3/4 low", "keep", "Not kept: c2+4 3/4 low.", "Next: c2+4"},
		{[]string{"note c3+8 form"}, "note 3/8 low", "?", "Not kept: note 3/8 low.", "Next: c1+4"},
		{[]string{"1/8 low"}, "check c1 3/8", "high", "Not kept: check c1 3/8.", "Next: c1+8"},
		{[]string{"1/8 low"}, "tolerance 2 in", "2 in", "Not done: tolerance 2 in.", "Next: c1+8"},
		{[]string{"1/8 low"}, "next round", "still has", "Not done: next round.", "Next: c1+8"},
		{[]string{"1/8 low"}, "1/4 low\n3/8\n1/2 low", "1/2 low", "Not kept: c1+12 3/8.", "Next: c1+12"},
	} {
		tb := onSite(t)
		for _, s := range k.first {
			tb.say("ann", s)
		}
		tb.mustSay("ann", k.asked, k.says)
		before := session.Dump(tb.job())
		got := tb.say("ann", "undo")
		if !strings.Contains(got, k.expects) || !strings.Contains(got, k.next) || session.Dump(tb.job()) != before || tb.talks["ann"].Question != nil {
			t.Errorf("%q, then undo: %q", k.asked, got)
		}
		tb.say("ann", "undo")
		if session.Dump(tb.job()) == before {
			t.Errorf("%q: a second undo took nothing back", k.asked)
		}
	}
	// A spoken command that waits for its tap, and a spoken undo.
	tb := heardJob(t)
	tb.say("ann", "c1+4 1/8 low")
	tb.speak("ann", "done")
	if got := tb.speak("ann", "undo"); !strings.Contains(got, "Not done: done.") || tb.job().RoundEnded || tb.elevation("c1+4") == "" {
		t.Errorf("undo of a spoken done: %q", got)
	}
	// As a reply to the line that was asked about; one to another line is about that.
	tb = onSite(t)
	tb.say("ann", "1/8 low")
	read := tb.next
	tb.say("ann", "3/8")
	if got := tb.replyTo("ann", tb.next, "undo"); !strings.Contains(got, "Not kept: c1+8 3/8.") || tb.elevation("c1+4") == "" {
		t.Errorf("%q", got)
	}
	tb.say("ann", "3/8")
	if got := tb.replyTo("ann", read, "undo"); !strings.Contains(got, "c1+4: taken back") {
		t.Errorf("%q", got)
	}
}

// TestYesRepeatsAQuestion: yes to a question that it does not answer asks that
// again, and its buttons work.
func TestYesRepeatsAQuestion(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "3/8")
	if got := tb.say("ann", "yes"); !strings.Contains(got, "Still asked") || !strings.Contains(got, "[3/8 low]") {
		t.Errorf("%q", got)
	}
	if got := tb.tap("ann", "3/8 low"); !strings.Contains(got, "c1+4: 3/8 low") {
		t.Errorf("%q", got)
	}
	tb = onSite(t)
	tb.say("bob", "-1/4")
	if got := tb.say("bob", "yes"); !strings.Contains(got, "did you take over") || !strings.Contains(got, "[I took it over]") {
		t.Errorf("%q", got)
	}
	tb.mustSay("ann", "yes", "Nothing heard waits")
}

// TestLooksLeaveOffers: what only shows something leaves what is offered or asked
// as it was, on the message that it came with; repeat shows it again.
func TestLooksLeaveOffers(t *testing.T) {
	for _, look := range []string{"left", "summary", "picture", "help", "notes", "quality", "repeat", "papers"} {
		tb := newTable(t)
		tb.say("ann", "new East house")
		tb.say("ann", "40x28")
		q := tb.talks["ann"].Question
		tb.say("ann", look)
		if now := tb.talks["ann"].Question; now == nil || now.Number != q.Number || !slices.Equal(now.Buttons[:len(q.Buttons)], q.Buttons) {
			t.Errorf("%s: the offer is %+v, was %+v", look, now, q)
		}
		if got := tb.say("ann", "repeat"); !strings.Contains(got, "Which rod?") || !strings.Contains(got, "[direct (0 in the middle)]") {
			t.Errorf("%s, then repeat: %q", look, got)
		}
		if got := tb.tap("ann", "direct (0 in the middle)"); strings.Contains(got, "past") || len(tb.last.Events) == 0 {
			t.Errorf("%s, then the tap: %q", look, got)
		}
	}
	// A tap that only shows something leaves the levels to be tapped.
	tb := heardJob(t)
	for _, s := range []string{"c1+4 0", "c2 0", "c2+4 0", "c3 0", "c3+4 0", "c4 0", "c4+4 0", "skip"} {
		tb.say("ann", s)
	}
	tb.tap("ann", "picture")
	tb.tap("ann", "high spot")
	if tb.job().Datum == nil {
		t.Errorf("no level: %+v", tb.talks["ann"].Question)
	}
}

// TestRefusedLeavesTheCheckShot: a command that is refused leaves the check shot
// that was asked for, and what was offered with it.
func TestRefusedLeavesTheCheckShot(t *testing.T) {
	tb := heardJob(t)
	for _, s := range []string{"c1+4 1/8 low", "c2 0", "c2+4 0", "c3 0", "c3+4 0", "c4 0"} {
		tb.say("ann", s)
	}
	tb.mustSay("ann", "c4+4 0", "Check shot on c1")
	q := *tb.talks["ann"].Question
	if got := tb.say("ann", "sign"); !strings.Contains(got, "Check shot on c1") || len(tb.last.Events) > 0 {
		t.Errorf("%q", got)
	}
	for _, b := range q.Buttons {
		if now := tb.talks["ann"].Question; now == nil || now.Number != q.Number || !slices.Contains(now.Buttons, b) {
			t.Errorf("%+v is gone: %+v", b, now)
		}
	}
	tb.say("ann", "0")
	if r := newest(tb); !r.Check || r.Station.Number != 1 {
		t.Errorf("stored %+v, want a check of c1", r)
	}
	// One that is done goes on from there.
	tb = heardJob(t)
	tb.say("ann", "c1+4 1/8 low")
	tb.say("ann", "break")
	tb.mustSay("ann", "c2", "Next: c2")
}

// TestKeepIsAnAnswer to a doubt and to a surprise, in both languages, and to
// nothing else.
func TestKeepIsAnAnswer(t *testing.T) {
	for _, word := range []string{"keep", "keep it", "Keep.", "así es", "queda", "yes"} {
		tb := onSite(t)
		for range 10 {
			tb.say("ann", "1/8 low")
		}
		tb.mustSay("ann", "3/4 low", "Right as sent: keep. Else send what the rod shows at c2+4.")
		tb.mustSay("ann", word, "c2+4: 3/4 low")
		if r := newest(tb); !r.Sure || r.Value.String() != "-19.05" {
			t.Errorf("%s: stored %+v", word, r)
		}
	}
	tb := onSite(t)
	tb.say("ann", "keep")
	if len(tb.last.Events) > 0 {
		t.Errorf("keep did %+v", tb.last.Events)
	}
}

// TestSideOfNoStation: where no station is asked for, the side of a reading is
// not asked for either.
func TestSideOfNoStation(t *testing.T) {
	tb := levelTable(t)
	if got := tb.say("ann", "3/8"); got != "Heard 3/8, but no station is being asked for. Name it: c3 -3/8" {
		t.Error(got)
	}
	tb.mustSay("ann", "c2 3/8", "high or low?")
}
