package session_test

import (
	"fmt"
	"strings"
	"testing"

	"rodcall/session"
)

// overhear is a text said in a group, not to the bot.
func (tb *table) overhear(who, text string) string {
	tb.t.Helper()
	tb.next++
	return tb.hear(who, session.Message{Kind: session.Said, ID: fmt.Sprint(tb.next), Text: text, Overheard: true})
}

// TestTalkInAGroup: people talk; the bot answers the walk and keeps still
// otherwise.
func TestTalkInAGroup(t *testing.T) {
	tb := newTable(t)
	for _, talk := range []string{"morning all", "3/8 low", "done", "40x28?", "who has the truck"} {
		if got := tb.overhear("ann", talk); got != "" {
			t.Errorf("without a job, %q was answered: %s", talk, got)
		}
	}
	if got := tb.overhear("ann", "new East house"); !strings.Contains(got, "East house is open") {
		t.Errorf("new: %s", got)
	}
	tb.overhear("ann", "40x28")
	tb.overhear("ann", "direct rod")
	tb.overhear("ann", "0")
	before := tb.job().Seq
	for _, c := range []struct{ who, talk string }{
		{"ann", "coffee?"}, {"ann", "that wall was poured on a Friday, 12 of us there and nobody looked"},
		{"bob", "done"}, {"bob", "on my way"}, {"bob", "undo"}, {"bob", "what"}, {"bob", "next"}, {"bob", "no"},
		{"bob", "ok"}, {"bob", "level"}, {"bob", "low"}, {"bob", "lunch at 12"},
	} {
		if got := tb.overhear(c.who, c.talk); got != "" {
			t.Errorf("%s: %q was answered: %s", c.who, c.talk, got)
		}
	}
	if n := tb.job().Seq; n != before {
		t.Errorf("talk made %d events", n-before)
	}
	if got := tb.overhear("ann", "3/8"); !strings.Contains(got, "high or low") {
		t.Errorf("a bare figure from who holds the rod: %s", got)
	}
	if got := tb.overhear("ann", "low"); !strings.Contains(got, "c1+4: 3/8 low") {
		t.Errorf("its side: %s", got)
	}
	if got := tb.overhear("bob", "1/4 low"); !strings.Contains(got, "Somebody else holds") {
		t.Errorf("a figure from another: %s", got)
	}
	if got := tb.say("bob", "blah"); got == "" {
		t.Error("what is said to the bot was not answered")
	}
}

// TestWhoMayLead: the level is chosen by whoever opened the job, or by an
// administrator, who is asked for only there.
func TestWhoMayLead(t *testing.T) {
	tb := newTable(t)
	tb.say("ann", "new East house")
	tb.say("ann", "8x8")
	tb.say("ann", "direct rod")
	for range 8 {
		tb.say("ann", "0")
	}
	choose := func(who string, r session.Rights, private bool) (string, bool) {
		tb.next++
		before := tb.job().Seq
		got := tb.hear(who, session.Message{Kind: session.Said, ID: fmt.Sprint(tb.next), Text: "datum high", Rights: r, Private: private})
		if tb.last.AskRights && (len(tb.last.Events) > 0 || len(tb.last.Replies) > 0 || got != "") {
			t.Errorf("%s: rights were asked for, and something was done", who)
		}
		return got, tb.job().Seq > before
	}
	if _, done := choose("ann", session.RightsUnasked, false); !done || tb.last.AskRights {
		t.Error("who opened the job could not choose the level")
	}
	if _, done := choose("bob", session.RightsUnasked, false); done || !tb.last.AskRights {
		t.Error("the rights of another were not asked for")
	}
	if got, done := choose("bob", session.RightsNone, false); done || !strings.Contains(got, "whoever opened the job") {
		t.Errorf("another: %s", got)
	}
	if got, done := choose("bob", session.RightsUnknown, false); done || !strings.Contains(got, "try again") {
		t.Errorf("another, rights unknown: %s", got)
	}
	if _, done := choose("bob", session.RightsAdmin, false); !done {
		t.Error("an administrator could not choose the level")
	}
	if _, done := choose("cid", session.RightsFree, false); !done {
		t.Error("where there are no ranks, another could not choose the level")
	}
}

// TestAGroupSpeaksOneLanguage: in a group all are answered in the job's language,
// in which whoever opened it spoke; words of the other one are understood and
// change nothing, but for those of somebody who may lead. In a private chat each is
// answered in their own.
func TestAGroupSpeaksOneLanguage(t *testing.T) {
	tb := newTable(t)
	lang := func(want string) {
		t.Helper()
		if len(tb.last.Replies) == 0 {
			t.Fatal("no answer")
		}
		for _, r := range tb.last.Replies {
			if r.Lang != want {
				t.Errorf("answered in %q, want %q: %q", r.Lang, want, r.Text)
			}
		}
	}
	as := func(who, text string, r session.Rights) string {
		t.Helper()
		tb.next++
		return tb.hear(who, session.Message{Kind: session.Said, ID: fmt.Sprint(tb.next), Text: text, Rights: r})
	}
	tb.say("bob", "ayuda")
	lang("es") // no job: the person's own
	tb.say("ann", "help")
	lang("en")
	tb.say("ann", "new East house")
	lang("en")
	if got := tb.job().Lang; got != "en" {
		t.Fatalf("the job's language is %q", got)
	}
	for _, s := range []struct{ who, text, want string }{
		{"ann", "40x28", "Outline"}, {"bob", "regla directa", "Noted: direct rod"}, {"bob", "a nivel", "c1: rod 0"},
		{"bob", "un octavo bajo", "c1+4: 1/8 low"}, {"bob", "3/8", "[3/8 low] [3/8 high]"}, {"bob", "bajo", "c1+8: 3/8 low"},
		{"bob", "qué falta", "left"}, {"bob", "resumen", "stations read"}, {"bob", "dibujo", "[picture]"}, {"bob", "ayuda", "Send what the rod shows"},
		{"bob", "c9 -3/8", "There is no c9"}, {"bob", "blablá", "not understood"},
	} {
		tb.mustSay(s.who, s.text, s.want)
		lang("en")
	}
	before := tb.job().Seq
	if as("bob", "español", session.RightsUnasked); !tb.last.AskRights {
		t.Error("the rights of another were not asked for")
	}
	if got := as("bob", "español", session.RightsNone); !strings.Contains(got, "everybody is answered in English") {
		t.Errorf("another switched the group: %s", got)
	}
	if got := as("bob", "español", session.RightsUnknown); !strings.Contains(got, "try again") {
		t.Errorf("another, rights unknown: %s", got)
	}
	lang("en")
	if tb.job().Seq != before {
		t.Error("somebody who may not lead changed the job")
	}
	as("bob", "español", session.RightsAdmin)
	lang("es")
	tb.mustSay("ann", "1/8 low", "Otra persona tiene") // she holds no rod: who holds it is asked in the job's language
	lang("es")
	tb.mustSay("ann", "another rod", "c1")
	lang("es")
	tb.mustSay("ann", "summary", "puntos leídos")
	lang("es")
	tb.mustSay("bob", "borra", "Taken back: the language of the job Spanish; it is English again.")
	lang("en")
	as("bob", "español", session.RightsAdmin)
	tb.mustSay("ann", "new West house", "Job West house is open") // she speaks English
	lang("en")
	tb.mustSay("bob", "obra East house", "De vuelta a East house") // the job's language, and not that of the one before
	lang("es")
	tb.private = true
	tb.mustSay("ann", "help", "Send what the rod shows")
	lang("en")
	tb.mustSay("bob", "ayuda", "Manda lo que marca la regla")
	lang("es")
	tb.mustSay("bob", "english", "English it is.")
	lang("en")
	if got := tb.job().Lang; got != "es" {
		t.Errorf("private words made the job's language %q", got)
	}
}

// TestAtTheDoor goes through all that Access can be.
func TestAtTheDoor(t *testing.T) {
	for _, owner := range []bool{false, true} {
		for _, let := range []bool{false, true} {
			for _, open := range []bool{false, true} {
				for _, private := range []bool{false, true} {
					for _, told := range []bool{false, true} {
						for code := session.CodeNone; code <= session.CodeSpent; code++ {
							for _, m := range []session.Message{
								{Kind: session.Said, Text: "start abc"}, {Kind: session.Said, Text: "0"},
								{Kind: session.Said, Text: "invite"}, {Kind: session.Said, Text: "lunch", Overheard: true},
								{Kind: session.Joined}, {Kind: session.Tapped, Text: "0"},
							} {
								m.Private = private
								a := session.Access{Owner: owner, Let: let, Open: open, Told: told, Code: code, Link: "to?start={1}", Invite: "zzz"}
								check(t, a, m, session.Admit(a, m))
							}
						}
					}
				}
			}
		}
	}
}

func check(t *testing.T, a session.Access, m session.Message, got session.Admission) {
	t.Helper()
	bad := func(what string) { t.Errorf("%+v, %+v: %s: %+v", a, m, what, got) }
	in := a.Owner || a.Let
	codes := m.Private && (a.Code == session.CodeClaim || a.Code == session.CodeInvite)
	switch {
	case !in && !(a.Open && !m.Private) && !codes && (got.Hear || got.Let || got.Owner || got.Open || got.Invite || got.Spend || len(got.Replies) > 1):
		bad("a stranger came in")
	case !in && got.Open:
		bad("a stranger opened a group")
	case got.Owner && (a.Code != session.CodeClaim || !m.Private):
		bad("owner without the claim code")
	case got.Let && !got.Owner && a.Code != session.CodeInvite:
		bad("let in without an invitation")
	case (got.Let || got.Owner) != got.Spend:
		bad("a code that is not used up")
	case got.Invite && (!a.Owner || !m.Private):
		bad("an invitation by another, or in a group")
	case got.Invite && !strings.Contains(got.Replies[0].Text, "to?start=zzz"):
		bad("no link")
	case !in && m.Private && a.Told && !codes && len(got.Replies) > 0:
		bad("a stranger was told twice")
	case !in && !m.Private && len(got.Replies) > 0:
		bad("strangers in a group were answered")
	case in && m.Private && !got.Hear && len(got.Replies) == 0:
		bad("who was let in got no answer")
	}
}
