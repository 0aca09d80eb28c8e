package apitest_test

import (
	"context"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"rodcall/bot/apitest"
)

// receiver is a bot's end of a webhook; it answers as status says.
type receiver struct {
	*httptest.Server
	mu     sync.Mutex
	status func(text string, try int) int
	tries  map[string]int
	taken  []string
	secret []string
}

func receive(t *testing.T, status func(text string, try int) int) *receiver {
	t.Helper()
	r := &receiver{status: status, tries: make(map[string]int)}
	r.Server = httptest.NewTLSServer(http.HandlerFunc(func(w http.ResponseWriter, req *http.Request) {
		var u update
		err := json.NewDecoder(req.Body).Decode(&u)
		r.mu.Lock()
		defer r.mu.Unlock()
		if err != nil || u.Message == nil || req.Method != http.MethodPost || req.Header.Get("Content-Type") != "application/json" {
			t.Errorf("delivered: %v %+v %s", err, u, req.Method)
			return
		}
		text := u.Message.Text
		r.tries[text]++
		r.secret = append(r.secret, req.Header.Get("X-Telegram-Bot-Api-Secret-Token"))
		code := r.status(text, r.tries[text])
		if code == 200 {
			r.taken = append(r.taken, text)
		}
		w.WriteHeader(code)
	}))
	t.Cleanup(r.Close)
	return r
}

// quiet waits until nothing is pending.
func quiet(t *testing.T, srv *apitest.Server) {
	t.Helper()
	ctx, stop := context.WithTimeout(t.Context(), 20*time.Second)
	defer stop()
	if err := srv.Wait(ctx, func() bool { return srv.Pending() == 0 }); err != nil {
		t.Fatalf("%v with %d pending", err, srv.Pending())
	}
}

func TestWebhookRetriesInOrderWithinAChat(t *testing.T) {
	srv := start(t, apitest.Config{WebhookRetry: time.Millisecond})
	ana, a := private(t, srv)
	ben := srv.User("Ben")
	b := srv.Private(ben)
	r := receive(t, func(text string, try int) int {
		if text == "a1" && try < 4 {
			return []int{500, 302, 404}[try-1]
		}
		return 200
	})
	must(t, srv, "setWebhook", fields{"url": r.URL + "/hook", "secret_token": "S-e_cret", "allowed_updates": []string{"message"}})
	refused(t, srv, "getUpdates", fields{}, 409, "webhook is active")
	a.Say(ana, "a1")
	a.Say(ana, "a2")
	b.Say(ben, "b1")
	a.Say(ana, "a3")
	quiet(t, srv)
	r.mu.Lock()
	defer r.mu.Unlock()
	var ofA []string
	for _, text := range r.taken {
		if strings.HasPrefix(text, "a") {
			ofA = append(ofA, text)
		}
	}
	if !slices.Equal(ofA, []string{"a1", "a2", "a3"}) || !slices.Contains(r.taken, "b1") || r.tries["a1"] != 4 || r.tries["a2"] != 1 {
		t.Errorf("taken %q after %v tries", r.taken, r.tries)
	}
	for _, s := range r.secret {
		if s != "S-e_cret" {
			t.Errorf("secret %q", s)
		}
	}
	info := result[map[string]any](t, must(t, srv, "getWebhookInfo", nil))
	if info["url"] != r.URL+"/hook" || info["pending_update_count"] != 0.0 || info["max_connections"] != 40.0 ||
		!strings.Contains(info["last_error_message"].(string), "404") {
		t.Errorf("info: %v", info)
	}
	if len(srv.Faults()) > 0 {
		t.Errorf("faults: %+v", srv.Faults())
	}
}

func TestWebhookIsSetAndDeleted(t *testing.T) {
	srv := start(t, apitest.Config{WebhookRetry: time.Hour})
	ana, c := private(t, srv)
	polled := background(t, srv, fields{"timeout": 50, "offset": 1})
	down := receive(t, func(string, int) int { return 503 })
	must(t, srv, "setWebhook", fields{"url": down.URL})
	if a := <-polled; a.ErrorCode != 409 || !strings.Contains(a.Description, "terminated by setWebhook") {
		t.Fatalf("a poll while a webhook is set: %+v", a)
	}
	c.Say(ana, "kept")
	ctx, stop := context.WithTimeout(t.Context(), 20*time.Second)
	defer stop()
	failed := func() bool {
		info := result[map[string]any](t, must(t, srv, "getWebhookInfo", nil))
		return info["last_error_message"] != nil && info["pending_update_count"] == 1.0
	}
	if err := srv.Wait(ctx, failed); err != nil {
		t.Fatal(err)
	}
	must(t, srv, "setWebhook", fields{"url": ""})
	if got := texts(poll(t, srv, fields{"offset": 2})); !slices.Equal(got, []string{"kept"}) {
		t.Errorf("after the webhook: %q", got)
	}
	must(t, srv, "deleteWebhook", fields{"drop_pending_updates": true})
	if srv.Pending() != 0 {
		t.Error("pending updates are not dropped")
	}
	for url, text := range map[string]string{
		"http://bot.example.org/":       "HTTPS",
		"https://bot.example.org:8444/": "only on ports",
		"hook":                          "invalid webhook URL",
	} {
		refused(t, srv, "setWebhook", fields{"url": url}, 400, text)
	}
	const good = "https://bot.example.org:8443/"
	for _, f := range []fields{{"max_connections": 0}, {"max_connections": 101}, {"secret_token": ""}, {"secret_token": "a b"},
		{"secret_token": strings.Repeat("a", 257)}, {"ip_address": "here"}, {"certificate": "x"}} {
		f["url"] = good
		refused(t, srv, "setWebhook", f, 400, "")
	}
	must(t, srv, "setWebhook", fields{"url": good, "max_connections": 100, "secret_token": strings.Repeat("a", 256)})
}

func TestWebhookAnswersAreNotRequests(t *testing.T) {
	srv := start(t, apitest.Config{})
	ana, c := private(t, srv)
	hook := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		_, _ = w.Write([]byte(`{"method":"sendMessage","text":"x"}`))
	}))
	defer hook.Close()
	must(t, srv, "setWebhook", fields{"url": hook.URL})
	c.Say(ana, "hello")
	quiet(t, srv)
	if f := srv.Faults(apitest.Unmodelled); len(f) != 1 {
		t.Errorf("faults: %+v", f)
	}
}
