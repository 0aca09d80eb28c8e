package term_test

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"

	"rodcall/session/store"
	"rodcall/session/term"
)

var update = flag.Bool("update", false, "write what the played chats now answer into their files")

// played is what a chat left: what was printed, and every event as stored.
type played struct {
	transcript string
	events     []string
}

func play(t *testing.T, steps string) played {
	t.Helper()
	db := filepath.Join(t.TempDir(), "walk.db")
	var out bytes.Buffer
	err := term.Play(context.Background(), term.Options{
		DB: db, Pictures: filepath.Join(t.TempDir(), "pictures"), In: strings.NewReader(steps), Out: &out,
	})
	if err != nil {
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
	p := played{transcript: out.String()}
	err = s.View(func(tx *store.Tx) error {
		headers, err := tx.Headers()
		if err != nil {
			return err
		}
		for _, h := range headers {
			for b := range tx.Stored(h.ID, 1) {
				p.events = append(p.events, h.ID+" "+string(b))
			}
			if err := tx.Verify(h.ID); err != nil {
				return fmt.Errorf("chain of %s: %w", h.ID, err)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestPlayedChats plays every chat of testdata, and plays it again with all
// closed and opened, and the last update delivered twice, between any two
// steps: that must change nothing.
func TestPlayedChats(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "chats", "*.txtar"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no played chats: %v", err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
			a, err := txtar.ParseFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if len(a.Files) != 2 || a.Files[0].Name != "chat" || a.Files[1].Name != "want" {
				t.Fatalf("%s: want the parts chat and want", file)
			}
			steps := string(a.Files[0].Data)
			once := play(t, steps)
			if *update {
				a.Files[1].Data = []byte(once.transcript)
				if err := os.WriteFile(file, txtar.Format(a), 0o644); err != nil {
					t.Fatal(err)
				}
			} else if diff := cmp.Diff(string(a.Files[1].Data), once.transcript); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
			for _, between := range []string{"!restart", "!repeat", "!restart\n!repeat\n!repeat"} {
				again := play(t, insert(steps, between))
				if diff := cmp.Diff(without(once.transcript), without(again.transcript)); diff != "" {
					t.Errorf("%q between the steps changes what is said:\n%s", between, diff)
				}
				if diff := cmp.Diff(once.events, again.events); diff != "" {
					t.Errorf("%q between the steps changes what is stored:\n%s", between, diff)
				}
			}
		})
	}
}

func insert(steps, between string) string {
	var b strings.Builder
	for _, l := range strings.SplitAfter(steps, "\n") {
		b.WriteString(l)
		if text := strings.TrimSpace(l); text != "" && !strings.HasPrefix(text, "#") && !strings.HasPrefix(text, "@") {
			b.WriteString(between + "\n")
		}
	}
	return b.String()
}

func without(transcript string) string {
	var b strings.Builder
	for _, l := range strings.SplitAfter(transcript, "\n") {
		if !strings.HasPrefix(l, "> !") {
			b.WriteString(l)
		}
	}
	return b.String()
}
