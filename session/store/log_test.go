package store

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"go.etcd.io/bbolt"

	"rodcall/session"
)

// logged is a store with one job of n events.
func logged(t testing.TB, n int) *Store {
	t.Helper()
	s := newStore(t)
	received(t, s, 1)
	events := []session.Event{opens("j1", "a")}
	for i := 2; i <= n; i++ {
		events = append(events, sets(uint64(i)))
	}
	update(t, s, func(tx *Tx) error { _, err := tx.Commit(commit(1, "a", "j1", events...)); return err })
	return s
}

// Whatever is done to a log, Verify names the first event that does not fit.
func TestVerify(t *testing.T) {
	at := func(seq uint64) []byte { return under("j1", number(seq)) }
	change := func(seq uint64, f func([]byte) []byte) func(log, header *bbolt.Bucket) error {
		return func(log, _ *bbolt.Bucket) error { return log.Put(at(seq), f(bytes.Clone(log.Get(at(seq))))) }
	}
	replace := func(old, new string) func([]byte) []byte {
		return func(b []byte) []byte {
			if !bytes.Contains(b, []byte(old)) {
				panic(fmt.Sprintf("%s does not hold %s", b, old))
			}
			return bytes.Replace(b, []byte(old), []byte(new), 1)
		}
	}
	tests := []struct {
		name string
		do   func(log, header *bbolt.Bucket) error
		seq  uint64
		says string
	}{
		{"who changed", change(4, replace(`"by":1`, `"by":2`)), 5, "hash"},
		{"the last changed", change(9, replace(`"by":1`, `"by":2`)), 9, "the header says"},
		{"not JSON", change(4, func(b []byte) []byte { return b[:len(b)-1] }), 4, "decode"},
		{"an unknown kind", change(4, replace(`"kind":"tolerance"`, `"kind":"weather"`)), 4, "unknown"},
		{"a number changed", change(4, replace(`"seq":4`, `"seq":5`)), 4, "it says that it is event 5"},
		{"a version changed", change(4, replace(`"v":1`, `"v":2`)), 4, "version"},
		{"white space added", change(4, replace(`{`, `{ `)), 4, "stored form"},
		{"one gone", func(log, _ *bbolt.Bucket) error { return log.Delete(at(5)) }, 5, "it says that it is event 6"},
		{"the last gone", func(log, _ *bbolt.Bucket) error { return log.Delete(at(9)) }, 9, "ends at event 8"},
		{"all gone", func(log, _ *bbolt.Bucket) error {
			for i := uint64(1); i <= 9; i++ {
				if err := log.Delete(at(i)); err != nil {
					return err
				}
			}
			return nil
		}, 1, "ends at event 0"},
		{"two changed places", func(log, _ *bbolt.Bucket) error {
			a, b := bytes.Clone(log.Get(at(5))), bytes.Clone(log.Get(at(6)))
			return errors.Join(log.Put(at(5), b), log.Put(at(6), a))
		}, 5, "it says that it is event 6"},
		{"one added at the end", func(log, _ *bbolt.Bucket) error {
			b, err := session.Encode(sets(10), session.HashOf(log.Get(at(9))))
			if err != nil {
				return err
			}
			return log.Put(at(10), b)
		}, 11, "ends at event 10"},
		{"the header's chat changed", func(_, header *bbolt.Bucket) error {
			return header.Put([]byte("j1"), replace(`"chat":"a"`, `"chat":"b"`)(bytes.Clone(header.Get([]byte("j1")))))
		}, 1, "the header has chat"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := logged(t, 9)
			view(t, s, func(tx *Tx) error { return tx.Verify("j1") })
			err := s.db.Update(func(tx *bbolt.Tx) error { return test.do(tx.Bucket(bucketLog), tx.Bucket(bucketHeader)) })
			if err != nil {
				t.Fatal(err)
			}
			view(t, s, func(tx *Tx) error {
				err := tx.Verify("j1")
				var chain *ChainError
				if !errors.As(err, &chain) || chain.Job != "j1" || chain.Seq != test.seq || !strings.Contains(err.Error(), test.says) {
					t.Errorf("error %v, want a *ChainError at %d that says %q", err, test.seq, test.says)
				}
				return nil
			})
		})
	}
}

// Any single byte of a log that is changed is found.
func TestVerifyEveryByte(t *testing.T) {
	s := logged(t, 3)
	var whole [][]byte
	view(t, s, func(tx *Tx) error {
		for b := range tx.Stored("j1", 1) {
			whole = append(whole, bytes.Clone(b))
		}
		return nil
	})
	rollback := errors.New("rollback")
	for i, b := range whole {
		for at := range b {
			changed := bytes.Clone(b)
			changed[at] ^= 1
			err := s.Update(func(tx *Tx) error {
				if err := tx.bucket(bucketLog).Put(under("j1", number(uint64(i+1))), changed); err != nil {
					return err
				}
				var chain *ChainError
				if err := tx.Verify("j1"); !errors.As(err, &chain) {
					t.Errorf("event %d, byte %d (%q): error %v", i+1, at, b[at], err)
				}
				return rollback
			})
			if !errors.Is(err, rollback) {
				t.Fatal(err)
			}
		}
	}
}

// A job that is behind is brought up to the log, from wherever it stands.
func TestCatchUp(t *testing.T) {
	s := logged(t, 9)
	view(t, s, func(tx *Tx) error {
		whole, err := tx.Job("j1")
		if err != nil {
			return err
		}
		var events []session.Event
		for b := range tx.Stored("j1", 1) {
			e, _, err := session.Decode(b)
			if err != nil {
				return err
			}
			events = append(events, e)
		}
		for n := range len(events) + 1 {
			j, err := session.Fold(slices.Clone(events[:n]))
			if err != nil {
				return err
			}
			if err := tx.CatchUp("j1", j); err != nil || j.Seq != 9 || j.Tolerance != whole.Tolerance {
				t.Errorf("from %d: %v, %+v", n, err, j)
			}
		}
		ahead, err := session.Fold(append(events, sets(10)))
		if err != nil {
			return err
		}
		if err := tx.CatchUp("j1", ahead); err == nil {
			t.Error("a job ahead of its log was taken")
		}
		if err := tx.CatchUp("j2", session.NewJob()); !errors.As(err, new(*NoJobError)) {
			t.Errorf("no such job: %v", err)
		}
		return nil
	})
}

// Jobs whose ids begin alike do not mix.
func TestLogsApart(t *testing.T) {
	s := newStore(t)
	received(t, s, 3)
	for i, job := range []string{"j", "j1", "j10"} {
		update(t, s, func(tx *Tx) error {
			_, err := tx.Commit(commit(uint64(i+1), "a", job, opens(job, "a"), sets(2)))
			return err
		})
	}
	view(t, s, func(tx *Tx) error {
		for _, job := range []string{"j", "j1", "j10"} {
			if err := tx.Verify(job); err != nil {
				t.Error(err)
			}
		}
		hs, err := tx.Headers()
		if len(hs) != 3 || hs[0].ID != "j" || hs[2].ID != "j10" {
			t.Errorf("headers %v", hs)
		}
		return err
	})
}
