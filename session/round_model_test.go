package session_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"rodcall/reduce"
	"rodcall/session"
)

// log is a job's events in the making.
type log struct {
	events []session.Event
	t      testing.TB
}

func (l *log) add(bodies ...session.Body) {
	for _, b := range bodies {
		n := len(l.events) + 1
		l.events = append(l.events, session.Event{Seq: uint64(n), At: time.Unix(int64(n), 0).UTC(), By: 1,
			Message: string(rune('A' + n)), Line: 1, Body: b})
	}
}

func (l *log) job() *session.Job {
	l.t.Helper()
	j, err := session.Fold(l.events)
	if err != nil {
		l.t.Fatal(err)
	}
	return j
}

// opened is a job with a rectangle in feet, a set-up and a rod.
func opened(t testing.TB, kind reduce.RodKind, w, d reduce.Length) *log {
	l := &log{t: t}
	corners, err := reduce.Trace(reduce.Rectangle(w*reduce.Foot, d*reduce.Foot))
	if err != nil {
		t.Fatal(err)
	}
	l.add(session.Opened{Job: "j", Chat: "c", Name: "n"}, session.SetupOpened{Setup: 1}, session.RodTaken{Rod: 1, Setup: 1, Kind: kind, By: 1},
		session.OutlineSet{Loops: []reduce.Loop{{Name: "house", First: 1, Corners: corners}}, Grid: reduce.GridFor(reduce.UnitInch)})
	return l
}

// shows is what a rod shows of a height where its number is k at 0.
func shows(kind reduce.RodKind, k, height reduce.Length) reduce.Length {
	if kind == reduce.Standard {
		return k - height
	}
	return k + height
}

// part is what these tests count in.
const part = reduce.Inch / 16

// TestFurtherRounds: whatever the rods and the heights of the laser, without
// errors of reading the stations that nobody touched stand in a further round
// exactly as they stood, read again or not, and those that were shimmed exactly
// as much higher; the datum keeps its level; a station touched and not read has
// no height but what it should be.
func TestFurtherRounds(t *testing.T) {
	kinds := []reduce.RodKind{reduce.Direct, reduce.Standard}
	rapid.Check(t, func(rt *rapid.T) {
		draw := func(low, high int, label string) reduce.Length {
			return reduce.Length(rapid.IntRange(low, high).Draw(rt, label))
		}
		first, second := rapid.SampledFrom(kinds).Draw(rt, "first"), rapid.SampledFrom(kinds).Draw(rt, "second")
		l := opened(t, first, 16, 12)
		stations := l.job().Outline.Stations()
		bm := reduce.BenchmarkNumber(1)
		truth := map[reduce.Station]reduce.Length{bm: draw(-40, 40, "bm") * part}
		k := draw(-2000, 2000, "constant") * reduce.Micrometre
		for i, s := range stations {
			truth[s] = draw(-9, 9, "height") * part
			if i == 0 {
				truth[s] = 0
			}
		}
		for _, s := range append([]reduce.Station{bm}, stations...) {
			l.add(session.Read{Round: 1, Rod: 1, Station: s, Value: shows(first, k, truth[s]), Said: "x"})
		}
		l.add(session.DatumSet{Choice: reduce.DatumHigh})
		was := l.job().View()
		now := map[reduce.Station]reduce.Length{bm: truth[bm]}
		touched := map[reduce.Station]bool{}
		for _, s := range stations {
			now[s] = truth[s]
			if rapid.Bool().Draw(rt, "touch") {
				by := draw(1, 9, "shims") * part
				l.add(session.Shimmed{Round: 1, Spots: []session.ShimSet{{Station: s, Amount: by}}})
				now[s], touched[s] = truth[s]+by, true
			}
		}
		l.add(session.RoundOpened{Round: 2, Surface: "shims", Walk: stations}, session.SetupOpened{Setup: 2},
			session.RodTaken{Rod: 2, Setup: 2, Kind: second, By: 1})
		k = draw(-2000, 2000, "constant") * reduce.Micrometre
		var read []reduce.Station
		for _, s := range stations {
			if rapid.Bool().Draw(rt, "read") {
				read = append(read, s)
			}
		}
		order := rapid.Permutation(append([]reduce.Station{bm}, read...)).Draw(rt, "order")
		for _, s := range order {
			l.add(session.Read{Round: 2, Rod: 2, Station: s, Value: shows(second, k, now[s]), Said: "x"})
		}
		v := l.job().View()
		if *v.Level != *was.Level || v.DatumAt != was.DatumAt {
			rt.Fatalf("the level was %v and is %v", *was.Level, *v.Level)
		}
		for _, s := range v.Stations {
			again := slices.Contains(read, s.Station)
			switch {
			case touched[s.Station] && !again:
				if s.Elevation != nil || s.Verdict != reduce.Unread || s.Predicted == nil || *s.Predicted != now[s.Station] || !s.Touched {
					rt.Fatalf("%s was touched and not read: %+v", s.Name, s)
				}
			case s.Elevation == nil || *s.Elevation != now[s.Station]:
				rt.Fatalf("%s stands %v, want %v", s.Name, s.Elevation, now[s.Station])
			case s.Carried == again:
				if s.Station != bm {
					rt.Fatalf("%s: carried %t, read %t", s.Name, s.Carried, again)
				}
			case again && (s.Foreseen == nil || *s.Foreseen != now[s.Station]):
				rt.Fatalf("%s should be %v, foreseen %v", s.Name, now[s.Station], s.Foreseen)
			}
			if s.Elevation != nil && s.Station != bm && *s.Move != *was.Level-now[s.Station] {
				rt.Fatalf("%s: move %v", s.Name, *s.Move)
			}
			if n := len(s.Rounds); n > 0 && s.Station != bm && (s.Rounds[0].Elevation == nil || *s.Rounds[0].Elevation != truth[s.Station]) {
				rt.Fatalf("%s stood %v in round 1, want %v", s.Name, s.Rounds[0].Elevation, truth[s.Station])
			}
		}
	})
}

// TestWithoutBenchmark: a round that no point off the sill joins hangs on what
// nobody touched, or on the reference by what it should be.
func TestWithoutBenchmark(t *testing.T) {
	c := reduce.Corner
	walk := func(l *log, round, rod int, values ...reduce.Length) {
		for i, v := range values {
			if v != none {
				l.add(session.Read{Round: round, Rod: rod, Station: c(i + 1), Value: v * part, Said: "x"})
			}
		}
	}
	begin := func(surface string) []session.Body {
		return []session.Body{session.RoundOpened{Round: 2, Surface: surface, Walk: []reduce.Station{c(1), c(2), c(3), c(4)}},
			session.SetupOpened{Setup: 2}, session.RodTaken{Rod: 2, Setup: 2, Kind: reduce.Direct, By: 1}}
	}
	plate := session.PlanSet{What: session.FigurePlate, Length: 24 * part}
	shim := session.Shimmed{Round: 1, Spots: []session.ShimSet{{Station: c(1), Amount: 2 * part}, {Station: c(2), Amount: 3 * part}}}
	for _, k := range []struct {
		name   string
		before []session.Body
		begin  []session.Body
		values []reduce.Length
		want   []reduce.Length
	}{
		{"untouched", nil, begin("concrete"), []reduce.Length{7, 4, none, none}, []reduce.Length{0, -3, 0, 1}},
		{"two shimmed", []session.Body{shim}, begin("shims"), []reduce.Length{9, 7, 7, 8}, []reduce.Length{2, 0, 0, 1}},
		{"all of them on the reference alone", []session.Body{shim, plate}, begin("plate"), []reduce.Length{30, 28, 28, none}, []reduce.Length{26, 24, 24, none}},
		{"thickness unknown", []session.Body{shim}, begin("plate"), []reduce.Length{30, 28, 28, none}, []reduce.Length{none, none, none, none}},
		{"reference not read", []session.Body{shim, plate}, begin("plate"), []reduce.Length{none, 28, 28, none}, []reduce.Length{none, none, none, none}},
		{"laser not moved", []session.Body{shim}, begin("plate")[:1], []reduce.Length{2, none, none, none}, []reduce.Length{2, none, none, none}},
	} {
		l := opened(t, reduce.Direct, 4, 4)
		walk(l, 1, 1, 0, -3, 0, 1)
		l.add(k.before...)
		l.add(k.begin...)
		walk(l, 2, 1+len(k.begin)/3, k.values...)
		v := l.job().View()
		for i, s := range v.Stations {
			if want := k.want[i]; want == none && s.Elevation != nil || want != none && (s.Elevation == nil || *s.Elevation != want*part) {
				t.Errorf("%s: %s stands %v, want %d sixteenths", k.name, s.Name, s.Elevation, want)
			}
		}
	}
}

const none = reduce.Length(1 << 40)

// TestPlateRounds: what is read on a plate is held against a level of the
// concrete by the plate's thickness, and is not without it; loose and tight are
// two things.
func TestPlateRounds(t *testing.T) {
	l := opened(t, reduce.Direct, 4, 4)
	bm := reduce.BenchmarkNumber(1)
	read := func(round, rod int, s reduce.Station, v reduce.Length) {
		l.add(session.Read{Round: round, Rod: rod, Station: s, Value: v * part, Said: "x"})
	}
	for n := 1; n <= 4; n++ {
		read(1, 1, reduce.Corner(n), 0)
	}
	read(1, 1, bm, 5)
	l.add(session.DatumSet{Choice: reduce.DatumFirst})
	l.add(session.RoundOpened{Round: 2, Surface: "plate", Walk: l.job().Outline.Stations()})
	read(2, 1, reduce.Corner(1), 24)
	read(2, 1, reduce.Corner(2), 26)
	s := l.job().View().Stations
	if s[0].Elevation == nil || *s[0].Elevation != 24*part || s[0].Move != nil || s[0].Verdict != "" || s[2].Elevation != nil || s[2].Verdict != reduce.Unread || s[2].Predicted != nil {
		t.Errorf("thickness unknown: %+v, %+v", s[0], s[2])
	}
	l.add(session.PlanSet{What: session.FigurePlate, Length: 24 * part})
	s = l.job().View().Stations
	if *s[0].Deviation != 0 || *s[1].Deviation != 2*part || s[1].Verdict != reduce.Unsure || *s[2].Predicted != 24*part || s[2].Elevation != nil {
		t.Errorf("a plate of 1 1/2: %+v, %+v, %+v", s[0], s[1], s[2])
	}
	l.add(session.RoundOpened{Round: 3, Surface: "plate", Tight: true, Walk: l.job().Outline.Stations()})
	read(3, 1, reduce.Corner(2), 24)
	v := l.job().View()
	if s = v.Stations; s[0].Elevation != nil || *s[0].Predicted != 24*part || *s[1].Deviation != 0 || *s[1].Foreseen != 26*part {
		t.Errorf("tightened: %+v, %+v", s[0], s[1])
	}
	l.add(session.DatumSet{Choice: reduce.DatumStation, Station: reduce.Corner(2)})
	if v = l.job().View(); *v.Level != 24*part || *v.Stations[1].Deviation != 0 {
		t.Errorf("a level chosen on the plate: %v, %+v", *v.Level, v.Stations[1])
	}
}

// TestMendedInAnEarlierRound: a reading of the first round put right after the
// second began counts as if it had been so from the start.
func TestMendedInAnEarlierRound(t *testing.T) {
	build := func(late bool) *session.Job {
		l := opened(t, reduce.Direct, 4, 4)
		bm := reduce.BenchmarkNumber(1)
		value := 2 * part
		if late {
			value = 9 * part
		}
		l.add(session.Read{Round: 1, Rod: 1, Station: bm, Said: "x"}, session.Read{Round: 1, Rod: 1, Station: reduce.Corner(1), Said: "x"},
			session.Read{Round: 1, Rod: 1, Station: reduce.Corner(2), Value: value, Said: "x"})
		wrong := uint64(len(l.events))
		message := l.events[wrong-1].Message
		l.add(session.DatumSet{Choice: reduce.DatumHigh}, session.Shimmed{Round: 1, Spots: []session.ShimSet{{Station: reduce.Corner(2), Amount: part}}},
			session.RoundOpened{Round: 2, Surface: "shims", Walk: l.job().Outline.Stations()})
		if late {
			l.add(session.Voided{Seqs: []uint64{wrong}, Why: "edit"}, session.Read{Round: 1, Rod: 1, Station: reduce.Corner(2), Value: 2 * part, Said: "x"})
			for i := range 2 {
				l.events[len(l.events)-1-i].Message = message
			}
		}
		return l.job()
	}
	a, b := build(false).View(), build(true).View()
	for i, s := range a.Stations {
		k := b.Stations[i]
		if *a.Level != *b.Level || (s.Predicted == nil) != (k.Predicted == nil) || s.Predicted != nil && *s.Predicted != *k.Predicted || s.Touched != k.Touched || s.Verdict != k.Verdict {
			t.Errorf("%s: %+v, mended %+v", s.Name, s, k)
		}
	}
	if p := b.Stations[1].Predicted; p == nil || *p != 3*part {
		t.Errorf("c2 should be %v", p)
	}
}

// TestEchoInAFurtherRound: once a round is joined to those before, a reading of a
// spot that nothing else has read adjusts nothing, and its echo is what the
// adjustment would give.
func TestEchoInAFurtherRound(t *testing.T) {
	tb := newTable(t)
	for _, text := range []string{"new n", "16x12", "direct rod", "bm 1/2 high", "c1 0\n3/16 low\n1/4 low\n0\n1/16 high\n0\n0\n0\n0\n0\n0\n1/16 low\n0\n0", "datum first", "next round", "bm 3/4 high"} {
		tb.say("ann", text)
	}
	j := tb.job()
	if j.Round != 2 {
		t.Fatalf("round %d: %v", j.Round, tb.last.Replies)
	}
	tb.say("ann", "c1 1/4 high")
	tb.say("ann", "c1+12 1/4 high")
	kept := j.Adjustment()
	for _, text := range []string{"c1+4 1/4 high", "c1+8 1/4 high", "c4 5/16 high"} {
		got := tb.say("ann", text)
		name, _, _ := strings.Cut(text, " ")
		for _, s := range j.View().Stations {
			if s.Name == name && s.Verdict == reduce.On {
				wants(t, got, name+": ", ", on")
			}
		}
	}
	if kept == nil || j.Adjustment() != kept {
		t.Error("a reading adjusted the job anew")
	}
}
