package store

import (
	"errors"
	"fmt"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"rodcall/session"
)

// state is all that a file says of itself through its own methods, for the
// keys that the model uses.
type state struct {
	Cursor []byte
	Inbox  []Letter
	Dead   []Dead
	Logs   map[string][]session.Event
	Jobs   map[string]Header
	Chats  map[string]session.Chat
	Talks  map[string]session.Conversation
	People map[session.PersonID]Person
	Heard  map[string]string
	Asked  map[string]session.Place
	Outbox []Row
	Parked []Parked
}

// read reads a file, and checks every chain on the way.
func read(tx *Tx) (s state, err error) {
	s = state{
		Cursor: tx.Cursor(), Inbox: tx.Inbox(0, 1000), Logs: map[string][]session.Event{}, Jobs: map[string]Header{},
		Chats: map[string]session.Chat{}, Talks: map[string]session.Conversation{}, People: map[session.PersonID]Person{},
		Heard: map[string]string{}, Asked: map[string]session.Place{},
	}
	keep := func(e error) { err = errors.Join(err, e) }
	if n := tx.InboxLen(); n != len(s.Inbox) {
		keep(fmt.Errorf("%d in the inbox, %d listed", n, len(s.Inbox)))
	}
	s.Dead, err = tx.Dead(1000)
	hs, e := tx.Headers()
	keep(e)
	for _, h := range hs {
		s.Jobs[h.ID] = h
		for b := range tx.Stored(h.ID, 1) {
			e, _, err := session.Decode(b)
			keep(err)
			s.Logs[h.ID] = append(s.Logs[h.ID], e)
		}
		keep(tx.Verify(h.ID))
	}
	for _, chat := range []string{"a", "ab", "b"} {
		c, e := tx.Chat(chat)
		keep(e)
		if s.Chats[chat] = c; c.Current == "" {
			delete(s.Chats, chat)
		}
		for id := range session.PersonID(4) {
			c, e := tx.Conversation(chat, id)
			keep(e)
			if c.Number != 0 {
				s.Talks[fmt.Sprint(chat, " ", id)] = c
			}
		}
		for n := range 10 {
			if job := tx.HeardFor(chat, fmt.Sprint(n)); job != "" {
				s.Heard[fmt.Sprint(chat, " ", n)] = job
			}
			p, e := tx.Asked(chat, fmt.Sprint(n))
			keep(e)
			if p != (session.Place{}) {
				s.Asked[fmt.Sprint(chat, " ", n)] = p
			}
		}
	}
	for id := range session.PersonID(5) {
		p, ok, e := tx.Person(id)
		keep(e)
		if ok {
			s.People[id] = p
			if got := tx.PersonOf(p.Platform); got != id {
				keep(fmt.Errorf("%s is person %d, not %d", p.Platform, got, id))
			}
			if id > tx.LastPerson() {
				keep(fmt.Errorf("person %d, the last is %d", id, tx.LastPerson()))
			}
		}
	}
	s.Outbox, e = tx.Outbox(0, 1000)
	keep(e)
	s.Parked, e = tx.Parked(1000)
	keep(e)
	// What points at a row or a person goes with it.
	live := 0
	for _, r := range s.Outbox {
		if r.Reply.Live != "" {
			live++
		}
	}
	if n := tx.bucket(bucketLive).Stats().KeyN; n != live {
		keep(fmt.Errorf("%d live names, %d live rows", n, live))
	}
	if n := tx.bucket(bucketPlatform).Stats().KeyN; n != len(s.People) {
		keep(fmt.Errorf("%d platform ids, %d people", n, len(s.People)))
	}
	return s, err
}

// want is the state that the model says.
func (m *model) want(got state) state {
	jobs := map[string]Header{}
	for id, h := range m.headers {
		// What the hash must be, read has checked.
		jobs[id] = Header{JobHeader: h, Chat: m.owner[id], Seq: uint64(len(m.logs[id])), Head: got.Jobs[id].Head}
	}
	return state{m.cursor, m.inbox, m.dead, m.logs, jobs, m.chats, m.talks, m.people, m.heard, m.asked, m.outbox, m.parked}
}

// Whatever is done in whatever order, in transactions that succeed, are given
// up or fail on the disk, and however often the file is closed and opened
// again, it holds what a model of maps and slices holds.
func TestModel(t *testing.T) {
	path := filepath.Join(t.TempDir(), "file.db")
	files := 0
	rapid.Check(t, func(t *rapid.T) {
		files++
		path := fmt.Sprint(path, files)
		open := func() *Store {
			s, err := Open(path, Options{})
			if err != nil {
				t.Fatal(err)
			}
			s.db.NoSync = true
			return s
		}
		s, m := open(), newModel()
		defer func() { _ = s.Close() }()
		stop := errors.New("stop")
		transaction := func(t *rapid.T) {
			next := m.clone()
			end := rapid.SampledFrom([]string{"ok", "ok", "ok", "given up", "fails"}).Draw(t, "the transaction is")
			if end == "fails" {
				s.fault = func() error { return stop }
			}
			err := s.Update(func(tx *Tx) error {
				ops := []func(*rapid.T, *Tx){next.receive, next.commit, next.commit, next.hold, next.hold, next.send, next.bury, next.ignore}
				for range rapid.IntRange(1, 4).Draw(t, "operations") {
					rapid.SampledFrom(ops).Draw(t, "operation")(t, tx)
				}
				if end == "given up" {
					return stop
				}
				return nil
			})
			s.fault = nil
			if end == "ok" {
				m = next
			}
			if end == "ok" && err != nil || end != "ok" && !errors.Is(err, stop) {
				t.Fatalf("transaction that is %s: error %v", end, err)
			}
		}
		t.Repeat(map[string]func(*rapid.T){
			"transaction": transaction, "another": transaction, "one more": transaction,
			"reopen": func(t *rapid.T) {
				if err := s.Close(); err != nil {
					t.Fatal(err)
				}
				s = open()
			},
			"": func(t *rapid.T) {
				var got state
				err := s.View(func(tx *Tx) (err error) { got, err = read(tx); return err })
				if err != nil {
					t.Fatal(err)
				}
				if diff := cmp.Diff(m.want(got), got, cmpopts.EquateEmpty()); diff != "" {
					t.Fatalf("the file is not as the model:\n%s", diff)
				}
			},
		})
	})
}
