package bot_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"rodcall/bot"
	"rodcall/bot/apitest"
	"rodcall/session"
	"rodcall/session/store"
)

// ear hears what a test has it hear.
type ear func(ctx context.Context, note []byte) session.Heard

func (e ear) Hear(ctx context.Context, note []byte, _ session.Listening) session.Heard {
	return e(ctx, note)
}

// speaker speaks what a test has it speak.
type speaker func(text, lang string) ([]byte, error)

func (s speaker) Speak(_ context.Context, text, lang string) ([]byte, error) { return s(text, lang) }

// opus is a voice note of the right form.
func opus(t *testing.T) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("voice", "testdata", "note.opus"))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// parrot is a Hear that answers voice notes and photos with what became of
// them, and keeps nothing.
func parrot(c session.Chat, j *session.Job, talk session.Conversation, m session.Message) session.Outcome {
	o := session.Outcome{Chat: c, Conversation: talk}
	say := func(format string, args ...any) session.Outcome {
		o.Replies = []session.Reply{{Text: fmt.Sprintf(format, args...)}}
		return o
	}
	switch {
	case m.Kind == session.Spoken && m.Heard == nil:
		o.Listen = &session.Listening{Lang: "en"}
		return o
	case m.Kind == session.Spoken:
		return say("heard %q, fail %q, overheard %t", m.Heard.Text, m.Heard.Fail, m.Overheard)
	case m.Kind == session.Showed && m.Photo == nil:
		o.Fetch = true
		return o
	case m.Kind == session.Showed:
		return say("saw %d bytes, fail %q, %q, overheard %t", m.Photo.Size, m.Photo.Fail, m.Text, m.Overheard)
	case m.Kind == session.Edited:
		return say("edited: %q", m.Text)
	}
	return session.Hear(c, j, talk, m)
}

// newParrot is a rig whose ear answers with the size of the note.
func newParrot(t *testing.T, c apitest.Config) *rig {
	r := newRig(t, c)
	r.hear = parrot
	r.ear = ear(func(_ context.Context, note []byte) session.Heard {
		return session.Heard{Text: fmt.Sprint(len(note))}
	})
	r.restart()
	return r
}

// attach sends a file and returns the bot's answer.
func (r *rig) attach(c *apitest.Chat, u apitest.User, a apitest.Attachment) string {
	r.t.Helper()
	return r.answer(c, func() { c.Attach(u, a) })
}

// TestVoiceNotesOfAllKinds: what is no voice note to be listened to gets a
// clear answer, and is not fetched where the update tells that already.
func TestVoiceNotesOfAllKinds(t *testing.T) {
	r := newParrot(t, apitest.Config{})
	ann, c := r.owner("ann")
	data := opus(t)
	forward := map[string]any{"forward_origin": map[string]any{"type": "hidden_user", "date": 1770000000, "sender_user_name": "bo"}}
	for _, test := range []struct {
		name    string
		a       apitest.Attachment
		want    string
		fetched bool
	}{
		{"a note", apitest.Attachment{Kind: "voice", Seconds: 3, Data: data}, fmt.Sprintf(`heard "%d"`, len(data)), true},
		{"of unknown size", apitest.Attachment{Kind: "voice", Seconds: 3, Size: -1, Data: data}, fmt.Sprintf(`heard "%d"`, len(data)), true},
		{"an audio file of Opus", apitest.Attachment{Kind: "audio", Name: "a.ogg", MIME: "audio/ogg; codecs=opus", Seconds: 3, Data: data}, fmt.Sprintf(`heard "%d"`, len(data)), true},
		{"a minute", apitest.Attachment{Kind: "voice", Seconds: 60, Data: data}, fmt.Sprintf(`heard "%d"`, len(data)), true},
		{"ten minutes", apitest.Attachment{Kind: "voice", Seconds: 600, Data: data}, `fail "long"`, false},
		{"0 s", apitest.Attachment{Kind: "voice", Data: data}, `fail "empty"`, false},
		{"nothing in it", apitest.Attachment{Kind: "voice", Seconds: 1, Size: -1}, `fail "empty"`, true},
		{"20 MB", apitest.Attachment{Kind: "voice", Seconds: 3, Size: 20 << 20, Data: data}, `fail "long"`, false},
		{"21 MB of unknown size", apitest.Attachment{Kind: "voice", Seconds: 3, Size: -1, Data: make([]byte, 21<<20)}, `fail "long"`, true},
		{"larger than is said", apitest.Attachment{Kind: "voice", Seconds: 3, Size: 1000, Data: make([]byte, 1<<20+1)}, `fail "long"`, true},
		{"just as large as may be", apitest.Attachment{Kind: "voice", Seconds: 3, Data: make([]byte, 1<<20)}, `heard "1048576"`, true},
		{"gone", apitest.Attachment{Kind: "voice", Seconds: 3, Data: data, Gone: true}, `fail "busy"`, false},
		{"a song", apitest.Attachment{Kind: "audio", Name: "song.mp3", MIME: "audio/mpeg", Seconds: 30, Data: []byte("ID3")}, `fail "broken"`, false},
		{"a song without a kind", apitest.Attachment{Kind: "audio", Seconds: 30, Data: []byte("ID3")}, `fail "broken"`, false},
		{"forwarded", apitest.Attachment{Kind: "voice", Seconds: 3, Data: data, Fields: forward}, "text or voice", false},
	} {
		if test.name == "forwarded" {
			test.want = session.Say("en", "wordless")
		}
		before := len(r.srv.Requests("download"))
		if got := r.attach(c, ann, test.a); !strings.Contains(got, test.want) {
			t.Errorf("%s: %q, want %q", test.name, got, test.want)
		}
		if fetched := len(r.srv.Requests("download")) > before; fetched != test.fetched {
			t.Errorf("%s: fetched %t, want %t", test.name, fetched, test.fetched)
		}
	}
	for _, f := range r.srv.Faults() {
		if f.Method != "getFile" { // which may be refused
			t.Errorf("a request was refused: %+v", f)
		}
	}
	r.asDescribed()
}

// TestNoEar: without a recogniser nothing is fetched, and the bot knows.
func TestNoEar(t *testing.T) {
	r := newParrot(t, apitest.Config{})
	r.ear = nil
	r.restart()
	ann, c := r.owner("ann")
	for _, seconds := range []int{0, 3, 600} {
		got := r.attach(c, ann, apitest.Attachment{Kind: "voice", Seconds: seconds, Data: opus(t)})
		if !strings.Contains(got, `fail "engine"`) {
			t.Errorf("%d s: %q", seconds, got)
		}
	}
	if n := len(r.srv.Requests("getFile", "download")); n > 0 {
		t.Errorf("%d requests for files", n)
	}
	r.noFaults()
}

// TestFetchInTrouble: what goes wrong once is tried again; what goes wrong for
// good ends in an answer.
func TestFetchInTrouble(t *testing.T) {
	r := newParrot(t, apitest.Config{})
	ann, c := r.owner("ann")
	data := opus(t)
	whole := fmt.Sprintf(`heard "%d"`, len(data))
	for _, trouble := range []apitest.Trouble{
		{Kind: apitest.ServerError}, {Kind: apitest.TooMany}, {Kind: apitest.CutBefore}, {Kind: apitest.CutAfter},
		{Kind: apitest.Slow, Delay: time.Hour}, {Kind: apitest.CutAfter, Delay: time.Hour},
	} {
		for _, method := range []string{"getFile", "download"} {
			for _, times := range []int{1, -1} {
				trouble.Method, trouble.Times = method, times
				r.srv.Inject(trouble)
				got := r.attach(c, ann, apitest.Attachment{Kind: "voice", Seconds: 3, Data: data})
				switch {
				case times == 1 && !strings.Contains(got, whole):
					t.Errorf("%+v: %q", trouble, got)
				case times < 0 && !strings.Contains(got, `fail "busy"`):
					t.Errorf("%+v: %q", trouble, got)
				}
				r.srv.Recover()
			}
		}
	}
	if text := r.log.String(); leaks(text) {
		t.Errorf("the log holds the token:\n%s", text)
	}
}

// TestEndlessFile: of a file that does not end no more is read than may be kept.
func TestEndlessFile(t *testing.T) {
	good := apitest.New(apitest.Config{Token: token})
	defer good.Close()
	b, err := bot.New(t.Context(), bot.Config{
		Token: token, API: good.URL(), Ear: ear(func(context.Context, []byte) session.Heard { return session.Heard{Text: "x"} }),
	})
	if err != nil {
		t.Fatal(err)
	}
	written := make(chan int, 1)
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !strings.HasPrefix(r.URL.Path, "/file/") {
			_, _ = fmt.Fprint(w, `{"ok": true, "result": {"file_path": "voice/1.oga", "file_size": 900}}`)
			return
		}
		n, page := 0, make([]byte, 1<<16)
		for {
			k, err := w.Write(page)
			n += k
			if err != nil || n > 1<<30 {
				written <- n
				return
			}
		}
	}))
	defer srv.Close()
	bot.Redirect(b, srv.URL)
	in, err := b.Decode([]byte(`{"update_id": 1, "message": {"message_id": 1, "date": 1, "from": {"id": 5, "first_name": "a"},
		"chat": {"id": 5, "type": "private"}, "voice": {"file_id": "x", "duration": 2, "file_size": 900}}}`))
	if err != nil {
		t.Fatal(err)
	}
	if heard, err := b.Listen(t.Context(), in, session.Listening{}); heard.Fail != session.HeardLong || err != nil {
		t.Errorf("heard %+v, %v", heard, err)
	}
	// What was sent and not read stands in the buffers of the connection.
	if n := <-written; n > 32<<20 {
		t.Errorf("%d bytes were taken", n)
	}
}

// TestFiveNotesAtOnce of one person are heard one after the other, in order; a
// note that makes the decoder fall over harms no other.
func TestFiveNotesAtOnce(t *testing.T) {
	r := newParrot(t, apitest.Config{})
	var mu sync.Mutex
	at, most := 0, 0
	r.ear = ear(func(_ context.Context, note []byte) session.Heard {
		mu.Lock()
		at++
		most = max(most, at)
		mu.Unlock()
		time.Sleep(5 * time.Millisecond)
		mu.Lock()
		at--
		mu.Unlock()
		if len(note) == 3 {
			panic("a note of three bytes")
		}
		return session.Heard{Text: fmt.Sprint(len(note))}
	})
	r.restart()
	ann, c := r.owner("ann")
	before := len(c.FromBot())
	for i := range 5 {
		c.Attach(ann, apitest.Attachment{Kind: "voice", Seconds: 1, Data: make([]byte, i+1)})
	}
	r.settle()
	var got []string
	for _, m := range c.FromBot()[before:] {
		got = append(got, m.Text)
	}
	for i, want := range []string{`heard "1"`, `heard "2"`, `fail "broken"`, `heard "4"`, `heard "5"`} {
		if i >= len(got) || !strings.Contains(got[i], want) {
			t.Errorf("answer %d of %q, want %s", i+1, got, want)
		}
	}
	if most != 1 {
		t.Errorf("%d notes of one person at a time", most)
	}
	r.noFaults()
}

// TestNoteOverRestart: a note that is being heard when the program ends is
// heard when it is back.
func TestNoteOverRestart(t *testing.T) {
	r := newParrot(t, apitest.Config{})
	listening := make(chan struct{})
	r.ear = ear(func(ctx context.Context, _ []byte) session.Heard {
		close(listening)
		<-ctx.Done()
		return session.Heard{Fail: session.HeardBusy}
	})
	r.restart()
	ann, c := r.owner("ann")
	before := len(c.FromBot())
	c.Attach(ann, apitest.Attachment{Kind: "voice", Seconds: 1, Data: []byte("OggS")})
	<-listening
	r.ear = ear(func(context.Context, []byte) session.Heard { return session.Heard{Text: "again"} })
	r.restart()
	r.settle()
	if all := c.FromBot()[before:]; len(all) != 1 || !strings.Contains(all[0].Text, `heard "again"`) {
		t.Errorf("answered %+v", all)
	}
	r.noFaults()
}

// TestPhotos of all kinds.
func TestPhotos(t *testing.T) {
	r := newParrot(t, apitest.Config{})
	ann, c := r.owner("ann")
	good, wide := photograph(t, 640, 480), photograph(t, 2400, 90)
	saw := func(b []byte) string { return fmt.Sprintf("saw %d bytes, fail \"\"", len(b)) }
	for _, test := range []struct {
		name string
		a    apitest.Attachment
		want string
	}{
		{"a photo", apitest.Attachment{Kind: "photo", Data: good, Caption: "c3 form blew out"}, saw(good) + `, "c3 form blew out"`},
		{"the file of one", apitest.Attachment{Kind: "document", Name: "a.jpg", MIME: "image/jpeg", Data: good}, saw(good)},
		{"a wide one", apitest.Attachment{Kind: "photo", Data: wide}, saw(wide)},
		{"a large file", apitest.Attachment{Kind: "document", Name: "a.jpg", MIME: "image/jpeg", Size: 3 << 20, Data: good}, `fail "large"`},
		{"a large one", apitest.Attachment{Kind: "photo", Size: 3 << 20, Data: good}, `fail "large"`},
		{"larger than is said", apitest.Attachment{Kind: "photo", Size: 99, Data: append(bytes.Clone(good), make([]byte, 2<<20)...)}, `fail "large"`},
		{"a hundred megapixels", apitest.Attachment{Kind: "photo", Data: claims(t, good, 10000, 10000)}, `fail "large"`},
		{"none", apitest.Attachment{Kind: "photo", Data: []byte("GIF89a")}, `fail "broken"`},
		{"half of one", apitest.Attachment{Kind: "photo", Data: good[:len(good)/2]}, `fail "broken"`},
		{"gone", apitest.Attachment{Kind: "photo", Data: good, Gone: true}, `fail "busy"`},
		{"a PNG file", apitest.Attachment{Kind: "document", Name: "a.png", Data: good}, session.Say("en", "wordless")},
	} {
		if got := r.attach(c, ann, test.a); !strings.Contains(got, test.want) {
			t.Errorf("%s: %q, want %q", test.name, got, test.want)
		}
	}
	id := c.Photo(ann, good, "c3 formm")
	r.settle()
	if err := c.Edit(ann, id, "c3 form"); err != nil {
		t.Fatal(err)
	}
	r.settle()
	if got := r.last(c); got != `edited: "c3 form"` {
		t.Errorf("a caption edited: %q", got)
	}
	r.asDescribed()
}

// TestPhotoSizes: of the sizes offered the widest is kept that is not too wide
// and not too large.
func TestPhotoSizes(t *testing.T) {
	r := newRig(t, apitest.Config{})
	for sizes, want := range map[string]string{
		`{"file_id": "s", "width": 90}, {"file_id": "m", "width": 320}, {"file_id": "x", "width": 800}`:                                              "{x }",
		`{"file_id": "y", "width": 1280, "file_size": 300000}, {"file_id": "w", "width": 2560, "file_size": 900000}, {"file_id": "m", "width": 320}`: "{y }",
		`{"file_id": "x", "width": 800, "file_size": 2097152}, {"file_id": "y", "width": 1280, "file_size": 2097153}`:                                "{x }",
		`{"file_id": "w", "width": 2560}`: "{ large}",
	} {
		in, err := r.bot.Decode([]byte(`{"update_id": 1, "message": {"message_id": 1, "date": 1, "from": {"id": 5, "first_name": "a"},
			"chat": {"id": 5, "type": "private"}, "photo": [` + sizes + `]}}`))
		if got := fmt.Sprint(in.Attached); err != nil || got != want {
			t.Errorf("of %s: %s, want %s (%v)", sizes, got, want, err)
		}
	}
}

// TestAttachedInGroups: a voice note and a photo are said to the bot where they
// reply to it, or name it.
func TestAttachedInGroups(t *testing.T) {
	for _, all := range []bool{false, true} {
		r := newParrot(t, apitest.Config{ReadsAll: all})
		ann, bob, g := crew(r)
		r.say(g, ann, "/jobs") // opens the group
		mine := g.FromBot()[len(g.FromBot())-1].ID
		note := apitest.Attachment{Kind: "voice", Seconds: 1, Data: []byte("OggS")}
		photo := apitest.Attachment{Kind: "photo", Data: photograph(t, 64, 48)}
		for _, a := range []apitest.Attachment{note, photo} {
			got := r.attach(g, bob, a)
			if want := "overheard true"; all && !strings.Contains(got, want) || !all && got != "" {
				t.Errorf("all heard %t, a %s: %q", all, a.Kind, got)
			}
			a.ReplyTo = mine
			if got := r.attach(g, bob, a); !strings.Contains(got, "overheard false") {
				t.Errorf("all heard %t, a %s in reply: %q", all, a.Kind, got)
			}
		}
		if all {
			photo.Caption = "@stand_in_bot c3"
			if got := r.attach(g, bob, photo); !strings.Contains(got, `"c3", overheard false`) {
				t.Errorf("a photo for the bot: %q", got)
			}
			photo.Caption = "/note@another_bot c3"
			if got := r.attach(g, bob, photo); got != "" {
				t.Errorf("a photo for another bot: %q", got)
			}
			note.Fields = map[string]any{"forward_origin": map[string]any{"type": "hidden_user"}}
			if got := r.attach(g, bob, note); got != "" {
				t.Errorf("a forwarded note: %q", got)
			}
		}
		r.noFaults()
	}
}

// TestAnswersAloud are sent as voice notes, behind what is written; what cannot
// be spoken holds nothing up.
func TestAnswersAloud(t *testing.T) {
	r := newRig(t, apitest.Config{})
	data := opus(t)
	var spoken []string
	r.speak = speaker(func(text, lang string) ([]byte, error) {
		spoken = append(spoken, lang+": "+text)
		if text == "mute" {
			return nil, errors.New("no breath")
		}
		return data, nil
	})
	r.hear = func(c session.Chat, _ *session.Job, talk session.Conversation, m session.Message) session.Outcome {
		o := session.Outcome{Chat: c, Conversation: talk, Replies: []session.Reply{{Text: m.Text}, {Aloud: m.Text, Lang: "es"}}}
		if !m.Speaks {
			o.Replies[0].Text = "it cannot speak"
		}
		return o
	}
	r.restart()
	ann, c := r.owner("ann")
	voices := func(from int) (texts, notes int) {
		for _, m := range c.FromBot()[from:] {
			if m.Voice != nil {
				notes++
				if !bytes.Equal(m.Voice.Data, data) {
					t.Error("another note than was spoken")
				}
			} else {
				texts++
			}
		}
		return texts, notes
	}
	before := len(c.FromBot())
	r.srv.Inject(apitest.Trouble{Kind: apitest.ServerError, Method: "sendVoice"}) // it is tried again
	r.say(c, ann, "c2, three eighths low")
	r.say(c, ann, "mute")
	r.say(c, ann, "c3")
	if texts, notes := voices(before); texts != 3 || notes != 2 {
		t.Errorf("%d texts and %d voice notes, want 3 and 2", texts, notes)
	}
	if got := strings.Join(spoken, "|"); got != "es: c2, three eighths low|es: mute|es: c3" {
		t.Errorf("spoken: %s", got)
	}
	if err := r.file.View(func(tx *store.Tx) error {
		parked, err := tx.Parked(10)
		if len(parked) > 0 {
			t.Errorf("parked: %+v", parked)
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	r.speak = nil
	r.restart()
	before = len(c.FromBot())
	if got := r.say(c, ann, "c4"); got != "it cannot speak" {
		t.Errorf("without a speaker: %q", got)
	}
	if texts, notes := voices(before); texts != 1 || notes != 0 {
		t.Errorf("without a speaker: %d texts and %d voice notes", texts, notes)
	}
	r.noFaults()
}

// TestShownWalk: photos are kept with their station, and their bytes in the
// file; those of an album are answered once.
func TestShownWalk(t *testing.T) {
	r := newRig(t, apitest.Config{})
	ann, c := r.owner("ann")
	walkTo(r, c, ann, "", "0")
	album := map[string]any{"media_group_id": "77"}
	photos := [][]byte{photograph(t, 640, 480), photograph(t, 480, 640), photograph(t, 90, 90)}
	for i, a := range []apitest.Attachment{
		{Kind: "photo", Data: photos[0], Caption: "c3 form blew out"},
		{Kind: "photo", Data: photos[1], Caption: "c2", Fields: album}, {Kind: "photo", Data: photos[2], Fields: album},
	} {
		if got := r.attach(c, ann, a); (got == "") != (i == 2) {
			t.Errorf("photo %d is answered with %q", i+1, got)
		}
	}
	want := []string{"c3 form blew out", "c2", "c2"}
	err := r.file.View(func(tx *store.Tx) error {
		headers, err := tx.Headers()
		if err != nil {
			return err
		}
		j, err := tx.Job(headers[0].ID)
		if err != nil || len(j.Notes) != len(photos) {
			t.Fatalf("kept %+v, %v", j.Notes, err)
		}
		for i, n := range j.Notes {
			jpeg, ok := tx.Photo(n.Photo)
			if got := strings.TrimSpace(j.StationName(n.Station) + " " + n.Text); got != want[i] || !ok || !bytes.Equal(jpeg, photos[i]) {
				t.Errorf("photo %d is kept as %q, with %d bytes", i+1, got, len(jpeg))
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	r.noFaults()
}

// TestSpokenWalk: what is spoken is stored, echoed, and corrected by a tap;
// what cannot be heard stores nothing, and is answered.
func TestSpokenWalk(t *testing.T) {
	r := newRig(t, apitest.Config{})
	heard := session.Heard{Text: "1/8 low", Close: []string{"1/8 high"}}
	r.ear = ear(func(context.Context, []byte) session.Heard { return heard })
	r.restart()
	ann, c := r.owner("ann")
	walkTo(r, c, ann, "", "0")
	spoken := apitest.Attachment{Kind: "voice", Seconds: 2, Data: opus(t)}
	if got := r.attach(c, ann, spoken); !strings.Contains(got, "c1+4: heard 1/8 low") {
		t.Errorf("the echo: %q", got)
	}
	before := job(t, r.file)
	for _, a := range []apitest.Attachment{
		{Kind: "voice", Seconds: 600, Data: spoken.Data}, {Kind: "voice", Data: spoken.Data}, {Kind: "voice", Seconds: 2, Size: 20 << 20},
		{Kind: "audio", MIME: "audio/mpeg", Seconds: 180, Data: []byte("ID3")}, {Kind: "voice", Seconds: 2, Data: spoken.Data, Gone: true},
	} {
		if got := r.attach(c, ann, a); got == "" {
			t.Errorf("no answer to %d s, %d bytes", a.Seconds, a.Size)
		}
	}
	for _, fail := range []session.HeardFail{session.HeardLoud, session.HeardEmpty, session.HeardTalk, session.HeardBroken, session.HeardLanguage, session.HeardBusy} {
		heard = session.Heard{Fail: fail}
		if got := r.attach(c, ann, spoken); got == "" {
			t.Errorf("no answer to a note that is %q", fail)
		}
	}
	if job(t, r.file) != before {
		t.Error("what was not heard changed the job")
	}
	r.tap(ann, c, "1/8 high")
	r.settle()
	if got := r.last(c); !strings.Contains(got, "c1+4: 1/8 high") {
		t.Errorf("after a tap: %q", got)
	}
}
