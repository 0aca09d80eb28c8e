package reduce

// Unrounded is a tied station's elevation before rounding, in nanometres, and
// its variance.
func (s *Solution) Unrounded(of Station) (elevation, variance float64) {
	j, _ := s.index(of)
	return float64(s.net.elevation(j)) + s.net.shift[j], s.variances[j]
}

// SolveNormal solves normal equations given row by row.
func SolveNormal(m [][]float64, y []float64) (x []float64, ok bool) {
	s := newSquare(len(m))
	for i, row := range m {
		copy(s.row(i), row)
	}
	x, _, ok = solveNormal(s, y)
	return x, ok
}

// Spread gives the corners of a walk with its gap spread, however great it is
// and whichever walls cross.
func Spread(legs []Leg) []Point {
	w := traversed(legs)
	return w.corners()
}

// Touch says whether two walls touch.
func Touch(a, b, p, q Point) bool { return touch(a, b, p, q) }
