package main

import (
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

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
