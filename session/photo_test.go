package session_test

import (
	"fmt"
	"strings"
	"testing"

	"rodcall/session"
)

// shows sends a photo, as the engine does: a second time with what was fetched,
// where that is asked for.
func (tb *table) shows(who string, m session.Message) string {
	tb.t.Helper()
	tb.next++
	m.Kind, m.ID = session.Showed, fmt.Sprint(tb.next)
	got := tb.hear(who, m)
	if !tb.last.Fetch {
		return got
	}
	if got != "" || len(tb.last.Events) > 0 {
		tb.t.Errorf("a photo that is to be fetched gave %q, %v", got, tb.last.Events)
	}
	if m.Photo == nil {
		m.Photo = &session.Photo{Hash: session.HashOf([]byte(m.ID)), Size: 1}
	}
	return tb.hear(who, m)
}

// show sends a photo with a caption.
func (tb *table) show(who, caption string) string {
	tb.t.Helper()
	return tb.shows(who, session.Message{Text: caption, Private: true})
}

func TestPhotos(t *testing.T) {
	tb := walking(t)
	answers(t, "behind a reading", tb.show("crew", ""), "c1+4: photo kept.\nNext: c1+8 [for c1+8 instead]")
	answers(t, "moved", tb.tap("crew", "for c1+8 instead"), "c1+8: photo kept.\nNext: c1+8")
	tb.wantKept("c1+8 photo")
	answers(t, "undo of what was moved", tb.replyTo("crew", 5, "undo"), "c1+8: photo taken back.\nNext: c1+8")
	tb.wantKept("")
	for _, k := range [][3]string{
		{"c3", "c3: photo kept.\nNext: c1+8", "c3 photo"},
		{"c3+8 crack in the form", "c3+8: photo kept.\nNext: c1+8", "c3+8 photo crack in the form"},
		{"note c2: 3/8 low at the form", "c2: photo kept.\nNext: c1+8", "c2 photo 3/8 low at the form"},
		{"note 3/8 low", "c1+4: photo kept.\nNext: c1+8 [for c1+8 instead]", "c1+4 photo 3/8 low"},
		{"form blew out", "c1+4: photo kept.\nNext: c1+8 [for c1+8 instead]", "c1+4 photo form blew out"},
		{"done", "c1+4: photo kept.\nNext: c1+8 [for c1+8 instead]", "c1+4 photo done"},
		{"no beam c2+8", "c2+8: no beam there. It is left unread until the laser is moved.\nc2+8: photo kept.\nNext: c1+8", "c2+8 photo"},
	} {
		answers(t, k[0], tb.show("crew", k[0]), k[1])
		tb.wantKept(k[2])
		tb.say("crew", "undo")
	}
	answers(t, "no such station", tb.show("crew", "c99 crack"), "The photo is not kept. There is no c99: this outline has corners c1 to c4. Like: note c3 form blew out")
	answers(t, "reply", tb.shows("crew", session.Message{ReplyTo: "3", Private: true}), "c1: photo kept.\nNext: c1+8")
	for _, fail := range []session.PhotoFail{session.PhotoBusy, session.PhotoLarge, session.PhotoBroken} {
		got := tb.shows("crew", session.Message{Text: "c3", Private: true, Photo: &session.Photo{Fail: fail}})
		if !strings.Contains(strings.ToLower(got), "photo") || len(tb.last.Events) > 0 {
			t.Errorf("%s: %q, %v", fail, got, tb.last.Events)
		}
	}
	tb.wantKept("c1 photo")
	if got := tb.say("crew", "summary"); !strings.Contains(got, "\nKept with stations: 1 photo.\n") {
		t.Errorf("summary: %q", got)
	}
}

// TestPhotoOfAReading: a caption that is a reading is one, and the photo is kept
// with it; they are taken back together.
func TestPhotoOfAReading(t *testing.T) {
	tb := walking(t)
	answers(t, "reading", tb.show("crew", "1/4 low"), "c1+8: 1/4 low (of c1)\nc1+8: photo kept.\nNext: c1+12")
	tb.wantKept("c1+8 photo")
	answers(t, "edited", tb.edit("crew", 5, "1/8 low"), "c1+8: 1/8 low (of c1), before 1/4 low\nNext: c1+12")
	answers(t, "undo of the edit", tb.say("crew", "undo"), "c1+8: taken back. Before it stood 1/4 low; that counts again.\nNext: c1+12")
	tb.wantKept("c1+8 photo")
	answers(t, "undo", tb.say("crew", "undo"), "c1+8: taken back, unread again.\nc1+8: photo taken back.\nNext: c1+8")
	tb.wantKept("")
	answers(t, "asked back", tb.show("crew", "1/4"), "1/4: high or low?\nc1+8: photo kept. [1/4 low] [1/4 high]")
	answers(t, "asked back", tb.keptNotes(), "c1+8 photo")
	if got := tb.tap("crew", "1/4 low"); !strings.HasPrefix(got, "c1+8: 1/4 low (of c1)") {
		t.Errorf("answered: %q", got)
	}
	got := tb.shows("crew", session.Message{Text: "c1+12 1/8 low", Private: true, Photo: &session.Photo{Fail: session.PhotoBusy}})
	answers(t, "without its photo", got, "c1+12: 1/8 low (of c1)\nThe photo could not be fetched and is not kept. Send it again.\nNext: c1+16")
}

func TestCaptionsEdited(t *testing.T) {
	tb := walking(t)
	tb.show("crew", "crack") // 5
	answers(t, "text", tb.edit("crew", 5, "crack in the form"), "c1+4: what stands with the photo is changed.")
	tb.wantKept("c1+4 photo crack in the form")
	answers(t, "station", tb.edit("crew", 5, "c3 crack in the form"), "c3: what stands with the photo is changed.")
	answers(t, "none", tb.edit("crew", 5, ""), "c3: what stands with the photo is changed.")
	tb.wantKept("c3 photo")
	answers(t, "no such station", tb.edit("crew", 5, "c99"), "c3: the note stays as it was. There is no c99: this outline has corners c1 to c4. Like: note c3 form blew out")
	tb.wantKept("c3 photo")
	if got := tb.edit("crew", 5, "1/8 low"); !strings.Contains(got, "1/8 low") || len(tb.last.Events) > 0 {
		t.Errorf("an edit into a reading: %q", got)
	}
}

// TestAlbums: photos sent together are of one station, answered once and moved
// together.
func TestAlbums(t *testing.T) {
	tb := walking(t)
	first := tb.shows("crew", session.Message{Text: "c3 cold joint", Album: "a", Private: true})
	answers(t, "first", first, "c3: photo kept.\nNext: c1+8")
	answers(t, "second", tb.shows("crew", session.Message{Album: "a", Private: true}), "")
	answers(t, "third", tb.shows("crew", session.Message{Album: "a", Overheard: true}), "")
	tb.wantKept("c3 photo cold joint; c3 photo; c3 photo")
	answers(t, "failed", tb.shows("crew", session.Message{Album: "a", Private: true, Photo: &session.Photo{Fail: session.PhotoBusy}}), "The photo could not be fetched and is not kept. Send it again.\nNext: c1+8")
	tb = walking(t)
	tb.shows("crew", session.Message{Album: "b", Private: true})
	tb.shows("crew", session.Message{Album: "b", Private: true})
	tb.wantKept("c1+4 photo; c1+4 photo")
	answers(t, "moved", tb.tap("crew", "for c1+8 instead"), "c1+8: photo kept.\nNext: c1+8")
	tb.shows("crew", session.Message{Album: "b", Private: true})
	tb.wantKept("c1+8 photo; c1+8 photo; c1+8 photo")
}

// TestPhotosInAGroup: what is said to others is neither kept nor answered.
func TestPhotosInAGroup(t *testing.T) {
	tb := walking(t)
	for _, caption := range []string{"", "lunch", "the new truck"} {
		answers(t, caption, tb.shows("ann", session.Message{Text: caption, Overheard: true}), "")
		answers(t, caption, tb.shows("crew", session.Message{Text: caption, Overheard: true}), "")
	}
	tb.wantKept("")
	answers(t, "station", tb.shows("ann", session.Message{Text: "c3 crack", Overheard: true}), "c3: photo kept.\nNext: c1+8")
	answers(t, "talk", tb.hear("ann", session.Message{Kind: session.Said, ID: "90", Text: "note that we start at seven", Overheard: true}), "")
	answers(t, "note", tb.hear("ann", session.Message{Kind: session.Said, ID: "91", Text: "note c2 crack", Overheard: true}), "c2: note kept.\nNext: c1+8")
	none := newTable(t)
	answers(t, "no job", none.shows("ann", session.Message{Text: "c3", Overheard: true}), "")
	if got := none.show("ann", "c3"); !strings.Contains(got, "new ") {
		t.Errorf("no job: %q", got)
	}
}

// TestLongCaption: what is too long is cut, and that is said.
func TestLongCaption(t *testing.T) {
	tb := walking(t)
	answers(t, "long", tb.show("crew", "c3 "+strings.Repeat("á", 400)), "c3: photo kept.\nWhat was written with it is longer than 300 characters: the rest is left out.\nNext: c1+8")
	if n := tb.jobs[tb.chat.Current].Notes[0]; len([]rune(n.Text)) != 300 {
		t.Errorf("%d characters", len([]rune(n.Text)))
	}
}

// TestPhotoLeavesADialogueAlone: a test that is going on waits for its answer.
func TestPhotoLeavesADialogueAlone(t *testing.T) {
	tb := newTable(t)
	for _, l := range []string{"new Shed", "40x28", "c1 0", "test rod"} {
		tb.say("crew", l)
	}
	answers(t, "photo", tb.show("crew", ""), "c1: photo kept.\nNext: c1+4")
	if got := tb.say("crew", "3/4"); !strings.Contains(got, "on it") && !strings.Contains(got, "scrap") {
		t.Errorf("the test was left: %q", got)
	}
}

// TestPhotoThatEndedASearch: undo of a photo whose caption found the bump takes
// back the split first, as it does where that was typed, and then the reading
// with the photo.
func TestPhotoThatEndedASearch(t *testing.T) {
	for _, way := range []string{"undo", "reply"} {
		tb := newTable(t)
		for _, l := range []string{"new East", "8x8", "direct rod", "c1 0", "c2 1/8 low", "check c1 1/2 low"} {
			tb.say("crew", l)
		}
		tb.show("crew", "c2 5/8 low")
		tb.show("crew", "c1 1/2 low")
		photo := tb.next
		undo := func() string {
			if way == "reply" {
				return tb.replyTo("crew", photo, "undo")
			}
			return tb.say("crew", "undo")
		}
		job := func() *session.Job { return tb.jobs[tb.chat.Current] }
		if len(job().Splits) != 1 || len(job().Setups) != 2 {
			t.Fatalf("%d splits", len(job().Splits))
		}
		if got := undo(); !strings.HasPrefix(got, "Taken back: the split at the bump.") || len(job().Splits) != 0 || len(job().Setups) != 1 {
			t.Errorf("%s: %q", way, got)
		}
		tb.wantKept("c1 photo; c2 photo")
		if got := undo(); !strings.HasPrefix(got, "c1: taken back. It still stands level, by what else was read there.\nc1: photo taken back.") {
			t.Errorf("%s: %q", way, got)
		}
		tb.wantKept("c2 photo")
	}
}

// TestUndoBehindAPhoto: a photo is what undo takes back, not the skip or the turn
// of the walk before it.
func TestUndoBehindAPhoto(t *testing.T) {
	for _, before := range []string{"skip", "other way"} {
		tb := walking(t)
		tb.say("crew", before)
		tb.show("crew", "c3 crack")
		if got := tb.say("crew", "undo"); !strings.HasPrefix(got, "c3: photo taken back.") {
			t.Errorf("%s: %q", before, got)
		}
		tb.wantKept("")
	}
}

// TestPhotoFollowsItsReading: an edit that moves the reading of a caption moves
// the photo with it, and the undo of the edit moves both back.
func TestPhotoFollowsItsReading(t *testing.T) {
	tb := walking(t)
	tb.show("crew", "c2 1/8 low") // 5
	answers(t, "edited", tb.edit("crew", 5, "c3 1/8 low"), "c3: 1/8 low (of c1)\nc2 is unread again: its reading went with the edit.\nc3: photo kept.\nNext: c2+4")
	tb.wantKept("c3 photo")
	if got := tb.say("crew", "undo"); !strings.Contains(got, "\nc2: photo kept.") {
		t.Errorf("undo of the edit: %q", got)
	}
	tb.wantKept("c2 photo")
	if got := tb.say("crew", "undo"); !strings.Contains(got, "c2: taken back, unread again.\nc2: photo taken back.") {
		t.Errorf("undo: %q", got)
	}
	tb.wantKept("")
}

// TestCaptionOfLines: readings in a caption of several lines are heard as in any
// message, and what else is written there is kept with the photo.
func TestCaptionOfLines(t *testing.T) {
	for _, k := range []struct{ caption, reads, kept string }{
		{"c2 3/8 low\nc3 1/4 low", "c2 -9.525, c3 -6.35", "c2 photo"},
		{"3/8 low\n1/4 low", "c1+8 -9.525, c1+12 -6.35", "c1+8 photo"},
		{"c2\n3/8 low\nc3\n1/4 low", "c2 -9.525, c3 -6.35", "c2 photo"},
		{"c2 3/8 low\ncrack in the form\nc3 1/4 low", "c2 -9.525, c3 -6.35", "c2 photo crack in the form"},
		{"c2 3/8 low\nc99 1/4 low", "c2 -9.525", "c2 photo"},
		{"c2\n3/8 low", "c2 -9.525", "c2 photo"},
		{"c2 crack\nc3 sawcut", "", "c2 photo crack c3 sawcut"},
	} {
		tb := walking(t)
		got := tb.show("crew", k.caption)
		var reads []string
		job := tb.jobs[tb.chat.Current]
		for _, e := range tb.last.Events {
			if r, ok := e.Body.(session.Read); ok {
				reads = append(reads, job.StationName(r.Station)+" "+r.Value.String())
			}
		}
		if s := strings.Join(reads, ", "); s != k.reads {
			t.Errorf("%q read %q, want %q: %q", k.caption, s, k.reads, got)
		}
		tb.wantKept(k.kept)
	}
	tb := walking(t)
	if got := tb.show("crew", "c2 3/8 low\nc3 1/4"); !strings.Contains(got, "1/4: high or low?") {
		t.Errorf("a line without its side: %q", got)
	}
	tb.tap("crew", "c3 1/4 low")
	if r, ok := lastRead(tb.last); !ok || r.Value.String() != "-6.35" {
		t.Errorf("read %v", r.Value)
	}
	tb = walking(t)
	tb.show("crew", "c2 3/8 low\ncrack\nc3 1/4 low") // 5
	answers(t, "edited", tb.edit("crew", 5, "c2 3/8 low\ncrack\nc3 1/8 low"), "c3: 1/8 low (of c1), before 1/4 low\nNext: c3+4")
	tb.wantKept("c2 photo crack")
	tb = walking(t)
	tb.show("crew", "c2 3/8 low\nc3 1/4 low")
	if got := tb.say("crew", "undo"); !strings.Contains(got, "c2: taken back, unread again.\nc3: taken back, unread again.\nc2: photo taken back.") {
		t.Errorf("undo: %q", got)
	}
	tb.wantKept("")
}
