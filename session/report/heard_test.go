package report_test

import (
	"encoding/json"
	"strings"
	"testing"

	"rodcall/session"
	"rodcall/session/report"
)

// TestHeard: a reading that was heard says so in the export, and whether it is
// firm; papers, notes, drawing and summary name what is not. All others say
// nothing of it.
func TestHeard(t *testing.T) {
	b := shed(t)
	b.by = 1
	first := b.add(session.Read{Round: 1, Rod: 1, Station: b.station("c3"), Value: sixteenths(-3), Said: "three sixteenths low", Spoken: true})
	b.add(session.Read{Round: 1, Rod: 1, Station: b.station("c3+4"), Value: sixteenths(-5), Said: "five sixteenths low", Spoken: true})
	b.add(session.Firmed{Seqs: []uint64{first}, How: "next"})
	j := b.job()
	var doc struct {
		Readings []map[string]any `json:"readings"`
	}
	if err := json.Unmarshal(exported(t, j), &doc); err != nil {
		t.Fatal(err)
	}
	want := map[string]any{"c3": true, "c3+4": false}
	for _, r := range doc.Readings {
		name := r["station"].(string)
		firm, heard := want[name]
		if r["void"] == true {
			heard = false
		}
		if got, is := r["spoken"]; is != heard || is && got != true {
			t.Errorf("%s: spoken %v", name, got)
		}
		if got, is := r["firm"]; is != heard || is && got != firm {
			t.Errorf("%s: firm %v, want %v", name, got, firm)
		}
	}
	for lang, open := range map[string]string{"en": "Heard, not confirmed, 1: c3+4 5/16 low.", "es": "Oído, sin confirmar, 1: c3+4 5/16 bajo."} {
		if s := j.View().Summary(lang); !strings.Contains(s, open) {
			t.Error(s)
		}
		if s := j.View().Notes(lang); !strings.Contains(s, open) {
			t.Error(s)
		}
	}
	if head := strings.Join(report.Scene(j, "en", start).Lines, "\n"); !strings.Contains(head, "1 heard, not confirmed") {
		t.Error(head)
	}
	if text, _ := readLines(t, papers(t, j, "en")); strings.Count(text, "not confirmed") != 3 {
		t.Error(text) // the station, the notes, and the summary
	}
	b.add(session.Firmed{Seqs: []uint64{first + 1}, How: "tap"})
	if s := b.job().View().Summary("en"); strings.Contains(s, "not confirmed") {
		t.Error(s)
	}
}
