package engine

import (
	"fmt"
	"math/rand"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rodcall/session"
	"rodcall/session/store"
)

// A chat's messages are heard in the order they were received, and their
// replies are sent in that order, however they are grouped.
func TestOrder(t *testing.T) {
	const messages = 400
	rnd := rand.New(rand.NewSource(1))
	p, s := &toy{}, newStore(t)
	p.send = func(Delivery) error { runtime.Gosched(); return nil }
	e := start(t, Config{Store: s, Port: p, Hear: echo})
	var us []Update
	wantIDs, wantTexts := map[string][]string{}, map[string][]string{}
	for i := range messages {
		chat := fmt.Sprint("chat ", rnd.Intn(5))
		us = append(us, said(int64(i), chat, "ann", fmt.Sprint("text ", i)))
		wantIDs[chat] = append(wantIDs[chat], fmt.Sprint(i))
		wantTexts[chat] = append(wantTexts[chat], fmt.Sprint("text ", i))
	}
	for len(us) > 0 {
		n := min(len(us), 1+rnd.Intn(60))
		receive(t, e, us[:n]...)
		us = us[n:]
	}
	settle(t, e)
	for chat := range wantIDs {
		if diff := cmp.Diff(wantIDs[chat], heard(t, s, chat)); diff != "" {
			t.Errorf("%s was heard out of order:\n%s", chat, diff)
		}
		if diff := cmp.Diff(wantTexts[chat], p.texts(chat)); diff != "" {
			t.Errorf("%s was answered out of order:\n%s", chat, diff)
		}
	}
}

// An update that is delivered again changes nothing and sends nothing,
// whether the first is still waiting or was heard long ago.
func TestTwice(t *testing.T) {
	p, s := &toy{}, newStore(t)
	e := start(t, Config{Store: s, Port: p, Hear: echo})
	one, two := said(1, "a", "ann", "one"), said(2, "a", "ann", "two")
	receive(t, e, one, one, two)
	receive(t, e, two, one)
	settle(t, e)
	receive(t, e, two)
	receive(t, e, one, said(3, "a", "ann", "three"), two)
	settle(t, e)
	if diff := cmp.Diff([]string{"1", "2", "3"}, heard(t, s, "a")); diff != "" {
		t.Errorf("log:\n%s", diff)
	}
	if diff := cmp.Diff([]string{"one", "two", "three"}, p.texts("a")); diff != "" {
		t.Errorf("sent:\n%s", diff)
	}
	stop(t, e)

	// And after a restart.
	again := start(t, Config{Store: s, Port: p, Hear: echo})
	receive(t, again, one, two)
	settle(t, again)
	if n := len(heard(t, s, "a")) + len(p.texts("a")); n != 6 {
		t.Errorf("after a restart: %d events and replies, want 3 and 3", n)
	}
}

// The same toll for every chat: 64 of them at once, each sure of its own
// order, with people who write in several, who are numbered once.
func TestManyChats(t *testing.T) {
	const chats, messages = 64, 24
	p, s := &toy{}, newStore(t)
	e := start(t, Config{Store: s, Port: p, Hear: echo, Jobs: 16}) // too few for all: jobs are folded again
	var senders sync.WaitGroup
	for c := range chats {
		senders.Go(func() {
			for m := range messages {
				who := fmt.Sprint("person ", (c+m)%40)
				if err := e.Receive([]Update{said(int64(c*messages+m), fmt.Sprint("chat ", c), who, fmt.Sprint(m))}, nil); err != nil {
					t.Error(err)
				}
			}
		})
	}
	senders.Wait()
	settle(t, e)
	for c := range chats {
		chat := fmt.Sprint("chat ", c)
		var ids, texts []string
		for m := range messages {
			ids = append(ids, fmt.Sprint(c*messages+m))
			texts = append(texts, fmt.Sprint(m))
		}
		if got := heard(t, s, chat); !slices.Equal(got, ids) {
			t.Errorf("%s heard %v", chat, got)
		}
		if got := p.texts(chat); !slices.Equal(got, texts) {
			t.Errorf("%s was sent %v", chat, got)
		}
	}
	view(t, s, func(tx *store.Tx) error {
		names, err := tx.Names()
		if len(names) != 40 || tx.LastPerson() != 40 {
			t.Errorf("%d people, the last is number %d; want 40", len(names), tx.LastPerson())
		}
		for id, name := range names {
			if tx.PersonOf(name) != id {
				t.Errorf("%s is number %d and number %d", name, id, tx.PersonOf(name))
			}
		}
		return err
	})
}

// Messages beyond what is kept decoded are read again when their turn comes.
func TestMoreThanHeld(t *testing.T) {
	p, s := &toy{}, newStore(t)
	gate := make(chan struct{})
	e := start(t, Config{Store: s, Port: p, Hear: func(c session.Chat, j *session.Job, talk session.Conversation, m session.Message) session.Outcome {
		<-gate
		return echo(c, j, talk, m)
	}})
	var us []Update
	var want []string
	for i := range maxHeld + 40 {
		us = append(us, said(int64(i), "a", "ann", "x"))
		want = append(want, fmt.Sprint(i))
	}
	receive(t, e, us...)
	for {
		e.mu.Lock()
		held, queued := e.held, 0
		if q := e.in["a"]; q != nil {
			queued = len(q.letters)
		}
		e.mu.Unlock()
		if held > maxHeld {
			t.Fatalf("%d messages are held", held)
		}
		if queued >= len(us)-1 {
			break
		}
		runtime.Gosched()
	}
	close(gate)
	settle(t, e)
	if got := heard(t, s, "a"); !slices.Equal(got, want) {
		t.Errorf("heard %d messages, want %d in order", len(got), len(want))
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.held != 0 {
		t.Errorf("%d messages are still held", e.held)
	}
}

// A file that has to grow while strangers write does not stop: no transaction
// begins within another.
func TestStrangersWhileGrowing(t *testing.T) {
	const chats, messages = 32, 12
	p, s := &toy{}, newStore(t)
	e := start(t, Config{Store: s, Port: p, Hear: echo})
	long := strings.Repeat("x", 8000)
	var senders sync.WaitGroup
	for c := range chats {
		senders.Go(func() {
			for m := range messages {
				n := c*messages + m
				if err := e.Receive([]Update{said(int64(n), fmt.Sprint("chat ", c), fmt.Sprint("stranger ", n), long)}, nil); err != nil {
					t.Error(err)
				}
			}
		})
	}
	senders.Wait()
	settle(t, e)
	view(t, s, func(tx *store.Tx) error {
		if got := tx.LastPerson(); got != chats*messages {
			t.Errorf("%d people, want %d", got, chats*messages)
		}
		return nil
	})
}
