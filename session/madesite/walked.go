package madesite

import (
	"math"

	"rodcall/reduce"
)

// Walked is one walk round the walls in one set-up, as the crew read it.
type Walked struct {
	Site  *Site
	Crew  *Crew
	At    []reduce.Station
	Right []reduce.Length // what the rod showed
	Sent  []reduce.Length // what was sent
	Slip  []reduce.SlipKind
	Along []reduce.Length
}

// Walk reads the walls in walking order, each rightly. Mistakes are made by
// Spoil. ok is false where the rod does not reach.
func (s *Site) Walk(kind reduce.RodKind, u reduce.Unit, p Parameters) (w Walked, ok bool) {
	w = Walked{Site: s, Crew: s.NewCrew(1, kind, u, s.SetUp(1, p), p)}
	var along float64
	var last reduce.Point
	for _, st := range s.Outline.Stations() {
		if st.Kind != reduce.Wall {
			continue
		}
		v, ok := w.Crew.See(st)
		if !ok {
			return w, false
		}
		p := s.places[st]
		if len(w.At) > 0 {
			along += math.Hypot(float64(p.X-last.X), float64(p.Y-last.Y))
		}
		last = p
		w.At = append(w.At, st)
		w.Right, w.Sent = append(w.Right, v), append(w.Sent, v)
		w.Slip = append(w.Slip, 0)
		w.Along = append(w.Along, reduce.Length(along))
	}
	return w, true
}

// Spoil makes the i-th reading go wrong. ok is false where it cannot.
func (w *Walked) Spoil(i int, kind reduce.SlipKind) (ok bool) {
	next := w.Right[i]
	if i+1 < len(w.Right) {
		next = w.Right[i+1]
	}
	wrong, ok := w.Crew.Wrong(kind, w.Right[i], next)
	if !ok {
		return false
	}
	w.Sent[i], w.Slip[i] = wrong, kind
	if kind == reduce.SwappedTwo {
		w.Sent[i+1], w.Slip[i+1] = w.Right[i], kind
	}
	return true
}

// Neighbours is the walk's first n readings as the search for blunders takes
// them, above the first right one.
func (w *Walked) Neighbours(n int) []reduce.Neighbour {
	out := make([]reduce.Neighbour, n)
	for i := range out {
		out[i] = reduce.Neighbour{
			Station: w.At[i], Along: w.Along[i], Height: w.Crew.Rod.Elevation(w.Sent[i], w.Right[0]),
		}
	}
	return out
}
