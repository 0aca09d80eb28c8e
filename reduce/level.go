package reduce

// Level derives a datum's height above the reference from the spots as they
// now are, and the station that gives it (zero for a fixed height, and for one
// that is searched for by the rules). ok is false where that station has no
// height yet, or no spot has one.
func Level(choice DatumChoice, spots []Spot, first, named Station, fixed Length, rules LevelRules) (level Length, at Station, ok bool) {
	switch choice {
	case DatumFixed:
		return fixed, Station{}, true
	case DatumHigh:
		e, ok := Extremes(spots)
		return e.High.Height, e.High.Station, ok
	case DatumFewest, DatumLeast:
		tops, ok := NewTops(spots)
		if !ok {
			return 0, Station{}, false
		}
		return tops.search(choice, rules).Level, Station{}, true
	case DatumFirst:
		named = first
	case DatumStation:
	}
	for _, s := range spots {
		if s.Station == named {
			return s.Height, s.Station, true
		}
	}
	return 0, Station{}, false
}
