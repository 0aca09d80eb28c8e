package session_test

import (
	"strings"
	"testing"

	"rodcall/session"
)

// onSite is a job of 40 x 28 ft with a direct rod in ann's hand and c1 read.
func onSite(t *testing.T) *table {
	t.Helper()
	tb := newTable(t)
	for _, s := range []string{"new East house", "40x28", "direct rod", "on"} {
		tb.say("ann", s)
	}
	return tb
}

// mustSay sends a text and wants a part in the answer.
func (tb *table) mustSay(who, text, part string) string {
	tb.t.Helper()
	got := tb.say(who, text)
	if !strings.Contains(got, part) {
		tb.t.Errorf("%s: %q was answered %q, want %q in it", who, text, got, part)
	}
	return got
}

// mustStand wants stations at elevations in mm, "" for none.
func (tb *table) mustStand(want map[string]string) {
	tb.t.Helper()
	for name, mm := range want {
		if e := tb.elevation(name); e != mm {
			tb.t.Errorf("%s stands at %q, want %q", name, e, mm)
		}
	}
}

// TestBadLineHoldsItsPlace: figures behind a line that could not be kept go
// where the crew meant them; talk without a figure holds no place.
func TestBadLineHoldsItsPlace(t *testing.T) {
	tb := onSite(t)
	got := tb.say("ann", "0\n3/8\n-1/8\nhello all\n1/8 hi gh 3\n-1/4")
	tb.mustStand(map[string]string{"c1+4": "0", "c1+8": "", "c1+12": "-3.175", "c1+16": "", "c1+20": "-6.35"})
	for _, part := range []string{"Line 2 (c1+8): 3/8", "Line 4: hello all", "Line 5 (c1+16): 1/8", "Next: c1+24"} {
		if !strings.Contains(got, part) {
			t.Errorf("no %q in %q", part, got)
		}
	}
	tb.tap("ann", "c1+16 1/8 high")
	tb.mustStand(map[string]string{"c1+16": "3.175", "c1+24": ""})
	// The one passed over comes up again at the end.
	for range 27 {
		tb.say("ann", "0")
	}
	tb.mustSay("ann", "left", "2 left: c1+8, c4+24")
	tb.mustSay("ann", "0", "Next: c1+8")
}

// TestBadWordHoldsItsPlace: so does a value in words that was misspelt or left
// half said; a word that may be a slip or talk holds back what follows, and put
// right by an edit it lets it go. Talk of several words, or before any figure,
// does neither.
func TestBadWordHoldsItsPlace(t *testing.T) {
	for _, bad := range []string{"lvel", "low", "three eighths lwo", "ok"} {
		tb := onSite(t)
		got := tb.say("ann", "1/8 low\n"+bad+"\n1/4 low")
		tb.mustStand(map[string]string{"c1+4": "-3.175", "c1+8": "", "c1+12": "-6.35"})
		wants(t, bad+": "+got, "Line 2 (c1+8): "+bad, "Next: c1+16 [c1+8 ")
		tb.say("ann", "c1+8 0")
		tb.mustStand(map[string]string{"c1+8": "0"})
	}
	tb := onSite(t)
	tb.say("ann", "1/8 low\nxx\n1/4 low\n1/2 low\nc2 0")
	id := tb.next
	tb.mustStand(map[string]string{"c1+4": "-3.175", "c1+8": "", "c1+12": "", "c2": "0"})
	tb.edit("ann", id, "1/8 low\n3/8 low\n1/4 low\n1/2 low\nc2 0")
	tb.mustStand(map[string]string{"c1+8": "-9.525", "c1+12": "-6.35", "c1+16": "-12.7", "c2": "0"})
	for _, talk := range []string{"hello\n1/8 low\n1/4 low", "1/8 low\nform is not level here\n1/4 low", "1/8 low\n1/4 low\nthanks"} {
		tb := onSite(t)
		tb.say("ann", talk)
		tb.mustStand(map[string]string{"c1+4": "-3.175", "c1+8": "-6.35", "c1+12": ""})
	}
}

// TestBadLineOfANamedStation: the walk goes on behind the station that a line
// named, although its side has to be asked for.
func TestBadLineOfANamedStation(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "c2 1/16\n-1/8")
	tb.mustStand(map[string]string{"c2": "", "c2+4": "-3.175"})
	tb.mustSay("ann", "tolerance zzz 9\n-1/4", "c2+8: 1/4 low")
}

// TestQuestionDoesNotOutliveAnAnswer: what was asked back is joined to the
// very next message or not at all; one that only shows something does not count.
func TestQuestionDoesNotOutliveAnAnswer(t *testing.T) {
	for _, between := range []string{"asdf", "c9 -1/8", "check c1 0"} {
		tb := onSite(t)
		tb.say("ann", "3/8")
		tb.say("ann", between)
		if got := tb.say("ann", "low"); len(tb.last.Events) > 0 {
			t.Errorf("%q came between, and low was joined all the same: %q", between, got)
		}
	}
	// What only shows something is no answer.
	for look, shows := range map[string]string{"repeat": "Still asked", "left": "33 left", "summary": "East house", "help": "", "notes": ""} {
		tb := onSite(t)
		tb.say("ann", "3/8")
		tb.mustSay("ann", look, shows)
		tb.mustSay("ann", "low", "c1+4: 3/8 low")
	}
}

// TestAnswersKeepTheCommand: a check that was asked back stays a check, a
// correction a correction, in both languages.
func TestAnswersKeepTheCommand(t *testing.T) {
	for _, c := range []struct{ ask, label, lang string }{
		{"check c2 1/2", "check c2 1/2 high", "english"}, {"revisa c2 1/2", "revisa c2 1/2 alto", "español"},
	} {
		tb := onSite(t)
		tb.say("ann", "c2 0")
		tb.say("ann", c.lang)
		tb.say("ann", c.ask)
		tb.tap("ann", c.label)
		if r := newest(tb); !r.Check || r.Value.String() != "12.7" {
			t.Errorf("%s: stored %+v, want a check of 12.7 mm", c.ask, r)
		}
	}
	tb := onSite(t)
	tb.say("ann", "check c2 1/2")
	tb.say("ann", "low")
	if r := newest(tb); !r.Check || r.Value.String() != "-12.7" {
		t.Errorf("a side in words: stored %+v, want a check of -12.7 mm", r)
	}
	tb.mustSay("ann", "c3 is 3/8", "[c3 is 3/8 low]")
	tb.tap("ann", "c3 is 3/8 low")
	tb.mustSay("ann", "repeat", "Next: c1+4")
	tb.say("ann", "español")
	tb.mustSay("ann", "3/8", "[3/8 bajo]")
}

func newest(tb *table) session.Reading {
	rs := tb.job().Readings()
	return rs[len(rs)-1]
}

// TestNothingSlidesBehindABadName: behind a line that named its station badly
// bare lines are held back, up to the next line that names a good one.
func TestNothingSlidesBehindABadName(t *testing.T) {
	for _, bad := range []string{"c9 1/8 low", "c1+400 1/8 low", "p7 0", "banana c3", "c3 banana", "check c9 0", "c8 is 1/8 low", "c3 c4 1/8 low"} {
		tb := onSite(t)
		got := tb.say("ann", bad+"\n1/4 low\n3/8\nskip\nc2 -1/8\n-1/16")
		for _, part := range []string{
			"Line 2: not kept, since line 1 was not understood.",
			"Line 3: not kept, since line 1 was not understood.",
			"Line 4: not kept, since line 1 was not understood.",
			"Kept 2, not kept 4:", "Line 1",
		} {
			if !strings.Contains(got, part) {
				t.Errorf("%s: no %q in %q", bad, part, got)
			}
		}
		tb.mustStand(map[string]string{"c1+4": "", "c1+8": "", "c3": "", "c3+4": "", "c2": "-3.175", "c2+4": "-1.5875"})
	}
	// A good name whose figure is bad is no bad name, and talk is none.
	for _, bad := range []string{"c2 1/8", "c2\nhello all"} {
		tb := onSite(t)
		if got := tb.say("ann", bad+"\n1/4 low"); strings.Contains(got, "since line") {
			t.Errorf("%s: %q", bad, got)
		}
	}
	tb := onSite(t)
	tb.mustSay("ann", "c9 1/8 low", "no c9")
	tb.mustSay("ann", "1/4 low", "c1+4: 1/4 low")
}
