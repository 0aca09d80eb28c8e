package main

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	dto "github.com/prometheus/client_model/go"

	"rodcall/bot"
	"rodcall/bot/apitest"
	"rodcall/session/engine"
	"rodcall/session/store"
)

// measured is a bot on the stand-in whose engine is metered.
type measured struct {
	srv  *apitest.Server
	file *store.Store
	bot  *bot.Bot
	eng  *engine.Engine
	m    *meters
	web  *httptest.Server
}

func newMeasured(t *testing.T) *measured {
	t.Helper()
	r := &measured{srv: apitest.New(apitest.Config{}), m: newMeters()}
	t.Cleanup(r.srv.Close)
	var err error
	if r.file, err = store.Open(filepath.Join(t.TempDir(), "walk.db"), store.Options{}); err != nil {
		t.Fatal(err)
	}
	r.web = httptest.NewServer(r.m.handler(slog.New(slog.DiscardHandler)))
	t.Cleanup(r.web.Close)
	if r.bot, err = bot.New(context.Background(), bot.Config{Token: r.srv.Token(), API: r.srv.URL(), Meter: r.m}); err != nil {
		t.Fatal(err)
	}
	if r.eng, err = engine.Start(engine.Config{Store: r.file, Port: r.bot, Meter: r.m}); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	var polling sync.WaitGroup
	polling.Go(func() {
		if err := r.bot.Poll(ctx, r.eng); err != nil {
			t.Error(err)
		}
	})
	t.Cleanup(func() {
		cancel()
		polling.Wait()
		if err := errors.Join(finish(slog.New(slog.DiscardHandler), r.eng, 10*time.Second, false), r.file.Close()); err != nil && !store.IsClosed(err) {
			t.Error(err)
		}
	})
	return r
}

// get asks the metrics' server.
func (r *measured) get(t *testing.T, path string) (int, string) {
	t.Helper()
	resp, err := http.Get(r.web.URL + path)
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(resp.Body)
	if err := errors.Join(err, resp.Body.Close()); err != nil {
		t.Fatal(err)
	}
	return resp.StatusCode, string(text)
}

// walk has somebody walk a little, and ask for the drawing. It returns how much
// they were sent.
func (r *measured) walk(t *testing.T) int {
	t.Helper()
	u := r.srv.User("ann")
	c := r.srv.Private(u)
	for i, text := range []string{"new Hidden House", "40x28", "direct rod", "on", "1/8 low", "picture"} {
		c.Say(u, text)
		until(t, r.srv, text, func() bool { return len(c.FromBot()) > i })
	}
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	if err := r.eng.Wait(ctx); err != nil {
		t.Fatal(err)
	}
	return len(c.FromBot())
}

// TestMetrics: what was done is counted, no label names anybody, and the README
// names every metric that is ours.
func TestMetrics(t *testing.T) {
	r := newMeasured(t)
	copies := &rotation{file: r.file, dir: t.TempDir(), keep: 1, now: func() time.Time { return time.Unix(1_777_000_000, 0) }}
	r.m.watch(slog.New(slog.DiscardHandler), r.file.Path(), r.eng, r.bot, copies)
	replies := r.walk(t)
	if err := copies.once(); err != nil {
		t.Fatal(err)
	}
	// An update that cannot be decoded, and a question that is not answered.
	if err := r.eng.Receive([]engine.Update{{ID: 1 << 40, Raw: []byte("{")}}, nil); err != nil {
		t.Fatal(err)
	}
	if err := r.eng.Wait(t.Context()); err != nil {
		t.Fatal(err)
	}
	r.m.Polled(errors.New("none"))
	r.m.NotSent(engine.SendParked)
	r.m.Listened("")

	families, err := r.m.registry.Gather()
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]float64{}
	labels := map[string][]string{
		"kind": {"said", "drawing"}, "in": {"inbox", "outbox"}, "why": {"later", "failed", "parked"}, "outcome": {"heard"}, "version": nil,
	}
	readme := readDoc(t, "README.md")
	for _, f := range families {
		ours := strings.HasPrefix(f.GetName(), "rodcall_")
		if ours && !strings.Contains(readme, "`"+f.GetName()+"`") {
			t.Errorf("the README does not name %s", f.GetName())
		}
		for _, m := range f.GetMetric() {
			key := f.GetName()
			for _, l := range m.GetLabel() {
				if ours && !slices.Contains(labels[l.GetName()], l.GetValue()) {
					t.Errorf("%s has the label %s=%q", f.GetName(), l.GetName(), l.GetValue())
				}
				key += " " + l.GetValue()
			}
			got[key] = value(m)
		}
	}
	for key, want := range map[string]float64{
		"rodcall_updates_stored_total": 7, "rodcall_message_seconds said": 6, "rodcall_dead_letters_total": 1,
		"rodcall_picture_seconds drawing": 1, "rodcall_reply_seconds": float64(replies), "rodcall_replies_not_sent_total parked": 1,
		"rodcall_replies_not_sent_total later": 0, "rodcall_waiting inbox": 0, "rodcall_waiting outbox": 0,
		"rodcall_voice_notes_total heard": 1, "rodcall_poll_errors_total": 1, "rodcall_last_copy_timestamp_seconds": 1_777_000_000,
	} {
		if v, ok := got[key]; !ok || v != want {
			t.Errorf("%s is %v, want %v", key, v, want)
		}
	}
	for _, key := range []string{"rodcall_commit_seconds", "rodcall_commit_writes", "rodcall_polls_total", "rodcall_file_bytes", "rodcall_last_poll_timestamp_seconds", "go_goroutines"} {
		if got[key] <= 0 {
			t.Errorf("%s is %v", key, got[key])
		}
	}
	status, text := r.get(t, "/metrics")
	if status != http.StatusOK || !strings.Contains(text, "\n# TYPE rodcall_updates_stored_total counter\nrodcall_updates_stored_total 7\n") {
		t.Errorf("%d\n%.500s", status, text)
	}
	if found := regexp.MustCompile(`(?i)ann\b|hidden|tg:|` + regexp.QuoteMeta(r.srv.Token())).FindString(text); found != "" {
		t.Errorf("the metrics hold %q", found)
	}
}

// value is a metric's number; of a spread how many were counted.
func value(m *dto.Metric) float64 {
	switch {
	case m.GetHistogram() != nil:
		return float64(m.GetHistogram().GetSampleCount())
	case m.GetGauge() != nil:
		return m.GetGauge().GetValue()
	case m.GetCounter() != nil:
		return m.GetCounter().GetValue()
	}
	return 0
}

// TestHealth: well, and not well with the reason.
func TestHealth(t *testing.T) {
	r := newMeasured(t)
	if status, text := r.get(t, "/healthz"); status != http.StatusServiceUnavailable || !strings.HasPrefix(text, "starting: ") {
		t.Errorf("before it serves: %d %q", status, text)
	}
	r.m.watch(slog.New(slog.DiscardHandler), r.file.Path(), r.eng, r.bot, nil)
	r.walk(t)
	if status, text := r.get(t, "/healthz"); status != http.StatusOK || text != "ok\n" {
		t.Errorf("while it serves: %d %q", status, text)
	}
	if status, _ := r.get(t, "/else"); status != http.StatusNotFound {
		t.Errorf("something else: %d", status)
	}
	if err := r.file.Close(); err != nil {
		t.Fatal(err)
	}
	if status, text := r.get(t, "/healthz"); status != http.StatusServiceUnavailable || !strings.HasPrefix(text, "the file cannot be read: ") {
		t.Errorf("without its file: %d %q", status, text)
	}
}
