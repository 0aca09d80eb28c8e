package reduce

import "math"

// Turn is how far a walk round the walls turns off straight on at a corner, in
// millionths of a degree: what surveyors call the deflection angle. + is to
// the left. It lies between half a circle to the right and half a circle to the
// left; 0 is no turn.
type Turn int32

// Turns.
const (
	Degree Turn = 1_000_000
	Left        = 90 * Degree
	Right       = -Left

	halfCircle = 180 * Degree
)

// Leg is one wall and the turn at its end.
type Leg struct {
	Length Length
	Turn   Turn   // not looked at on the last leg: the walls say how c1 turns
	Step   Length // Length was rounded to a multiple of it; 0 where it is exact
}

// abs is the turn to the left.
func (t Turn) abs() Turn {
	if t < 0 {
		return -t
	}
	return t
}

// within gives a turn that was added up its place between half a circle to the
// right and half a circle to the left.
func (t Turn) within() Turn {
	t %= 2 * halfCircle
	switch {
	case t > halfCircle:
		t -= 2 * halfCircle
	case t <= -halfCircle:
		t += 2 * halfCircle
	}
	return t
}

// exactTurns is what angles are drawn to: a multiple of half a degree is taken
// as meant so, what is given with more figures as rounded to the last of them.
const exactTurns = Degree / 2

// doubt is the most, in radians, by which the turn may have been rounded.
func (t Turn) doubt() float64 {
	if t%exactTurns == 0 {
		return 0
	}
	step := Degree / 10
	for t%step != 0 {
		step /= 10
	}
	return step.radians() / 2
}

func (t Turn) radians() float64 { return float64(t) * math.Pi / float64(halfCircle) }

// course is the direction of a wall that starts off so far to the left of +x;
// along the axes it is exact.
func (t Turn) course() (x, y float64) {
	t = t.within()
	if t%Left == 0 {
		axes := [4][2]float64{{1, 0}, {0, 1}, {-1, 0}, {0, -1}}
		along := axes[(t/Left+4)%4]
		return along[0], along[1]
	}
	y, x = math.Sincos(t.radians())
	return x, y
}

// rightAngled says that all turns are right angles: then every wall runs along an
// axis, and all is exact.
func rightAngled(legs []Leg) bool {
	for _, l := range legs[:max(len(legs)-1, 0)] {
		if l.Turn.abs() != Left {
			return false
		}
	}
	return true
}
