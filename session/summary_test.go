package session_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"rodcall/reduce"
	"rodcall/session"
)

// told folds bodies, one message each, behind the opening of a job.
func told(t *testing.T, bodies ...session.Body) session.View {
	t.Helper()
	start := time.Date(2026, 5, 4, 13, 0, 0, 0, time.UTC)
	j := session.NewJob()
	for i, b := range append([]session.Body{
		session.Opened{Job: "j1", Chat: "crew", Name: "Lot 7"},
		session.SetupOpened{Setup: 1},
		session.RodTaken{Rod: 1, Setup: 1, Kind: reduce.Direct, By: 1},
	}, bodies...) {
		e := session.Event{Seq: uint64(i + 1), At: start.Add(time.Duration(i) * time.Second), By: 1, Body: b}
		if err := j.Apply(e); err != nil {
			t.Fatal(err)
		}
	}
	return j.View()
}

func read(s reduce.Station, v reduce.Length) session.Body {
	return session.Read{Round: 1, Rod: 1, Station: s, Value: v, Said: "?"}
}

func rectangle(t *testing.T, w, d reduce.Length) session.Body {
	t.Helper()
	corners, err := reduce.Trace(reduce.Rectangle(w, d))
	if err != nil {
		t.Fatal(err)
	}
	return session.OutlineSet{Loops: []reduce.Loop{{Name: "house", First: 1, Corners: corners}}, Grid: reduce.GridFor(reduce.UnitInch)}
}

// TestSummary at each stage of a walk round 8 x 8 ft.
func TestSummary(t *testing.T) {
	const in = reduce.Inch
	var bodies []session.Body
	for _, step := range []struct {
		name string
		add  []session.Body
		want string
	}{
		{"opened", nil, "Lot 7: 0 stations read, 0 readings. No outline yet.\nNothing read yet."},
		{"outline", []session.Body{rectangle(t, 8*reduce.Foot, 8*reduce.Foot)},
			"Lot 7: 0 of 8 stations read, 0 readings.\nNothing read yet."},
		{"no reference", []session.Body{read(reduce.Corner(2), in/2)},
			"Lot 7: 1 of 8 stations read, 1 reading. Beam not tested (send: check laser).\nThe reference c1 is not read: no heights yet.\n" +
				"Unread: c1, c1+4, c2+4, c3, c3+4, c4, c4+4."},
		{"walk", []session.Body{read(reduce.Corner(1), in/4), read(reduce.Corner(3), -in/8-in/32)},
			"Lot 7: 3 of 8 stations read, 3 readings. 3 stations unchecked. Beam not tested (send: check laser).\n" +
				"High spot c2: 1/4 above c1. Low spot c3: 3/8 heavy below c1. Range 5/8 heavy in.\n" +
				"Most within 20 ft: 5/8 heavy in (give or take 1/16 in) between c2 and c3, 8 ft apart.\n" +
				"(A published standard for concrete: 1/2 in within 20 ft: more than that. Local code and drawings govern.)\n" +
				"Unread: c1+4, c2+4, c3+4, c4, c4+4."},
		{"datum", []session.Body{session.DatumSet{Choice: reduce.DatumFirst}, session.SurfaceSet{Surface: "shims"}},
			"Lot 7: 3 of 8 stations read, 3 readings. 3 stations unchecked. Beam not tested (send: check laser).\n" +
				"High spot c2: 1/4 above c1. Low spot c3: 3/8 heavy below c1. Range 5/8 heavy in.\n" +
				"Most within 20 ft: 5/8 heavy in (give or take 1/16 in) between c2 and c3, 8 ft apart.\n" +
				"Datum: first station, c1. Tolerance 1/8 in either way (ours: nobody set one).\n" +
				"On 1 · raise 1, most 3/8 heavy in at c3 · lower 1, most 1/4 in at c2. Good to 1/16 in, 95 times in 100.\n" +
				"Unread: c1+4, c2+4, c3+4, c4, c4+4.\nStill to do: shim 1 spot."},
		{"tolerance", []session.Body{session.ToleranceSet{Tolerance: in / 2}, session.DatumSet{Choice: reduce.DatumHigh}},
			"Lot 7: 3 of 8 stations read, 3 readings. 3 stations unchecked. Beam not tested (send: check laser).\n" +
				"High spot c2: 1/4 above c1. Low spot c3: 3/8 heavy below c1. Range 5/8 heavy in.\n" +
				"Most within 20 ft: 5/8 heavy in (give or take 1/16 in) between c2 and c3, 8 ft apart.\n" +
				"Datum: high spot, c2, 1/4 above c1. Tolerance 1/2 in either way.\n" +
				"On 2 · raise 1, most 5/8 heavy in at c3 · lower 0. Good to 1/16 in, 95 times in 100.\n" +
				"Unread: c1+4, c2+4, c3+4, c4, c4+4.\nStill to do: shim 1 spot."},
		{"shimmed", []session.Body{session.Shimmed{Round: 1, Spots: []session.ShimSet{{Station: reduce.Corner(3), Amount: 5 * in / 8}}}},
			"Lot 7: 3 of 8 stations read, 3 readings. 3 stations unchecked. Beam not tested (send: check laser).\n" +
				"High spot c2: 1/4 above c1. Low spot c3: 3/8 heavy below c1. Range 5/8 heavy in.\n" +
				"Most within 20 ft: 5/8 heavy in (give or take 1/16 in) between c2 and c3, 8 ft apart.\n" +
				"Datum: high spot, c2, 1/4 above c1. Tolerance 1/2 in either way.\n" +
				"On 2 · raise 1, most 5/8 heavy in at c3 · lower 0. Good to 1/16 in, 95 times in 100.\n" +
				"Unread: c1+4, c2+4, c3+4, c4, c4+4.\nTouched and not read since: c3.\n" +
				"Shimmed so far: 1 spot.\nStill to do: read 1 station again."},
	} {
		bodies = append(bodies, step.add...)
		if d := cmp.Diff(step.want, told(t, bodies...).Summary("en")); d != "" {
			t.Errorf("%s (-want +got):\n%s", step.name, d)
		}
	}
}

// TestSummaryIsShort: it fits a phone's screen, a dozen lines and 900 letters at
// most, and in Spanish there is no English line.
func TestSummaryIsShort(t *testing.T) {
	bodies := []session.Body{rectangle(t, 40*reduce.Foot, 28*reduce.Foot), read(reduce.Corner(1), 0), read(reduce.Corner(4), reduce.Inch),
		session.SetupOpened{Setup: 2}, session.RodTaken{Rod: 2, Setup: 2, Kind: reduce.Standard, By: 1},
		session.Read{Round: 1, Rod: 2, Station: reduce.Corner(3), Value: reduce.Foot}, read(reduce.Corner(2), 0),
		session.DatumSet{Choice: reduce.DatumHigh}, read(reduce.Along(1, 4*reduce.Foot), -reduce.Inch)}
	v := told(t, bodies...)
	en, es := strings.Split(v.Summary("en"), "\n"), strings.Split(v.Summary("es"), "\n")
	if n := len([]rune(v.Summary("es"))); len(en) != len(es) || len(en) > 12 || n > 900 {
		t.Errorf("%d lines and %d of %d letters, want 12 and 900 at most:\n%s", len(en), len(es), n, v.Summary("es"))
	}
	for i, line := range es {
		if line == en[min(i, len(en)-1)] {
			t.Errorf("in both languages: %q", line)
		}
		if n := len([]rune(line)); n > 120 {
			t.Errorf("%d letters: %q", n, line)
		}
		if strings.ContainsAny(line+en[i], "{}") {
			t.Errorf("not filled: %q, %q", line, en[i])
		}
	}
}

// TestSayDatum: a level is said as a place, above or below the
// reference, in each unit.
func TestSayDatum(t *testing.T) {
	for _, c := range []struct {
		unit  reduce.Unit
		datum session.DatumSet
		want  string
	}{
		{reduce.UnitInch, session.DatumSet{Choice: reduce.DatumFixed, Level: -reduce.Inch / 8}, "1/8 below c1"},
		{reduce.UnitInch, session.DatumSet{Choice: reduce.DatumFixed}, "level with c1"},
		{reduce.UnitMillimetre, session.DatumSet{Choice: reduce.DatumFixed, Level: 9 * reduce.Millimetre}, "9 mm above c1"},
		{reduce.UnitFoot, session.DatumSet{Choice: reduce.DatumFixed, Level: reduce.Foot / 1000}, "level with c1"},
		{reduce.UnitInch, session.DatumSet{Choice: reduce.DatumStation, Station: reduce.Corner(2)}, "c2, 1/2 above c1"},
		{reduce.UnitInch, session.DatumSet{Choice: reduce.DatumStation, Station: reduce.Corner(3)}, "c3, no height yet"},
		{reduce.UnitInch, session.DatumSet{}, ""},
	} {
		v := told(t, read(reduce.Corner(1), 0), read(reduce.Corner(2), reduce.Inch/2),
			session.UnitsSet{Unit: c.unit, Finest: c.unit.Finest(), Grid: reduce.GridFor(c.unit)}, c.datum)
		if got := v.SayDatum("en"); got != c.want {
			t.Errorf("%s %v: %q, want %q", c.unit, c.datum, got, c.want)
		}
	}
	v := told(t, session.DatumSet{Choice: reduce.DatumHigh})
	if got := v.SayDatum("en"); got != "high spot, no heights yet" {
		t.Errorf("the high spot of nothing is %q", got)
	}
}
