package engine

import (
	"errors"
	"fmt"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"rodcall/session"
)

// TestUnseen: a message that was sent before the replies to earlier ones were
// delivered is marked so, whenever it is heard.
func TestUnseen(t *testing.T) {
	s, began := newStore(t), time.Date(2026, 5, 4, 13, 0, 0, 0, time.UTC)
	now := began
	marks := ""
	p := &toy{}
	e := start(t, Config{Store: s, Port: p, Now: func() time.Time { return now }, Hear: func(c session.Chat, j *session.Job, k session.Conversation, m session.Message) session.Outcome {
		marks += fmt.Sprint(m.Text, m.Unseen, " ")
		return echo(c, j, k, m)
	}})
	sent := func(id int64, at time.Time) {
		receive(t, e, raw(id, toyUpdate{Chat: "a", Who: "a", Kind: session.Said, ID: fmt.Sprint(id), Text: fmt.Sprint(id), At: at}))
		settle(t, e)
	}
	sent(1, began.Add(-time.Second))
	sent(2, began)
	now = began.Add(time.Minute)
	sent(3, began.Add(time.Second))
	sent(4, began.Add(30*time.Second))
	sent(5, began.Add(time.Minute))
	if want := "1true 2false 3false 4true 5false "; marks != want {
		t.Errorf("%q, want %q", marks, want)
	}
}

// TestUnseenWithWrongClock: by a clock that is behind the platform's nothing is known of
// what somebody had seen; one that was ahead when the engine began does no harm once
// it is put right.
func TestUnseenWithWrongClock(t *testing.T) {
	right := time.Date(2026, 5, 4, 13, 0, 0, 0, time.UTC)
	now := right.Add(365 * 24 * time.Hour)
	var marks []bool
	e := start(t, Config{Store: newStore(t), Port: &toy{}, Now: func() time.Time { return now }, Hear: func(c session.Chat, j *session.Job, k session.Conversation, m session.Message) session.Outcome {
		marks = append(marks, m.Unseen)
		return echo(c, j, k, m)
	}})
	for i, clock := range []time.Duration{365 * 24 * time.Hour, 0, 0, -24 * time.Hour, -24 * time.Hour} {
		right = right.Add(time.Minute)
		now = right.Add(clock)
		receive(t, e, raw(int64(i), toyUpdate{Chat: "a", Who: "a", Kind: session.Said, ID: fmt.Sprint(i), At: right}))
		settle(t, e)
	}
	// The second is heard by the right clock, but its chat was answered by a wrong one.
	if want := []bool{true, true, false, true, true}; !slices.Equal(marks, want) {
		t.Errorf("unseen: %v, want %v", marks, want)
	}
}

// TestUnseenWhileBlocked: while Send is held up nothing that is heard has seen
// the replies behind it, however far apart the messages were sent; once they are
// delivered the next one has.
func TestUnseenWhileBlocked(t *testing.T) {
	now := time.Date(2026, 5, 4, 13, 0, 0, 0, time.UTC)
	var mu sync.Mutex
	marks, open := "", make(chan struct{})
	heard := make(chan struct{}, 8)
	p := &toy{send: func(Delivery) error { <-open; return nil }}
	clock := func() time.Time { mu.Lock(); defer mu.Unlock(); return now }
	e := start(t, Config{Store: newStore(t), Port: p, Now: clock, Hear: func(c session.Chat, j *session.Job, k session.Conversation, m session.Message) session.Outcome {
		mu.Lock()
		marks += fmt.Sprint(m.Text, m.Unseen, " ")
		mu.Unlock()
		heard <- struct{}{}
		return echo(c, j, k, m)
	}})
	sent := func(id int64) {
		mu.Lock()
		now = now.Add(time.Minute)
		at := now
		mu.Unlock()
		receive(t, e, raw(id, toyUpdate{Chat: "a", Who: "a", Kind: session.Said, ID: fmt.Sprint(id), Text: fmt.Sprint(id), At: at}))
		<-heard
	}
	sent(1)
	sent(2)
	sent(3)
	close(open)
	settle(t, e)
	sent(4)
	settle(t, e)
	if want := "1false 2true 3true 4false "; marks != want {
		t.Errorf("%q, want %q", marks, want)
	}
}

// TestUnseenWhenParked: a reply that is given up was never seen: every message
// of its chat after that knows when it was made, also after a restart, and no
// other chat's does.
func TestUnseenWhenParked(t *testing.T) {
	now := time.Date(2026, 5, 4, 13, 0, 0, 0, time.UTC)
	marks := map[string]time.Time{}
	p := &toy{send: func(d Delivery) error {
		if d.Reply.Text == "refused" {
			return &PermanentError{errors.New("message is too long")}
		}
		return nil
	}}
	cfg := Config{Store: newStore(t), Port: p, Now: func() time.Time { return now }, Hear: func(c session.Chat, j *session.Job, k session.Conversation, m session.Message) session.Outcome {
		marks[m.Text] = m.Lost
		return echo(c, j, k, m)
	}}
	e := start(t, cfg)
	sent := func(id int64, chat, text string) {
		now = now.Add(time.Minute)
		receive(t, e, raw(id, toyUpdate{Chat: chat, Who: chat, Kind: session.Said, ID: fmt.Sprint(id), Text: text, At: now}))
		settle(t, e)
	}
	sent(1, "a", "before")
	sent(2, "a", "refused")
	at := now
	sent(3, "a", "after")
	sent(4, "b", "elsewhere")
	stop(t, e)
	e = start(t, cfg)
	sent(5, "a", "restarted")
	sent(6, "b", "elsewhere too")
	want := map[string]time.Time{"before": {}, "refused": {}, "after": at, "elsewhere": {}, "restarted": at, "elsewhere too": {}}
	if diff := cmp.Diff(want, marks); diff != "" {
		t.Error(diff)
	}
}
