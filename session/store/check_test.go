package store

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"go.etcd.io/bbolt"
)

// realFile is a file that a crew's chat was kept in, opened anew.
func realFile(t testing.TB) *Store {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "..", "testdata", "formats", "1.bolt"))
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "file.db")
	if err := os.WriteFile(path, b, 0o600); err != nil {
		t.Fatal(err)
	}
	return open1(t, path)
}

// faults are all that Check finds, one a line.
func faults(t testing.TB, s *Store) (lines []string, c Counts) {
	t.Helper()
	c, err := s.Check(func(f Fault) { lines = append(lines, f.Error()) })
	if err != nil {
		t.Fatal(err)
	}
	return lines, c
}

// change changes a file behind the store's back.
func change(t testing.TB, s *Store, part []byte, f func(*bbolt.Bucket) error) {
	t.Helper()
	if err := s.db.Update(func(tx *bbolt.Tx) error { return f(tx.Bucket(part)) }); err != nil {
		t.Fatal(err)
	}
}

// longest is the job of a file with the most events.
func longest(t testing.TB, s *Store) (h Header) {
	t.Helper()
	view(t, s, func(tx *Tx) error {
		all, err := tx.Headers()
		h = slices.MaxFunc(all, func(a, b Header) int { return int(a.Seq) - int(b.Seq) })
		return err
	})
	return h
}

func TestCheckSound(t *testing.T) {
	s := realFile(t)
	lines, c := faults(t, s)
	if len(lines) > 0 {
		t.Errorf("a sound file has faults:\n%s", strings.Join(lines, "\n"))
	}
	if c.Jobs != 2 || c.Events != 45 || c.Chats < 1 || c.People < 1 || c.Bytes < 1<<14 {
		t.Errorf("it holds %+v", c)
	}
}

// TestCheckNames: whatever is wrong with a file, Check says where.
func TestCheckNames(t *testing.T) {
	s := realFile(t)
	h := longest(t, s)
	last := under(h.ID, number(h.Seq))
	fifth := under(h.ID, number(5))
	for _, c := range []struct {
		name string
		part []byte
		do   func(*bbolt.Bucket) error
		want string
	}{
		{"an event changed", bucketLog, func(b *bbolt.Bucket) error {
			return b.Put(fifth, bytes.Replace(b.Get(fifth), []byte(`"at":"20`), []byte(`"at":"19`), 1))
		}, fmt.Sprintf("job %s, event 6: it follows an event with hash", h.ID)},
		{"an event taken out", bucketLog, func(b *bbolt.Bucket) error { return b.Delete(fifth) },
			fmt.Sprintf("job %s, event 5: it says that it is event 6", h.ID)},
		{"the tail cut off", bucketLog, func(b *bbolt.Bucket) error { return b.Delete(last) },
			fmt.Sprintf("job %s, event %d: the log ends at event %d, its header at %d", h.ID, h.Seq, h.Seq-1, h.Seq)},
		{"the newest event rewritten", bucketLog, func(b *bbolt.Bucket) error {
			return b.Put(last, bytes.Replace(b.Get(last), []byte(`"by":`), []byte(`"by":1`), 1))
		}, "the header says"},
		{"a header counts otherwise", bucketHeader, func(b *bbolt.Bucket) error {
			return b.Put([]byte(h.ID), bytes.Replace(b.Get([]byte(h.ID)), []byte(`"read":`), []byte(`"read":9`), 1))
		}, "its header says"},
		{"a header gone", bucketHeader, func(b *bbolt.Bucket) error { return b.Delete([]byte(h.ID)) }, "it has events and no header"},
		{"a chat gone", bucketChat, func(b *bbolt.Bucket) error { return b.Delete([]byte(h.Chat)) }, "does not list it"},
		{"a chat torn", bucketChat, func(b *bbolt.Bucket) error { return b.Put([]byte(h.Chat), []byte(`{"id`)) }, "chat, row"},
		{"a person without a way back", bucketPlatform, func(b *bbolt.Bucket) error {
			k, _ := b.Cursor().First()
			return b.Delete(k)
		}, "people, row"},
		{"an outbox row torn", bucketOutbox, func(b *bbolt.Bucket) error { return b.Put(number(1<<40), []byte("{")) }, "outbox, row"},
		{"a way to nobody", bucketPlatform, func(b *bbolt.Bucket) error { return b.Put([]byte("who"), []byte("odd")) }, "platform, row"},
		{"a header of nothing", bucketHeader, func(b *bbolt.Bucket) error { return b.Put([]byte(h.ID), []byte(`{"id":"`+h.ID+`"}`)) },
			"its header says that it has no event"},
		{"an event with a long number", bucketLog, func(b *bbolt.Bucket) error { return b.Put(append(under(h.ID, number(7)), 'x'), []byte("{}")) }, "no event of a job"},
		{"ids of updates torn", bucketSeen, func(b *bbolt.Bucket) error { return b.Put([]byte("x"), []byte("y")) }, "seen, row"},
		{"what was heard for nothing", bucketHeard, func(b *bbolt.Bucket) error { return b.Put([]byte("x"), []byte("y")) }, "heard, row"},
		{"what was sent torn", bucketSent, func(b *bbolt.Bucket) error { return b.Put([]byte("x"), []byte("y")) }, "sent, row"},
		{"an inbox row torn", bucketInbox, func(b *bbolt.Bucket) error { return b.Put(number(1<<40), []byte("{")) }, "inbox, row"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := realFile(t)
			change(t, s, c.part, c.do)
			lines, _ := faults(t, s)
			if !strings.Contains(strings.Join(lines, "\n"), c.want) {
				t.Errorf("found %q, want %q", lines, c.want)
			}
		})
	}
}

// TestCopyWhileWriting: a copy is whole, whatever is written meanwhile.
func TestCopyWhileWriting(t *testing.T) {
	s := realFile(t)
	path := filepath.Join(t.TempDir(), "copy.db")
	stop, ended := make(chan struct{}), make(chan error, 1)
	go func() {
		for i := int64(1); ; i++ {
			select {
			case <-stop:
				ended <- nil
				return
			default:
			}
			if err := s.Update(func(tx *Tx) error {
				_, err := tx.Receive([]Update{{ID: i, Raw: []byte("{}")}}, nil, noon)
				return err
			}); err != nil {
				ended <- err
				return
			}
		}
	}()
	for range 20 {
		if err := s.CopyTo(path); err != nil {
			t.Fatal(err)
		}
		c := open1(t, path)
		if lines, _ := faults(t, c); len(lines) > 0 {
			t.Fatalf("the copy has faults: %q", lines)
		}
		if err := c.Close(); err != nil {
			t.Fatal(err)
		}
	}
	close(stop)
	if err := <-ended; err != nil {
		t.Fatal(err)
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the copy has mode %v, %v", info.Mode(), err)
	}
}

// TestReplaceWhole: what cannot be written to its end leaves what was there.
func TestReplaceWhole(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "file.db")
	if err := os.WriteFile(path, []byte("before"), 0o600); err != nil {
		t.Fatal(err)
	}
	full := errors.New("no space")
	err := Replace(path, func(w io.Writer) error {
		_, _ = io.WriteString(w, "half")
		return full
	})
	if !errors.Is(err, full) {
		t.Errorf("error %v", err)
	}
	if b, err := os.ReadFile(path); string(b) != "before" {
		t.Errorf("it holds %q, %v", b, err)
	}
	if left, err := os.ReadDir(dir); len(left) != 1 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

// stored lists the events of all jobs of a file as they are stored.
func stored(t testing.TB, s *Store) map[string][]string {
	t.Helper()
	out := map[string][]string{}
	view(t, s, func(tx *Tx) error {
		headers, err := tx.Headers()
		for _, h := range headers {
			for b := range tx.Stored(h.ID, 1) {
				out[h.ID] = append(out[h.ID], string(b))
			}
		}
		return err
	})
	return out
}

// TestRescueCut cuts a file short at every page: what is left of it is rescued.
func TestRescueCut(t *testing.T) {
	s := realFile(t)
	truth := stored(t, s)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	good, err := os.ReadFile(s.Path())
	if err != nil {
		t.Fatal(err)
	}
	most := 0
	// The last pages of the file are not in use.
	for size := 4 * 4096; size < 96<<10; size += 4096 {
		path := filepath.Join(t.TempDir(), "cut.db")
		if err := os.WriteFile(path, good[:size], 0o600); err != nil {
			t.Fatal(err)
		}
		into := newStore(t)
		r, err := Rescue(path, into)
		if err != nil {
			t.Fatalf("cut at %d: %v", size, err)
		}
		// The last page may be one that is not in use.
		if len(r.Lost) == 0 && r.Events < 45 {
			t.Errorf("cut at %d: nothing was said of it", size)
		}
		for id, e := range stored(t, into) {
			if !slices.Equal(e, truth[id][:len(e)]) {
				t.Fatalf("cut at %d: what was rescued was never in the file", size)
			}
		}
		if lines, _ := faults(t, into); len(lines) > 0 {
			t.Errorf("cut at %d: %q", size, lines)
		}
		most = max(most, r.Events)
	}
	if most == 0 {
		t.Error("nothing was ever rescued")
	}
	t.Logf("at most %d events were rescued", most)
}

// TestRescue damages a file in many ways, at one place each: what is rescued is a
// sound file, and of each job the beginning, byte for byte.
func TestRescue(t *testing.T) {
	s := realFile(t)
	truth := stored(t, s)
	events := 0
	for _, e := range truth {
		events += len(e)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	good, err := os.ReadFile(s.Path())
	if err != nil {
		t.Fatal(err)
	}
	chance := rand.New(rand.NewPCG(8, 1))
	opened, most, least, all := 0, 0, events, 0
	for range 120 {
		bad := bytes.Clone(good)
		at := chance.IntN(len(bad))
		switch chance.IntN(3) {
		case 0: // one byte
			bad[at] ^= byte(1 + chance.IntN(255))
		case 1: // a run of nothing, as a disk leaves it that lost a write
			clear(bad[at:min(len(bad), at+512)])
		case 2: // another place's bytes
			copy(bad[at:min(len(bad), at+512)], good[chance.IntN(len(good)):])
		}
		path := filepath.Join(t.TempDir(), "bad.db")
		if err := os.WriteFile(path, bad, 0o600); err != nil {
			t.Fatal(err)
		}
		into := newStore(t)
		r, err := Rescue(path, into)
		if err != nil {
			continue // told from a good one: it does not open
		}
		opened++
		got := stored(t, into)
		n := 0
		for id, e := range got {
			n += len(e)
			if len(e) > len(truth[id]) || !slices.Equal(e, truth[id][:len(e)]) {
				t.Fatalf("job %s: what was rescued was never in the file", id)
			}
		}
		if lines, c := faults(t, into); len(lines) > 0 || c.Events != r.Events || n != r.Events {
			t.Fatalf("rescued %+v, in the file %d, %+v: %q", r, n, c, lines)
		}
		if n < events && len(r.Cut) == 0 && len(r.Lost) == 0 {
			t.Fatalf("%d of %d events, and nothing said of the rest", n, events)
		}
		most, least, all = max(most, n), min(least, n), all+n
	}
	if opened < 80 || all < opened*events*8/10 {
		t.Errorf("%d of 120 could be opened, with %d to %d of %d events, %d in all", opened, least, most, events, all)
	}
	t.Logf("%d of 120 could be opened; %d to %d of %d events each, %.1f %% of all", opened, least, most, events, 100*float64(all)/float64(opened*events))
}

// TestCheckAnyDamage damages the pages of a file in many ways: opening and
// checking it end, with a word of it or none, and never with the program.
func TestCheckAnyDamage(t *testing.T) {
	s := realFile(t)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	good, err := os.ReadFile(s.Path())
	if err != nil {
		t.Fatal(err)
	}
	chance := rand.New(rand.NewPCG(4, 1))
	refused, faulty := 0, 0
	path := filepath.Join(t.TempDir(), "bad.db")
	look := func(bad []byte) {
		if err := os.WriteFile(path, bad, 0o600); err != nil {
			t.Fatal(err)
		}
		n := 0
		if err := Inspect(path, func(Fault) { n++ }); err != nil {
			refused++
			return
		}
		if n > 0 {
			faulty++
			return
		}
		s, err := Open(path, Options{ReadOnly: true})
		if err != nil {
			refused++
			return
		}
		if _, err := s.Check(func(Fault) { n++ }); err != nil || n > 0 {
			faulty++
		}
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}
	for page := range len(good) / 4096 {
		// A page of nothing, one that claims a fourth of all there can be, and one
		// of which each field of the head is something else.
		bad := bytes.Clone(good)
		clear(bad[page*4096 : (page+1)*4096])
		look(bad)
		bad = bytes.Clone(good)
		bad[page*4096+15] = 0x40
		look(bad)
		for range 6 {
			bad = bytes.Clone(good)
			bad[page*4096+chance.IntN(200)] ^= 1 << chance.IntN(8)
			look(bad)
		}
	}
	if faulty == 0 {
		t.Errorf("%d refused, none with faults", refused)
	}
	t.Logf("%d refused, %d with faults", refused, faulty)
}
