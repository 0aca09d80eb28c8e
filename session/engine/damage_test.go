package engine

import (
	"bytes"
	"errors"
	"fmt"
	"log/slog"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"go.etcd.io/bbolt"

	"rodcall/session/store"
)

// lines is a log that several goroutines write.
type lines struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *lines) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *lines) count(text string) int {
	l.mu.Lock()
	defer l.mu.Unlock()
	return strings.Count(l.b.String(), text)
}

func (l *lines) log() *slog.Logger { return slog.New(slog.NewTextHandler(l, nil)) }

// twoChats is a file in which ann, who owns the bot, has a job in chats a and b.
func twoChats(t *testing.T) (path string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "file.db")
	s := openStore(t, path)
	if err := s.Update(func(tx *store.Tx) error { return tx.SetClaim("AAAAAAAAAAAAAAAAAAAA") }); err != nil {
		t.Fatal(err)
	}
	e := start(t, Config{Store: s, Port: &toy{}, Hear: echo, Closed: true})
	receive(t, e, said(1, "a", "ann", "start AAAAAAAAAAAAAAAAAAAA"))
	settle(t, e)
	for n := int64(2); n < 42; n += 2 {
		receive(t, e, said(n, "a", "ann", "on"), said(n+1, "b", "ann", "on"))
	}
	settle(t, e)
	stop(t, e)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

// notKept counts how often a chat was told that what it sends is not kept.
func notKept(p *toy, chat string) (n int) {
	for _, text := range p.texts(chat) {
		if strings.HasPrefix(text, "NOT kept") {
			n++
		}
	}
	return n
}

// wait waits for something to be true.
func wait(t *testing.T, what string, ready func() bool) {
	t.Helper()
	for ctx := deadline(t); !ready(); runtime.Gosched() {
		if ctx.Err() != nil {
			t.Fatal("it never comes to this: ", what)
		}
	}
}

// Where the log of a job is damaged its chat waits: what it sends stays in the inbox,
// unheard, its sender is told once, and the operator too. The other chat goes on. On
// the next start, with the log mended, all is heard in order.
func TestDamagedJobWaits(t *testing.T) {
	path := twoChats(t)
	// events changes the chat's job behind the store's back.
	events := func(put func(b *bbolt.Bucket, key []byte) error) {
		db, err := bbolt.Open(path, 0o600, nil)
		if err != nil {
			t.Fatal(err)
		}
		err = db.Update(func(tx *bbolt.Tx) error {
			b := tx.Bucket([]byte("log"))
			return put(b, []byte("j2\x00\x00\x00\x00\x00\x00\x00\x00\x05"))
		})
		if err != nil || db.Close() != nil {
			t.Fatal(err)
		}
	}
	var whole []byte
	events(func(b *bbolt.Bucket, key []byte) error {
		if whole = bytes.Clone(b.Get(key)); whole == nil {
			t.Fatal("there is no such event")
		}
		return b.Put(key, []byte("{"))
	})

	p, said1 := &toy{}, lines{}
	s := openStore(t, path)
	e := start(t, Config{Store: s, Port: p, Hear: echo, Closed: true, Log: said1.log()})
	receive(t, e, said(51, "a", "ann", "one"), said(52, "b", "ann", "other"), said(53, "a", "ann", "two"))
	wait(t, "told", func() bool { return notKept(p, "a") == 1 && len(p.texts("b")) == 1 })
	receive(t, e, said(54, "a", "ann", "three"), said(55, "b", "ann", "more"))
	wait(t, "the other goes on", func() bool { return len(p.texts("b")) == 2 })
	if err := e.Wait(deadline(t)); !unreadable(err) {
		t.Errorf("all is heard: %v", err)
	}
	if err := e.Alive(deadline(t)); err == nil || !strings.Contains(err.Error(), "rodcall check --db "+path) {
		t.Errorf("it is alive with %v", err)
	}
	stop(t, e)
	if n, look := notKept(p, "a"), said1.count("rodcall check --db "+path); n != 1 || len(p.texts("a")) != 1 || look != 1 || e.Err() != nil {
		t.Errorf("told %d times, of %q, the operator %d times; %v", n, p.texts("a"), look, e.Err())
	}
	if dead := deadLetters(t, s); len(dead) > 0 {
		t.Errorf("dead letters: %v", dead)
	}
	view(t, s, func(tx *store.Tx) error {
		var ids []int64
		for _, l := range tx.Inbox(0, 9) {
			ids = append(ids, l.ID)
		}
		if !slices.Equal(ids, []int64{51, 53, 54}) {
			t.Errorf("in the inbox are %v", ids)
		}
		return nil
	})
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}

	events(func(b *bbolt.Bucket, key []byte) error { return b.Put(key, whole) })
	p = &toy{}
	e = start(t, Config{Store: openStore(t, path), Port: p, Hear: echo, Closed: true})
	settle(t, e)
	if diff := cmp.Diff([]string{"one", "two", "three"}, p.texts("a")); diff != "" {
		t.Errorf("answered once it was mended:\n%s", diff)
	}
}

// A reply that cannot be read any more is left in the outbox; those after it are sent.
func TestDamagedReply(t *testing.T) {
	path := twoChats(t)
	p, l := &toy{}, lines{}
	e := start(t, Config{Store: openStore(t, path), Port: p, Hear: echo, Closed: true, Log: l.log()})
	p.send = func(d Delivery) error {
		if d.Reply.Text != "torn" {
			return nil
		}
		b, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		f, err := os.OpenFile(path, os.O_WRONLY, 0)
		if err != nil {
			return err
		}
		for at := 0; ; at++ {
			i := bytes.Index(b[at:], []byte(`{"text":"torn"`))
			if i < 0 {
				return errors.Join(f.Close(), errors.New("not now"))
			}
			at += i
			if _, err := f.WriteAt([]byte("x"), int64(at)); err != nil {
				return err
			}
		}
	}
	receive(t, e, said(51, "a", "ann", "torn"), said(52, "a", "ann", "two"))
	settle(t, e)
	if diff := cmp.Diff([]string{"two"}, p.texts("a")); diff != "" {
		t.Errorf("sent:\n%s", diff)
	}
	if n := l.count("rodcall check --db " + path); n != 1 || e.Err() != nil {
		t.Errorf("the operator was told %d times, broken by %v", n, e.Err())
	}
}

// Whichever page of a file is damaged while it is in use: each message is answered, or
// its sender is told that it is not kept, or else the operator is told; none is put
// aside; and the engine says that it is broken, or goes on, and ends when it is asked to.
func TestDamageWhileServing(t *testing.T) {
	whole, err := os.ReadFile(twoChats(t))
	if err != nil {
		t.Fatal(err)
	}
	page := os.Getpagesize()
	answered, told, broken := 0, 0, 0
	for at := 0; at+page <= len(whole); at += page {
		t.Run(fmt.Sprint("page ", at/page), func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "file.db")
			if err := os.WriteFile(path, whole, 0o600); err != nil {
				t.Fatal(err)
			}
			s, p, l := openStore(t, path), &toy{}, lines{}
			e := start(t, Config{Store: s, Port: p, Hear: echo, Closed: true, Log: l.log()})
			f, err := os.OpenFile(path, os.O_WRONLY, 0)
			if err != nil {
				t.Fatal(err)
			}
			torn := make([]byte, page)
			_, _ = rand.NewChaCha8([32]byte{byte(at / page)}).Read(torn)
			if _, err := f.WriteAt(torn, int64(at)); err != nil || f.Close() != nil {
				t.Fatal(err)
			}
			for n := int64(51); n < 55; n += 2 {
				_ = e.Receive([]Update{said(n, "a", "ann", "on"), said(n+1, "b", "ann", "on")}, []byte("x"))
			}
			for _, chat := range []string{"a", "b"} {
				wait(t, "an answer, or word of trouble", func() bool {
					return len(p.texts(chat)) > 0 || l.count("level=ERROR") > 0 || e.Err() != nil
				})
				answered += len(p.texts(chat)) - notKept(p, chat)
				told += notKept(p, chat)
			}
			if e.Err() != nil {
				broken++
				<-e.Broken()
			}
			stop(t, e)
			if l.count("dead letters") > 0 {
				t.Error("something was put aside")
			}
			if n := l.count("it will be tried again"); n > 0 {
				t.Errorf("it was tried again %d times", n)
			}
		})
	}
	t.Logf("%d messages were answered, %d of not being kept told; broken with %d pages", answered, told, broken)
	if answered < 10 || told < 3 || broken < 3 {
		t.Errorf("%d messages were answered, %d of not being kept told; broken with %d pages", answered, told, broken)
	}
}
