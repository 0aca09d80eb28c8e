package store

import (
	"strings"
	"testing"

	"go.etcd.io/bbolt"

	"rodcall/reduce"
	"rodcall/session"
)

// TestRescuedWithoutPhoto: a photo that is lost when a file is rescued is told then,
// and by Check from then on, but is no fault; the log is what it was. One that goes
// later is a fault, and one that comes again is kept.
func TestRescuedWithoutPhoto(t *testing.T) {
	s := newStore(t)
	received(t, s, 3)
	shown := func(seq uint64, jpeg string) Commit {
		c := commit(seq, "a", "j1", session.Event{Seq: seq, At: noon, By: 1, Message: "2", Line: 1, Body: session.Noted{
			Round: 1, Station: reduce.Corner(1), Photo: session.HashOf([]byte(jpeg)),
		}})
		c.Photo = []byte(jpeg)
		return c
	}
	update(t, s, func(tx *Tx) error {
		for _, c := range []Commit{commit(1, "a", "j1", opens("j1", "a")), shown(2, "one"), shown(3, "two")} {
			c.Chat.Jobs = []session.JobHeader{{ID: "j1", Name: "Made-up house"}}
			if _, err := tx.Commit(c); err != nil {
				return err
			}
		}
		return nil
	})
	one, two := session.HashOf([]byte("one")), session.HashOf([]byte("two"))
	change(t, s, bucketPhotos, func(b *bbolt.Bucket) error { return b.Put(one[:], []byte("torn")) })
	truth := stored(t, s)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	const told = "job j1, event 2: its photo "
	path := s.Path()
	for range 2 { // rescued, and rescued once more
		into := newStore(t)
		r, err := Rescue(path, into)
		if err != nil || !strings.Contains(strings.Join(r.Lost, "\n"), told) {
			t.Fatalf("rescued %+v, %v", r, err)
		}
		lines, c := faults(t, into)
		if len(lines) > 0 || c.Photos != 1 || len(c.Lost) != 1 || !strings.HasPrefix(c.Lost[0].Error(), told) {
			t.Errorf("faults %q, %+v", lines, c)
		}
		if got := stored(t, into); strings.Join(got["j1"], "") != strings.Join(truth["j1"], "") {
			t.Error("the log is another")
		}
		view(t, into, func(tx *Tx) error {
			if b, ok := tx.Photo(one); ok {
				t.Errorf("the photo that is lost is %q", b)
			}
			return nil
		})
		path = into.Path()
		if err := into.Close(); err != nil {
			t.Fatal(err)
		}
	}
	s = open1(t, path)
	update(t, s, func(tx *Tx) error {
		if _, err := tx.Receive([]Update{{ID: 7, Raw: []byte("raw")}}, nil, noon); err != nil {
			return err
		}
		c := shown(4, "one")
		c.Inbox = tx.Inbox(0, 1)[0].Seq
		h, _, err := tx.Header("j1")
		if err != nil {
			return err
		}
		h.Events = 4
		c.Chat.Jobs = []session.JobHeader{h.JobHeader}
		_, err = tx.Commit(c)
		return err
	})
	if lines, c := faults(t, s); len(lines) > 0 || c.Photos != 2 || len(c.Lost) != 0 {
		t.Errorf("once it came again: %q, %+v", lines, c)
	}
	change(t, s, bucketPhotos, func(b *bbolt.Bucket) error { return b.Delete(two[:]) })
	if lines, _ := faults(t, s); len(lines) != 1 || !strings.HasPrefix(lines[0], "job j1, event 3: its photo ") {
		t.Errorf("once another is gone: %q", lines)
	}
}
