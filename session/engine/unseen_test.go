package engine

import (
	"fmt"
	"slices"
	"testing"
	"time"

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
