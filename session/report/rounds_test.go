package report_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rodcall/reduce"
	"rodcall/session"
	"rodcall/session/report"
	"rodcall/session/report/proof"
)

// twoRounds is the shed walked again on shims from another set-up: c1+4, which
// got 3/16, is read there; c3, which got 1/16, is not.
func twoRounds(t *testing.T) *book {
	b := newBook(t, "North shed", reduce.Direct)
	b.rectangle(8, 8)
	for i, s := range []string{"bm", "c1", "c1+4", "c2", "c2+4", "c3"} {
		b.read(s, sixteenths([]reduce.Length{8, 0, -3, 0, 1, -1}[i]))
	}
	b.add(session.DatumSet{Choice: reduce.DatumFirst})
	b.add(session.Shimmed{Round: 1, Spots: []session.ShimSet{{Station: b.station("c1+4"), Amount: sixteenths(3)}, {Station: b.station("c3"), Amount: sixteenths(1)}}})
	b.add(session.RoundOpened{Round: 2, Surface: "shims", Walk: []reduce.Station{b.station("c1"), b.station("c1+4"), b.station("c3")}})
	b.add(session.SetupOpened{Setup: 2})
	b.add(session.RodTaken{Rod: 2, Setup: 2, Kind: reduce.Direct, By: 1})
	for i, s := range []string{"bm", "c1", "c1+4"} {
		b.add(session.Read{Round: 2, Rod: 2, Station: b.station(s), Value: sixteenths([]reduce.Length{11, 3, 2}[i]), Said: "x"})
	}
	return b
}

// TestJSONRounds: every round in which a station was read, what is carried, what
// is only foreseen, and counts of the walk of the present round.
func TestJSONRounds(t *testing.T) {
	var doc struct {
		Job struct {
			Round   int
			Surface string
			State   string
		}
		Setups   []struct{ Tied_by []string }
		Stations []struct {
			Name                 string
			Elevation, Predicted *string
			Verdict              *string
			Carried              bool
			Rounds               []struct {
				Round     int
				Elevation string
			}
		}
		Readings []struct{ Round int }
		Summary  struct{ Read, Left int }
	}
	if err := json.Unmarshal(exported(t, twoRounds(t).job()), &doc); err != nil {
		t.Fatal(err)
	}
	if doc.Job.Round != 2 || doc.Job.Surface != "shims" || doc.Job.State != "walk" || doc.Summary.Read != 2 || doc.Summary.Left != 1 {
		t.Errorf("%+v, %+v", doc.Job, doc.Summary)
	}
	if d := cmp.Diff([]string{"bm"}, doc.Setups[1].Tied_by); d != "" {
		t.Error(d)
	}
	text := func(s *string) string {
		if s == nil {
			return "null"
		}
		return *s
	}
	got := map[string][]string{}
	for _, s := range doc.Stations {
		row := []string{text(s.Elevation), text(s.Predicted), text(s.Verdict)}
		if s.Carried {
			row = append(row, "carried")
		}
		for _, r := range s.Rounds {
			row = append(row, string(rune('0'+r.Round))+": "+r.Elevation)
		}
		got[s.Name] = row
	}
	for name, want := range map[string][]string{
		"c1":   {"0", "0", "on", "1: 0", "2: 0"},
		"c1+4": {"-1.5875", "-1.5875", "on", "1: -4.7625", "2: -1.5875"},
		"c2+4": {"1.5875", "1.5875", "on", "carried", "1: 1.5875"},
		"c3":   {"null", "0", "unread", "1: -1.5875"},
		"c4":   {"null", "null", "unread"},
	} {
		if d := cmp.Diff(want, got[name]); d != "" {
			t.Errorf("%s (-want +got):\n%s", name, d)
		}
	}
}

// TestSceneOfRounds: the strip holds the first round under the present one, both
// from the datum, and says which is which.
func TestSceneOfRounds(t *testing.T) {
	s := report.Scene(twoRounds(t).job(), "en", made)
	run := s.Strip.Runs[0]
	var before, now []reduce.Length
	for _, p := range run.Before {
		before = append(before, p.Height/sixteenths(1))
	}
	for _, p := range run.Points {
		now = append(now, p.Height/sixteenths(1))
	}
	if d := cmp.Diff([]reduce.Length{0, -3, 0, 1, -1}, before); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff([]reduce.Length{0, -1, 0, 1}, now); d != "" {
		t.Error(d)
	}
	if s.Strip.Before != "round 1, rod on concrete" || s.Strip.Now != "round 2, rod on shims" {
		t.Errorf("%q under %q", s.Strip.Before, s.Strip.Now)
	}
	if one := report.Scene(shed(t).job(), "en", made); one.Strip.Before != "" || len(one.Strip.Runs[0].Before) > 0 {
		t.Error("a job of one round shows a round before it")
	}
}

// TestLaidIsKept: what was laid in a round stands in the export and the papers of
// later ones, beside what is to be taken out of it.
func TestLaidIsKept(t *testing.T) {
	b := newBook(t, "North shed", reduce.Direct)
	b.rectangle(8, 8)
	walk := []string{"c1", "c1+4", "c2", "c2+4", "c3", "c3+4", "c4", "c4+4"}
	for i, s := range append([]string{"bm"}, walk...) {
		b.read(s, sixteenths([]reduce.Length{8, 0, -4, 0, 0, 0, 0, 0, 0}[i]))
	}
	b.add(session.DatumSet{Choice: reduce.DatumFirst})
	b.add(session.Shimmed{Round: 1, Spots: []session.ShimSet{
		{Station: b.station("c1+4"), Amount: sixteenths(4), Stack: []reduce.Length{sixteenths(2), sixteenths(2)}},
		{Station: b.station("c1+2.6667"), Amount: sixteenths(3)},
	}})
	b.add(session.RoundOpened{Round: 2, Surface: "shims", Walk: []reduce.Station{b.station("c1"), b.station("c1+4"), b.station("c2")}})
	for i, s := range []string{"bm", "c1", "c1+4", "c2"} {
		b.add(session.Read{Round: 2, Rod: 1, Station: b.station(s), Value: sixteenths([]reduce.Length{8, 0, 3, 0}[i]), Said: "x"})
	}
	j := b.job()
	var doc struct {
		Laid []struct {
			Name, Amount string
			Pieces       []string
		}
		Plan struct {
			Points []struct {
				Name      string
				Set       bool
				Laid, Out *string
			}
		}
	}
	if err := json.Unmarshal(exported(t, j), &doc); err != nil {
		t.Fatal(err)
	}
	if len(doc.Laid) != 2 || doc.Laid[1].Name != "c1+4" || doc.Laid[1].Amount != "6.35" || len(doc.Laid[1].Pieces) != 2 || len(doc.Laid[0].Pieces) != 0 {
		t.Errorf("laid: %+v", doc.Laid)
	}
	for _, p := range doc.Plan.Points {
		if p.Name == "c1+4" && (p.Set || p.Laid == nil || *p.Laid != "6.35" || p.Out == nil || *p.Out != "4.7625") {
			t.Errorf("%+v", p)
		}
	}
	text, _ := readLines(t, papers(t, j, "en"))
	for _, want := range []string{"Shims lie at 2 spots", "c1+4 1/4 1/8 + 1/8", "c1+4 3/16 take out"} {
		if !strings.Contains(text, want) {
			t.Errorf("the papers do not say %q:\n%s", want, text)
		}
	}
	if strings.Contains(text, "silica") {
		t.Error("grinding is warned of where shims come out")
	}
	if _, err := proof.Compare(exported(t, j), text); err != nil {
		t.Error(err)
	}
}
