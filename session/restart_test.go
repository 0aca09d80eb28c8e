package session_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
	"rodcall/session"
)

// anew answers a message by a job that was folded anew from its log: what the
// program would answer had it been restarted before.
func (tb *table) anew(m session.Message, c session.Conversation) session.Outcome {
	tb.t.Helper()
	var j *session.Job
	if log := tb.logs[tb.chat.Current]; len(log) > 0 {
		var err error
		if j, err = session.Fold(log); err != nil {
			tb.t.Fatal(err)
		}
	}
	return session.Hear(tb.chat, j, c, m)
}

// seen is what reports show of a job.
func seen(j *session.Job) string {
	v := j.View()
	var b strings.Builder
	for _, s := range v.Stations {
		value := func(l *reduce.Length) string {
			if l == nil {
				return "none"
			}
			return l.String()
		}
		fmt.Fprintln(&b, s.Name, value(s.Elevation), value(s.Deviation), value(s.Band), value(s.Move), s.Verdict, s.Read, s.Checked, s.Round, s.Carried,
			s.Touched, s.Set, value(s.Predicted), value(s.Foreseen))
	}
	return b.String() + fmt.Sprint(v.State, v.Read, v.Left, v.Off, v.Lost, v.DatumAt, v.Count, v.Untied)
}

// roundsWords are what the chats of TestRestarts are made of.
var roundsWords = []string{
	"c1 0", "c1+4 1/8 high", "c2 1/8 low", "c2 8 in low", "c2 top 0", "c2 bottom 8 in low", "c2 bottom 1/4 low", "c2+4 8-1/8 in low", "c3 0", "c3+4 1/4 low", "c4 1/8 high",
	"c4+4 0", "bm 0", "bm 1/8 high", "0", "0", "1/8 low", "1/4 high", "on", "c3 1 in high", "it is so", "c1 bottom 0", "c1 top 0",
	"step c2 c2+4 8 in lower", "step c3+4 1/4 lower", "step c1 c1+4 1 in lower", "step none", "reference c2", "reference c1", "reference c4",
	"datum first", "datum high", "datum c3", "datum c2", "datum c1", "shimmed c2 bottom 1/4", "shimmed c1 bottom 1/8", "datum none", "datum fewest", "shimmed all", "shimmed c2 1/4", "shimmed c1+4", "shimmed c3 1/8",
	"next round", "next round", "next round", "done", "done", "laser not moved", "surface plate", "surface shims", "plate 1 1/2", "plate 2", "bolts tight", "bolts loose",
	"moved", "undo", "c2", "c1", "skip", "left", "another rod", "took over", "check bm 1/4 high", "check c1 0", "bumped", "no",
}

// TestRestarts plays random chats of rounds, steps, halves and shims, and holds
// each answer against that of a job folded anew.
func TestRestarts(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		tb := newTable(t)
		var played []string
		tb.heard = func(m session.Message, c session.Conversation, o session.Outcome) {
			again := tb.anew(m, c)
			if a, b := fmt.Sprintf("%+v", o.Replies), fmt.Sprintf("%+v", again.Replies); a != b {
				rt.Fatalf("after %q:\n%s\nrestarted:\n%s", played, a, b)
			}
			if o.Job == tb.chat.Current && tb.jobs[o.Job] != nil {
				j, _ := session.Fold(tb.logs[o.Job])
				if a, b := seen(tb.jobs[o.Job]), seen(j); a != b {
					rt.Fatalf("after %q:\n%s\nrestarted:\n%s", played, a, b)
				}
			}
			if a, b := fmt.Sprintf("%+v", o.Events), fmt.Sprintf("%+v", again.Events); a != b {
				rt.Fatalf("after %q:\n%s\nrestarted:\n%s", played, a, b)
			}
		}
		say := func(who, text string) {
			played = append(played, text)
			tb.say(who, text)
		}
		for _, text := range []string{"new A", "8x8", "direct rod"} {
			say("ann", text)
		}
		if rapid.Bool().Draw(rt, "stepped") {
			say("ann", "step c2 c2+4 8 in lower")
		}
		if rapid.Bool().Draw(rt, "walked") {
			say("ann", rapid.SampledFrom([]string{"c1 0\n-1/4\n0\n0\n-3/8\n0\n1/16 high\n0", "c1 0\n-1/4\nc2 top 0\nc3 0\n-3/8\n0\n1/16 high", "c1 0\n-1/4\nc2 top 0\nc3 0\n-3/8\n0\n1/16 high\nbm 0", "c1 0\n-1/4\n0\n0\n-3/8\n0\n1/16 high\n0\nbm 0", "c1 0\n-1/4\nc2 bottom 8 in low\n8 in low\nc3 0\n-3/8\n0\n1/16 high\nbm 0", "c3 0\n-1/4\nbm 0"}).Draw(rt, "walk"))
			say("ann", "done")
			if rapid.Bool().Draw(rt, "further") {
				say("ann", rapid.SampledFrom([]string{"datum first", "datum high", "datum c3", "datum c2", "datum fewest"}).Draw(rt, "datum"))
				say("ann", rapid.SampledFrom([]string{"shimmed all", "shimmed c2 1/4", "left", "shimmed c2 bottom 1/4"}).Draw(rt, "shims"))
				say("ann", "next round")
				say("ann", rapid.SampledFrom([]string{"bm 0", "c1 0", "c1+4 1/8 high"}).Draw(rt, "tie"))
			}
		}
		for range rapid.IntRange(5, 25).Draw(rt, "steps") {
			who := "ann"
			if rapid.IntRange(0, 9).Draw(rt, "who") == 0 {
				who = "bob"
			}
			if rapid.IntRange(0, 9).Draw(rt, "edit") == 0 {
				id := rapid.IntRange(1, tb.next).Draw(rt, "message")
				text := rapid.SampledFrom(roundsWords).Draw(rt, "text")
				played = append(played, fmt.Sprintf("%s edits %d: %s", who, id, text))
				tb.edit(who, id, text)
				continue
			}
			say(who, rapid.SampledFrom(roundsWords).Draw(rt, "text"))
		}
	})
}

// TestPlacelessAfterRestart: a point without a place counts as read at the
// middle of what its set-up read, also of what moved no adjustment.
func TestPlacelessAfterRestart(t *testing.T) {
	tb := newTable(t)
	for _, text := range []string{"new A", "8x8", "direct rod", "c1 0\n-1/4", "c3 -3/8\n0\n1/16 high\n0", "done", "datum first", "shimmed all", "next round",
		"c1 0", "c3+4 1/8 low", "c2 3/8 low"} {
		tb.say("ann", text)
	}
	tb.heard = func(m session.Message, c session.Conversation, o session.Outcome) {
		if a, b := fmt.Sprintf("%+v", o.Replies), fmt.Sprintf("%+v", tb.anew(m, c).Replies); a != b {
			t.Errorf("%s\nrestarted:\n%s", a, b)
		}
	}
	tb.say("ann", "bm 0")
}

// TestLevelOfAHalf: the level of a spot whose height at a step was read as its
// own half stays, whatever is read or set there later.
func TestLevelOfAHalf(t *testing.T) {
	tb := newTable(t)
	for _, text := range []string{"new A", "8x8", "direct rod", "step c2 c2+4 8 in lower", "c1 0\n-1/4\nc2 bottom 8-1/8 in low\n8 in low\nc3 0\n-3/8\n0\n1/16 high\nbm 0",
		"done", "datum c2"} {
		tb.say("ann", text)
	}
	level := *tb.job().View().Level
	for _, text := range []string{"shimmed c2 bottom 1/8", "next round", "bm 0", "c2 8 in low", "c2 bottom 8 in low"} {
		tb.say("ann", text)
		if v := tb.job().View(); v.Level == nil || *v.Level != level {
			t.Errorf("after %q the level is %v, want %v", text, v.Level, level)
		}
	}
}
