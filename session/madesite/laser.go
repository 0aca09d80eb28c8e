package madesite

import (
	"math"

	"rodcall/reduce"
)

// limit95 standard uncertainties either way hold 95 normal errors in 100:
// budgets are stated so.
const limit95 = 1.959963985

// Laser is one laser in one place. Heights are in nanometres above the site's
// c1, slopes plain numbers, + rising along x and y.
type Laser struct {
	At           reduce.Point
	Height       float64 // of the beam at the laser
	TiltX, TiltY float64
	Cone         float64 // rise in every direction
	Bumps        []Bump
	// The laser sinks by Sink with each shot after shot SinksFrom.
	SinksFrom int
	Sink      float64
}

// Bump is a jolt after shot After (shots count from 0 in each set-up): the
// beam comes to stand higher by Rise at the laser, and its plane tips.
type Bump struct {
	After        int
	Rise         float64
	TiltX, TiltY float64
}

// Beam is the height of the beam over a place at a shot.
func (l Laser) Beam(at reduce.Point, shot int) float64 {
	dx, dy := float64(at.X-l.At.X), float64(at.Y-l.At.Y)
	h := l.Height + l.TiltX*dx + l.TiltY*dy + l.Cone*math.Hypot(dx, dy)
	for _, b := range l.Bumps {
		if shot > b.After {
			h += b.Rise + b.TiltX*dx + b.TiltY*dy
		}
	}
	if shot > l.SinksFrom {
		h -= l.Sink * float64(shot-l.SinksFrom)
	}
	return h
}

// SetUp puts the n-th set-up's laser somewhere in the box round the outline,
// 4 to 6 ft above c1, with the errors of the parameters' budget. A site has one
// cone, for it has one laser.
func (s *Site) SetUp(n int, p Parameters) Laser {
	cone := NewChance(s.Seed, forLaser).Normal()
	c := NewChance(s.Seed, forLaser+uint64(n)<<8)
	var far reduce.Point
	for _, st := range s.Outline.Stations() {
		far.X, far.Y = max(far.X, s.places[st].X), max(far.Y, s.places[st].Y)
	}
	slope := func(g reduce.Grade) float64 {
		if g.Run == 0 {
			return 0
		}
		return p.Error * float64(g.Rise) / float64(g.Run) / limit95
	}
	l := Laser{
		At: reduce.Point{
			X: reduce.Length(c.Between(0, float64(far.X))),
			Y: reduce.Length(c.Between(0, float64(far.Y))),
		},
		Height: c.Between(4, 6) * float64(reduce.Foot),
	}
	l.TiltX, l.TiltY = slope(p.Budget.Tilt)*c.Normal(), slope(p.Budget.Tilt)*c.Normal()
	l.Cone = slope(p.Budget.Cone) * cone
	return l
}
