package session

import (
	"slices"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// known is the height given to a station.
func (s *Settings) known(at reduce.Station) (KnownSet, bool) {
	if i := slices.IndexFunc(s.Known, func(k KnownSet) bool { return k.Station == at }); i >= 0 {
		return s.Known[i], true
	}
	return KnownSet{}, false
}

func (s *Settings) setKnown(b KnownSet) {
	s.Known = slices.DeleteFunc(slices.Clone(s.Known), func(k KnownSet) bool { return k.Station == b.Station })
	if !b.Clear {
		s.Known = append(s.Known, b)
	}
}

// laser is where the laser stands in a set-up, nil where nobody said.
func (s *Settings) laser(setup int) *reduce.Point {
	if i := slices.IndexFunc(s.Setups, func(k Setup) bool { return k.ID == setup }); i >= 0 {
		return s.Setups[i].Laser
	}
	return nil
}

func (s *Settings) placeLaser(setup int, at *reduce.Point) {
	s.Setups = slices.Clone(s.Setups)
	for i := range s.Setups {
		if s.Setups[i].ID == setup {
			s.Setups[i].Laser = at
		}
	}
}

// setBudget keeps one part, in the place of what it was before.
func (s *Settings) setBudget(b BudgetSet) {
	if b.Part == "" {
		s.Budget = nil
		return
	}
	s.Budget = slices.DeleteFunc(slices.Clone(s.Budget), func(k BudgetSet) bool { return k.Part == b.Part })
	s.Budget = append(s.Budget, b)
}

// ErrorBudget is what a reading may be off by: ours, but for the parts that
// the crew set.
func (s *Settings) ErrorBudget() reduce.Budget {
	b := reduce.DefaultBudget(s.Unit, s.Finest)
	for _, p := range s.Budget {
		switch phrase.BudgetPart(p.Part) {
		case phrase.BudgetBeam:
			b.Tilt = reduce.Grade{Rise: p.Rise, Run: p.Run}
		case phrase.BudgetCone:
			b.Cone = reduce.Grade{Rise: p.Rise, Run: p.Run}
		case phrase.BudgetReceiver:
			b.Receiver = p.Rise
		case phrase.BudgetReading:
			b.Resolution = p.Rise
		case phrase.BudgetLean:
			b.RodLean = p.Degrees
		}
	}
	return b
}
