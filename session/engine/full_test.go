package engine

import (
	"errors"
	"fmt"
	"math/rand"
	"slices"
	"sync/atomic"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rodcall/session"
	"rodcall/session/store"
)

// filling is an engine whose disk is full from the moment that the message
// "second" is being heard, and the messages that it has heard: their number
// in the job before them.
func filling(s *store.Store, p *toy) (cfg Config, d *disk, calls *atomic.Int64) {
	d, calls = &disk{s: s}, &atomic.Int64{}
	cfg = Config{Store: s, Port: p, update: d.update}
	cfg.Hear = func(c session.Chat, j *session.Job, talk session.Conversation, m session.Message) session.Outcome {
		o := echo(c, j, talk, m)
		if m.Text == "second" && calls.Add(1) == 1 {
			d.full.Store(true)
		}
		if m.Text == "second" && (j == nil || j.Seq != 1 || talk.Number != 0 || c.Current != "j1") {
			panic(fmt.Sprintf("heard with job %v, conversation %v, chat %v", j, talk, c))
		}
		o.Conversation.Number++
		o.Chat.Jobs = append(slices.Clone(c.Jobs), session.JobHeader{ID: m.FreshID})
		return o
	}
	return cfg, d, calls
}

// nothingOf checks that message 2 of chat a, which is bo's first, left no
// trace but in the inbox.
func nothingOf(t *testing.T, e *Engine, p *toy) {
	t.Helper()
	view(t, e.cfg.Store, func(tx *store.Tx) error {
		if in := tx.Inbox(0, 10); len(in) != 1 || in[0].ID != 2 {
			t.Errorf("inbox %v", in)
		}
		h, _, err := tx.Header("j1")
		if h.Seq != 1 || err != nil {
			t.Errorf("header %+v, %v", h, err)
		}
		c, err := tx.Chat("a")
		if len(c.Jobs) != 1 || err != nil {
			t.Errorf("chat %+v, %v", c, err)
		}
		talk, err := tx.Conversation("a", 2)
		if talk.Number != 0 || err != nil {
			t.Errorf("conversation %+v, %v", talk, err)
		}
		if tx.PersonOf("bo") != 0 || tx.HeardFor("a", "2") != "" {
			t.Errorf("person %d, heard for %q", tx.PersonOf("bo"), tx.HeardFor("a", "2"))
		}
		rows, err := tx.Outbox(0, 10)
		if len(rows) != 0 {
			t.Errorf("outbox %v", rows)
		}
		return err
	})
	job := e.jobs.entry("j1")
	job.mu.RLock()
	defer job.mu.RUnlock()
	if job.job.Seq != 1 {
		t.Errorf("the job in memory has %d events", job.job.Seq)
	}
	if diff := cmp.Diff([]string{"one"}, p.texts("a")); diff != "" {
		t.Errorf("sent:\n%s", diff)
	}
}

// Of a message whose commit fails nothing is to be seen, in the file, in
// memory or in the chat; it takes effect once when the disk has room again,
// or, where the engine ended meanwhile, when it is heard again.
func TestCommitFails(t *testing.T) {
	for _, restart := range []bool{false, true} {
		t.Run(fmt.Sprint("restart ", restart), func(t *testing.T) {
			p, s := &toy{}, newStore(t)
			cfg, d, calls := filling(s, p)
			e := start(t, cfg)
			receive(t, e, said(1, "a", "ann", "one"))
			settle(t, e)
			receive(t, e, said(2, "a", "bo", "second"))
			d.waitFailed(t, 3)
			nothingOf(t, e, p)
			if err := e.Receive([]Update{said(3, "a", "ann", "three")}, []byte("3")); !errors.Is(err, errFull) {
				t.Errorf("received on a full disk: %v", err)
			}
			wantCalls := int64(1)
			if restart {
				stop(t, e)
				nothingOf(t, e, p)
				wantCalls = 2
			}
			d.full.Store(false)
			if restart {
				e = start(t, cfg)
			}
			settle(t, e)
			receive(t, e, said(3, "a", "ann", "three"))
			settle(t, e)
			if diff := cmp.Diff([]string{"1", "2", "3"}, heard(t, s, "a")); diff != "" {
				t.Errorf("log:\n%s", diff)
			}
			if diff := cmp.Diff([]string{"one", "second", "three"}, p.texts("a")); diff != "" {
				t.Errorf("sent:\n%s", diff)
			}
			if got := calls.Load(); got != wantCalls {
				t.Errorf("heard %d times, want %d", got, wantCalls)
			}
			if dead := deadLetters(t, s); len(dead) != 0 {
				t.Errorf("dead letters %v", dead)
			}
		})
	}
}

// Where one write of a group is at fault, the others are done all the same,
// each once.
func TestGroupWithFault(t *testing.T) {
	s := newStore(t)
	e := start(t, Config{Store: s, Port: &toy{}, Hear: echo})
	gate, began := make(chan struct{}), make(chan struct{})
	results := make(chan error, 8)
	go func() { results <- e.commit(func(*store.Tx) error { close(began); <-gate; return nil }, nil) }()
	<-began
	fault := errors.New("at fault")
	var after atomic.Int64
	for i := range 7 {
		go func() {
			results <- e.commit(func(tx *store.Tx) error {
				if i == 3 {
					return fault
				}
				_, err := tx.Receive([]Update{{ID: int64(i), Raw: []byte("ignore")}}, nil, noon)
				return err
			}, func() { after.Add(1) })
		}()
	}
	for ctx := deadline(t); len(e.ops) < 7; {
		if ctx.Err() != nil {
			t.Fatal("not queued")
		}
	}
	close(gate)
	failed := 0
	for range 8 {
		switch err := <-results; {
		case errors.Is(err, fault):
			failed++
		case err != nil:
			t.Error(err)
		}
	}
	if failed != 1 || after.Load() != 6 {
		t.Errorf("%d failed, %d were followed up; want 1 and 6", failed, after.Load())
	}
	view(t, s, func(tx *store.Tx) error {
		if got := tx.InboxLen(); got != 6 {
			t.Errorf("%d in the inbox, want 6", got)
		}
		return nil
	})
}

// On a disk that fails now and then, every message still counts once and in
// order.
func TestFlakyDisk(t *testing.T) {
	inBubble(t, func(t *testing.T, s *store.Store) {
		const chats, messages = 4, 30
		rnd, n := rand.New(rand.NewSource(2)), 0 // only the writer uses them
		p := &toy{}
		e := start(t, Config{Store: s, Port: p, Hear: echo, update: func(f func(*store.Tx) error) error {
			return s.Update(func(tx *store.Tx) error {
				if err := f(tx); err != nil {
					return err
				}
				if rnd.Intn(3) == 0 {
					n++
					return errFull
				}
				return nil
			})
		}})
		want := map[string][]string{}
		for i := range chats * messages {
			chat := fmt.Sprint("chat ", i%chats)
			want[chat] = append(want[chat], fmt.Sprint(i))
			for u := []Update{said(int64(i), chat, "ann", fmt.Sprint(i))}; e.Receive(u, nil) != nil; {
			}
		}
		settleSoon(t, e)
		stop(t, e)
		if n < 20 {
			t.Errorf("only %d transactions failed", n)
		}
		for chat, ids := range want {
			if got := heard(t, s, chat); !slices.Equal(got, ids) {
				t.Errorf("%s heard %v", chat, got)
			}
			if got := p.texts(chat); !slices.Equal(got, ids) {
				t.Errorf("%s was sent %v", chat, got)
			}
		}
	})
}
