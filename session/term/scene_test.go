package term_test

import (
	"bytes"
	"context"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"

	"rodcall/render"
	"rodcall/session/report"
	"rodcall/session/store"
	"rodcall/session/term"
)

// drawn plays a chat of testdata and returns the drawing it ends with, as
// data.
func drawn(t *testing.T, chat string) render.Scene {
	t.Helper()
	a, err := txtar.ParseFile(filepath.Join("..", "..", "testdata", "chats", chat+".txtar"))
	if err != nil {
		t.Fatal(err)
	}
	db := filepath.Join(t.TempDir(), "walk.db")
	var out bytes.Buffer
	steps := strings.NewReader(string(a.Files[0].Data))
	if err := term.Play(context.Background(), term.Options{DB: db, In: steps, Out: &out}); err != nil {
		t.Fatalf("play: %v\n%s", err, out.String())
	}
	s, err := store.Open(db, store.Options{ReadOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}()
	var scene render.Scene
	err = s.View(func(tx *store.Tx) error {
		headers, err := tx.Headers()
		if err != nil {
			return err
		}
		job, err := tx.Job(headers[0].ID)
		if err != nil {
			return err
		}
		scene = report.Scene(job, "en", time.Unix(0, 0).UTC())
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return scene
}

// TestEitherRodDrawsTheSame: the same foundation walked with a direct and with
// a standard rod is the same drawing but for one label.
func TestEitherRodDrawsTheSame(t *testing.T) {
	a, b := drawn(t, "walk-direct"), drawn(t, "walk-standard")
	if len(a.Marks) != 34 || len(a.Lines) != len(b.Lines) {
		t.Fatalf("%d marks; %d and %d lines", len(a.Marks), len(a.Lines), len(b.Lines))
	}
	differ := 0
	for i := range a.Lines {
		if a.Lines[i] == b.Lines[i] {
			continue
		}
		differ++
		if a.Lines[i] != "direct rod" || b.Lines[i] != "standard rod" {
			t.Errorf("%q and %q", a.Lines[i], b.Lines[i])
		}
		a.Lines[i] = b.Lines[i]
	}
	if differ != 1 {
		t.Errorf("%d labels differ, want 1", differ)
	}
	if diff := cmp.Diff(a, b); diff != "" {
		t.Errorf("(-direct +standard)\n%s", diff)
	}
}
