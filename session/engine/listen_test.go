package engine

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/google/go-cmp/cmp"

	"rodcall/session"
	"rodcall/session/store"
)

// eared is a toy platform with voice notes and photos.
type eared struct {
	toy
	listen func(context.Context, Incoming) (session.Heard, error)
	fetch  func(context.Context, Incoming) ([]byte, session.PhotoFail, error)
}

func (p *eared) Listen(ctx context.Context, in Incoming, _ session.Listening) (session.Heard, error) {
	return p.listen(ctx, in)
}

func (p *eared) FetchPhoto(ctx context.Context, in Incoming) ([]byte, session.PhotoFail, error) {
	return p.fetch(ctx, in)
}

func (p *eared) Speaks() bool { return true }

// hands is echo for voice notes and photos: a note is answered with what was
// heard in it, a photo is kept, but for one that came with "look".
func hands(c session.Chat, j *session.Job, talk session.Conversation, m session.Message) session.Outcome {
	switch {
	case m.Kind == session.Spoken && m.Heard == nil:
		return session.Outcome{Chat: c, Conversation: talk, Listen: &session.Listening{Lang: "en"}}
	case m.Kind == session.Showed && m.Photo == nil:
		return session.Outcome{Chat: c, Conversation: talk, Fetch: true}
	case m.Kind == session.Spoken:
		m.Text = m.Heard.Text + string(m.Heard.Fail)
	case m.Kind == session.Showed && m.Photo.Fail != "":
		m.Text = string(m.Photo.Fail)
	}
	look := m.Text == "look"
	o := echo(c, j, talk, m)
	if m.Kind == session.Showed && m.Photo.Fail == "" && j != nil && !look {
		o.Events[0].Body = session.Noted{Photo: m.Photo.Hash}
	}
	o.Replies[0].NoKeys = m.Speaks
	return o
}

func spoken(id int64, chat string) Update {
	return raw(id, toyUpdate{Chat: chat, Who: chat, Kind: session.Spoken, ID: fmt.Sprint(id)})
}

func showed(id int64, chat, text string) Update {
	return raw(id, toyUpdate{Chat: chat, Who: chat, Kind: session.Showed, ID: fmt.Sprint(id), Text: text})
}

// A voice note is heard in its place among its chat's messages; other chats go
// on meanwhile.
func TestListen(t *testing.T) {
	release := make(chan struct{})
	p, s := &eared{}, newStore(t)
	p.listen = func(_ context.Context, in Incoming) (session.Heard, error) {
		if in.Chat == "a" {
			<-release
		}
		return session.Heard{Text: "heard " + in.Message.ID}, nil
	}
	e := start(t, Config{Store: s, Port: p, Hear: hands})
	receive(t, e, said(1, "a", "a", "one"), spoken(2, "a"), said(3, "a", "a", "three"))
	receive(t, e, said(4, "b", "b", "four"), spoken(5, "b"))
	for len(p.texts("b")) < 2 {
		time.Sleep(time.Millisecond) // b is answered while a's note is not heard
	}
	if got := heard(t, s, "a"); len(got) > 1 {
		t.Errorf("a heard %q before its note", got)
	}
	close(release)
	settle(t, e)
	if diff := cmp.Diff([]string{"one", "heard 2", "three"}, p.texts("a")); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{"four", "heard 5"}, p.texts("b")); diff != "" {
		t.Error(diff)
	}
	if !p.sent["b"][0].Reply.NoKeys {
		t.Error("Hear is not told that the adapter speaks")
	}
}

// An adapter that cannot listen, or fetch, says so.
func TestListenWithoutEars(t *testing.T) {
	p, s := &toy{}, newStore(t)
	e := start(t, Config{Store: s, Port: p, Hear: hands})
	receive(t, e, spoken(1, "a"), showed(2, "a", ""))
	settle(t, e)
	if diff := cmp.Diff([]string{string(session.HeardNoEngine), string(session.PhotoBusy)}, p.texts("a")); diff != "" {
		t.Error(diff)
	}
}

// However many notes there are, so many are in hand at a time.
func TestListenBounded(t *testing.T) {
	inBubble(t, func(t *testing.T, s *store.Store) {
		p := &eared{}
		var now, most atomic.Int32
		p.listen = func(context.Context, Incoming) (session.Heard, error) {
			n := now.Add(1)
			for m := most.Load(); n > m && !most.CompareAndSwap(m, n); m = most.Load() {
			}
			time.Sleep(time.Second)
			now.Add(-1)
			return session.Heard{Text: "x"}, nil
		}
		e := start(t, Config{Store: s, Port: p, Hear: hands, Now: time.Now})
		var us []Update
		for i := range int64(40) {
			us = append(us, spoken(i, fmt.Sprint("chat ", i)))
		}
		receive(t, e, us...)
		settleSoon(t, e)
		if most.Load() != listens {
			t.Errorf("%d notes at a time, want %d", most.Load(), listens)
		}
	})
}

// A note that is in hand when the engine closes is left for the next start: it
// is heard then, and counts once. An adapter's error is tried again.
func TestListenOverRestart(t *testing.T) {
	inBubble(t, func(t *testing.T, s *store.Store) {
		p := &eared{}
		p.listen = func(ctx context.Context, _ Incoming) (session.Heard, error) {
			<-ctx.Done()
			return session.Heard{}, ctx.Err()
		}
		p.fetch = func(ctx context.Context, _ Incoming) ([]byte, session.PhotoFail, error) {
			<-ctx.Done()
			return nil, "", ctx.Err()
		}
		cfg := Config{Store: s, Port: p, Hear: hands, Now: time.Now}
		e := start(t, cfg)
		receive(t, e, said(1, "a", "a", "one"), spoken(2, "a"), showed(3, "b", ""), said(4, "b", "b", "four"))
		synctest.Wait()
		began := time.Now()
		stop(t, e)
		if d := time.Since(began); d > 0 {
			t.Errorf("closing waited %s for a note", d)
		}
		if diff := cmp.Diff([]string{"1"}, heard(t, s, "a")); diff != "" {
			t.Error(diff)
		}

		failed := 0
		p.listen = func(context.Context, Incoming) (session.Heard, error) {
			if failed++; failed < 4 {
				return session.Heard{}, errors.New("no route")
			}
			return session.Heard{Text: "two"}, nil
		}
		p.fetch = func(context.Context, Incoming) ([]byte, session.PhotoFail, error) { return []byte("jpeg"), "", nil }
		began = time.Now()
		e = start(t, cfg)
		settleSoon(t, e)
		if d := time.Since(began); d != 7*time.Second {
			t.Errorf("it was tried again over %s, want after 1, 2 and 4 s", d)
		}
		if diff := cmp.Diff([]string{"one", "two"}, p.texts("a")); diff != "" {
			t.Error(diff)
		}
		for chat, want := range map[string][]string{"a": {"1", "2"}, "b": {"3", "4"}} {
			if diff := cmp.Diff(want, heard(t, s, chat)); diff != "" {
				t.Errorf("%s: %s", chat, diff)
			}
		}
	})
}

// A note that makes the adapter panic is put aside, and its chat goes on.
func TestListenPanics(t *testing.T) {
	p, s := &eared{}, newStore(t)
	p.listen = func(context.Context, Incoming) (session.Heard, error) { panic("ear fell off") }
	e := start(t, Config{Store: s, Port: p, Hear: hands})
	receive(t, e, spoken(1, "a"), said(2, "a", "a", "two"))
	settle(t, e)
	if diff := cmp.Diff([]string{"two"}, p.texts("a")); diff != "" {
		t.Error(diff)
	}
	if dead := deadLetters(t, s); len(dead) != 1 {
		t.Errorf("dead letters: %v", dead)
	}
}

// The bytes of a photo are kept with the event that names it, and only then.
func TestPhotoKept(t *testing.T) {
	p, s := &eared{}, newStore(t)
	bytesOf := map[string][]byte{
		"2": []byte("jpeg two"), "3": []byte("jpeg three"), "4": bytes.Repeat([]byte("x"), store.MaxPhoto+1), "5": nil,
		"7": bytes.Repeat([]byte("y"), store.MaxPhoto),
	}
	p.fetch = func(_ context.Context, in Incoming) ([]byte, session.PhotoFail, error) {
		if in.Message.ID == "6" {
			return []byte("half of it"), session.PhotoBusy, nil
		}
		return bytesOf[in.Message.ID], "", nil
	}
	e := start(t, Config{Store: s, Port: p, Hear: hands})
	receive(t, e, said(1, "a", "a", "one"), showed(2, "a", ""), showed(3, "a", "look"), showed(4, "a", ""),
		showed(5, "a", ""), showed(6, "a", ""), showed(7, "a", ""))
	settle(t, e)
	want := []string{"one", "", "look", string(session.PhotoLarge), string(session.PhotoBroken), string(session.PhotoBusy), ""}
	if diff := cmp.Diff(want, p.texts("a")); diff != "" {
		t.Error(diff)
	}
	view(t, s, func(tx *store.Tx) error {
		for id, jpeg := range bytesOf {
			got, ok := tx.Photo(session.HashOf(jpeg))
			if kept := id == "2" || id == "7"; ok != kept || kept && !bytes.Equal(got, jpeg) {
				t.Errorf("photo of message %s: kept %t, %d bytes", id, ok, len(got))
			}
		}
		return nil
	})
	if got := e.photoOf(session.HashOf(bytesOf["2"])); !bytes.Equal(got, bytesOf["2"]) {
		t.Errorf("drawings get %q", got)
	}
}
