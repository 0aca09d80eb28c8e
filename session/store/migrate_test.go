package store

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"go.etcd.io/bbolt"
)

// TestMigrations: each leads to the next format, the last to this program's.
func TestMigrations(t *testing.T) {
	for i, m := range migrations {
		if m.to != i+2 || m.reader < 1 || m.reader > m.to {
			t.Errorf("migration %d leads to format %d, readable from %d on", i, m.to, m.reader)
		}
	}
	if last := migrations[len(migrations)-1]; last.to != Format || last.reader != minReader {
		t.Errorf("the last leads to format %d, readable from %d on: want %d, %d", last.to, last.reader, Format, minReader)
	}
}

// oldFile is a real file of the first format, as it was written then.
func oldFile(t *testing.T) (path string, bytes []byte) {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "..", "testdata", "formats", "1.bolt"))
	if err != nil {
		t.Fatal(err)
	}
	path = filepath.Join(t.TempDir(), "file.db")
	if err := os.WriteFile(path, b, 0o600); err != nil {
		t.Fatal(err)
	}
	return path, b
}

// TestMigrateKeeps: what a file holds stays what it is, event for event, and so
// does what it was.
func TestMigrateKeeps(t *testing.T) {
	path, _ := oldFile(t)
	old, err := Open(path, Options{ReadOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	before := dump(t, old)
	if err := old.Close(); err != nil {
		t.Fatal(err)
	}
	s := open1(t, path)
	after := dump(t, s)
	for k, v := range before {
		if k != `meta "format"` && k != `meta "min_reader"` && after[k] != v {
			t.Errorf("%s was %q, is %q", k, v, after[k])
		}
	}
	if got := after[`meta "format"`]; got != "2" {
		t.Errorf("format %s", got)
	}
	kept, err := Open(keptName(path, 1), Options{ReadOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	then := dump(t, kept)
	if err := kept.Close(); err != nil {
		t.Fatal(err)
	}
	if len(then) != len(before) {
		t.Errorf("the file as it was has %d rows, is kept with %d", len(before), len(then))
	}
	for k, v := range before {
		if then[k] != v {
			t.Errorf("kept: %s was %q, is %q", k, v, then[k])
		}
	}
}

// TestMigrateFails: a migration that fails changes nothing, and neither does a
// file that cannot be kept.
func TestMigrateFails(t *testing.T) {
	defer func(was []migration) { migrations = was }(migrations)
	broken := errors.New("broken")
	migrations = []migration{{to: 2, parts: [][]byte{bucketPhotos}, reader: 2, run: func(tx *bbolt.Tx) error {
		return errors.Join(broken, tx.Bucket(bucketMeta).Put(keyCursor, []byte("changed")))
	}}}
	path, _ := oldFile(t)
	if _, err := Open(path, Options{}); !errors.Is(err, broken) {
		t.Errorf("error %v", err)
	}
	still := func() {
		t.Helper()
		s, err := Open(path, Options{ReadOnly: true})
		if err != nil {
			t.Fatal(err)
		}
		view(t, s, func(tx *Tx) error {
			if tx.format() != 1 || bytes.Equal(tx.Cursor(), []byte("changed")) {
				t.Error("it was changed")
			}
			return nil
		})
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
	}
	still()
	migrations[0].run = nil
	path, _ = oldFile(t)
	if err := os.Mkdir(keptName(path, 1), 0o700); err != nil { // a folder of that name: it cannot be replaced
		t.Fatal(err)
	}
	if _, err := Open(path, Options{}); err == nil {
		t.Error("migrated, and not kept")
	}
	still()
}

// format is the format of a file.
func (t *Tx) format() int {
	n, err := strconv.Atoi(string(t.bucket(bucketMeta).Get(keyFormat)))
	if err != nil {
		return 0
	}
	return n
}
