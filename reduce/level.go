package reduce

// Level derives a datum's height above the reference from the spots as they
// now are, and the station that gives it (zero for a fixed height). ok is
// false where that station has no height yet.
func Level(choice DatumChoice, spots []Spot, first, named Station, fixed Length) (level Length, at Station, ok bool) {
	switch choice {
	case DatumFixed:
		return fixed, Station{}, true
	case DatumHigh:
		e, ok := Extremes(spots)
		return e.High.Height, e.High.Station, ok
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
