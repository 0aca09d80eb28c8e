package report_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rodcall/reduce"
	"rodcall/session"
	"rodcall/session/report"
)

// TestSignatures: the export tells every signature and which one stands; the
// drawing and the summary name who signed, or who re-opened it, and never a
// person's number.
func TestSignatures(t *testing.T) {
	b := newBook(t, "Barn", reduce.Direct)
	b.rectangle(4, 4)
	for _, st := range []string{"c1", "c2", "c3", "c4"} {
		b.read(st, 0)
	}
	b.add(session.DatumSet{Choice: reduce.DatumStation, Station: b.station("c1")})
	type signature struct {
		By       *string `json:"by"`
		At       string  `json:"at"`
		Round    int     `json:"round"`
		Event    uint64  `json:"event"`
		Standing bool    `json:"standing"`
		Reopened *string `json:"reopened"`
	}
	check := func(state string, want []signature, says string) {
		t.Helper()
		j := b.job()
		var got struct {
			Job        struct{ State string }
			Signatures []signature
		}
		if err := json.Unmarshal(exported(t, j), &got); err != nil {
			t.Fatal(err)
		}
		if got.Job.State != state {
			t.Errorf("state %s, want %s", got.Job.State, state)
		}
		if d := cmp.Diff(want, got.Signatures); d != "" {
			t.Errorf("(-want +got)\n%s", d)
		}
		var svg bytes.Buffer
		if err := report.WriteSVG(&svg, j, "en", made, sources); err != nil {
			t.Fatal(err)
		}
		for what, text := range map[string]string{"drawing": words(t, svg.Bytes()), "summary": report.Summary(j, "en", names)} {
			if says == "" && strings.Contains(text, "signed") || !strings.Contains(text, says) {
				t.Errorf("%s: %q is not in:\n%s", what, says, text)
			}
			if strings.ContainsAny(text, "\uE0A0\uE0A1") {
				t.Errorf("%s: a person without a name:\n%s", what, text)
			}
		}
	}
	ann, nobody, when := "ann", (*string)(nil), "2026-05-04T13:01:40Z"
	check("review", []signature{}, "")
	b.add(session.Signed{Round: 1, Surface: "plate", Tight: true, On: 4})
	check("signed", []signature{{&ann, "2026-05-04T13:01:30Z", 1, 10, true, nil}}, "signed off by ann, 2026-05-04 13:01 UTC, in round 1")
	b.by = 2 // whose name is not known
	b.read("c2", sixteenths(1))
	check("review", []signature{{&ann, "2026-05-04T13:01:30Z", 1, 10, false, &when}}, "re-opened by somebody, 2026-05-04 13:01 UTC, after ann had signed it off")
	b.add(session.Signed{Round: 1})
	check("signed", []signature{{&ann, "2026-05-04T13:01:30Z", 1, 10, false, &when}, {nobody, "2026-05-04T13:01:50Z", 1, 12, true, nil}}, "signed off by somebody")
}
