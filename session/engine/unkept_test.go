package engine

import (
	"runtime"
	"strings"
	"testing"

	"rodcall/session"
	"rodcall/session/store"
)

// A message that cannot be written down, whether it is in the inbox already or not,
// is told to be not kept, past the outbox, once; a stranger is told nothing. All is
// taken once there is room, and the next outage is told again.
func TestUnkept(t *testing.T) {
	s, p := newStore(t), &toy{}
	d := &disk{s: s}
	if err := s.Update(func(tx *store.Tx) error { return tx.SetClaim("AAAAAAAAAAAAAAAAAAAA") }); err != nil {
		t.Fatal(err)
	}
	heard := make(chan struct{}, 8)
	e := start(t, Config{Store: s, Port: p, Closed: true, update: d.update,
		Hear: func(c session.Chat, j *session.Job, k session.Conversation, m session.Message) session.Outcome {
			if m.Text == "two" {
				d.full.Store(true)
				heard <- struct{}{}
			}
			return echo(c, j, k, m)
		}})
	receive(t, e, said(1, "a", "ann", "start AAAAAAAAAAAAAAAAAAAA"))
	settle(t, e)
	receive(t, e, said(2, "a", "ann", "one"))
	settle(t, e)
	wantTold := func(n int) {
		t.Helper()
		count := func() (n int) {
			for _, text := range p.texts("a") {
				if strings.HasPrefix(text, "NOT kept") {
					n++
				}
			}
			return n
		}
		for ctx := deadline(t); count() < n; runtime.Gosched() {
			if ctx.Err() != nil {
				t.Fatalf("told %d times, want %d", count(), n)
			}
		}
		if count() > n {
			t.Errorf("told %d times, want %d", count(), n)
		}
	}

	receive(t, e, said(3, "a", "ann", "two")) // stored, and then there is no room
	<-heard
	wantTold(1)
	for range 3 {
		if e.Receive([]Update{said(4, "a", "ann", "three"), said(5, "s", "strange", "on")}, nil) == nil {
			t.Fatal("stored on a full disk")
		}
	}
	wantTold(1)
	d.full.Store(false)
	settle(t, e)
	receive(t, e, said(4, "a", "ann", "three"))
	settle(t, e)
	d.full.Store(true)
	if e.Receive([]Update{said(6, "a", "ann", "four"), said(7, "s", "strange", "on")}, nil) == nil {
		t.Fatal("stored on a full disk")
	}
	wantTold(2)
	if got := p.texts("s"); len(got) > 0 {
		t.Errorf("a stranger was told %q", got)
	}
	d.full.Store(false)
	receive(t, e, said(6, "a", "ann", "four"))
	settle(t, e)
	var kept []string
	for _, text := range p.texts("a")[1:] {
		if !strings.HasPrefix(text, "NOT kept") {
			kept = append(kept, text)
		}
	}
	if got := strings.Join(kept, " "); got != "one two three four" {
		t.Errorf("answered: %s", got)
	}
}
