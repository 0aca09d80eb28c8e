package report_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rodcall/reduce"
	"rodcall/session"
	"rodcall/session/report"
)

var update = flag.Bool("update", false, "write the golden files anew")

func exported(t *testing.T, j *session.Job) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := report.WriteJSON(&b, j, sources); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// golden compares with a file of testdata.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(want), string(got)); d != "" {
		t.Errorf("%s (-want +got):\n%s", path, d)
	}
}

// TestJSON: the heights in the golden file were worked out by hand. With c1
// read at 1/16: c1+4 at -1/8 is 3/16 low, -4.7625 mm; c2 at 1/4 and, checked,
// at 3/16 is (3/16 + 1/8)/2 = 5/32 high, 3.96875 mm, which leaves the least
// squares to 0.001 mm; p1 at -7/16 is 1/2 low; bm at 1 5/16 is 1 1/4 high.
func TestJSON(t *testing.T) {
	b := shed(t)
	golden(t, "shed.json", exported(t, b.job()))
	b.by = 1
	b.add(session.DatumSet{Choice: reduce.DatumHigh})
	b.add(session.ToleranceSet{Tolerance: sixteenths(1)})
	b.add(session.RoundEnded{Round: 1})
	golden(t, "shed-datum.json", exported(t, b.job()))
	if a, b := exported(t, b.job()), exported(t, b.job()); !bytes.Equal(a, b) {
		t.Error("the same job gave two exports")
	}
}

// TestJSONOfAJobJustOpened: nothing is known, so nothing is told.
func TestJSONOfAJobJustOpened(t *testing.T) {
	b := &book{t: t, by: 9}
	b.add(session.Opened{Job: "j1", Chat: "crew", Name: "<b>& \"x\""})
	b.add(session.SetupOpened{Setup: 1})
	golden(t, "opened.json", exported(t, b.job()))
}

// TestJSONNulls: what is not known is null, and a list is a list.
func TestJSONNulls(t *testing.T) {
	b := newBook(t, "Barn", reduce.Standard)
	b.read("c2", 4*reduce.Foot)
	b.add(session.DatumSet{Choice: reduce.DatumStation, Station: b.station("c3")})
	b.by = 2
	b.read("bm", 4*reduce.Foot)
	b.add(session.RodTaken{Rod: 2, Setup: 1, Kind: reduce.Direct, By: 2})
	var doc map[string]any
	if err := json.Unmarshal(exported(t, b.job()), &doc); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]any{
		"datum.choice":         "station",
		"datum.station":        "c3",
		"datum.level":          nil,
		"rods.0.constant":      nil,
		"rods.0.by":            "ann",
		"rods.1.by":            nil,
		"setups.0.tied_by":     []any{},
		"setups.0.misclosure":  nil,
		"stations.0.name":      "c2",
		"stations.0.loop":      nil,
		"stations.0.x":         nil,
		"stations.0.design":    "0",
		"stations.0.height":    nil,
		"stations.0.elevation": nil,
		"stations.0.deviation": nil,
		"stations.0.band":      nil,
		"stations.0.move":      nil,
		"stations.0.verdict":   nil,
		"stations.0.shims":     []any{},
		"stations.0.rounds":    []any{map[string]any{"round": 1.0, "elevation": nil}},
		"stations.1.name":      "bm",
		"summary.high":         nil,
		"summary.low":          nil,
		"summary.range":        nil,
		"summary.worst_pair":   nil,
		"summary.read":         1.0,
		"tolerance":            "3.175",
		"tolerance_set":        false,
	} {
		if d := cmp.Diff(want, at(t, doc, path)); d != "" {
			t.Errorf("%s: %s", path, d)
		}
	}
}

// at follows a path of names and places into decoded JSON.
func at(t *testing.T, doc any, path string) any {
	t.Helper()
	for _, p := range strings.Split(path, ".") {
		switch d := doc.(type) {
		case map[string]any:
			v, ok := d[p]
			if !ok {
				t.Fatalf("%s: no %s", path, p)
			}
			doc = v
		case []any:
			doc = d[p[0]-'0']
		default:
			t.Fatalf("%s: nothing under %s", path, p)
		}
	}
	return doc
}

// TestTiesOfASetUp: a set-up hangs on the stations that it shares with those
// before it, and on the reference.
func TestTiesOfASetUp(t *testing.T) {
	b := newBook(t, "Barn", reduce.Direct)
	b.read("c1", 0)
	b.read("c2", sixteenths(1))
	b.read("c3", sixteenths(2))
	b.add(session.SetupOpened{Setup: 2})
	b.add(session.RodTaken{Rod: 2, Setup: 2, Kind: reduce.Direct, By: 1})
	for s, v := range map[string]reduce.Length{"c3": 5, "c4": 6} {
		b.add(session.Read{Round: 1, Rod: 2, Station: b.station(s), Value: sixteenths(v)})
	}
	var doc any
	if err := json.Unmarshal(exported(t, b.job()), &doc); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]any{
		"setups.0.tied_by":     []any{"c1"},
		"setups.1.tied_by":     []any{"c3"},
		"rods.1.constant":      "4.7625", // 5/16 at c3, which is 1/8 high: 3/16
		"stations.3.name":      "c4",
		"stations.3.elevation": "4.7625", // 6/16 - 3/16
	} {
		if d := cmp.Diff(want, at(t, doc, path)); d != "" {
			t.Errorf("%s: %s", path, d)
		}
	}
}
