package reduce

import "math"

// Headings is what four readings of one spot say of a rotating laser's beam,
// in the manner of the field test for rotating lasers, ISO 17123-6 (whose
// formulas these are not).
type Headings struct {
	// Mark and Left are by how much the beam rises towards the laser's mark
	// and towards its left side.
	Mark, Left Gradient
	// Deviation is the standard deviation of either.
	Deviation Gradient
	// Mean of the four readings: free of the tilt, not of the cone.
	Mean Length
	// Misfit is the first and third reading together less the second and
	// fourth. It is noise, of twice a reading's, unless the laser came to stand
	// at another height as it was turned.
	Misfit Length
	// Sound says that the misfit is within three of its standard deviations.
	Sound bool

	rises    bool
	distance Length
}

// FourHeadings reduces readings of one spot at a distance, the laser turned on
// its tripod so that in turn its mark, its left side, its back and its right
// side face the rod. noise is the standard deviation of one reading. ok is
// false where distance or noise is not over zero.
//
// A beam plane that rises by g towards the mark is higher by g · distance at
// the rod when the mark faces it and lower by as much when the back does: half
// the difference is the tilt, and the spot's height drops out. A standard rod
// reads more under a higher beam, a direct one less.
func FourHeadings(rod Rod, readings [4]Length, distance, noise Length) (h Headings, ok bool) {
	if distance <= 0 || noise <= 0 {
		return Headings{}, false
	}
	h.rises, h.distance = rod.Rises(), distance
	h.Mark = h.gradient(float64(readings[0]-readings[2]) / 2)
	h.Left = h.gradient(float64(readings[1]-readings[3]) / 2)
	h.Deviation = Gradient(float64(noise) / math.Sqrt2 / float64(distance))
	sum := readings[0] + readings[1] + readings[2] + readings[3]
	h.Mean = Length(math.Round(float64(sum) / 4))
	h.Misfit = readings[0] + readings[2] - readings[1] - readings[3]
	h.Sound = h.Misfit.Abs() <= 6*noise
	return h, true
}

// gradient is that of a beam which changes a reading by so much.
func (h *Headings) gradient(change float64) Gradient {
	if h.rises {
		change = -change
	}
	return Gradient(change / float64(h.distance))
}

// Steepest is the tilt of the beam's plane.
func (h Headings) Steepest() Gradient { return Gradient(math.Hypot(float64(h.Mark), float64(h.Left))) }

// Tilted says whether the plane is tilted: a level one shows as much in under
// one case of a hundred. The squared tilt over its variance is chi-squared
// with two degrees of freedom, whose upper tail is exp(−χ²/2).
func (h Headings) Tilted() bool {
	s := float64(h.Steepest()) / float64(h.Deviation)
	return math.Exp(-s*s/2) < 0.01
}

// Cone is by how much the beam rises in every direction, given the reading
// that a level beam at this laser's height would show: from a set-up midway
// between this spot and one close by, as in the two-peg test.
func (h Headings) Cone(level Length) Gradient { return h.gradient(float64(h.Mean - level)) }

// HalfTurn is what the same stations, shot before and after turning the laser
// half round on its tripod, say: the beam's tilt turns with the laser and the
// slab does not. A cone does not turn, and stays in the slab's part.
type HalfTurn struct {
	// SlabX, SlabY are by how much the stations rise along x and y; BeamX,
	// BeamY by how much the beam's plane did before the turn.
	SlabX, SlabY Gradient
	BeamX, BeamY Gradient
	// DeviationX and DeviationY are the standard deviations of each.
	DeviationX, DeviationY Gradient
	// BeamTilted: a level beam shows as much in under one case of a hundred.
	BeamTilted bool
}

// TurnPair is a station's reading before and after the half turn.
type TurnPair struct {
	At            Point
	Before, After Length
}

// HalfTurned separates the slab's slope from the beam's: half the sum of the
// two apparent slopes is the slab's, half the difference the beam's. The
// height of the laser may change as it is turned. noise is the standard
// deviation of one reading. ok is false without three stations that do not lie
// in a line.
func HalfTurned(rod Rod, pairs []TurnPair, noise Length) (t HalfTurn, ok bool) {
	sums, differences := make([]Tie, len(pairs)), make([]Tie, len(pairs))
	for i, p := range pairs {
		a, b := p.Before, p.After
		if !rod.Rises() {
			a, b = -a, -b
		}
		// A spot under a beam that is high there seems low by as much.
		sums[i], differences[i] = Tie{p.At, a + b}, Tie{p.At, b - a}
	}
	slab, ok := PlaneThrough(sums)
	if !ok || noise <= 0 {
		return HalfTurn{}, false
	}
	beam, _ := PlaneThrough(differences)
	both := Length(math.Round(math.Sqrt2 * float64(noise)))
	t.SlabX, t.SlabY = slab.X/2, slab.Y/2
	t.BeamX, t.BeamY = beam.X/2, beam.Y/2
	x, y, _ := beam.Deviations(both)
	t.DeviationX, t.DeviationY = x/2, y/2
	t.BeamTilted = beam.Chance(both) < 0.01
	return t, true
}
