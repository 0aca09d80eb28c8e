package store

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"go.etcd.io/bbolt"

	"rodcall/session"
)

// open1 opens a file of the test's own, without waiting for the disk: what is
// lost when a machine loses power is no matter here.
func open1(t testing.TB, path string) *Store {
	t.Helper()
	s, err := Open(path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	s.db.NoSync = true
	t.Cleanup(func() { _ = s.Close() })
	return s
}

func newStore(t testing.TB) *Store { return open1(t, filepath.Join(t.TempDir(), "file.db")) }

func update(t testing.TB, s *Store, f func(*Tx) error) {
	t.Helper()
	if err := s.Update(f); err != nil {
		t.Fatal(err)
	}
}

func view(t testing.TB, s *Store, f func(*Tx) error) {
	t.Helper()
	if err := s.View(f); err != nil {
		t.Fatal(err)
	}
}

func TestOpenRefuses(t *testing.T) {
	foreign := func(t *testing.T, err error) {
		if e := (*ForeignError)(nil); !errors.As(err, &e) {
			t.Errorf("error %v, want a *ForeignError", err)
		}
	}
	bolt := func(path string, f func(*bbolt.Tx) error) error {
		db, err := bbolt.Open(path, 0o600, nil)
		if err != nil {
			return err
		}
		return errors.Join(db.Update(f), db.Close())
	}
	marked := func(format, reader string) func(path string) error {
		return func(path string) error {
			return bolt(path, func(tx *bbolt.Tx) error {
				b, err := tx.CreateBucket(bucketMeta)
				if err != nil {
					return err
				}
				return errors.Join(b.Put(keyFormat, []byte(format)), b.Put(keyMinReader, []byte(reader)))
			})
		}
	}
	tests := []struct {
		name     string
		make     func(path string) error
		readOnly bool
		want     func(*testing.T, error)
		says     string
	}{
		{"text", func(p string) error {
			return os.WriteFile(p, []byte(strings.Repeat("no database\n", 1000)), 0o600)
		}, false, foreign, "this is no rodcall file"},
		{"short text", func(p string) error { return os.WriteFile(p, []byte("no database\n"), 0o600) }, false, foreign, "this is no rodcall file"},
		{"another program's database", func(p string) error {
			return bolt(p, func(tx *bbolt.Tx) error { _, err := tx.CreateBucket([]byte("birds")); return err })
		}, false, foreign, "another program"},
		{"another program's meta", func(p string) error {
			return bolt(p, func(tx *bbolt.Tx) error { _, err := tx.CreateBucket(bucketMeta); return err })
		}, false, foreign, "another program"},
		{"a format that is no number", marked("two", "1"), false, foreign, "another program"},
		{"a reader that is no number", marked("2", ""), false, foreign, "another program"},
		{"newer", marked("7", "5"), false, func(t *testing.T, err error) {
			e := (*NewerError)(nil)
			if !errors.As(err, &e) || e.Format != 7 || e.MinReader != 5 {
				t.Errorf("error %v, want a *NewerError with 7 and 5", err)
			}
		}, "a newer rodcall wrote this file"},
		{"newer, to read", marked("7", "5"), true, func(t *testing.T, err error) {
			if e := (*NewerError)(nil); !errors.As(err, &e) {
				t.Errorf("error %v, want a *NewerError", err)
			}
		}, "update rodcall"},
		{"a folder", func(p string) error { return os.Mkdir(p, 0o755) }, false, foreign, "this is a folder"},
		{"nothing, to read", func(string) error { return nil }, true, func(t *testing.T, err error) {
			if !errors.Is(err, fs.ErrNotExist) {
				t.Errorf("error %v, want not-exist", err)
			}
		}, "no such file"},
		{"empty, to read", func(p string) error { return os.WriteFile(p, nil, 0o600) }, true, foreign, "empty"},
		{"without anything, to read", func(p string) error { return bolt(p, func(*bbolt.Tx) error { return nil }) }, true, foreign, "holds nothing yet"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "file.db")
			if err := test.make(path); err != nil {
				t.Fatal(err)
			}
			before, _ := os.ReadFile(path)
			s, err := Open(path, Options{ReadOnly: test.readOnly})
			if err == nil {
				_ = s.Close()
				t.Fatal("opened")
			}
			test.want(t, err)
			if !strings.Contains(err.Error(), test.says) || !strings.Contains(err.Error(), path) {
				t.Errorf("%q: want it to say %q and to name the file", err, test.says)
			}
			if after, _ := os.ReadFile(path); !bytes.Equal(before, after) {
				t.Error("the file was changed")
			}
		})
	}
}

// A file that was only just made, by a program that died at once, is new.
func TestOpenWithoutAnything(t *testing.T) {
	for _, name := range []string{"no bytes", "no buckets"} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "file.db")
			if name == "no bytes" {
				if err := os.WriteFile(path, nil, 0o600); err != nil {
					t.Fatal(err)
				}
			} else {
				db, err := bbolt.Open(path, 0o600, nil)
				if err != nil {
					t.Fatal(err)
				}
				if err := db.Close(); err != nil {
					t.Fatal(err)
				}
			}
			if err := open1(t, path).Close(); err != nil {
				t.Fatal(err)
			}
			s, err := Open(path, Options{ReadOnly: true})
			if err != nil {
				t.Fatal(err)
			}
			defer func() { _ = s.Close() }()
			view(t, s, func(tx *Tx) error {
				meta := tx.bucket(bucketMeta)
				if got := string(meta.Get(keyFormat)); got != strconv.Itoa(Format) {
					t.Errorf("format %q", got)
				}
				return nil
			})
		})
	}
}

// A newer format that this program can still read is opened.
func TestOpenNewerButReadable(t *testing.T) {
	s := newStore(t)
	path := s.Path()
	if err := s.db.Update(func(tx *bbolt.Tx) error { return tx.Bucket(bucketMeta).Put(keyFormat, []byte("9")) }); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	open1(t, path)
}

// A whole file of a newer program is refused, also to be read, and is
// unharmed: that program opens it afterwards.
func TestOpenNewerUnharmed(t *testing.T) {
	s := logged(t, 9)
	remark := func(s *Store, format, reader string) {
		err := s.db.Update(func(tx *bbolt.Tx) error {
			meta := tx.Bucket(bucketMeta)
			return errors.Join(meta.Put(keyFormat, []byte(format)), meta.Put(keyMinReader, []byte(reader)))
		})
		if err = errors.Join(err, s.Close()); err != nil {
			t.Fatal(err)
		}
	}
	remark(s, strconv.Itoa(Format+1), strconv.Itoa(Format+1))
	before, err := os.ReadFile(s.Path())
	if err != nil {
		t.Fatal(err)
	}
	want := fmt.Sprintf("open %s: a newer rodcall wrote this file (format %d, readable from format %d on; this program knows formats up to %d); update rodcall, nothing was changed",
		s.Path(), Format+1, Format+1, Format)
	for _, readOnly := range []bool{false, true} {
		if _, err := Open(s.Path(), Options{ReadOnly: readOnly}); err == nil || err.Error() != want {
			t.Errorf("read only %v: %v\nwant %s", readOnly, err, want)
		}
		if after, _ := os.ReadFile(s.Path()); !bytes.Equal(before, after) {
			t.Errorf("read only %v: the file was changed", readOnly)
		}
	}
	// As that program would find it.
	db, err := bbolt.Open(s.Path(), 0o600, nil)
	if err != nil {
		t.Fatal(err)
	}
	remark(&Store{db: db}, strconv.Itoa(Format), strconv.Itoa(minReader))
	view(t, open1(t, s.Path()), func(tx *Tx) error { return tx.Verify("j1") })
}

func TestOpenBusy(t *testing.T) {
	s := newStore(t)
	for _, readOnly := range []bool{false, true} {
		_, err := Open(s.Path(), Options{Timeout: time.Millisecond, ReadOnly: readOnly})
		e := (*BusyError)(nil)
		if !errors.As(err, &e) {
			t.Fatalf("read only %v: error %v, want a *BusyError", readOnly, err)
		}
		if want := "is another rodcall using " + s.Path() + "?"; !strings.Contains(err.Error(), want) {
			t.Errorf("%q does not ask %q", err, want)
		}
	}
}

// Two may read at a time, and neither can write.
func TestOpenReadOnly(t *testing.T) {
	s := newStore(t)
	update(t, s, func(tx *Tx) error { _, err := tx.Receive([]Update{{ID: 1}}, []byte("c"), time.Now()); return err })
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		r, err := Open(s.Path(), Options{ReadOnly: true})
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = r.Close() }()
		view(t, r, func(tx *Tx) error {
			if got := string(tx.Cursor()); got != "c" {
				t.Errorf("cursor %q", got)
			}
			return nil
		})
		if err := r.Update(func(*Tx) error { return nil }); err == nil {
			t.Error("a read-only file took a writing transaction")
		}
	}
}

// A file cut short anywhere is refused in words: it must not end the program,
// and nothing may be written to it.
func TestOpenCutShort(t *testing.T) {
	s := newStore(t)
	for i := range 40 {
		update(t, s, func(tx *Tx) error {
			_, err := tx.Receive([]Update{{ID: int64(i), Raw: bytes.Repeat([]byte{'x'}, 3000)}}, nil, time.Now())
			return err
		})
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	whole, err := os.ReadFile(s.Path())
	if err != nil {
		t.Fatal(err)
	}
	refused := 0
	for _, size := range []int{100, 4096, 5000, 8192, 12288, 20000, 32768, 65536, len(whole) / 2} {
		path := filepath.Join(t.TempDir(), "cut.db")
		if err := os.WriteFile(path, whole[:size], 0o600); err != nil {
			t.Fatal(err)
		}
		c, err := Open(path, Options{})
		if err == nil {
			// What is missing was free space.
			view(t, c, func(tx *Tx) error {
				if n := len(tx.Inbox(0, 100)); n != 40 {
					t.Errorf("cut at %d: opened with %d of 40 updates", size, n)
				}
				return nil
			})
			_ = c.Close()
			continue
		}
		refused++
		var foreign *ForeignError
		var damaged *DamagedError
		if !errors.As(err, &foreign) && !errors.As(err, &damaged) {
			t.Errorf("cut at %d: %v", size, err)
		}
		if said := err.Error(); !strings.Contains(said, path) || !strings.Contains(said, "name another file") && !strings.Contains(said, "restore a backup") {
			t.Errorf("cut at %d: %q does not say what to do", size, said)
		}
		if after, _ := os.ReadFile(path); !bytes.Equal(after, whole[:size]) {
			t.Errorf("cut at %d: the file was changed", size)
		}
	}
	if refused < 5 {
		t.Errorf("only %d of the cuts were refused", refused)
	}
}

// A file of before photos were kept can be read as it is, and gets a place for
// them when it is opened to be written; as it was it is kept beside itself.
func TestOpenWithoutPhotos(t *testing.T) {
	s := newStore(t)
	err := s.db.Update(func(tx *bbolt.Tx) error { return errors.Join(tx.DeleteBucket(bucketPhotos), mark(tx, 1, 1)) })
	if err := errors.Join(err, s.Close()); err != nil {
		t.Fatal(err)
	}
	for _, o := range []Options{{ReadOnly: true}, {}} {
		s, err := Open(s.Path(), o)
		if err != nil {
			t.Fatalf("%+v: %v", o, err)
		}
		view(t, s, func(tx *Tx) error {
			if b, ok := tx.Photo(session.HashOf(nil)); ok {
				t.Errorf("%+v: a photo of %d bytes", o, len(b))
			}
			return nil
		})
		if !o.ReadOnly {
			if _, has := dump(t, s)["photos sequence"]; !has {
				t.Error("there is no place for photos")
			}
			old, err := Open(s.Kept(), Options{ReadOnly: true})
			if err != nil {
				t.Fatal(err)
			}
			view(t, old, func(tx *Tx) error {
				if tx.format() != 1 || tx.bucket(bucketPhotos) != nil {
					t.Errorf("what is kept has format %d", tx.format())
				}
				return nil
			})
			if err := old.Close(); err != nil {
				t.Fatal(err)
			}
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
	}
}
