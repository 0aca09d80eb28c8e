package render

import (
	"fmt"
	"testing"

	"rodcall/reduce"
)

// wording is what the marks of a test scene say, by turns.
type wording struct {
	words    []string
	amounts  []string
	statuses []Status
}

var (
	calm = wording{
		[]string{"raise", "lower", "on", "raise", "raise", "on", "lower", "raise"},
		[]string{"3/8", "1/4", "", "1/8", "7/16", "", "1/16", "1 1/8"},
		[]Status{StatusRaise, StatusLower, StatusOn, StatusRaise, StatusRaise, StatusOn, StatusLower, StatusRaise},
	}
	before = wording{
		[]string{"high", "low", "on", "low", "low", "unread", "high"},
		[]string{"3/8", "1/4", "", "1/8", "1/4 shy", "", "1/16"},
		[]Status{StatusHigh, StatusLow, StatusOn, StatusLow, StatusUnsure, StatusUnread, StatusHigh},
	}
	widest = wording{
		[]string{"subir", "bajar", "sin leer", "a nivel"},
		[]string{"1 15/16", "1/4 heavy", "1/4 heavy", "1 15/16"},
		[]Status{StatusRaise, StatusLower, StatusUnread, StatusUnsure},
	}
	millimetres = wording{
		[]string{"subir", "bajar", "en su nivel", "subir", "subir"},
		[]string{"7", "6", "", "10", "12"},
		[]Status{StatusRaise, StatusLower, StatusOn, StatusUnsure, StatusRaise},
	}
)

// sceneOf is the drawing of an outline whose marks say w.
func sceneOf(title string, o reduce.Outline, w wording) *Scene {
	s := &Scene{
		Title:    title,
		Lines:    []string{"34 of 34 stations read · 34 readings · made 2026-05-04 13:40", "reference c1 · in inches to 1/16 · direct rod, on concrete", "datum: high spot c4 · tolerance 1/8 in"},
		ScaleBar: 10 * reduce.Foot, ScaleBarText: "10 ft",
		Key: []KeyEntry{{StatusRaise, "raise"}, {StatusLower, "lower"}, {StatusOn, "on: within 1/8 in of the datum"}, {StatusUnsure, "close call"}, {StatusUnread, "unread"}},
	}
	for _, l := range o.Loops {
		s.Loops = append(s.Loops, Ring{l.Name, l.Corners})
	}
	run := -1
	var start reduce.Length
	gap := false
	for i, st := range o.Stations() {
		at, _, _ := o.Position(st)
		k := i % len(w.words)
		s.Marks = append(s.Marks, Mark{
			Name: st.Name(o.Grid.Mark), At: at, Corner: st.Kind == reduce.Wall && st.Past == 0,
			Pier: st.Kind == reduce.Pier, Status: w.statuses[k], Word: w.words[k], Amount: w.amounts[k],
		})
		if st.Kind != reduce.Wall {
			continue
		}
		for j, l := range o.Loops {
			if l.First == st.Number && st.Past == 0 {
				run, start = j, 0
				s.Strip.Runs = append(s.Strip.Runs, Run{Loop: l.Name})
			}
		}
		r := &s.Strip.Runs[run]
		if st.Past == 0 {
			start = r.Length
			wall, _ := o.WallLength(st.Number)
			r.Corners = append(r.Corners, RunCorner{st.Name(o.Grid.Mark), start})
			r.Length += wall
		}
		if w.statuses[k] == StatusUnread {
			gap = true
		} else {
			r.Points = append(r.Points, RunPoint{start + st.Past, reduce.Length((i*7)%13-8) * reduce.Inch / 16, w.statuses[k], gap})
			gap = false
		}
	}
	for i := range s.Strip.Runs {
		r := &s.Strip.Runs[i]
		r.Corners = append(r.Corners, RunCorner{r.Corners[0].Name, r.Length})
	}
	s.Strip.Title, s.Strip.ZeroLabel, s.Strip.HighLabel, s.Strip.LowLabel = "Walls unrolled · heights drawn %s times", "datum", "high", "low"
	for _, q := range []reduce.Length{4, 2, -2, -4, -8} {
		s.Strip.Ticks = append(s.Strip.Ticks, Tick{q * reduce.Inch / 16, fmt.Sprintf("%d/16", max(q, -q))})
	}
	return s
}

// outline makes an outline of loops given as walls: lengths, a negative one
// is followed by a turn to the right.
func outline(t testing.TB, unit reduce.Length, loops ...[]float64) reduce.Outline {
	t.Helper()
	u := reduce.UnitInch
	if unit == reduce.Metre {
		u = reduce.UnitMillimetre
	}
	o := reduce.Outline{Grid: reduce.GridFor(u)}
	for i, l := range loops {
		var legs []reduce.Leg
		for _, w := range l[2:] {
			leg := reduce.Leg{Length: reduce.Length(w * float64(unit)), Turn: reduce.Left}
			if w < 0 {
				leg = reduce.Leg{Length: -leg.Length, Turn: reduce.Right}
			}
			legs = append(legs, leg)
		}
		at := reduce.Point{X: reduce.Length(l[0] * float64(unit)), Y: reduce.Length(l[1] * float64(unit))}
		var err error
		if o, err = o.WithLoop(fmt.Sprintf("loop %d", i+1), at, legs); err != nil {
			t.Fatalf("loop %v: %v", l, err)
		}
	}
	return o
}

func rectangle(t testing.TB, w, d float64) reduce.Outline {
	return outline(t, reduce.Foot, []float64{0, 0, w, d, w, d})
}
