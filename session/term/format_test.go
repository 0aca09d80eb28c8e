package term_test

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rodcall/session"
	"rodcall/session/report"
	"rodcall/session/store"
)

// holds are the kinds of event that files of each format can hold, and those of
// the one before could not; a file of each holds one of each.
var holds = [][]string{
	{
		"opened", "outline", "units", "setup", "rod", "rod-tested", "rod-flipped", "reference", "read",
		"voided", "restored", "no-beam", "round-ended", "datum", "tolerance", "surface", "bolts",
	},
	{
		"known", "weights", "laser", "budget", "laser-checked", "setup-split", "check-every", "design", "plan", "places", "stock",
		"shimmed", "round-opened", "signed", "firmed", "noted", "count", "language",
	},
}

// TestOldFiles opens a file of each format that there has been, as it was
// written then: its chains hold, its events are read, and its jobs are what
// they were. The files are never written anew; -update writes only what is
// exported of them.
func TestOldFiles(t *testing.T) {
	for format := 1; format <= store.Format; format++ {
		t.Run(strconv.Itoa(format), func(t *testing.T) {
			dir := filepath.Join("..", "..", "testdata", "formats")
			old, err := os.ReadFile(filepath.Join(dir, strconv.Itoa(format)+".bolt"))
			if err != nil {
				t.Fatal(err)
			}
			db := filepath.Join(t.TempDir(), "walk.db")
			if err := os.WriteFile(db, old, 0o600); err != nil {
				t.Fatal(err)
			}
			s, err := store.Open(db, store.Options{})
			if err != nil {
				t.Fatal(err)
			}
			defer func() {
				if err := s.Close(); err != nil {
					t.Error(err)
				}
			}()
			var got bytes.Buffer
			kinds := map[string]bool{}
			err = s.View(func(tx *store.Tx) error {
				headers, err := tx.Headers()
				if err != nil {
					return err
				}
				for _, h := range headers {
					if err := tx.Verify(h.ID); err != nil {
						t.Errorf("chain of %s: %v", h.Name, err)
					}
					for b := range tx.Stored(h.ID, 1) {
						e, _, err := session.Decode(b)
						if err != nil {
							return err
						}
						kinds[session.KindOf(e.Body)] = true
					}
					j, err := tx.Job(h.ID)
					if err != nil {
						return err
					}
					if err := report.WriteJSON(&got, j, report.Sources{
						Names: func(session.PersonID) string { return "crew" },
						Head:  report.Head{Seq: h.Seq, Hash: h.Head},
					}); err != nil {
						return err
					}
				}
				return nil
			})
			if err != nil {
				t.Fatal(err)
			}
			// What a file of that format can hold.
			for _, k := range slices.Concat(holds[:format]...) {
				if !kinds[k] {
					t.Errorf("the file holds no event %q", k)
				}
			}
			file := filepath.Join(dir, strconv.Itoa(format)+".json")
			if *update {
				if err := os.WriteFile(file, got.Bytes(), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(string(want), got.String()); diff != "" {
				t.Errorf("(-then +now)\n%s", diff)
			}
		})
	}
}
