package session

import "slices"

// figure is a figure of the plan as the crew set it.
func (s *Settings) figure(what PlanFigure) (PlanSet, bool) {
	if i := slices.IndexFunc(s.Plan, func(k PlanSet) bool { return k.What == what }); i >= 0 {
		return s.Plan[i], true
	}
	return PlanSet{}, false
}

// places says where bolts, posts or splices are.
func (s *Settings) places(what string) (PlacesSet, bool) {
	if i := slices.IndexFunc(s.Places, func(k PlacesSet) bool { return k.What == what }); i >= 0 {
		return s.Places[i], true
	}
	return PlacesSet{}, false
}
