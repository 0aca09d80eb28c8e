package render

import (
	"fmt"
	"math"

	"rodcall/reduce"
)

// walked is an outline with made-up heights: what its drawing says of each
// station follows from them.
type walked struct {
	title  string
	lines  []string
	o      reduce.Outline
	metric bool
	datum  bool                   // chosen: marks tell moves
	unread func(station int) bool // nil: none
	height func(x, y float64) float64
}

// step is the finest amount, and tolerance how far off is still on.
func (w *walked) step() (step, tolerance reduce.Length) {
	if w.metric {
		return reduce.Millimetre, 3 * reduce.Millimetre
	}
	return reduce.Inch / 16, reduce.Inch / 8
}

// amount writes whole steps in inches and sixteenths, or in millimetres.
func (w *walked) amount(steps int) string {
	if w.metric {
		return fmt.Sprint(steps)
	}
	inches, over, of := steps/16, steps%16, 16
	for over > 0 && over%2 == 0 {
		over, of = over/2, of/2
	}
	switch {
	case over == 0:
		return fmt.Sprint(inches)
	case inches == 0:
		return fmt.Sprintf("%d/%d", over, of)
	}
	return fmt.Sprintf("%d %d/%d", inches, over, of)
}

// mark sets what a mark says of a height.
func (w *walked) mark(m *Mark, h reduce.Length) {
	step, tolerance := w.step()
	m.Off = h
	words := [2]string{"raise", "lower"}
	status := [2]Status{StatusRaise, StatusLower}
	if !w.datum {
		words, status, tolerance = [2]string{"low", "high"}, [2]Status{StatusLow, StatusHigh}, 0
	}
	i, size := 0, -h
	if h > 0 {
		i, size = 1, h
	}
	switch {
	case size <= tolerance:
		m.Status, m.Word, m.Amount = StatusOn, "on", ""
		return
	case w.datum && size == tolerance+step:
		m.Status = StatusUnsure
	default:
		m.Status = status[i]
	}
	m.Word, m.Amount = words[i], w.amount(int(size/step))
}

// scene draws it.
func (w *walked) scene() *Scene {
	step, _ := w.step()
	s := sceneOf(w.title, w.o, calm)
	s.Lines, s.MoreText = w.lines, "labels shown for %d of %d stations"
	s.Key = []KeyEntry{{StatusRaise, "raise to the datum"}, {StatusOn, "on: within the tolerance"}, {StatusLower, "lower to the datum"}, {StatusUnsure, "close call: read it again"}, {StatusUnread, "unread"}}
	if !w.datum {
		s.Key = []KeyEntry{{StatusHigh, "above c1"}, {StatusOn, "level with c1"}, {StatusLow, "below c1"}, {StatusUnread, "unread"}}
		s.Strip.ZeroLabel = "c1"
	}
	if w.metric {
		s.ScaleBar, s.ScaleBarText = 5*reduce.Metre, "5 m"
	}
	at := -1
	for i := range s.Strip.Runs {
		s.Strip.Runs[i].Points = nil
	}
	run, low, high := -1, reduce.Length(0), reduce.Length(0)
	var past reduce.Length
	gap := false
	for i, st := range w.o.Stations() {
		m := &s.Marks[i]
		q := metres(m.At)
		h := reduce.Length(math.Round(w.height(q.X, q.Y))) * step
		wall := st.Kind == reduce.Wall
		if wall && st.Past == 0 {
			if at++; run < 0 || at >= len(s.Strip.Runs[run].Corners)-1 {
				run, at = run+1, 0
			}
			past = s.Strip.Runs[run].Corners[at].At
		}
		if w.unread != nil && w.unread(i) {
			m.Status, m.Word, m.Amount = StatusUnread, "unread", ""
			gap = gap || wall
			continue
		}
		w.mark(m, h)
		low, high = min(low, h), max(high, h)
		if wall {
			r := &s.Strip.Runs[run]
			r.Points = append(r.Points, RunPoint{past + st.Past, h, m.Status, gap})
			gap = false
		}
	}
	s.Strip.Ticks = nil
	for h := high - high%(4*step); h >= low; h -= 4 * step {
		text := w.amount(int(max(h, -h) / step))
		s.Strip.Ticks = append(s.Strip.Ticks, Tick{h, text})
	}
	return s
}
