package reduce

import (
	"cmp"
	"errors"
	"math"
	"slices"
)

// Mend is one change that alone makes a walk close: the length of a wall, or
// the turn after it.
type Mend struct {
	Wall   int    // from 1
	Length Length // what it would be; 0 where the turn is it
	Turn   Turn   // what the turn after the wall would be; 0 where the length is it
}

// Apply makes the change in a copy of the legs.
func (m Mend) Apply(legs []Leg) []Leg {
	out := slices.Clone(legs)
	if m.Length > 0 {
		out[m.Wall-1].Length = m.Length
	} else {
		out[m.Wall-1].Turn = m.Turn
	}
	return out
}

// Mends lists every single change that alone makes the legs an outline that
// Trace takes, the likeliest first; none for legs that it takes already, or
// that have another fault than a gap.
//
// A wall explains a gap that runs along it: its length takes the gap up. A turn
// explains it where the walk up to its corner and the walk from there on are as
// long, straight, as each other: turned about the corner, the second ends where
// the first began. Lengths are given as roundly as the wall's own step, turns as
// roundly as possible where that closes. What is likely is our guess: a length
// the more, the smaller the part of the wall that changes; a turn to the other
// side like a quarter of the wall; another angle less.
func Mends(legs []Leg) []Mend {
	var gap *GapError
	if _, err := Trace(legs); !errors.As(err, &gap) {
		return nil
	}
	m := mender{legs: legs, walk: traversed(legs)}
	m.slack = m.walk.allowed()
	var heading Turn
	for i := range legs {
		m.tryLength(i, heading)
		if i < len(legs)-1 {
			m.tryTurn(i)
		}
		heading = (heading + legs[i].Turn).within()
	}
	slices.SortStableFunc(m.found, func(a, b guess) int { return cmp.Compare(a.cost, b.cost) })
	out := make([]Mend, len(m.found))
	for i, g := range m.found {
		out[i] = g.Mend
	}
	return out
}

// mender collects the changes that make a walk close.
type mender struct {
	legs  []Leg
	walk  traverse
	slack float64 // nm, as far as rounding may lead
	found []guess
}

// guess is a change with how unlikely it is.
type guess struct {
	Mend
	cost float64
}

func (m *mender) try(c Mend, cost float64) bool {
	if _, err := Trace(c.Apply(m.legs)); err != nil {
		return false
	}
	m.found = append(m.found, guess{c, cost})
	return true
}

// tryLength looks whether the gap runs along a wall.
func (m *mender) tryLength(i int, heading Turn) {
	x, y := heading.course()
	end, was := m.walk.end(), m.legs[i].Length
	if math.Abs(end[0]*y-end[1]*x) > m.slack {
		return
	}
	exact := was - Length(math.Round(end[0]*x+end[1]*y))
	step := m.legs[i].Step
	for _, step := range []Length{step, step / 10, step / 100, Nanometre} {
		if step == 0 {
			continue
		}
		to := exact.RoundTo(step)
		if to > 0 && to != was && m.try(Mend{Wall: i + 1, Length: to}, float64((to-was).Abs())/float64(max(to, was))) {
			return
		}
	}
}

// tryTurn looks whether the rest of the walk, turned about a wall's end, ends
// where the walk began.
func (m *mender) tryTurn(i int) {
	at, end, was := m.walk.at[i+1], m.walk.end(), m.legs[i].Turn
	rest := [2]float64{end[0] - at[0], end[1] - at[1]}
	far, near := math.Hypot(rest[0], rest[1]), math.Hypot(at[0], at[1])
	if far < float64(Millimetre) || math.Abs(far-near) > m.slack {
		return
	}
	by := math.Atan2(-at[1], -at[0]) - math.Atan2(rest[1], rest[0])
	exact := Length(was) + Length(math.Round(by/math.Pi*float64(halfCircle)))
	for _, step := range []Turn{15 * Degree, Degree, Degree / 2, Degree / 10, Degree / 100, Degree / 1000} {
		to := Turn(exact.RoundTo(Length(step))).within()
		cost := 0.25
		if to != -was {
			cost += float64((to - was).within().abs()) / float64(4*halfCircle)
		}
		if to != was && m.try(Mend{Wall: i + 1, Turn: to}, cost) {
			return
		}
	}
}

// InnerAngles takes the turns that are no right angles as the angles that the
// walls make with each other, 135° for a turn of 45°. ok says that the legs so
// read are an outline though as turns they do not close, or cross.
func InnerAngles(legs []Leg) (other []Leg, ok bool) {
	if _, err := Trace(legs); err == nil || rightAngled(legs) {
		return nil, false
	}
	other = slices.Clone(legs)
	for i, l := range other[:len(other)-1] {
		other[i].Turn = halfCircle - l.Turn
		if l.Turn < 0 {
			other[i].Turn = -halfCircle - l.Turn
		}
	}
	_, err := Trace(other)
	return other, err == nil
}
