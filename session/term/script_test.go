package term_test

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"

	"rodcall/session"
	"rodcall/session/store"
	"rodcall/session/term"
)

var update = flag.Bool("update", false, "write what the played chats now answer into their files")

// played is what a chat left: what was printed, what was answered to what, every
// event as stored, and the jobs.
type played struct {
	transcript string
	talks      []talk
	switched   []talk // see there
	events     []string
	jobs       []*session.Job
}

// talk is what was answered to one message, or would have been in the other
// language.
type talk struct {
	said    string
	replies []session.Reply
}

// chats are the played chats of testdata, each played once for all tests.
var chats = map[string]played{}

// chatFiles are their files.
func chatFiles(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "chats", "*.txtar"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no played chats: %v", err)
	}
	return files
}

// playFile reads a chat of testdata, and plays it where no test did.
func playFile(t *testing.T, file string) (*txtar.Archive, played) {
	t.Helper()
	a, err := txtar.ParseFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Files) != 2 || a.Files[0].Name != "chat" || a.Files[1].Name != "want" {
		t.Fatalf("%s: want the parts chat and want", file)
	}
	if _, done := chats[file]; !done {
		chats[file] = play(t, string(a.Files[0].Data))
	}
	return a, chats[file]
}

func play(t *testing.T, steps string) played {
	t.Helper()
	db := filepath.Join(t.TempDir(), "walk.db")
	var out bytes.Buffer
	var p played
	err := term.Play(context.Background(), term.Options{
		DB: db, Pictures: filepath.Join(t.TempDir(), "pictures"), In: strings.NewReader(steps), Out: &out,
		Hear: func(c session.Chat, j *session.Job, v session.Conversation, m session.Message) session.Outcome {
			o := session.Hear(c, j, v, m)
			other := v
			other.Lang, other.Chosen = "es", true
			if v.Lang == "es" {
				other.Lang = "en"
			}
			open, err := json.Marshal(v) // what it asks, and what waits, was put in the language then
			if err != nil {
				t.Error(err)
			}
			p.talks = append(p.talks, talk{m.Text + " " + ownWords(v), o.Replies}, talk{m.Text + " " + string(open), session.Hear(c, j, other, m).Replies})
			p.switched = append(p.switched, switched(c, j, v, m)...)
			return o
		},
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
	p.transcript = out.String()
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
			j, err := tx.Job(h.ID)
			if err != nil {
				return err
			}
			p.jobs = append(p.jobs, j)
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
	for _, file := range chatFiles(t) {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
			a, once := playFile(t, file)
			steps := string(a.Files[0].Data)
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
