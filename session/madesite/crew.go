package madesite

import (
	"math"

	"rodcall/reduce"
)

// Crew is one person with one rod in one set-up.
type Crew struct {
	Rod  reduce.Rod
	Unit reduce.Unit
	// Zero is the height of a direct rod's middle above its foot, in
	// nanometres: where it was clamped. It is 0 on a standard rod, and its
	// length on one that stands on its head.
	Zero float64
	// Slips is the shot after which the receiver sits higher on its rod by
	// SlipBy; 0 for none.
	Slips  int
	SlipBy float64

	site  *Site
	laser Laser
	p     Parameters
	c     *Chance
	shots int
}

// NewCrew is the person who reads a set-up with a rod of a kind. A direct rod is
// clamped so that the beam meets it within an inch of its middle over c1.
func (s *Site) NewCrew(setUp int, kind reduce.RodKind, u reduce.Unit, l Laser, p Parameters) *Crew {
	c := NewChance(s.Seed, forCrew+uint64(setUp)<<8)
	k := &Crew{
		Rod: reduce.Rod{ID: setUp, Kind: kind, Flipped: c.Happens(p.Flipped)}, Unit: u,
		site: s, laser: l, p: p, c: c,
	}
	if kind == reduce.Direct {
		k.Zero = l.Beam(s.places[reduce.Corner(1)], 0) - c.Between(-1, 1)*float64(reduce.Inch)
	} else if k.Rod.Flipped {
		k.Zero = float64(12 * reduce.Foot)
	}
	return k
}

// See is what the rod shows at a station now, rounded to what can be told
// apart: receiver, lean, beam and all, but nobody's misreading. It is a shot.
// ok is false where the site has no such station or the rod does not reach.
func (k *Crew) See(st reduce.Station) (value reduce.Length, ok bool) {
	h, ok := k.site.Truth(st)
	if !ok {
		return 0, false
	}
	b := k.p.Budget
	up := k.laser.Beam(k.site.places[st], k.shots) - h // how far the beam is above the spot
	up += k.p.Error * k.c.Normal() * float64(b.Receiver) / limit95
	if k.Rod.Kind == reduce.Standard {
		up += k.p.Error * k.c.Normal() * up * (1 - math.Cos(b.RodLean*math.Pi/180)) / limit95
	}
	if k.Slips > 0 && k.shots > k.Slips {
		up -= k.SlipBy
	}
	k.shots++
	v := up - k.Zero
	if k.Rod.Rises() {
		v = -v
	}
	value = reduce.Length(math.Round(v)).RoundTo(max(b.Resolution, 1))
	return value, k.Rod.Kind.Reaches(value)
}

// Observe is a reading as the arithmetic takes it.
func (k *Crew) Observe(st reduce.Station) (reduce.Observation, bool) {
	v, ok := k.See(st)
	return reduce.Observation{Rod: k.Rod.ID, Station: st, Value: v}, ok
}
