package main

import (
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"go.etcd.io/bbolt"

	"rodcall/session/store"
)

// TestRotation: copies are made when they are due, the newest few are kept, and
// nothing else in the folder is touched.
func TestRotation(t *testing.T) {
	file, err := store.Open(filepath.Join(t.TempDir(), "walk.db"), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := file.Close(); err != nil {
			t.Error(err)
		}
	}()
	now := time.Date(2026, 5, 4, 13, 0, 0, 0, time.UTC)
	dir := t.TempDir()
	r := rotation{file: file, dir: dir, every: 6 * time.Hour, keep: 3, now: func() time.Time { return now }, log: slog.New(slog.DiscardHandler)}
	others := []string{"walk.db", "walk-notes.db", "other-20200101T000000Z.db", "walk-20200101T000000Z.txt"}
	for _, name := range others {
		if err := os.WriteFile(filepath.Join(dir, name), []byte("mine"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	due := func(want time.Duration) {
		t.Helper()
		if got, err := r.wait(); got != want || err != nil {
			t.Errorf("due in %v, %v; want %v", got, err, want)
		}
	}
	due(0)
	for range 5 {
		if err := r.once(); err != nil {
			t.Fatal(err)
		}
		due(6 * time.Hour)
		now = now.Add(4 * time.Hour)
		due(2 * time.Hour)
		now = now.Add(4 * time.Hour)
		due(0)
	}
	got, err := r.copies()
	want := []string{"walk-20260505T050000Z.db", "walk-20260505T130000Z.db", "walk-20260505T210000Z.db"}
	if err != nil || !slices.Equal(got, want) {
		t.Errorf("kept %v, %v; want %v", got, err, want)
	}
	for _, name := range others {
		if b, err := os.ReadFile(filepath.Join(dir, name)); string(b) != "mine" {
			t.Errorf("%s: %q, %v", name, b, err)
		}
	}
	// The clock goes back by a day: no copy for a while, and none is lost.
	now = now.Add(-24 * time.Hour)
	due(6 * time.Hour)
	c, err := store.Open(filepath.Join(dir, got[2]), store.Options{ReadOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Close(); err != nil {
		t.Error(err)
	}
	// It is right again, then a year ahead, and right again: the copy of then is the
	// first to go.
	now = now.Add(24 * time.Hour)
	due(0)
	for _, jump := range []time.Duration{365 * 24 * time.Hour, -365 * 24 * time.Hour} {
		now = now.Add(jump)
		due(0)
		if err := r.once(); err != nil {
			t.Fatal(err)
		}
		due(6 * time.Hour)
	}
	if got, err := r.copies(); err != nil || !slices.Equal(got, append(want[1:], "walk-20260506T050000Z.db")) {
		t.Errorf("kept after a year's jump: %v, %v", got, err)
	}
	if err := os.RemoveAll(dir); err != nil {
		t.Fatal(err)
	}
	if _, err := r.wait(); err == nil {
		t.Error("the folder is gone, and nothing was said")
	}
	if err := r.once(); err == nil {
		t.Error("a copy into nowhere")
	}
}

// TestRotationKeepsSound: of a file that has faults no copy is kept, none counts as
// made, and the good ones stay.
func TestRotationKeepsSound(t *testing.T) {
	path, dir := filepath.Join(t.TempDir(), "walk.db"), t.TempDir()
	whole, err := os.ReadFile(filepath.Join("..", "..", "testdata", "formats", "1.bolt"))
	if err == nil {
		err = os.WriteFile(path, whole, 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
	file, err := store.Open(path, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	made := time.Date(2026, 5, 4, 13, 0, 0, 0, time.UTC)
	now := made
	r := rotation{file: file, dir: dir, every: 6 * time.Hour, keep: 1, now: func() time.Time { return now }, log: slog.New(slog.DiscardHandler)}
	if err := r.once(); err != nil {
		t.Fatal(err)
	}
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
	db, err := bbolt.Open(path, 0o600, nil)
	if err == nil {
		err = errors.Join(db.Update(func(tx *bbolt.Tx) error {
			return tx.Bucket([]byte("outbox")).Put([]byte("no number"), []byte("{"))
		}), db.Close())
	}
	if err != nil {
		t.Fatal(err)
	}
	if r.file, err = store.Open(path, store.Options{}); err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := r.file.Close(); err != nil {
			t.Error(err)
		}
	}()
	now = now.Add(7 * time.Hour)
	if err := r.once(); err == nil {
		t.Error("a copy of a file with a fault was made")
	}
	if left, err := os.ReadDir(dir); err != nil || len(left) != 1 || left[0].Name() != r.name(made) {
		t.Errorf("in the folder are %v, %v", left, err)
	}
	if wait, err := r.wait(); wait != 0 || err != nil || !r.last().Equal(made) {
		t.Errorf("the next is due in %v, %v; the last is of %v", wait, err, r.last())
	}
}
