package reduce

import "math"

// Curvature is by how much the earth's curvature, less refraction, makes a
// standard rod read high at a distance: 0.0675 K² m with K in kilometres, the
// 0.0206 F² ft (F in thousands of feet) of the textbooks (both from memory;
// they agree with each other). At 300 ft it is under 0.03 in, so nothing here
// corrects for it.
func Curvature(distance Length) Length {
	k := float64(distance) / float64(1000*Metre)
	return Length(math.Round(0.0675 * k * k * float64(Metre)))
}

// PegSetUp is one set-up of a two-peg test: the readings on pegs A and B and
// how far each stands from the laser.
type PegSetUp struct {
	A, B                 Length // readings
	DistanceA, DistanceB Length
}

// PegTest is what a two-peg test says.
type PegTest struct {
	// Error is by how much the difference A − B changed from the middle to the
	// end. It needs no distances.
	Error Length
	// Collimation is the error of a reading per distance: a reading is too
	// large by Collimation · distance. + is a beam that rises on a standard rod,
	// one that falls on a direct rod.
	// Known says that the distances could tell it.
	Collimation Gradient
	Known       bool
}

// TwoPeg compares two set-ups with one rod, by custom one midway between the
// pegs and one near A (or beyond it):
//
//	c = [(a₂−b₂) − (a₁−b₁)] / [(dA₂−dB₂) − (dA₁−dB₁)]
//
// The midway set-up is free of an error that grows alike in all directions: a
// level's line of sight, or the cone of a rotating laser. The tilt of a
// laser's plane is the same in both set-ups and does not show, if the laser
// faces the same way: turn it half round, or use Headings.
func TwoPeg(midway, end PegSetUp) PegTest {
	t := PegTest{Error: (end.A - end.B) - (midway.A - midway.B)}
	if d := (end.DistanceA - end.DistanceB) - (midway.DistanceA - midway.DistanceB); d != 0 {
		t.Collimation, t.Known = Gradient(float64(t.Error)/float64(d)), true
	}
	return t
}

// CorrectFar is what the rod on the far peg must show from near A, where the
// readings midway were a on A and b on B, and near A it is c on A:
// e = c + b − a. Near A's own error is neglected: it stands close by. Source:
// US Navy, Engineering Aid (NAVEDTRA 14070), transit and level adjustments.
func CorrectFar(a, b, c Length) Length { return c + b - a }

// Correct frees a reading of a collimation error: reading − c · distance.
func (t PegTest) Correct(reading, distance Length) Length {
	return reading - t.Collimation.At(distance)
}
