package term_test

import (
	"bufio"
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rodcall/reduce"
	"rodcall/session"
	"rodcall/session/report"
	"rodcall/session/store"
	"rodcall/session/term"

	"github.com/shopspring/decimal"
)

// checkRows are the rows of an example in a table of published figures.
func checkRows(t *testing.T, file, example string) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "checks", file))
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := f.Close(); err != nil {
			t.Error(err)
		}
	}()
	var out [][]string
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		if row := strings.Split(lines.Text(), "\t"); row[0] == example {
			out = append(out, row)
		}
	}
	if err := lines.Err(); err != nil {
		t.Fatal(err)
	}
	return out
}

// levelled is a job that a chat left in a file.
func levelled(t *testing.T, steps string) *session.Job {
	t.Helper()
	db := filepath.Join(t.TempDir(), "walk.db")
	var out bytes.Buffer
	if err := term.Play(context.Background(), term.Options{DB: db, In: strings.NewReader(steps), Out: &out}); err != nil {
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
	var job *session.Job
	if err := s.View(func(tx *store.Tx) error {
		headers, err := tx.Headers()
		if err != nil {
			return err
		}
		job, err = tx.Job(headers[0].ID)
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return job
}

// TestPublishedLinesThroughTheChat sends two published lines of levels, reading
// by reading, with the heights known at both ends and every set-up counting
// alike: the turning points come out at the published final values, and the
// level notes hold those of the intermediate sights too.
//
// R. Rode, "Collimation method" (course hand-out): BM1 106.366, BM2 105.263;
// read, recomputed. Universiti Sains Malaysia, School of Civil Engineering,
// survey lecture notes "Ukur Aras" (JSSUAE1): OBM1 29.23, OBM2 29.66; read,
// recomputed.
func TestPublishedLinesThroughTheChat(t *testing.T) {
	for example, known := range map[string][2]string{"Rode": {"106.366", "105.263"}, "USM": {"29.23", "29.66"}} {
		t.Run(example, func(t *testing.T) {
			rows := checkRows(t, "levels.tsv", example)
			names := map[string]string{rows[0][3]: "bm", rows[len(rows)-1][3]: "bm2"}
			chat := []string{"new Line", "units mm", "standard rod", "reference bm", "weights setups",
				"known bm " + known[0] + " m", "known bm2 " + known[1] + " m"}
			setup := rows[0][1]
			for _, r := range rows {
				if names[r[3]] == "" {
					names[r[3]] = reduce.TurningNumber(len(names)).Name(reduce.Metre)
				}
				if r[1] != setup {
					setup = r[1]
					chat = append(chat, "moved")
				}
				chat = append(chat, names[r[3]]+" "+r[4]+" m")
			}
			job := levelled(t, strings.Join(chat, "\n"))
			heights := map[string]*reduce.Length{}
			for _, s := range job.View().Stations {
				heights[s.Name] = s.Height
			}
			var notes bytes.Buffer
			if err := report.WriteNotes(&notes, job, "en", report.Sources{}); err != nil {
				t.Fatal(err)
			}
			final := map[string]string{}
			for line := range strings.Lines(notes.String()) {
				if f := strings.Fields(line); len(f) > 3 {
					final[f[0]] = f[len(f)-1]
				}
			}
			// The whole misclosure shows at the last set-up: what its correction
			// takes away.
			rows = checkRows(t, "levels-adjusted.tsv", example)
			setups := job.View().Solution.SetUps
			closing := decimal.RequireFromString(rows[len(rows)-1][4]).Neg()
			if m := setups[len(setups)-1].Misclosure; m == nil || !m.Decimal(reduce.Millimetre).Equal(closing) {
				t.Errorf("misclosure %v, published %s mm", m, closing)
			}
			seen := 0
			for _, r := range rows {
				if r[5] == "-" {
					continue // a half case, published rounded the other way
				}
				name, want := names[r[3]], decimal.RequireFromString(r[5])
				got := heights[name]
				if got == nil {
					t.Errorf("%s (%s) has no height", r[3], name)
					continue
				}
				places := -want.Exponent()
				if r[2] == "FS" && !got.Decimal(reduce.Metre).Round(places).Equal(want) {
					t.Errorf("%s (%s): %s m by least squares, published %s", r[3], name, got.Decimal(reduce.Metre), want)
				}
				if book, err := decimal.NewFromString(final[name]); err != nil || !book.Round(places).Equal(want) {
					t.Errorf("%s (%s): %s m in the notes, published %s", r[3], name, final[name], want)
				}
				seen++
			}
			if seen < 8 {
				t.Errorf("%d published levels compared", seen)
			}
		})
	}
}
