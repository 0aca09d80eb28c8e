package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rodcall/reduce"
	"rodcall/session"
	"rodcall/session/report"
)

// TestCSV: a row a station, each field as the JSON export has it, "" for null.
func TestCSV(t *testing.T) {
	free := newBook(t, "Barn", reduce.Direct)
	free.read("c2", 0)
	settled := shed(t)
	settled.add(session.DatumSet{Choice: reduce.DatumFixed, Level: sixteenths(1)})
	for name, b := range map[string]*book{"walk": shed(t), "settled": settled, "free": free, "rounds": rounds(t)} {
		t.Run(name, func(t *testing.T) {
			j := b.job()
			var out bytes.Buffer
			if err := report.WriteCSV(&out, j); err != nil {
				t.Fatal(err)
			}
			rows, err := csv.NewReader(&out).ReadAll()
			if err != nil {
				t.Fatal(err)
			}
			if got, want := strings.Join(rows[0], ","), "name,loop,x,y,design,height,elevation,deviation,band,move,verdict,checked,shims,rounds"; got != want {
				t.Fatalf("the columns are %s, want %s", got, want)
			}
			var doc struct{ Stations []map[string]any }
			if err := json.Unmarshal(exported(t, j), &doc); err != nil {
				t.Fatal(err)
			}
			want := [][]string{rows[0]}
			for _, s := range doc.Stations {
				var row []string
				for _, c := range rows[0] {
					v, ok := s[c]
					switch {
					case !ok:
						t.Fatalf("the JSON export has no %s", c)
					case v == nil:
						row = append(row, "")
					case c == "shims" || c == "rounds":
						var parts []string
						for _, k := range v.([]any) {
							part := fmt.Sprint(k)
							if r, is := k.(map[string]any); is {
								part = fmt.Sprint(r["round"], ":")
								if r["elevation"] != nil {
									part += fmt.Sprint(r["elevation"])
								}
							}
							parts = append(parts, part)
						}
						row = append(row, strings.Join(parts, " "))
					default:
						row = append(row, fmt.Sprint(v))
					}
				}
				want = append(want, row)
			}
			if d := cmp.Diff(want, rows); d != "" {
				t.Errorf("(-JSON +CSV):\n%s", d)
			}
		})
	}
}

type full struct{ room int }

func (f *full) Write(p []byte) (int, error) {
	if f.room -= len(p); f.room < 0 {
		return 0, errFull
	}
	return len(p), nil
}

var errFull = errors.New("disk full")

// TestWritersTellOfAFailure: an export that was not written whole is an error.
func TestWritersTellOfAFailure(t *testing.T) {
	j := shed(t).job()
	if err := report.WriteCSV(&full{10}, j); !errors.Is(err, errFull) {
		t.Errorf("CSV: %v", err)
	}
	if err := report.WriteJSON(&full{10}, j, sources); !errors.Is(err, errFull) {
		t.Errorf("JSON: %v", err)
	}
}
