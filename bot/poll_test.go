package bot_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"rodcall/bot"
	"rodcall/bot/apitest"
	"rodcall/session/engine"
)

// TestNewNumbers: after a week the platform numbers updates anew, at random.
func TestNewNumbers(t *testing.T) {
	r := newRig(t, apitest.Config{FirstUpdateID: 900_000_000})
	ann, c := r.owner("ann")
	walkTo(r, c, ann, "", "0")
	r.stop()
	if !r.srv.JumpUpdateID(1000) {
		t.Fatal("no jump")
	}
	r.age(8 * 24 * time.Hour)
	r.start()
	for i, want := range []string{"c1+4", "c2", "c2+4"} {
		if got := r.say(c, ann, "1/8 low"); !strings.Contains(got, want+": 1/8 low") {
			t.Errorf("message %d after the jump: %q", i, got)
		}
	}
	r.noFaults()
}

// TestAnotherPoller: while another program polls with the same token, nothing
// is lost; when it ends, the bot goes on.
func TestAnotherPoller(t *testing.T) {
	r := newRig(t, apitest.Config{})
	ann, c := r.owner("ann")
	walkTo(r, c, ann, "")
	// It looks, and confirms nothing.
	for range 3 {
		resp, err := http.Post(r.srv.URL()+"/bot"+token+"/getUpdates", "application/json", strings.NewReader(`{"timeout":0}`))
		if err != nil {
			t.Fatal(err)
		}
		if err := resp.Body.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if got := r.say(c, ann, "0"); !strings.Contains(got, "c1: rod 0") {
		t.Errorf("after another poller: %q", got)
	}
	if text := r.log.String(); !strings.Contains(text, "409") || !strings.Contains(text, "is another program started with this token?") {
		t.Error("the log does not tell of the other poller")
	}
}

// TestWrongToken ends polling with an error that says what to do.
func TestWrongToken(t *testing.T) {
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasSuffix(r.URL.Path, "/getMe") {
			answer(w, `{"ok":true,"result":{"id":4242,"is_bot":true,"username":"x_bot"}}`)
			return
		}
		w.WriteHeader(http.StatusUnauthorized)
		answer(w, `{"ok":false,"error_code":401,"description":"Unauthorized"}`)
	}))
	defer srv.Close()
	b, err := bot.New(context.Background(), bot.Config{Token: token, API: srv.URL})
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Poll(context.Background(), nobody{}); !errors.Is(err, bot.ErrToken) {
		t.Errorf("poll: %v", err)
	}
}

func answer(w http.ResponseWriter, text string) {
	_, _ = fmt.Fprint(w, text) // who asked may be gone
}

type nobody struct{}

func (nobody) Receive([]engine.Update, []byte) error { return nil }

// TestWebhook takes what the platform sends, and confirms what is stored.
func TestWebhook(t *testing.T) {
	var stored []engine.Update
	fail := errors.New("the disk is full")
	var cursor []byte
	to := receiver(func(u []engine.Update, c []byte) error {
		if fail != nil {
			return fail
		}
		stored, cursor = append(stored, u...), c
		return nil
	})
	srv := apitest.New(apitest.Config{Token: token})
	defer srv.Close()
	b, err := bot.New(context.Background(), bot.Config{Token: token, API: srv.URL()})
	if err != nil {
		t.Fatal(err)
	}
	h := b.Webhook("sesame", to)
	send := func(method, secret, body string) int {
		t.Helper()
		req := httptest.NewRequest(method, "/", strings.NewReader(body))
		if secret != "" {
			req.Header.Set("X-Telegram-Bot-Api-Secret-Token", secret)
		}
		w := httptest.NewRecorder()
		h.ServeHTTP(w, req)
		return w.Code
	}
	good := `{"update_id": 7, "message": {"message_id": 1, "chat": {"id": 5, "type": "private"}, "from": {"id": 5}, "date": 1, "text": "0"}}`
	for _, c := range []struct {
		method, secret, body string
		want                 int
	}{
		{"GET", "sesame", "", http.StatusMethodNotAllowed},
		{"POST", "", good, http.StatusUnauthorized},
		{"POST", "sesam", good, http.StatusUnauthorized},
		{"POST", "sesame", "{", http.StatusBadRequest},
		{"POST", "sesame", "{}", http.StatusBadRequest},
		{"POST", "sesame", `{"update_id":1,"x":"` + strings.Repeat("x", 2<<20) + `"}`, http.StatusRequestEntityTooLarge},
		{"POST", "sesame", good, http.StatusServiceUnavailable},
	} {
		if got := send(c.method, c.secret, c.body); got != c.want {
			t.Errorf("%s %q %.20q: %d, want %d", c.method, c.secret, c.body, got, c.want)
		}
	}
	later := strings.Replace(good, `"update_id": 7`, `"update_id": 8`, 1)
	fail = nil
	if got := send("POST", "sesame", later); got != http.StatusOK {
		t.Errorf("a later one: %d", got)
	}
	// Should the bot poll from now on, the one that was refused is asked for.
	var state struct{ Offset int64 }
	if err := json.Unmarshal(cursor, &state); err != nil || state.Offset > 7 {
		t.Errorf("the offset is %d (%v): update 7 would be confirmed unseen", state.Offset, err)
	}
	stored = nil
	if got := send("POST", "sesame", good); got != http.StatusOK || len(stored) != 1 || stored[0].ID != 7 {
		t.Errorf("a good one: %d, %v", got, stored)
	}
	if err := b.SetWebhook(context.Background(), "https://bot.example/", "not a secret"); err == nil {
		t.Error("a bad secret was taken")
	}
}

type receiver func([]engine.Update, []byte) error

func (r receiver) Receive(u []engine.Update, c []byte) error { return r(u, c) }

// TestPhotosAreSentOnce: a picture that has not changed is sent by its id, and
// drawn again when the platform has forgotten it or a reading came. Another
// picture of the job is not it.
func TestPhotosAreSentOnce(t *testing.T) {
	r := newRig(t, apitest.Config{})
	ann, c := r.owner("ann")
	walkTo(r, c, ann, "", "0", "1/8 low")
	uploads := func() int {
		n := 0
		for _, q := range r.srv.Requests("sendPhoto") {
			n += len(q.Files)
		}
		return n
	}
	for i, text := range []string{"picture", "picture", "1/4 low", "picture", "picture", "choices", "choices", "picture"} {
		r.say(c, ann, text)
		if want := []int{1, 1, 1, 2, 2, 3, 3, 3}[i]; uploads() != want {
			t.Errorf("after %d steps: %d uploads, want %d", i+1, uploads(), want)
		}
	}
	r.srv.Inject(apitest.Trouble{Kind: apitest.ServerError, Method: "sendPhoto"})
	r.say(c, ann, "picture")
	if n := len(r.srv.Requests("sendPhoto")); n != 9 {
		t.Errorf("%d requests", n)
	}
	if len(c.Actions()) == 0 {
		t.Error("no sign that a picture is on its way")
	}
	r.noFaults()
}

// TestBlocked: a chat that blocks the bot is left alone, and no other waits.
func TestBlocked(t *testing.T) {
	r := newRig(t, apitest.Config{})
	ann, c := r.owner("ann")
	walkTo(r, c, ann, "")
	r.stop()
	c.Say(ann, "0")
	c.Block(ann)
	r.start()
	r.settle() // the answer cannot be sent
	c.Unblock(ann)
	if got := r.say(c, ann, "1/8 low"); !strings.Contains(got, "c1+4: 1/8 low") {
		t.Errorf("afterwards: %q", got)
	}
}

// TestOriginal sends the drawing as the file it is: every byte of it.
func TestOriginal(t *testing.T) {
	r := newRig(t, apitest.Config{})
	ann, c := r.owner("ann")
	walkTo(r, c, ann, "", "0", "1/8 low")
	r.say(c, ann, "original")
	all := c.FromBot()
	f := all[len(all)-1].Document
	if f == nil || !strings.HasSuffix(f.Name, ".png") || f.Size < 10_000 {
		t.Fatalf("sent %+v", all[len(all)-1])
	}
	r.noFaults()
}

// TestPapers sends the papers as documents in PDF, made anew each time: they
// name people, who may be forgotten.
func TestPapers(t *testing.T) {
	r := newRig(t, apitest.Config{})
	ann, c := r.owner("ann")
	walkTo(r, c, ann, "", "0", "1/8 low")
	seen := map[string]bool{}
	for _, step := range []struct{ say, name string }{{"papers", "papers-"}, {"as found", "as-found-"}, {"papers", "papers-"}} {
		r.say(c, ann, step.say)
		all := c.FromBot()
		f := all[len(all)-1].Document
		if f == nil || !strings.HasPrefix(f.Name, step.name) || !strings.HasSuffix(f.Name, ".pdf") || f.Size < 10_000 {
			t.Fatalf("%s: sent %+v", step.say, all[len(all)-1])
		}
		if !strings.HasPrefix(string(f.Data), "%PDF-") {
			t.Errorf("%s: the file begins with %q", step.say, f.Data[:8])
		}
		if seen[f.ID] {
			t.Errorf("%s was sent by the id of a former one", step.say)
		}
		seen[f.ID] = true
	}
	r.noFaults()
}

// TestTaking: whether updates come in, by when the platform last answered.
func TestTaking(t *testing.T) {
	r := newRig(t, apitest.Config{})
	r.stop()
	r.polls = false
	r.start()
	if err := r.bot.Taking(); err == nil || !r.bot.LastPoll().IsZero() {
		t.Error("it takes updates before it asks")
	}
	bot.SetPolled(r.bot, time.Minute)
	if err := r.bot.Taking(); err != nil {
		t.Errorf("a minute after an answer: %v", err)
	}
	bot.SetPolled(r.bot, 125*time.Second)
	if err := r.bot.Taking(); err == nil || err.Error() != "the platform has not answered for 2m5s" {
		t.Errorf("two minutes after an answer: %v", err)
	}
}

// TestNotStored: updates that could not be stored are not confirmed, and come
// again.
func TestNotStored(t *testing.T) {
	srv := apitest.New(apitest.Config{Token: token})
	defer srv.Close()
	b, err := bot.New(t.Context(), bot.Config{Token: token, API: srv.URL()})
	if err != nil {
		t.Fatal(err)
	}
	ann := srv.User("ann")
	srv.Private(ann).Say(ann, "on")
	ctx, end := context.WithTimeout(t.Context(), 20*time.Second)
	defer end()
	var came []int64
	err = b.Poll(ctx, receiver(func(us []engine.Update, _ []byte) error {
		for _, u := range us {
			came = append(came, u.ID)
		}
		if len(came) > 1 {
			end()
			return nil
		}
		return errors.New("no room")
	}))
	if err != nil || len(came) != 2 || came[0] != came[1] {
		t.Errorf("%v, and these updates came: %v", err, came)
	}
}
