package bot_test

import (
	"bytes"
	"context"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"

	"rodcall/bot/apitest"
	"rodcall/session"
	"rodcall/session/report"
	"rodcall/session/store"
	"rodcall/session/term"
)

// chat reads a played chat of testdata: its steps, and what the terminal says.
func chat(t *testing.T, name string) (steps, want string) {
	t.Helper()
	a, err := txtar.ParseFile(filepath.Join("..", "testdata", "chats", name+".txtar"))
	if err != nil {
		t.Fatal(err)
	}
	return string(a.Files[0].Data), string(a.Files[1].Data)
}

// job is the only job of a file, as CSV: its stations and all that is known of
// them.
func job(t *testing.T, s *store.Store) string {
	t.Helper()
	var b bytes.Buffer
	eachJob(t, s, func(tx *store.Tx, j *session.Job) error {
		if err := tx.Verify(j.ID); err != nil {
			t.Errorf("chain of %s: %v", j.ID, err)
		}
		return report.WriteCSV(&b, j)
	})
	return b.String()
}

// eachJob looks at each job of a file.
func eachJob(t *testing.T, s *store.Store, look func(tx *store.Tx, j *session.Job) error) {
	t.Helper()
	err := s.View(func(tx *store.Tx) error {
		headers, err := tx.Headers()
		if err != nil {
			return err
		}
		for _, h := range headers {
			j, err := tx.Job(h.ID)
			if err != nil {
				return err
			}
			if err := look(tx, j); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// inTerminal plays a chat in the terminal and returns its job.
func inTerminal(t *testing.T, steps string) string {
	t.Helper()
	db := filepath.Join(t.TempDir(), "term.db")
	var out bytes.Buffer
	if err := term.Play(context.Background(), term.Options{DB: db, In: strings.NewReader(steps), Out: &out}); err != nil {
		t.Fatal(err)
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
	return job(t, s)
}

// lots are the stations drawn by lot: a job's number draws them, and that is
// another in each chat; of some lots nothing is left to read again.
var lots = regexp.MustCompile(`(?m)^.*drawn by lot: .*\n|^ *\[re-shoot \d+\]\n| \[re-shoot \d+\]`)

// TestTheWholeWalk plays walks over HTTP: the same is said, and the same is
// stored, as in the terminal.
func TestTheWholeWalk(t *testing.T) {
	for _, name := range []string{"walk-direct", "walk-standard", "corrections", "batch", "metric"} {
		t.Run(name, func(t *testing.T) {
			steps, want := chat(t, name)
			r := newRig(t, apitest.Config{})
			u, c := r.owner("ann")
			got := r.play(u, c, steps)
			if diff := cmp.Diff(lots.ReplaceAllString(said(want), ""), lots.ReplaceAllString(got, "")); diff != "" {
				t.Errorf("what is said (-terminal +telegram)\n%s", diff)
			}
			if diff := cmp.Diff(inTerminal(t, steps), job(t, r.file)); diff != "" {
				t.Errorf("what is stored (-terminal +telegram)\n%s", diff)
			}
			r.noFaults()
		})
	}
}
