package store

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"go.etcd.io/bbolt"

	"rodcall/session"
)

// garble overwrites part of an open file behind its back.
func garble(t testing.TB, s *Store, at, n int) {
	t.Helper()
	f, err := os.OpenFile(s.Path(), os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	b := make([]byte, n)
	chance := rand.NewChaCha8([32]byte{byte(at >> 12)})
	_, _ = chance.Read(b)
	if _, err := f.WriteAt(b, int64(at)); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
}

// readAll reads all that the engine reads of a file, each in a transaction of its own.
func readAll(s *Store) error {
	var headers []Header
	errs := s.View(func(tx *Tx) (err error) { headers, err = tx.Headers(); return err })
	for _, h := range headers {
		errs = errors.Join(errs,
			s.View(func(tx *Tx) error { return tx.Verify(h.ID) }),
			s.View(func(tx *Tx) error { _, err := tx.Chat(h.Chat); return err }))
	}
	return errors.Join(errs,
		s.View(func(tx *Tx) error { tx.Inbox(0, 100); _, err := tx.Outbox(0, 100); return err }),
		s.View(func(tx *Tx) error { _, err := tx.Names(); return err }),
		s.View(func(tx *Tx) error { tx.Cursor(); return nil }))
}

// bounded fails where something does not end.
func bounded(t *testing.T, what string, f func() error) error {
	t.Helper()
	done := make(chan error, 1)
	go func() { done <- f() }()
	select {
	case err := <-done:
		return err
	case <-time.After(20 * time.Second):
		t.Fatalf("%s does not end", what)
		return nil
	}
}

// Whichever page of an open file is damaged, reading and writing end with all that was
// asked for, or with an error that says so; nothing hangs or falls over. Once a page
// could not be written, nothing is written any more.
func TestDamageWhileOpen(t *testing.T) {
	page := os.Getpagesize()
	info, err := os.Stat(realFile(t).Path())
	if err != nil {
		t.Fatal(err)
	}
	read, broken := 0, 0
	for at := 0; at+page <= int(info.Size()); at += page {
		t.Run(fmt.Sprint("page ", at/page), func(t *testing.T) {
			s := realFile(t)
			garble(t, s, at, page)
			if at == 0 { // both heads: nothing can begin
				garble(t, s, page, page)
			}
			var damaged *DamagedError
			err := bounded(t, "reading", func() error { return readAll(s) })
			if errors.As(err, &damaged) {
				read++
			}
			for n := int64(1); n <= 3; n++ {
				err := bounded(t, "writing", func() error {
					return s.Update(func(tx *Tx) error {
						_, err := tx.Receive([]Update{{ID: n, Raw: []byte("{}")}}, []byte("x"), noon)
						return err
					})
				})
				if err != nil && !errors.As(err, &damaged) {
					t.Errorf("writing: %v", err)
				}
				if was := s.Broken(); (was != nil) != (err != nil) {
					t.Errorf("writing: %v, broken: %v", err, was)
				}
			}
			if s.Broken() != nil {
				broken++
			}
			if err := bounded(t, "closing", s.Close); err != nil {
				t.Errorf("close: %v", err)
			}
		})
	}
	if read < 3 || broken < 3 {
		t.Errorf("of %d pages %d were met by reading, %d by writing", info.Size()/int64(page), read, broken)
	}
}

// What somebody else put into the place of an open file is not written on.
func TestAlteredWhileOpen(t *testing.T) {
	s := newStore(t)
	write := func() error {
		return s.Update(func(tx *Tx) error {
			_, err := tx.Receive([]Update{{ID: 1, Raw: []byte("{}")}}, []byte("x"), noon)
			return err
		})
	}
	early, err := os.ReadFile(s.Path())
	if err != nil {
		t.Fatal(err)
	}
	failed := errors.New("failed")
	for range 3 { // one that failed does not count
		if err := s.Update(func(*Tx) error { return failed }); !errors.Is(err, failed) {
			t.Fatal(err)
		}
		if err := write(); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(s.Path(), early, 0o600); err != nil {
		t.Fatal(err)
	}
	var damaged *DamagedError
	if err := write(); !errors.As(err, &damaged) || s.Broken() == nil {
		t.Errorf("written all the same: %v", err)
	}
	now, err := os.ReadFile(s.Path())
	if err != nil || string(now) != string(early) {
		t.Errorf("the other file is another now, %v", err)
	}
}

// Nor is the file itself, once it was moved or deleted, or another took its place: what
// were written then would be found by nobody.
func TestMovedWhileOpen(t *testing.T) {
	for name, move := range map[string]func(path string) error{
		"moved":   func(path string) error { return os.Rename(path, path+".old") },
		"deleted": os.Remove,
		"replaced": func(path string) error {
			return errors.Join(os.WriteFile(path+".new", nil, 0o600), os.Rename(path+".new", path))
		},
	} {
		t.Run(name, func(t *testing.T) {
			s := newStore(t)
			update(t, s, func(*Tx) error { return nil })
			if err := move(s.Path()); err != nil {
				t.Fatal(err)
			}
			ran := false
			var moved *MovedError
			err := s.Update(func(*Tx) error { ran = true; return nil })
			if ran || !errors.As(err, &moved) || !errors.As(s.Broken(), &moved) {
				t.Errorf("written all the same: %v", err)
			}
			view(t, s, func(tx *Tx) error { tx.Cursor(); return nil })
		})
	}
}

// A row that is none is told as damage, and keeps nothing else from being written. A
// fault of whoever called is not taken for one of the file.
func TestRowDamage(t *testing.T) {
	s := realFile(t)
	h := longest(t, s)
	change(t, s, bucketChat, func(b *bbolt.Bucket) error { return b.Put([]byte(h.Chat), []byte("{")) })
	var damaged *DamagedError
	for name, run := range map[string]func(func(*Tx) error) error{"read": s.View, "write": s.Update} {
		err := run(func(tx *Tx) error { _, err := tx.Chat(h.Chat); return err })
		if !errors.As(err, &damaged) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if s.Broken() != nil {
		t.Errorf("broken: %v", s.Broken())
	}
	for name, run := range map[string]func(func(*Tx) error) error{"read": s.View, "write": s.Update} {
		func() {
			defer func() {
				if p := recover(); p == nil {
					t.Errorf("%s: a caller's panic was caught", name)
				}
			}()
			var nobody *session.Job
			_ = run(func(*Tx) error { return fmt.Errorf("%s", nobody.Header().Name) })
		}()
	}
	update(t, s, func(*Tx) error { return nil })
}
