package report_test

import (
	"encoding/json"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rodcall/reduce"
	"rodcall/render"
	"rodcall/session"
	"rodcall/session/report"
)

// sunken is 24 x 16 ft whose wall from c2 to c3 is 8 in lower and whose last wall
// falls 1/8 per ft towards c1, 2 in in all, read but for c3+4: 1/16 low at c2
// and level elsewhere, with both heights at c2.
func sunken(t *testing.T) *book {
	b := newBook(t, "Sunken shed", reduce.Direct)
	b.rectangle(24, 16)
	b.add(session.DesignSet{From: b.station("c2"), To: b.station("c3"), Rise: -8 * reduce.Inch})
	b.add(session.DesignSet{From: b.station("c4"), To: b.station("c4+12"), Rise: -reduce.Inch / 8, Run: reduce.Foot, Fall: true})
	j := b.job()
	for _, s := range append(j.Outline.Stations(), b.station("c2 top")) {
		height := j.View().Design().At(s)
		if s == b.station("c2") {
			height -= sixteenths(1)
		}
		if s != b.station("c3+4") {
			b.read(j.StationName(s), height)
		}
	}
	return b
}

// TestStepsInTheExport: each station has its design, and steps and falls stand in
// the export as they were said and as they came out.
func TestStepsInTheExport(t *testing.T) {
	var doc map[string]any
	if err := json.Unmarshal(exported(t, sunken(t).job()), &doc); err != nil {
		t.Fatal(err)
	}
	designs := map[string]any{}
	for _, s := range doc["stations"].([]any) {
		d := s.(map[string]any)
		designs[d["name"].(string)] = d["design"]
	}
	for name, want := range map[string]string{
		"c1": "0", "c1+20": "0", "c2 top": "0", "c2": "-203.2", "c2+8": "-203.2", "c3": "-203.2", "c3+20": "0",
		"c4": "0", "c4+4": "-12.7", "c4+12": "-38.1",
	} {
		if designs[name] != want {
			t.Errorf("%s is designed at %v, want %s", name, designs[name], want)
		}
	}
	for path, want := range map[string]any{
		"design.0":        map[string]any{"from": "c2", "to": "c3", "loop": false, "rise": "-203.2", "run": nil},
		"design.1":        map[string]any{"from": "c4", "to": "c4+12", "loop": false, "rise": "-3.175", "run": "304.8"},
		"steps.0":         map[string]any{"station": "c2", "rise": "-203.2", "off": "-1.5875", "between": []any{"c2 top", "c2"}, "verdict": "on"},
		"steps.1.station": "c3",
		"steps.1.between": []any{"c3", "c3+8"}, "steps.1.off": "0",
		"steps.2.station": "c4+12", "steps.2.rise": "38.1",
		"summary.range": "1.5875",
	} {
		if d := cmp.Diff(want, at(t, doc, path)); d != "" {
			t.Errorf("%s: %s", path, d)
		}
	}
}

// TestSceneOfSteps: the step has its words on the plan and in the strip, its two
// heights stand on either side of it with no line between them, and walls at
// another level are hollow.
func TestSceneOfSteps(t *testing.T) {
	const ft = reduce.Foot
	s := report.Scene(sunken(t).job(), "en", made)
	top, c2 := find(t, s, "c2 top"), find(t, s, "c2")
	if top.Note != "step 8 in" || c2.Note != "" || !top.Corner || !c2.Corner {
		t.Errorf("at c2 stand %+v and %+v", top, c2)
	}
	if (top.At != reduce.Point{X: 23 * ft}) || (c2.At != reduce.Point{X: 24 * ft, Y: ft}) {
		t.Errorf("c2 top stands at %v, c2 at %v", top.At, c2.At)
	}
	if c2.Word != "low" || c2.Amount != "1/16" || top.Word != "level" {
		t.Errorf("c2 is %s %s, its top %s", c2.Word, c2.Amount, top.Word)
	}
	if m := find(t, s, "c4+12"); m.Note != "step 1 1/2 in" || !m.Corner {
		t.Errorf("c4+12 says %q", m.Note)
	}
	want := [][]reduce.Point{{{X: 24 * ft}, {X: 24 * ft, Y: 16 * ft}}, {{Y: 16 * ft}, {Y: 4 * ft}}}
	if d := cmp.Diff(want, s.Other); d != "" {
		t.Errorf("hollow walls: %s", d)
	}
	run := s.Strip.Runs[0]
	if d := cmp.Diff([]render.RunStep{{At: 24 * ft, Text: "step 8 in"}, {At: 40 * ft, Text: "step 8 in"}, {At: 76 * ft, Text: "step 1 1/2 in"}}, run.Steps); d != "" {
		t.Errorf("steps of the strip: %s", d)
	}
	var gaps []reduce.Length
	for _, p := range run.Points {
		if p.Gap {
			gaps = append(gaps, p.At/ft)
		}
		if want := reduce.Length(0); p.Height != want && p.Height != -sixteenths(1) {
			t.Errorf("at %d ft the strip shows %v", p.At/ft, p.Height)
		}
	}
	// Behind c2 top, and behind what is unread; c4+12 is the last of its wall.
	if !slices.Equal(gaps, []reduce.Length{24, 48}) {
		t.Errorf("no line leads to %v ft", gaps)
	}
	if !slices.Contains(s.Lines, "design (hollow walls): c2 to c3: 8 in lower; c4 to c4+12: falls 1 1/2 in over 12 ft") {
		t.Errorf("the head says %q", s.Lines)
	}
}
