package session_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rodcall/session"
)

// speak sends a voice note in which text is heard, and what the recogniser could
// not rule out.
func (tb *table) speak(who, text string, near ...string) string {
	tb.t.Helper()
	tb.next++
	return tb.note(who, fmt.Sprint(tb.next), session.Heard{Text: text, Close: near})
}

// note sends a voice note: it is heard twice, as an engine does.
func (tb *table) note(who, id string, heard session.Heard) string {
	tb.t.Helper()
	m := session.Message{Kind: session.Spoken, ID: id, Speaks: true, Private: len(tb.ids) < 2}
	now := tb.now
	if got := tb.hear(who, m); tb.last.Listen == nil {
		return got
	}
	if len(tb.last.Events) > 0 || len(tb.last.Replies) > 0 {
		tb.t.Errorf("before it is heard a note gives %+v", tb.last)
	}
	tb.now, m.Heard = now, &heard
	return tb.hear(who, m)
}

// heardJob is a job that ann walks by voice.
func heardJob(t testing.TB) *table {
	tb := newTable(t)
	for _, s := range []string{"new East house", "8x8", "direct rod", "c1 0"} {
		tb.say("ann", s)
	}
	return tb
}

// firmness lists what was spoken and counts: "c2 -9.525 firm".
func (tb *table) firmness() []string {
	var out []string
	for _, r := range tb.job().Readings() {
		if !r.Void && r.Spoken {
			firm := "open"
			if !r.Provisional() {
				firm = "firm"
			}
			out = append(out, fmt.Sprint(tb.job().StationName(r.Station), " ", r.Value, " ", firm))
		}
	}
	return out
}

func (tb *table) wantHeard(want ...string) {
	tb.t.Helper()
	if got := tb.firmness(); !slices.Equal(got, want) {
		tb.t.Errorf("heard: %q, want %q", got, want)
	}
}

// TestHeardBecomesFirm: by going on, by yes, by a tap; not by a check of the
// same station, nor by a message that was sent before the echo was seen.
func TestHeardBecomesFirm(t *testing.T) {
	tb := heardJob(t)
	if got := tb.speak("ann", "three eighths low"); !strings.Contains(got, "c1+4: heard 3/8 low") || !strings.Contains(got, "Next: c2") || !strings.Contains(got, "[yes]") {
		t.Error(got)
	}
	tb.wantHeard("c1+4 -9.525 open")
	tb.say("ann", "left")
	tb.say("ann", "check c1+4 3/8 low")
	tb.wantHeard("c1+4 -9.525 open")
	tb.say("ann", "c2 1/8 low")
	tb.wantHeard("c1+4 -9.525 firm")

	tb.speak("ann", "one quarter low")
	if got := tb.say("ann", "yes"); !strings.Contains(got, "c2+4: 1/4 low, confirmed.") {
		t.Error(got)
	}
	tb.wantHeard("c1+4 -9.525 firm", "c2+4 -6.35 firm")

	tb.speak("ann", "one quarter low")
	tb.now = tb.now.Add(-9e9)
	tb.speak("ann", "one eighth low")
	tb.wantHeard("c1+4 -9.525 firm", "c2+4 -6.35 firm", "c3 -6.35 open", "c3+4 -3.175 open")
	tb.speak("ann", "c4 one eighth low")
	tb.wantHeard("c1+4 -9.525 firm", "c2+4 -6.35 firm", "c3 -6.35 firm", "c3+4 -3.175 firm", "c4 -3.175 open")
	tb.speak("ann", "yes")
	if got := tb.firmness(); strings.Contains(strings.Join(got, " "), "open") {
		t.Errorf("%q", got)
	}
}

// TestHeardTakenBack: by no, scratch that, a correction, another value.
func TestHeardTakenBack(t *testing.T) {
	for _, say := range []func(tb *table) string{
		func(tb *table) string { return tb.say("ann", "no") },
		func(tb *table) string { return tb.speak("ann", "no") },
		func(tb *table) string { return tb.tap("ann", "no") },
		func(tb *table) string { return tb.speak("ann", "scratch that") },
		func(tb *table) string { return tb.say("ann", "undo") },
	} {
		tb := heardJob(t)
		tb.speak("ann", "three eighths low")
		if got := say(tb); !strings.Contains(got, "Next: c1+4") {
			t.Error(got)
		}
		tb.wantHeard()
		tb.say("ann", "c2 1/8 low")
		tb.wantHeard()
	}
	tb := heardJob(t)
	tb.speak("ann", "five eighths low", "seven eighths low")
	if got := tb.tap("ann", "7/8 low"); !strings.Contains(got, "c1+4: 7/8 low") || !strings.Contains(got, "Next: c2") {
		t.Error(got)
	}
	tb.wantHeard()
	if e := tb.elevation("c1+4"); e != "-22.225" {
		t.Error(e)
	}
	tb.speak("ann", "one quarter low")
	tb.speak("ann", "c2 three eighths low")
	tb.wantHeard("c2 -9.525 open")
	tb.speak("ann", "check c1 on", "check c1 one half high")
	if got := tb.tap("ann", "1/2 high"); !strings.Contains(got, "c1: 1/2 high in place of level.") {
		t.Error(got)
	}
}

// TestHeardMustBeAnswered: a side, or on for a half, that was not ruled out is
// asked about, again once the walk has gone on, and never firm by that.
func TestHeardMustBeAnswered(t *testing.T) {
	for said, near := range map[string]string{"three eighths low": "three eighths high", "on": "one half low", "one half low": "on", "c1+4 one half low": "c2 one half low"} {
		tb := heardJob(t)
		tb.speak("ann", said, near)
		if near == "c2 one half low" {
			continue // c1+4 was asked for
		}
		got := tb.say("ann", "c2 1/4 low")
		if !strings.Contains(got, "Still open, c1+4") || !strings.Contains(got, "[c1+4 ") {
			t.Error(got)
		}
		if h := tb.firmness(); len(h) != 1 || !strings.HasSuffix(h[0], "open") {
			t.Errorf("%q", h)
		}
		for _, s := range []string{"c2+4 1/4 low", "c3 0", "c3+4 0", "c4 0"} {
			tb.say("ann", s)
		}
		tb.mustSay("ann", "c4+4 0", "Heard, not confirmed, 1: c1+4")
		tb.mustSay("ann", "summary", "Heard, not confirmed, 1: c1+4")
		if got := tb.say("ann", "yes c1+4"); !strings.Contains(got, "confirmed") {
			t.Error(got)
		}
		if h := tb.firmness(); len(h) != 1 || !strings.HasSuffix(h[0], "firm") {
			t.Errorf("%q", h)
		}
	}
	tb := heardJob(t)
	tb.speak("ann", "c3 one quarter low", "c2 one quarter low") // c1+4 was asked for
	tb.say("ann", "c2 0")
	tb.wantHeard("c3 -6.35 open")
}

// TestSpokenCommands: what changes much is tapped first, whatever is spoken.
func TestSpokenCommands(t *testing.T) {
	for _, s := range []string{"done", "moved", "bumped", "sign", "next round", "datum high", "datum first", "flip rod", "another rod", "start shimming", "fewest spots", "standard rod"} {
		tb := heardJob(t)
		tb.say("ann", "c1+4 1/8 low")
		before := session.Dump(tb.job())
		if got := tb.speak("ann", s); !strings.Contains(got, "[yes] [no]") {
			t.Errorf("%s: %q", s, got)
		}
		tb.speak("ann", "yes")
		if session.Dump(tb.job()) != before {
			t.Errorf("%s was done", s)
		}
	}
	tb := heardJob(t)
	tb.speak("ann", "done")
	if got := tb.tap("ann", "yes"); !strings.Contains(got, "Round ended") || !tb.job().RoundEnded {
		t.Error(got)
	}
	tb = heardJob(t)
	tb.speak("ann", "done")
	if got := tb.tap("ann", "no"); tb.job().RoundEnded {
		t.Error(got)
	}
	tb.speak("ann", "undo") // the reading of c1: one, and their own
	if tb.elevation("c1") != "" {
		t.Error("undo of one reading waited")
	}
	if got := tb.speak("ann", "undo"); !strings.Contains(got, "[yes] [no]") {
		t.Errorf("undo of a setting: %q", got)
	}
}

// TestNotHeard: each reason is told in both languages, and nothing is stored.
func TestNotHeard(t *testing.T) {
	for _, lang := range []string{"en", "es"} {
		for fail, want := range map[session.HeardFail][2]string{
			"engine": {"Nothing here makes words", "Aquí nada convierte"}, "loud": {"Too loud", "Demasiado ruido"}, "long": {"too long", "demasiado larga"},
			"empty": {"Nobody is heard", "no se oye a nadie"}, "talk": {"Heard no reading", "No se oyó"}, "broken": {"no voice note", "no se puede oír"},
			"language": {"English only", "solo se entiende inglés"}, "busy": {"could not be fetched", "no se pudo bajar"}, "": {"Heard no reading", "No se oyó"},
		} {
			tb := heardJob(t)
			i := 0
			if lang == "es" {
				tb.say("ann", "español")
				i = 1
			}
			if got := tb.note("ann", "n", session.Heard{Fail: fail}); !strings.Contains(got, want[i]) || len(tb.last.Events) > 0 {
				t.Errorf("%s %s: %q", lang, fail, got)
			}
		}
	}
	tb := newTable(t)
	if got := tb.note("ann", "n", session.Heard{Text: "on"}); !strings.Contains(got, "No job is open") {
		t.Error(got)
	}
}

// TestOverheardNotes: in a group only whoever holds a rod is listened to, and
// talk gets no answer.
func TestOverheardNotes(t *testing.T) {
	tb := heardJob(t)
	group := func(who string, h session.Heard) string {
		tb.next++
		m := session.Message{Kind: session.Spoken, ID: fmt.Sprint(tb.next), Overheard: true}
		if got := tb.hear(who, m); tb.last.Listen == nil {
			return got
		}
		m.Heard = &h
		return tb.hear(who, m)
	}
	if got := group("bob", session.Heard{Text: "three eighths low"}); got != "" || tb.last.Listen != nil {
		t.Errorf("bob was listened to: %q", got)
	}
	for _, f := range []session.HeardFail{"talk", "empty", "long", "broken"} {
		if got := group("ann", session.Heard{Fail: f}); got != "" {
			t.Errorf("%s: %q", f, got)
		}
	}
	if got := group("ann", session.Heard{Text: "see you at lunch then"}); got != "" {
		t.Error(got)
	}
	if got := group("ann", session.Heard{Text: "three eighths low"}); !strings.Contains(got, "c1+4: heard 3/8 low") {
		t.Error(got)
	}
}

// TestHeldNotes: what somebody says before it is told whose rod they hold stays
// provisional when it is taken, and is not firm by the next one that waited.
func TestHeldNotes(t *testing.T) {
	tb := heardJob(t)
	tb.say("ann", "c1+4 1/8 low")
	tb.speak("bob", "c2 one quarter low", "c2 one quarter high")
	tb.speak("bob", "c2+4 one eighth low")
	tb.wantHeard()
	tb.tap("bob", "I took it over")
	tb.wantHeard("c2 -6.35 open", "c2+4 -3.175 open")
	tb.say("bob", "c3 0")
	tb.wantHeard("c2 -6.35 open", "c2+4 -3.175 firm")
}

// TestAnswersAloud: what is heard is answered in words for the ear, where that is
// wanted and the bot can.
func TestAnswersAloud(t *testing.T) {
	aloud := func(tb *table) string {
		for _, r := range tb.last.Replies {
			if r.Aloud != "" {
				return r.Aloud
			}
		}
		return ""
	}
	tb := heardJob(t)
	tb.speak("ann", "one eighth low")
	if got := aloud(tb); got != "" {
		t.Error(got)
	}
	tb.mustSay("ann", "answer aloud", "nothing to speak with") // a text of a table comes without Speaks
	tb.speak("ann", "c2 three eighths low")
	if got, want := aloud(tb), "c2, three eighths low. Next: c2 plus 4."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	tb.speak("ann", "on", "one half low")
	if got, want := aloud(tb), "c2 plus 4, level. Is that right?"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	tb.say("ann", "español")
	tb.note("ann", "x", session.Heard{Text: "tres octavos bajo"})
	if got, want := aloud(tb), "c3, tres octavos bajo. Sigue: c3 más 4."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	tb.say("ann", "contesta por texto")
	tb.note("ann", "y", session.Heard{Text: "tres octavos bajo"})
	if got := aloud(tb); got != "" {
		t.Error(got)
	}
}

// spokenWords are what the chats of TestHeardLaws are made of.
var spokenWords = []struct {
	text string
	near []string
}{
	{"three eighths low", nil}, {"one quarter low", []string{"one quarter high"}}, {"on", []string{"one half low"}}, {"on", nil},
	{"five sixteenths low", []string{"nine sixteenths low"}}, {"one half low", []string{"on"}}, {"c2 one eighth low", nil}, {"c2 one eighth low", []string{"c3 one eighth low"}},
	{"check c1 on", []string{"check c1 one half high"}}, {"check c1 one eighth low", nil}, {"c1 is one eighth low", nil}, {"no", nil}, {"yes", nil},
	{"undo", nil}, {"scratch that", nil}, {"skip", nil}, {"done", nil}, {"moved", nil}, {"left", nil}, {"three eighths", []string{"five eighths"}}, {"low", nil}, {"nine inches high", nil},
}

// TestHeardLaws: whatever is spoken, typed, tapped, edited and undone, with
// restarts between: what is firm was confirmed or gone on from, a side or a
// station that the recogniser could not rule out never by going on, and what was
// denied does not count.
func TestHeardLaws(t *testing.T) {
	typed := []string{"1/8 low", "c2 1/4 low", "c3 0", "0", "undo", "no", "yes", "yes c2", "yes to all", "skip", "done", "moved", "check c1 0", "c2 is 1/8 low", "direct rod", "new Porch", "job East house", "low", "next round", "español", "took over"}
	rapid.Check(t, func(rt *rapid.T) {
		tb := heardJob(t)
		var played []string
		must := map[string]bool{} // by job and event: may not be firm by going on
		gone := map[string]bool{} // denied
		at := map[string]string{} // the message that gave it
		tb.heard = func(m session.Message, c session.Conversation, o session.Outcome) {
			again := tb.anew(m, c)
			if a, b := fmt.Sprintf("%+v %+v", o.Events, o.Replies), fmt.Sprintf("%+v %+v", again.Events, again.Replies); a != b {
				rt.Fatalf("after %q:\n%s\nrestarted:\n%s", played, a, b)
			}
			words := strings.ToLower(m.Text)
			if m.Heard != nil {
				words = m.Heard.Text
			}
			confirms := m.Kind == session.Tapped || strings.HasPrefix(words, "yes") || strings.HasPrefix(words, "sí") || strings.HasPrefix(words, "si")
			reads := false
			for _, e := range o.Events {
				key := fmt.Sprint(o.Job, " ", e.Seq)
				switch b := e.Body.(type) {
				case session.Read:
					reads = true
					if !b.Spoken {
						continue
					}
					at[key] = e.Message
					if m.Heard != nil && e.Message == m.ID {
						for _, near := range m.Heard.Close {
							if differs(m.Heard.Text, near) {
								must[key] = true
							}
						}
					}
				case session.Voided:
					for _, s := range b.Seqs {
						gone[fmt.Sprint(o.Job, " ", s)] = true
					}
				case session.Firmed:
					for _, s := range b.Seqs {
						k := fmt.Sprint(o.Job, " ", s)
						switch {
						case b.How == "tap" && !confirms:
							rt.Fatalf("after %q: %s is firm by a tap that there was not", played, k)
						case b.How == "next" && must[k]:
							rt.Fatalf("after %q: %s is firm by going on", played, k)
						case at[k] == m.ID:
							rt.Fatalf("after %q: %s is firm by its own message", played, k)
						case gone[k]:
							rt.Fatalf("after %q: %s was taken back and is firm", played, k)
						}
					}
					if b.How == "next" {
						reads = false // a reading must follow, in this message
						defer func() {
							if !reads {
								rt.Fatalf("after %q: firm by going on, and nothing was read", played)
							}
						}()
					}
				}
			}
		}
		for range rapid.IntRange(5, 25).Draw(rt, "steps") {
			who := rapid.SampledFrom([]string{"ann", "ann", "ann", "ann", "bob"}).Draw(rt, "who")
			if rapid.IntRange(0, 5).Draw(rt, "fast") == 0 {
				tb.now = tb.now.Add(-9e9)
			}
			q := tb.talks[who].Question
			switch k := rapid.IntRange(0, 9).Draw(rt, "kind"); {
			case k < 5:
				w := rapid.SampledFrom(spokenWords).Draw(rt, "words")
				played = append(played, fmt.Sprintf("%s speaks (%s): %s", who, strings.Join(w.near, "; "), w.text))
				tb.speak(who, w.text, w.near...)
			case k < 7 && q != nil && len(q.Buttons) > 0:
				label := rapid.SampledFrom(q.Buttons).Draw(rt, "button").Label
				played = append(played, who+" taps "+label)
				tb.tap(who, label)
			case k == 7:
				id, text := rapid.IntRange(1, tb.next).Draw(rt, "message"), rapid.SampledFrom(typed).Draw(rt, "text")
				played = append(played, fmt.Sprintf("%s edits %d: %s", who, id, text))
				tb.edit(who, id, text)
			default:
				text := rapid.SampledFrom(typed).Draw(rt, "text")
				played = append(played, who+": "+text)
				tb.say(who, text)
			}
			for id, j := range tb.jobs {
				for _, r := range j.Heard() {
					if gone[fmt.Sprint(id, " ", r.Seq)] {
						rt.Fatalf("after %q: %v was taken back and counts", played, r.Station)
					}
				}
			}
		}
	})
}

// differs says whether two texts of spokenWords differ in their side, in on and
// not on, or in their station where that was named.
func differs(a, b string) bool {
	part := func(s string) string {
		for _, w := range []string{"low", "high", "on"} {
			if strings.HasSuffix(s, w) {
				return w
			}
		}
		return ""
	}
	return part(a) != part(b)
}

// TestTestsAreTyped: what a rod's or a laser's test, or a search for a bump,
// hangs on is not taken by voice.
func TestTestsAreTyped(t *testing.T) {
	for _, first := range [][]string{{"test rod"}, {"two pegs"}, {"bm 0", "c1+4 0", "c2 0", "c2+4 0", "c3 0", "check bm one inch high"}} {
		tb := heardJob(t)
		for _, s := range first {
			tb.say("ann", s)
		}
		before := session.Dump(tb.job())
		for _, s := range []string{"three quarters", "three eighths low", "check bm one inch high"} {
			got := tb.speak("ann", s)
			if session.Dump(tb.job()) != before {
				t.Errorf("%q, then %q stored something: %q", first, s, got)
			}
		}
	}
}

// TestHeardInDeafGroup: where the bot hears only what is said to it, the echo
// asks for a reply, which has no buttons; a side that is not sure has them.
func TestHeardInDeafGroup(t *testing.T) {
	tb := heardJob(t)
	say := func(h session.Heard) session.Reply {
		tb.next++
		m := session.Message{Kind: session.Spoken, ID: fmt.Sprint(tb.next), Deaf: true, Heard: &h}
		tb.hear("ann", m)
		return tb.last.Replies[0]
	}
	if r := say(session.Heard{Text: "three eighths low"}); len(r.Buttons) > 0 || r.Asks.Station.IsZero() {
		t.Errorf("%+v", r)
	}
	if r := say(session.Heard{Text: "one quarter low", Close: []string{"one quarter high"}}); len(r.Buttons) == 0 {
		t.Errorf("%+v", r)
	}
}

// TestHeardAtTheEnd: a side that was not ruled out is named with both values after
// the walk, under every answer that hangs on it, until it is answered; the plan
// leaves its spot out, and is none where the level hangs on it.
func TestHeardAtTheEnd(t *testing.T) {
	walk := func() *table {
		tb := heardJob(t)
		tb.speak("ann", "three eighths low", "three eighths high")
		for range 5 {
			tb.say("ann", "1/4 low")
		}
		tb.mustSay("ann", "datum high", "Heard, not confirmed, 1: c1+4 3/8 low or 3/8 high.")
		tb.say("ann", "datum none")
		tb.mustSay("ann", "1/16 low", "Heard, not confirmed, 1: c1+4 3/8 low or 3/8 high.")
		return tb
	}
	both := func(tb *table, says string, parts ...string) {
		t.Helper()
		got := tb.say("ann", says)
		for _, p := range append(parts, "Heard, not confirmed, 1: c1+4 3/8 low or 3/8 high.", "[c1+4 3/8 low] [c1+4 3/8 high]") {
			if !strings.Contains(got, p) {
				t.Errorf("%q gave %q, want %q", says, got, p)
			}
		}
	}
	end := func() *table {
		tb := walk()
		both(tb, "0", "Check c1: same as before")
		both(tb, "choices")
		both(tb, "datum c1")
		return tb
	}
	tb := end()
	both(tb, "shims", "To be confirmed first, so not planned around them: c1+4.")
	both(tb, "start shimming")
	both(tb, "shimmed c1+4", "c1+4 was heard and is not confirmed")
	both(tb, "shimmed all")
	laid := tb.job().Laid()
	for _, l := range laid {
		if l.Station.Number == 1 && l.Station.Past > 0 {
			t.Errorf("%v was laid", l.Station)
		}
	}
	if len(laid) == 0 {
		t.Error("nothing was laid elsewhere")
	}
	if got := tb.say("ann", "sign"); !strings.Contains(got, "c1+4 3/8 low or 3/8 high") || tb.job().Signed != nil {
		t.Error(got)
	}
	if got := tb.tap("ann", "c1+4 3/8 low"); !strings.Contains(got, "c1+4: 3/8 low, confirmed.") || strings.Contains(got, "Heard") {
		t.Error(got)
	}
	if got := tb.say("ann", "shims c1"); !strings.Contains(got, "c1+4") || strings.Contains(got, "Heard") {
		t.Error(got)
	}

	tb = end()
	if got := tb.tap("ann", "c1+4 3/8 high"); !strings.Contains(got, "c1+4: 3/8 high") || strings.Contains(got, "Heard") {
		t.Error(got)
	}
	tb.wantHeard()

	// The level itself hangs on it.
	tb = walk()
	tb.say("ann", "0")
	both(tb, "datum c1+4")
	both(tb, "shims", "The level hangs on what was heard and not confirmed: c1+4.")
	both(tb, "start shimming", "Nothing is planned before that is.")
	tb.tap("ann", "c1+4 3/8 high")
	if got := tb.say("ann", "shims"); strings.Contains(got, "hangs") || strings.Contains(got, "Heard") {
		t.Error(got)
	}
	// So does a plan in an export: what is not known is not there.
	if _, ok := tb.job().View().ShimPlan(); !ok {
		t.Error("no plan once it is answered")
	}
}
