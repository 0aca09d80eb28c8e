package reduce

// maxWall bounds a wall's length.
const maxWall = 1000 * Metre

// noCorner is the least turn that makes c1 a corner, which is left over by the
// others.
const noCorner = Degree / 10

// Trace walks the legs from the origin along +x and returns the corners. The
// walk must close: a *GapError says by how much and which way it does not.
// Other faults are a *ShapeError.
//
// With right angles only, corners are exact and the walk closes exactly. With
// others it closes where the gap is no greater than what lengths and turns were
// rounded by can bring about (Closing); the gap is then spread over the walls by
// their lengths, and corners are rounded to a nanometre.
func Trace(legs []Leg) ([]Point, error) {
	if len(legs) < 3 || len(legs) < 4 && rightAngled(legs) {
		return nil, &ShapeError{Fault: TooFewWalls}
	}
	if len(legs) > MaxStations {
		return nil, &ShapeError{Fault: TooManyMarks}
	}
	var heading Turn
	for i, l := range legs {
		switch {
		case l.Length <= 0:
			return nil, &ShapeError{Fault: NoLength, Wall: i + 1}
		case l.Length > maxWall:
			return nil, &ShapeError{Fault: TooLong, Wall: i + 1}
		case i == len(legs)-1:
		case l.Turn == 0 || l.Turn.abs() >= halfCircle:
			return nil, &ShapeError{Fault: NoTurn, Wall: i + 1}
		default:
			heading = (heading + l.Turn).within()
		}
	}
	w := traversed(legs)
	if !w.closes() {
		return nil, w.gap()
	}
	if h := heading.abs(); min(h, halfCircle-h) < noCorner {
		return nil, &ShapeError{Fault: StraightOn}
	}
	corners := w.corners()
	if a, b, ok := crossing(corners); ok {
		return nil, &ShapeError{Fault: Crossing, Wall: a + 1, Other: b + 1}
	}
	return corners, nil
}

// crossing finds two walls of a loop that touch though they are not
// neighbours, by their places in the loop.
func crossing(c []Point) (int, int, bool) {
	n := len(c)
	for i := range c {
		for j := i + 1; j < n; j++ {
			if j == i+1 || i == 0 && j == n-1 {
				continue
			}
			if touch(c[i], c[(i+1)%n], c[j], c[(j+1)%n]) {
				return i, j, true
			}
		}
	}
	return 0, 0, false
}

// touch says whether the wall a–b has a point of the wall p–q: where their
// bounding boxes do, and neither has both its ends on one side of the other.
func touch(a, b, p, q Point) bool {
	return max(min(a.X, b.X), min(p.X, q.X)) <= min(max(a.X, b.X), max(p.X, q.X)) &&
		max(min(a.Y, b.Y), min(p.Y, q.Y)) <= min(max(a.Y, b.Y), max(p.Y, q.Y)) &&
		side(a, b, p)*side(a, b, q) <= 0 && side(p, q, a)*side(p, q, b) <= 0
}

// side is 1 where c lies to the left of the line from a to b, −1 to its right,
// and 0 on it, exactly.
func side(a, b, c Point) int {
	h1, l1 := product(b.X-a.X, c.Y-a.Y)
	h2, l2 := product(b.Y-a.Y, c.X-a.X)
	switch {
	case h1 > h2, h1 == h2 && l1 > l2:
		return 1
	case h1 < h2, l1 < l2:
		return -1
	}
	return 0
}
