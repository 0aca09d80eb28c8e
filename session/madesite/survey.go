package madesite

import "rodcall/reduce"

// Tied are the stations by which a set-up is tied to the one before it: c1, a
// corner across the foundation, and the benchmark.
func (s *Site) Tied() []reduce.Station {
	far := reduce.Corner(1 + s.Outline.Corners()/2)
	return []reduce.Station{reduce.BenchmarkNumber(1), reduce.Corner(1), far}
}

// Read is one walk of the site read into a survey: in one set-up, or in two with
// ties, each with its own kind of rod; which, and whether a laser's place is
// known, is drawn. Where it is not, the laser has no cone, for then the budget
// has none.
func (s *Site) Read(u reduce.Unit, p Parameters) (reduce.Survey, bool) {
	c := NewChance(s.Seed, forWalk)
	all := s.Outline.Stations()
	walks := [][]reduce.Station{s.Stations()}
	if c.Below(2) == 0 {
		half := len(all) / 2
		walks = [][]reduce.Station{
			append([]reduce.Station{reduce.BenchmarkNumber(1)}, all[:half+1]...),
			append(s.Tied(), all[half+1:]...),
		}
	}
	out := reduce.Survey{Reference: reduce.Corner(1), Budget: p.Budget, Places: map[reduce.Station]reduce.Point{}}
	for _, st := range s.Stations() {
		out.Places[st] = s.places[st]
	}
	for i, walk := range walks {
		l := s.SetUp(i+1, p)
		kind := reduce.Direct
		if c.Below(2) == 0 {
			kind = reduce.Standard
		}
		set := reduce.SetUp{ID: i + 1}
		if c.Below(2) == 0 {
			set.Laser = &l.At
		} else {
			l.Cone = 0
		}
		crew := s.NewCrew(i+1, kind, u, l, p)
		set.Rods = []reduce.Rod{crew.Rod}
		out.SetUps = append(out.SetUps, set)
		for _, st := range walk {
			o, ok := crew.Observe(st)
			if !ok {
				return reduce.Survey{}, false
			}
			out.Observations = append(out.Observations, o)
		}
	}
	return out, true
}
