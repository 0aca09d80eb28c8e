package session_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"rodcall/reduce"
	"rodcall/session"
)

// sunk is a house of six corners whose garage, c2 to c4, is 8 in lower, read as
// far as the rod shows it; marks stand every 8 ft.
func sunk(t *testing.T) *table {
	tb := newTable(t)
	for _, s := range []string{"new East house", "walls 36 left 12 left 12 right 12 left 24 left 24", "spacing 8", "direct rod"} {
		tb.say("ann", s)
	}
	return tb
}

// station is a station of the job's view.
func (tb *table) station(name string) (session.StationView, bool) {
	for _, s := range tb.job().View().Stations {
		if s.Name == name {
			return s, true
		}
	}
	return session.StationView{}, false
}

// TestStepIsTakenOff: both ends and all between are 8 in lower by design, which
// is taken off the echo, the deviation and the verdict.
func TestStepIsTakenOff(t *testing.T) {
	tb := sunk(t)
	tb.mustSay("ann", "step c2 c4 8 in lower", "c2 to c4: 8 in lower (design, of c1; 5 stations).")
	for _, s := range tb.job().View().Stations {
		want := reduce.Length(0)
		if n := s.Station.Number; n == 2 || n == 3 || s.Name == "c4" {
			want = -8 * reduce.Inch
		}
		if s.Design != want {
			t.Errorf("%s is designed at %v, want %v", s.Name, s.Design, want)
		}
	}
	tb.say("ann", "c1 0")
	tb.mustSay("ann", "c3 8-3/8 low", "c3: 3/8 low (of c1, 8 in lower by design), rod 8 3/8 low")
	tb.mustSay("ann", "datum c1", "Raise 1, the most 3/8 at c3")
	s, _ := tb.station("c3")
	if *s.Elevation != -67*reduce.Inch/8 || *s.Deviation != -3*reduce.Inch/8 || *s.Move != 3*reduce.Inch/8 || s.Verdict != reduce.Raise {
		t.Errorf("c3 stands at %v, off by %v: %s", *s.Elevation, *s.Deviation, s.Verdict)
	}
	tb.mustSay("ann", "c3 is 8 in low", "c3: level (of c1, 8 in lower by design), on, rod 8 low, before 3/8 low")
	tb.mustSay("ann", "datum c3", "level of c1")
	tb.mustSay("ann", "step c2 c4 8-1/2 in lower", "Raise 1, the most 1/2 at c1")
	tb.mustSay("ann", "undo", "Taken back: c2 to c4: 8 1/2 in lower. Holds again: c2 to c4: 8 in lower.")
	if s, _ := tb.station("c3"); s.Design != -8*reduce.Inch {
		t.Errorf("after the undo c3 is designed at %v", s.Design)
	}
}

// TestTwoHeights: at a step both heights are read by their names; c2 alone is the
// one of its section, which either name reads.
func TestTwoHeights(t *testing.T) {
	tb := sunk(t)
	for _, s := range []string{"step c2 c4 8 in lower", "c1 0", "0", "0", "0", "0"} {
		tb.say("ann", s)
	}
	tb.quiet("ann", "c2 1/16 low", "c2: that is about the height of c2 top. Which did the rod stand on? [c2 top 1/16 low] [c2 bottom 1/16 low]")
	if got := tb.tap("ann", "c2 top 1/16 low"); !strings.Contains(got, "c2 top: 1/16 low (of c1)") || !strings.Contains(got, "Next: c2 (alone it is c2 bottom)") {
		t.Error(got)
	}
	tb.mustSay("ann", "c2 bottom 8-1/8 low", "c2 bottom: 1/8 low (of c1, 8 in lower by design)")
	if got := tb.say("ann", "left"); strings.Contains(got, "c2,") {
		t.Errorf("c2 is still left: %s", got)
	}
	if _, ok := tb.station("c2"); ok {
		t.Error("c2 stands beside its own half")
	}
	var names []string
	for _, s := range tb.job().View().Stations[4:8] {
		names = append(names, s.Name)
	}
	if want := []string{"c1+32", "c2 top", "c2 bottom", "c2+8"}; !slices.Equal(names, want) {
		t.Errorf("stations %q, want %q", names, want)
	}
	v := tb.job().View()
	if len(v.Sections) != 2 || v.Sections[1].Extent.Range != 0 || v.Sections[0].Extent.Range != reduce.Inch/16 {
		t.Errorf("sections %+v", v.Sections)
	}
	if s := v.Steps[0]; s.Off == nil || *s.Off != -reduce.Inch/16 || s.Rise != -8*reduce.Inch || s.Verdict != reduce.On {
		t.Errorf("the step at c2 is off by %v: %s", s.Off, s.Verdict)
	}
	if s := v.Steps[1]; s.Off != nil {
		t.Errorf("the step at c4 is measured: %v", *s.Off)
	}
	tb.mustSay("ann", "step tolerance 1/4", "Steps against design (1/4 in either way): c2 8 1/16 for 8 in, on.")
	tb.mustSay("ann", "step tolerance none", "as much as the sill: 1/8 in")
	// The other height goes on by itself: the walk asks for neither again.
	tb.mustSay("ann", "c2+8 8 in low", "Next: c3")
}

// TestStepAfterReading: a spot read before a step came there keeps its reading,
// and it is said where that is of the other height.
func TestStepAfterReading(t *testing.T) {
	tb := sunk(t)
	tb.say("ann", "c1 0")
	tb.say("ann", "c2 1/16 low")
	tb.say("ann", "c4 8 in low")
	got := tb.mustSay("ann", "step c2 c4 8 in lower", "c2 was read before, at the height of c2 top. Send c2 top 1/16 low, then read c2 again.")
	if strings.Contains(got, "c4 was read before") {
		t.Error(got)
	}
	if s, _ := tb.station("c2"); s.Elevation == nil || *s.Elevation != -reduce.Inch/16 {
		t.Error("c2 lost its reading")
	}
	tb.mustSay("ann", "c2 top 1/16 low", "c2 top: 1/16 low")
	tb.mustSay("ann", "c2 8 in low", "c2: level (of c1, 8 in lower by design), rod 8 low, before 7 15/16 high")
}

// TestDesignRefused: each step or fall that cannot be has its clear answer, and
// stores nothing.
func TestDesignRefused(t *testing.T) {
	tb := sunk(t)
	tb.say("ann", "loop garage 12x12 at 60,0")
	for said, want := range map[string]string{
		"step c5 c12 8 in lower":   "step c5 c12 8 in lower: not on this outline, which has 10 corners and 0 piers. Like: step c2 c3 8 in lower",
		"step c2+400 8 in lower":   "not on this outline",
		"step c2 c8 8 in lower":    "c2 and c8 are not in one run of walls",
		"step bm 8 in lower":       "a step is of corners, spots of walls, or piers",
		"step c2 c4 2000 ft lower": "is more than a step or a fall can be",
		"fall c1 c3 1/8 per ft":    "c1 and c3 are not on one wall. One fall for each wall, like: fall c2 c3 1/8 per ft",
		"fall c1 1/8 per ft":       "a fall needs two spots of a wall",
		"step c2 c4 lower":         "by how much?",
		"step c2 c4 8 in":          "lower or higher than the reference? [step c2 c4 8 in lower] [step c2 c4 8 in higher]",
		"step none":                "No steps are set.",
		"fall none":                "No falls are set.",
		"step c2 c4 none":          "No such step or fall is set",
		"c2 top 0":                 "There is no step at c2: it has one height. Say the step first, like: step c2 8 in lower",
		"c2 top is 0":              "There is no step at c2",
		"check c2 bottom 1/8 low":  "There is no step at c2",
		"step tolerance":           "that part is not understood",
	} {
		tb.quiet("ann", said, want)
	}
	tb.mustSay("ann", "step garage 8 in lower", "garage: 8 in lower (design, of c1; 8 stations).")
	tb.mustSay("ann", "40x28", "No longer on this outline, and without effect: c7: 8 in lower")
	tb.say("ann", "español")
	tb.quiet("ann", "escalón c2 c40 8 in más bajo", "no está en este contorno")
}

// TestReferenceInAStep: the section of the reference is the one that others
// are told from.
func TestReferenceInAStep(t *testing.T) {
	tb := sunk(t)
	tb.say("ann", "reference c3")
	tb.mustSay("ann", "step c2 c4 8 in lower", "c3, the reference, is in it: all the rest is 8 in higher than it.")
	tb.say("ann", "c3 0")
	tb.mustSay("ann", "c1 8 in high", "c1: level (of c3, 8 in higher by design)")
	tb.say("ann", "c1 is 8 in high")
	if s, _ := tb.station("c3"); s.Design != 0 {
		t.Errorf("the reference is designed at %v", s.Design)
	}
}

// TestPerfectlyBuilt: whatever is designed, a foundation built just so is level
// once its design is taken off: every station, section and step, and the worst
// pair; and its slope by design is not taken for the laser's.
func TestPerfectlyBuilt(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		o, err := reduce.Outline{Grid: reduce.GridFor(reduce.UnitInch)}.WithLoop("", reduce.Point{}, reduce.Rectangle(40*reduce.Foot, 28*reduce.Foot))
		if err == nil {
			o, err = o.WithLoop("garage", reduce.Point{X: 60 * reduce.Foot}, reduce.Rectangle(24*reduce.Foot, 22*reduce.Foot))
		}
		if err == nil {
			o, err = o.WithPiers([]reduce.Point{{X: 10 * reduce.Foot, Y: 10 * reduce.Foot}})
		}
		if err != nil {
			r.Fatal(err)
		}
		stations := o.Stations()
		bodies := []session.Body{
			session.Opened{Job: "j1", Chat: "crew", Name: "Lot 7"}, session.SetupOpened{Setup: 1},
			session.RodTaken{Rod: 1, Setup: 1, Kind: reduce.Standard, By: 1},
			session.OutlineSet{Loops: o.Loops, Piers: o.Piers, Grid: o.Grid},
		}
		wall := rapid.SampledFrom(stations[:len(stations)-1])
		for range rapid.IntRange(1, 4).Draw(r, "parts") {
			set := session.DesignSet{From: wall.Draw(r, "from"), Rise: reduce.Length(rapid.IntRange(-40, 40).Draw(r, "quarters")) * reduce.Inch / 4}
			switch rapid.SampledFrom([]string{"to", "spot", "pier", "fall"}).Draw(r, "sort") {
			case "to":
				set.To = wall.Draw(r, "to")
			case "spot":
				set.To = set.From
			case "pier":
				set.From, set.To = reduce.PierNumber(1), reduce.PierNumber(1)
			case "fall":
				n := rapid.IntRange(1, 4).Draw(r, "wall")
				set.From, set.To, set.Fall = reduce.Corner(n), reduce.Corner(n%4+1), true
				set.Rise, set.Run = -set.Rise.Abs()/16, reduce.Foot
			}
			bodies = append(bodies, set)
		}
		fold := func() *session.Job {
			var events []session.Event
			for i, b := range bodies {
				events = append(events, session.Event{Seq: uint64(i + 1), At: time.Date(2026, 5, 4, 13, 0, i, 0, time.UTC), By: 1, Message: fmt.Sprint(i), Line: 1, Body: b})
			}
			j, err := session.Fold(events)
			if err != nil {
				r.Fatal(err)
			}
			return j
		}
		d := fold().View().Design()
		all := slices.Clone(stations)
		for _, s := range d.Steps() {
			all = append(all, s.At.At(reduce.Top), s.At.At(reduce.Bottom))
		}
		for _, s := range all {
			bodies = append(bodies, session.Read{Round: 1, Rod: 1, Station: s, Value: 5*reduce.Foot - d.At(s), Said: "?"})
		}
		bodies = append(bodies, session.DatumSet{Choice: reduce.DatumHigh})
		v := fold().View()
		if v.Read != len(stations) || len(v.Off)+len(v.Lost)+len(v.Left) > 0 || len(v.Stations) != len(all) {
			r.Fatalf("%d read of %d, off %v, lost %v, left %v", v.Read, len(stations), v.Off, v.Lost, v.Left)
		}
		for _, s := range v.Stations {
			if s.Deviation == nil || *s.Deviation != 0 || s.Design != *s.Elevation {
				r.Fatalf("%s is off by %v at %v, by design %v", s.Name, s.Deviation, s.Elevation, s.Design)
			}
		}
		if v.Extent.Range != 0 || v.Worst.Difference != 0 || *v.Level != 0 {
			r.Fatalf("range %v, worst %v, level %v", v.Extent.Range, v.Worst.Difference, *v.Level)
		}
		for _, s := range v.Sections {
			if s.Extent.Range != 0 {
				r.Fatalf("section %d is %v apart", s.Part, s.Extent.Range)
			}
		}
		for _, s := range v.Steps {
			if s.Off != nil && *s.Off != 0 {
				r.Fatalf("the step at %v, of %v, is off by %v (%v, %v)", s.At, s.Rise, *s.Off, s.A, s.B)
			}
		}
	})
}

// TestPerfectWalk: a crew that walks a stepped and pitched site built just so
// reads level at every station, and is asked about none.
func TestPerfectWalk(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{
		"new East house", "walls 36 left 12 left 12 right 12 left 24 left 24", "standard rod", "units mm",
		"step c1+24 c4 203 mm lower", "fall c1+24 c2 10 mm per m", "fall c4 c3 10 mm per m", "step c2 c3 240 mm lower",
	} {
		tb.say("ann", s)
	}
	d := tb.job().View().Design()
	for range len(tb.job().View().Left) {
		s := tb.talks["ann"].Asked
		shown := (1500*reduce.Millimetre - d.At(s)).RoundTo(reduce.Millimetre)
		got := tb.say("ann", shown.String()+" mm")
		name := tb.job().StationName(s)
		if name != "c1" && !strings.Contains(got, name+": level (of c1") {
			t.Fatalf("%s at %s: %s", shown, name, got)
		}
		if strings.Contains(got, "grade") || strings.Contains(got, "?") && tb.job().State() == session.StateWalk {
			t.Errorf("%s was answered %s", name, got)
		}
	}
	if tb.job().State() != session.StateReview {
		t.Errorf("the job is in %s", tb.job().State())
	}
}

// TestDesignedSlope: a house pitched by design, built just so, does not look as
// if the laser's grade were dialled in; where no design is said it does.
func TestDesignedSlope(t *testing.T) {
	var d *reduce.Design
	for _, said := range []bool{true, false} {
		tb := newTable(t)
		for _, s := range []string{"new East house", "40x28", "standard rod", "units mm"} {
			tb.say("ann", s)
		}
		if said {
			for _, s := range []string{"fall c1 c2 10 mm per m", "fall c4 c3 10 mm per m", "step c2 c3 122 mm lower"} {
				tb.say("ann", s)
			}
			d = tb.job().View().Design()
		}
		got := ""
		for range len(tb.job().View().Left) {
			shown := (1500*reduce.Millimetre - d.At(tb.talks["ann"].Asked)).RoundTo(reduce.Millimetre).String() + " mm"
			if got = tb.say("ann", shown); strings.Contains(got, "Which is it?") {
				got = tb.say("ann", shown)
			}
		}
		if asked := strings.Contains(got, "is a grade dialled in?"); asked == said {
			t.Errorf("design said %t: %s", said, got)
		}
	}
}

// TestDoubtsBesideAStep: neighbours are compared less their design, what a crew
// kept is not asked again, and a station walked past is recognised behind a step.
func TestDoubtsBesideAStep(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new East house", "40x28", "direct rod", "step c2 c3 8 in lower", "0\n1/16 low\n0\n1/16 low\n0\n1/16 low\n0\n1/16 low\n0"} {
		tb.say("ann", s)
	}
	// c1+36 next, c2 behind it.
	tb.say("ann", "0")
	tb.say("ann", "c2+4 8-1/16 low")
	tb.say("ann", "c2+8 8 in low")
	tb.say("ann", "c2+12 8-1/16 low")
	tb.quiet("ann", "c2+16 7 in low", "c2+16: 1 high, its neighbours are about 1/16 low (of c1, 8 in lower by design). Which is it?")
	tb.mustSay("ann", "c2+16 7 in low", "c2+16: 1 high (of c1, 8 in lower by design), rod 7 low")
	tb.mustSay("ann", "c2+16 6-15/16 low", "c2+16: 1 1/16 high (of c1, 8 in lower by design)")
	tb.say("ann", "undo")
	tb.say("ann", "undo")
	tb.say("ann", "c4 0")
	tb.say("ann", "c1+36 on")
	tb.quiet("ann", "c1+36 8-1/16 low", "[c2 8-1/16 in low]")
}

// TestTwinsOfTwoLevels: two loops that meet at one spot have a height each there
// where one is designed lower; where both are level they are compared.
func TestTwinsOfTwoLevels(t *testing.T) {
	for _, lower := range []bool{true, false} {
		tb := newTable(t)
		for _, s := range []string{"new East house", "40x28", "loop garage 24x22 at 40,0", "direct rod"} {
			tb.say("ann", s)
		}
		if lower {
			tb.say("ann", "step garage 8 in lower")
		}
		tb.say("ann", "c1 0")
		tb.say("ann", "c2 0")
		if got := tb.say("ann", "c5 7-1/2 in low"); strings.Contains(got, "c2 and c5") == lower {
			t.Errorf("garage lower %t: %s", lower, got)
		}
	}
}
