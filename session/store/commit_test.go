package store

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"rodcall/reduce"
	"rodcall/session"
)

var noon = time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)

// opens, sets: events that fold.
func opens(job, chat string) session.Event {
	return session.Event{Seq: 1, At: noon, By: 1, Message: "1", Line: 1, Body: session.Opened{Job: job, Chat: chat, Name: "Made-up house"}}
}

func sets(seq uint64) session.Event {
	return session.Event{Seq: seq, At: noon, By: 1, Message: "2", Line: 1, Body: session.ToleranceSet{Tolerance: reduce.Length(seq)}}
}

// received puts n updates into the inbox.
func received(t testing.TB, s *Store, n int) {
	t.Helper()
	update(t, s, func(tx *Tx) error {
		var us []Update
		for i := range n {
			us = append(us, Update{ID: int64(1000 + i), Raw: []byte("raw")})
		}
		_, err := tx.Receive(us, nil, noon)
		return err
	})
}

func commit(seq uint64, chat, job string, events ...session.Event) Commit {
	return Commit{
		Inbox: seq, Message: fmt.Sprint(seq), About: job, Chat: session.Chat{ID: chat},
		Person: Person{1, "ann-id", "Ann"}, Job: job, Events: events, Made: noon,
	}
}

func TestCommitRefusals(t *testing.T) {
	s := newStore(t)
	received(t, s, 20)
	update(t, s, func(tx *Tx) error {
		_, err := tx.Commit(commit(1, "a", "j1", opens("j1", "a"), sets(2)))
		return err
	})
	long := strings.Repeat("x", maxKey+1)
	tests := []struct {
		name string
		c    Commit
		want string
	}{
		{"a gap", commit(2, "a", "j1", sets(4)), "event 4 where event 3 is next"},
		{"an event again", commit(2, "a", "j1", sets(2)), "event 2 where event 3 is next"},
		{"a gap within", commit(2, "a", "j1", sets(3), sets(5)), "event 5 where event 4 is next"},
		{"a job that is not there", commit(2, "a", "j9", sets(1)), `no job "j9"`},
		{"a job opened as another", commit(2, "a", "j9", opens("j8", "a")), `no job "j9"`},
		{"a job opened for another chat", commit(2, "a", "j9", opens("j9", "b")), `no job "j9"`},
		{"another chat's job", commit(2, "b", "j1", sets(3)), "belongs to another chat"},
		{"events of no job", commit(2, "a", "", sets(3)), "job id is empty"},
		{"an event without a body", commit(2, "a", "j1", session.Event{Seq: 3}), "without a body"},
		{"no chat", commit(2, "", "j1", sets(3)), "chat key is empty"},
		{"a chat with a zero byte", commit(2, "a\x00b", "", nil...), "zero byte"},
		{"a long chat", commit(2, long, "", nil...), "at most 256"},
		{"a long job", commit(2, "a", long, opens(long, "a")), "at most 256"},
		{"a person of two numbers", func() Commit {
			c := commit(2, "a", "j1", sets(3))
			c.Person.ID = 2
			return c
		}(), "platform id of person 1"},
		{"a person without a platform id", func() Commit {
			c := commit(2, "a", "j1", sets(3))
			c.Person.Platform = ""
			return c
		}(), "platform id of a person is empty"},
		{"a large photo", func() Commit {
			c := commit(2, "a", "j1", sets(3))
			c.Photo = make([]byte, MaxPhoto+1)
			return c
		}(), "at most 2097152"},
		{"a live name with a zero byte", func() Commit {
			c := commit(2, "a", "j1", sets(3))
			c.Replies = []session.Reply{{Live: "a\x00"}}
			return c
		}(), "live name"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			before := dump(t, s)
			update(t, s, func(tx *Tx) error {
				_, err := tx.Commit(test.c)
				var refused *RefusedError
				if !errors.As(err, &refused) || !strings.Contains(err.Error(), test.want) {
					t.Errorf("error %v, want a *RefusedError that says %q", err, test.want)
				}
				return nil
			})
			if diff := cmp.Diff(before, dump(t, s)); diff != "" {
				t.Errorf("what was refused left something behind:\n%s", diff)
			}
		})
	}
}

// A refused commit does not keep another in the same transaction from being
// stored, and a row that took effect once does so no more.
func TestCommitBesideRefused(t *testing.T) {
	s := newStore(t)
	received(t, s, 2)
	update(t, s, func(tx *Tx) error {
		if _, err := tx.Commit(commit(1, "a", "j1", sets(5))); err == nil {
			t.Error("not refused")
		}
		_, err := tx.Commit(commit(2, "b", "j2", opens("j2", "b")))
		return err
	})
	update(t, s, func(tx *Tx) error {
		var gone *GoneError
		if _, err := tx.Commit(commit(2, "b", "j2", sets(2))); !errors.As(err, &gone) || gone.Inbox != 2 {
			t.Errorf("committed twice: error %v", err)
		}
		if err := tx.Bury(2, errors.New("x")); !errors.As(err, &gone) {
			t.Errorf("buried after commit: error %v", err)
		}
		if err := tx.Ignore(2); !errors.As(err, &gone) {
			t.Errorf("ignored after commit: error %v", err)
		}
		return nil
	})
	view(t, s, func(tx *Tx) error {
		j, err := tx.Job("j2")
		if err != nil || j.Seq != 1 {
			t.Errorf("job %v, %v", j, err)
		}
		if _, err := tx.Job("j1"); err == nil {
			t.Error("the refused job is there")
		}
		if got := tx.Inbox(0, 10); len(got) != 1 || got[0].Seq != 1 {
			t.Errorf("inbox %v", got)
		}
		return nil
	})
}

func TestLive(t *testing.T) {
	s := newStore(t)
	received(t, s, 20)
	n := uint64(0)
	say := func(chat string, rs ...session.Reply) {
		n++
		c := commit(n, chat, "")
		c.Replies = rs
		update(t, s, func(tx *Tx) error { _, err := tx.Commit(c); return err })
	}
	texts := func() (out []string) {
		view(t, s, func(tx *Tx) error {
			rows, err := tx.Outbox(0, 100)
			for _, r := range rows {
				out = append(out, r.Chat+":"+r.Reply.Text)
			}
			return err
		})
		return out
	}
	first := func() (r Row) {
		view(t, s, func(tx *Tx) error {
			rows, err := tx.Outbox(0, 1)
			r = rows[0]
			return err
		})
		return r
	}
	live := func(text string) session.Reply { return session.Reply{Text: text, Live: "board"} }

	say("a", session.Reply{Text: "one"}, live("v1"), session.Reply{Text: "two"})
	say("b", live("v1"))
	say("a", live("v2"), session.Reply{Text: "three"})
	want := []string{"a:one", "a:v2", "a:two", "b:v1", "a:three"}
	if diff := cmp.Diff(want, texts()); diff != "" {
		t.Fatal(diff)
	}
	update(t, s, func(tx *Tx) error { _, err := tx.Delivered(first(), "x"); return err })

	// While the second version is being sent, a third comes.
	sending := first()
	say("a", live("v3"))
	update(t, s, func(tx *Tx) error {
		newer, err := tx.Delivered(sending, "y")
		if !newer {
			t.Error("the newer version is not reported")
		}
		return err
	})
	if diff := cmp.Diff([]string{"a:v3", "a:two", "b:v1", "a:three"}, texts()); diff != "" {
		t.Fatal(diff)
	}
	// A wait outlasts a replacement.
	update(t, s, func(tx *Tx) error { return tx.Postpone(first(), noon, time.Hour) })
	say("a", live("v4"))
	r := first()
	if r.Attempt != 1 || !r.NotBefore.Equal(noon.Add(time.Hour)) || r.Reply.Text != "v4" {
		t.Fatalf("row %+v", r)
	}
	// A clock that jumps makes no wait longer than it was, not even of a row of
	// which that was not kept.
	for ahead, want := range map[time.Duration]time.Duration{
		0: time.Hour, 40 * time.Minute: 20 * time.Minute, 365 * 24 * time.Hour: 0, -24 * time.Hour: time.Hour, -365 * 24 * time.Hour: time.Hour,
	} {
		if got := r.Rest(noon.Add(ahead)); got != want {
			t.Errorf("%v later it has to wait for %v, want %v", ahead, got, want)
		}
	}
	if got := (Row{NotBefore: noon}).Rest(noon.Add(-365 * 24 * time.Hour)); got != 24*time.Hour {
		t.Errorf("a year before, it has to wait for %v", got)
	}
	update(t, s, func(tx *Tx) error { _, err := tx.Park(first(), errors.New("blocked")); return err })
	// What was parked is not replaced: the name starts again.
	say("a", live("v5"))
	if diff := cmp.Diff([]string{"a:two", "b:v1", "a:three", "a:v5"}, texts()); diff != "" {
		t.Fatal(diff)
	}
	view(t, s, func(tx *Tx) error {
		p, err := tx.Parked(10)
		if len(p) != 1 || p[0].Reply.Text != "v4" || p[0].Why != "blocked" || p[0].Seq != 2 {
			t.Errorf("parked %+v", p)
		}
		return err
	})
}

// What a message of the bot's asked for is found by its id in its chat only.
func TestAsked(t *testing.T) {
	s := newStore(t)
	received(t, s, 3)
	place := session.Place{Job: "j1", Station: reduce.Corner(3)}
	update(t, s, func(tx *Tx) error {
		c := commit(1, "a", "j1", opens("j1", "a"))
		c.Replies = []session.Reply{{Text: "Next: c3", Asks: place}, {Picture: "j1"}, {Text: "hello"}}
		_, err := tx.Commit(c)
		if err != nil {
			return err
		}
		rows, err := tx.Outbox(0, 10)
		for i, r := range rows {
			if _, err := tx.Delivered(r, fmt.Sprint("m", i)); err != nil {
				return err
			}
		}
		return err
	})
	view(t, s, func(tx *Tx) error {
		for id, want := range map[string]session.Place{"a m0": place, "a m1": {Job: "j1"}, "a m2": {}, "b m0": {}, "a m9": {}} {
			chat, sent, _ := strings.Cut(id, " ")
			got, err := tx.Asked(chat, sent)
			if err != nil || got != want {
				t.Errorf("%s: %v, %v; want %v", id, got, err, want)
			}
		}
		if got := tx.HeardFor("a", "1"); got != "j1" {
			t.Errorf("heard for %q", got)
		}
		if got := tx.HeardFor("b", "1"); got != "" {
			t.Errorf("heard in another chat for %q", got)
		}
		return nil
	})
}

func TestPeople(t *testing.T) {
	s := newStore(t)
	received(t, s, 3)
	update(t, s, func(tx *Tx) error { _, err := tx.Commit(commit(1, "a", "")); return err })
	again := commit(2, "b", "")
	again.Person.Name = "Ann Other"
	update(t, s, func(tx *Tx) error { _, err := tx.Commit(again); return err })
	third := commit(3, "a", "")
	third.Person = Person{4, "bo-id", "Bo"}
	update(t, s, func(tx *Tx) error { _, err := tx.Commit(third); return err })
	view(t, s, func(tx *Tx) error {
		names, err := tx.Names()
		if diff := cmp.Diff(map[session.PersonID]string{1: "Ann Other", 4: "Bo"}, names); diff != "" || err != nil {
			t.Error(diff, err)
		}
		if tx.PersonOf("ann-id") != 1 || tx.PersonOf("bo-id") != 4 || tx.PersonOf("nobody") != 0 || tx.LastPerson() != 4 {
			t.Errorf("numbers %d %d %d, last %d", tx.PersonOf("ann-id"), tx.PersonOf("bo-id"), tx.PersonOf("nobody"), tx.LastPerson())
		}
		return nil
	})
}

// A commit that was prepared onto the top of a log is stored as one that was
// not; where the log went on meanwhile it is put onto what is there, or refused.
func TestCommitOnto(t *testing.T) {
	s := newStore(t)
	received(t, s, 20)
	next := uint64(1)
	store := func(c Commit) (err error) {
		c.Inbox = next
		next++
		update(t, s, func(tx *Tx) error { _, err = tx.Commit(c); return nil })
		return err
	}
	top := func(known Top) (top Top) {
		view(t, s, func(tx *Tx) (err error) { top, err = tx.TopOf("j1", known); return err })
		return top
	}
	prepared := func(c Commit, onto Top) Commit {
		c.Onto = onto
		if err := c.Prepare(); err != nil {
			t.Fatal(err)
		}
		return c
	}
	if got := top(Top{}); got.ID != "" {
		t.Errorf("a job that is not there has the top %v", got)
	}
	one := commit(0, "a", "j1", opens("j1", "a"))
	one.Chat.Jobs = []session.JobHeader{{ID: "j1"}}
	if err := store(one); err != nil {
		t.Fatal(err)
	}
	first := top(Top{})
	two := one
	two.Events = []session.Event{sets(2)}
	two = prepared(two, first)
	if err := store(two); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(top(Top{}), two.Top(), cmp.AllowUnexported(Top{})); diff != "" {
		t.Errorf("the top that was prepared is not the one that is stored:\n%s", diff)
	}
	// Prepared onto what is no longer the top.
	if err := store(two); err == nil {
		t.Error("an event was stored twice")
	}
	three := one
	three.Events = []session.Event{sets(2)}
	three = prepared(three, first)
	three.Events[0].Seq = 3
	if err := store(three); err != nil {
		t.Fatal(err)
	}
	if got := top(first); got.Seq != 3 || got.Head == first.Head {
		t.Errorf("the top known before is taken for the one that is there: %v", got)
	}
	view(t, s, func(tx *Tx) error { return tx.Verify("j1") })
}
