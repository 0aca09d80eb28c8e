package session_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rodcall/session"
)

// keptNotes are the notes and photos of the job, each in one line.
func (tb *table) keptNotes() string {
	var out []string
	j := tb.jobs[tb.chat.Current]
	for _, n := range j.Kept() {
		s := j.StationName(n.Station)
		if n.Shows() {
			s += " photo"
		}
		if n.Text != "" {
			s += " " + n.Text
		}
		out = append(out, s)
	}
	return strings.Join(out, "; ")
}

// wantKept fails where other notes and photos are kept.
func (tb *table) wantKept(want string) {
	tb.t.Helper()
	if got := tb.keptNotes(); got != want {
		tb.t.Errorf("kept %q, want %q", got, want)
	}
}

// answers fails where an answer is another one.
func answers(t *testing.T, what, got, want string) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %q, want %q", what, got, want)
	}
}

func walking(t *testing.T) *table {
	t.Helper()
	tb := newTable(t)
	for _, l := range []string{"new Shed", "40x28", "c1 0", "3/8 low"} { // messages 1 to 4
		tb.say("crew", l)
	}
	return tb
}

func TestNotes(t *testing.T) {
	tb := walking(t)
	answers(t, "note", tb.say("crew", "note form blew out"), "c1+8: note kept.\nNext: c1+8")
	answers(t, "named", tb.say("crew", "note c3+8: cold joint"), "c3+8: note kept.\nNext: c1+8")
	answers(t, "twice", tb.say("crew", "note c3+8 cold joint"), "c3+8: that note is kept already.\nNext: c1+8")
	answers(t, "reply", tb.replyTo("crew", 4, "note laitance"), "c1+4: note kept.\nNext: c1+8")
	answers(t, "reply to a note", tb.replyTo("crew", 6, "note dowel bent"), "c3+8: note kept.\nNext: c1+8")
	tb.wantKept("c1+4 laitance; c1+8 form blew out; c3+8 cold joint; c3+8 dowel bent")

	if got := tb.say("crew", "note c99 honeycomb"); !strings.HasPrefix(got, "There is no c99") || !strings.Contains(got, "note c3 form blew out") {
		t.Errorf("no such station: %q", got)
	}
	answers(t, "a reading", tb.say("crew", "note 1/8 low"), "1/8 low: a reading, or a note to be kept? [1/8 low] [note \"1/8 low\"]")
	answers(t, "kept all the same", tb.tap("crew", `note "1/8 low"`), "c1+8: note kept.\nNext: c1+8")
	answers(t, "undo", tb.say("crew", "undo"), "c1+8: note taken back.\nNext: c1+8")
	answers(t, "undo by reply", tb.replyTo("crew", 6, "undo"), "c3+8: note taken back.\nNext: c1+8")
	tb.wantKept("c1+4 laitance; c1+8 form blew out; c3+8 dowel bent")
	answers(t, "another's", tb.replyTo("ann", 5, "undo"), "That message is somebody else's: only they take it back.\nNext: c1+8")

	answers(t, "edit", tb.edit("crew", 5, "note form gave way"), "c1+8: note changed.\nNext: c1+8")
	answers(t, "edit to another station", tb.edit("crew", 5, "note c2 form gave way"), "c2: note changed.\nNext: c1+8")
	answers(t, "the same", tb.edit("crew", 5, "note c2 form gave way"), "")
	if got := tb.edit("crew", 5, "note c2"); !strings.HasPrefix(got, "c2: the note stays as it was. ") {
		t.Errorf("an edit without text: %q", got)
	}
	if got := tb.edit("crew", 5, "1/8 low"); !strings.HasPrefix(got, "c2: the note stays as it was. ") {
		t.Errorf("an edit into a reading: %q", got)
	}
	tb.wantKept("c1+4 laitance; c2 form gave way; c3+8 dowel bent")
	if got := tb.say("crew", "summary"); !strings.Contains(got, "\nKept with stations: 3 notes.\n") {
		t.Errorf("summary: %q", got)
	}
	// Not one of them was read.
	if n := len(tb.jobs[tb.chat.Current].Readings()); n != 2 {
		t.Errorf("%d readings", n)
	}
	answers(t, "lines", tb.say("crew", "1/8 low\nnote crack\nnote c3 crack"), "c1+8: 1/8 low (of c1)\nc1+12: note kept.\nc3: note kept.\nNext: c1+12")
}

// TestNotesAtRest: where no station is asked for a note is for the one read
// last, and a job that is signed off stays so.
func TestNotesAtRest(t *testing.T) {
	tb := walking(t)
	tb.say("crew", "done")
	answers(t, "of one who read nothing", tb.say("ann", "note form blew out"), "No station is asked for now. Say which one the note is for, like: note c3 form blew out")
	answers(t, "after the walk", tb.say("crew", "note form blew out"), "c1+4: note kept.")
	tb.wantKept("c1+4 form blew out")
	none := newTable(t)
	if got := none.say("crew", "note c3 form blew out"); !strings.Contains(got, "new ") {
		t.Errorf("without a job: %q", got)
	}
}

// TestNotesFollowTheOutline: a note is kept with the spot, whatever it is called
// later.
func TestNotesFollowTheOutline(t *testing.T) {
	tb := newTable(t)
	for _, l := range []string{"new Shed", "c1 0", "note c2+28 cold joint", "40x28"} {
		tb.say("crew", l)
	}
	tb.wantKept("c3 cold joint")
}

func TestNotesInSpanish(t *testing.T) {
	tb := newTable(t)
	for _, l := range []string{"nuevo Taller", "40x28", "c1 0", "3/8 bajo"} {
		tb.say("crew", l)
	}
	answers(t, "apunte", tb.say("crew", "apunte c3: se abrió la cimbra"), "c3: apunte guardado.\nSigue: c1+8")
	answers(t, "lectura", tb.say("crew", "apunte 1/8 bajo"), "1/8 bajo: ¿una lectura, o un apunte para guardar? [1/8 bajo] [apunte \"1/8 bajo\"]")
	answers(t, "foto", tb.show("crew", ""), "c1+4: foto guardada.\nSigue: c1+8 [es de c1+8]")
	answers(t, "es de", tb.tap("crew", "es de c1+8"), "c1+8: foto guardada.\nSigue: c1+8")
	answers(t, "borra", tb.say("crew", "borra"), "c1+8: foto quitada.\nSigue: c1+8")
}

// TestNoNoteIsStoredAsAReading sends notes of anything in the middle of a walk:
// none changes what was read.
func TestNoNoteIsStoredAsAReading(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		chat := session.Chat{ID: "yard"}
		var talk session.Conversation
		var job *session.Job
		send := func(i int, text string) {
			o := session.Hear(chat, job, talk, session.Message{Kind: session.Said, ID: fmt.Sprint(i), From: session.Person{ID: 1}, Text: text, Private: true, FreshID: "j"})
			chat, talk = o.Chat, o.Conversation
			if len(o.Events) > 0 && job == nil {
				job = session.NewJob()
			}
			for _, e := range o.Events {
				if err := job.Apply(e); err != nil {
					t.Fatal(err)
				}
			}
		}
		for i, l := range []string{"new Shed", "40x28", "c1 0", "3/8 low", "1/4"} {
			send(i, l) // the last is asked back: high or low?
		}
		before := len(job.Readings())
		text := rapid.OneOf(rapid.String(), rapid.StringMatching(`(c[0-9]|p1|bm|c2\+8)?[: ]{0,2}(-?[0-9]/[0-9]|[0-9]{1,3}|on|low|high|is|bajo|c3| ){0,6}`)).Draw(t, "text")
		for _, line := range strings.FieldsFunc(text, func(r rune) bool { return r == '\n' || r == '\r' || r == '\u2028' }) {
			send(9, rapid.SampledFrom([]string{"note ", "apunte ", "Note: "}).Draw(t, "head")+line)
		}
		if n := len(job.Readings()); n != before {
			t.Fatalf("note %q gave %d readings", text, n-before)
		}
	})
}
