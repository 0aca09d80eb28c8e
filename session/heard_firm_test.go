package session_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"rodcall/session"
)

// TestHeardHalves: where a line comes in two halves, what could not be ruled out
// for a spoken one keeps the whole from becoming firm by going on.
func TestHeardHalves(t *testing.T) {
	for _, first := range []func(tb *table) string{
		func(tb *table) string { return tb.say("ann", "3/8") },
		func(tb *table) string { return tb.speak("ann", "three eighths") },
	} {
		tb := heardJob(t)
		first(tb)
		tb.speak("ann", "low", "high")
		tb.say("ann", "c2 1/4 low")
		tb.wantHeard("c1+4 -9.525 open")
	}
	for _, second := range []func(tb *table) string{
		func(tb *table) string { return tb.say("ann", "low") },
		func(tb *table) string { return tb.speak("ann", "low") },
	} {
		tb := heardJob(t)
		tb.speak("ann", "c3 three eighths", "c2 three eighths")
		second(tb)
		tb.say("ann", "c3+4 1/4 low")
		tb.wantHeard("c3 -9.525 open")
	}
	tb := heardJob(t)
	tb.speak("ann", "three eighths", "five eighths")
	if got := tb.say("ann", "low"); !strings.Contains(got, "[5/8 low]") {
		t.Error(got)
	}
	tb.say("ann", "c2 1/4 low")
	tb.wantHeard("c1+4 -9.525 firm")
}

// TestHeardSigned: nothing that was heard and is not firm is signed off.
func TestHeardSigned(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new South", "8x8", "surface plate", "bolts tight", "direct rod", "c1 0", "c1+4 0", "c2 0", "c2+4 0", "c3 0", "c3+4 0", "c4 0"} {
		tb.say("ann", s)
	}
	tb.speak("ann", "on")
	tb.say("ann", "datum first")
	tb.mustSay("ann", "sign", "Not signed: 1 reading was heard")
	tb.say("ann", "yes")
	tb.mustSay("ann", "sign", "signed off by ann")
}

// TestHeardConfirmsOne: a button confirms the one reading that it names, and yes
// with a station only one's own, of this round and rod.
func TestHeardConfirmsOne(t *testing.T) {
	tb := heardJob(t)
	tb.speak("ann", "c2 three eighths low", "c2 three eighths high")
	tb.say("ann", "moved")
	tb.say("ann", "c1 1/4 high")
	tb.speak("ann", "c2 five eighths low", "c2 five eighths high")
	tb.say("ann", "done")
	tb.tap("ann", "c2 3/8 low: yes")
	tb.wantHeard("c2 -9.525 firm", "c2 -15.875 open")
	tb.say("ann", "yes c2")
	tb.wantHeard("c2 -9.525 firm", "c2 -15.875 firm")

	tb = heardJob(t)
	tb.speak("ann", "c2 three eighths low", "c2 three eighths high")
	tb.say("ann", "moved")
	tb.say("ann", "c1 1/4 high")
	tb.say("ann", "c3 0")
	if got := tb.say("ann", "yes c2"); !strings.Contains(got, "Heard, not confirmed, 1: c2 3/8 low. [c2 3/8 low: yes]") {
		t.Error(got)
	}
	tb.tap("ann", "c2 3/8 low: yes")
	tb.wantHeard("c2 -9.525 firm")

	tb = heardJob(t)
	tb.speak("ann", "c2 three eighths low", "c2 three eighths high")
	tb.say("bob", "c1 1/8 low")
	tb.tap("bob", "I hold another")
	tb.speak("bob", "c2 one half low", "c2 one half high")
	tb.say("bob", "yes c2")
	tb.wantHeard("c2 -9.525 open", "c2 -12.7 firm")
}

// TestHeardSurprise: of several lines heard at once, the one that surprises does
// not become firm by going on, whatever comes behind it.
func TestHeardSurprise(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new East house", "8x8", "direct rod", "bm 1/4 high", "c1 0", "c1+4 0", "c2 0", "c2+4 0", "c3 0", "c3+4 0", "c4 0", "c4+4 0", "datum first", "next round", "bm 1/4 high"} {
		tb.say("crew", s)
	}
	tb.speak("ann", "bm one quarter high")
	tb.speak("ann", "c2 one half high")
	tb.speak("ann", "c3 on")
	tb.tap("ann", "I hold another")
	tb.say("ann", "c4 0")
	tb.wantHeard("bm 6.35 firm", "c2 12.7 open", "c3 0 firm")
}

// TestHeardCheckDecides: a spoken check that disagrees begins no search and ends
// none before it is confirmed, and does not become firm by going on.
func TestHeardCheckDecides(t *testing.T) {
	tb := heardJob(t)
	tb.say("ann", "c2 1/8 low")
	tb.say("ann", "check c1 1/2 low")
	tb.tap("ann", "not now")
	tb.speak("ann", "check c1 on", "check c1 one half low")
	tb.say("ann", "no")
	for _, r := range tb.job().Readings() {
		if r.Check && !r.Spoken && r.Void {
			t.Error("the typed check was voided")
		}
	}
	tb.wantHeard()

	tb = heardJob(t)
	for _, s := range []string{"c2 1/4 low", "c3 1/4 low", "c4 1/4 low"} {
		tb.say("ann", s)
	}
	if got := tb.speak("ann", "check c1 one half low"); strings.Contains(got, "not now") {
		t.Error(got)
	}
	tb.say("ann", "c3 1/4 low")
	tb.wantHeard("c1 -12.7 open")
	if got := tb.say("ann", "yes c1"); !strings.Contains(got, "confirmed") || !strings.Contains(got, "[not now]") {
		t.Error(got)
	}
}

// TestHeardUndone: what stood before comes back as it was: the reading that a
// tap corrected at another set-up, still open, and one that was firm, firm,
// behind an edit.
func TestHeardUndone(t *testing.T) {
	tb := heardJob(t)
	tb.speak("ann", "c2 three eighths low", "c2 three eighths high")
	tb.speak("ann", "c3 one quarter low")
	for _, text := range []string{"moved", "c1 1/4 high", "c3 0"} {
		tb.say("ann", text)
	}
	tb.mustStand(map[string]string{"c2": "-9.525"})
	wants(t, tb.tap("ann", "c2 3/8 high"), "c2: 3/8 high in place of 3/8 low.")
	tb.mustStand(map[string]string{"c2": "9.525"})
	wants(t, tb.say("ann", "undo"), "c2: taken back", "3/8 low")
	tb.mustStand(map[string]string{"c2": "-9.525"})
	tb.wantHeard("c2 -9.525 open", "c3 -6.35 firm")

	for _, firm := range []string{"yes", "c3 0"} {
		tb = heardJob(t)
		tb.speak("ann", "c2 three eighths low")
		id := tb.next
		tb.say("ann", firm)
		tb.edit("ann", id, "c2 1/2 low")
		tb.wantHeard()
		wants(t, tb.say("ann", "undo"), "c2: taken back. Before it stood 3/8 low; that counts again.")
		tb.wantHeard("c2 -9.525 firm")
	}
	tb = heardJob(t)
	tb.speak("ann", "c2 three eighths low", "c2 three eighths high")
	tb.edit("ann", tb.next, "c2 1/2 low")
	tb.say("ann", "undo")
	tb.wantHeard("c2 -9.525 open")
}

// TestHeardNeverTold: what an echo said that never came is not firm by going on,
// however many messages later; it is asked about, and what was told back since is
// firm as ever.
func TestHeardNeverTold(t *testing.T) {
	tb := heardJob(t)
	tb.speak("ann", "three eighths low")
	lost := tb.now.Add(time.Second)
	say := func(text string) string {
		tb.next++
		return tb.hear("ann", session.Message{Kind: session.Said, ID: fmt.Sprint(tb.next), Text: text, Lost: lost})
	}
	wants(t, say("1/4 low"), "Still open, c1+4: 3/8 low", "[c1+4 3/8 low]")
	tb.wantHeard("c1+4 -9.525 open")
	tb.speak("ann", "three eighths low")
	say("1/4 low")
	tb.wantHeard("c1+4 -9.525 open", "c2+4 -9.525 firm")
	tb.say("ann", "yes c1+4")
	tb.wantHeard("c1+4 -9.525 firm", "c2+4 -9.525 firm")
}

// TestHeardCheckAwaited: a spoken check of what its rod has read moves no height
// before it is firm; a tap or going on has it count, and no leaves all as it was.
// One that ties a set-up counts at once, as a reading there would.
func TestHeardCheckAwaited(t *testing.T) {
	begin := func() *table {
		tb := heardJob(t)
		tb.say("ann", "c2 1/4 low")
		wants(t, tb.speak("ann", "check c1 one eighth high"), "Check c1: 1/8 higher than before (level).", "It moves no height before it is confirmed.")
		tb.mustStand(map[string]string{"c1": "0", "c2": "-6.35"})
		return tb
	}
	tb := begin()
	wants(t, tb.say("ann", "yes"), "c1: 1/8 high, confirmed.", "what this rod read is 1/16 lower now")
	tb.mustStand(map[string]string{"c2": "-7.938"})
	tb = begin()
	tb.say("ann", "no")
	tb.mustStand(map[string]string{"c2": "-6.35"})
	tb = begin()
	wants(t, tb.tap("ann", "1/8 low"), "c1: 1/8 low in place of 1/8 high.", "what this rod read is 1/16 higher now")
	tb.mustStand(map[string]string{"c2": "-4.762"})
	wants(t, tb.say("ann", "undo"), "c1: taken back.")
	tb.wantHeard("c1 3.175 open")
	tb.say("ann", "yes c1")
	tb.mustStand(map[string]string{"c2": "-7.938"})

	tb = heardJob(t)
	tb.say("ann", "c2 1/4 low")
	wants(t, tb.speak("ann", "check c1 one sixteenth high"), "It moves no height before it is confirmed.")
	tb.mustStand(map[string]string{"c2": "-6.35"})
	tb.say("ann", "c3 1/4 low")
	tb.mustStand(map[string]string{"c2": "-7.144"})

	tb = heardJob(t)
	tb.say("ann", "moved")
	tb.speak("ann", "check c1 one quarter high")
	tb.say("ann", "c3 0")
	tb.mustStand(map[string]string{"c3": "-6.35"})
}
