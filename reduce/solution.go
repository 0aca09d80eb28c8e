package reduce

import (
	"errors"
	"math"
	"slices"
)

// Solution is a survey adjusted.
type Solution struct {
	// Elevations of the tied stations: above the reference, or above the zero
	// of the known heights.
	Elevations map[Station]Length
	// Constants of the tied rods: the reading at elevation 0 where the set-up's
	// beam stands as it does at the middle of its readings (at the laser, where
	// its place is known).
	Constants map[int]Length
	// Checked stations have a reading that could be left out and still be
	// worked out from the others.
	Checked map[Station]bool
	// Untied stations and rods, in walking order and as given: nothing joins
	// them to a known height, and they have no numbers.
	Untied     []Station
	UntiedRods []int
	SetUps     []SetUpResult // as in the survey
	Closures   []Closure     // in the order in which readings closed them
	Residuals  []Residual    // as the observations
	// DegreesOfFreedom are the tied observations less rods and free stations:
	// how many readings are more than enough.
	DegreesOfFreedom int
	// VarianceFactor is the weighted sum of squared residuals (what the beams
	// are found to tilt counts as such) over the degrees of freedom: about 1
	// where the budget fits. 0 without redundancy.
	VarianceFactor float64
	// Cone as found, where it is in the model.
	Cone *Slope
	// NoCone says that readings of some set-up carry a cone's error that is in
	// no band, for the laser's place there is unknown.
	NoCone bool

	net       *solved
	numbers   covariances
	variances []float64 // of each station
}

// covariances of elevations, in square nanometres.
type covariances interface{ covariance(j, k int) float64 }

// Slope is an error of the beam as found, in nanometres of rise per metre.
type Slope struct {
	Value       float64
	Uncertainty float64 // standard
}

// SetUpResult is what the adjustment says of a set-up.
type SetUpResult struct {
	ID   int
	Tied bool // some rod of it
	// Misclosure is the largest of the set-up's closures (either way), nil where
	// it closed none.
	Misclosure *Length
	// Tilt of the beam's plane along x and y, + where it rises; nil where it is
	// not in the model.
	Tilt *[2]Slope
}

// Closure is a circle of readings, or a way between known heights, closed by an
// observation.
type Closure struct {
	Observation int // by its place in the survey
	SetUp       int
	Station     Station
	// Misclosure is the station's elevation as carried by this reading less
	// the one that it had.
	Misclosure Length
}

// Residual is what the adjustment says of an observation; all is zero where it
// is not tied.
type Residual struct {
	Tied bool
	// Value is how much higher the reading puts its station than the
	// adjustment does.
	Value Length
	// Redundancy is the share of an error in this reading that shows in its
	// residual, between 0 and 1.
	Redundancy float64
	// Normalised is Value over its standard uncertainty (Baarda's w), 0 where
	// nothing checks the reading. Beyond CriticalNormalised it is unlikely.
	Normalised float64
}

// CriticalNormalised bounds a normalised residual at a significance of 0.001
// (W. Baarda, A testing procedure for use in geodetic networks, 1968; from
// memory).
const CriticalNormalised = 3.29

// ErrSingular says that the normal equations cannot be solved in floats.
var ErrSingular = errors.New("normal equations are singular")

// Uncertainty is the standard uncertainty of a station's elevation above the
// reference or the known heights. ok is false where it has none.
func (s *Solution) Uncertainty(of Station) (u Uncertainty, ok bool) {
	j, ok := s.index(of)
	if !ok {
		return 0, false
	}
	return root(s.variances[j]), true
}

// Difference is the standard uncertainty of the difference in elevation of two
// stations: of a deviation where one is the datum station, or of a pair.
func (s *Solution) Difference(a, b Station) (u Uncertainty, ok bool) {
	j, ok := s.index(a)
	if !ok {
		return 0, false
	}
	k, ok := s.index(b)
	if !ok {
		return 0, false
	}
	if j == k {
		return 0, true
	}
	return root(s.variances[j] + s.variances[k] - 2*s.numbers.covariance(j, k)), true
}

// Sight is the elevation of a spot by a further reading of a tied rod: by the
// rod's constant and by the beam as found, without adjusting anything; at is
// the spot's place, nil where it has none. What a station that nothing checks
// has in Elevations is just this. ok is false for a rod that is not tied.
func (s *Solution) Sight(rod int, value Length, at *Point) (elevation Length, ok bool) {
	n := s.net
	if n == nil {
		return 0, false
	}
	var room [4]term
	r, a, ok := n.sighting(rod, at, room[:0])
	if !ok {
		return 0, false
	}
	if !n.rods[r].Rises() {
		value = -value
	}
	return shifted(n.rodZero[r]+value, -times(a, n.unknowns)), true
}

// SightDifference is the standard uncertainty of the difference in elevation of
// a spot by a further reading, as Sight gives it, and a station: what Difference
// has for a station read once, without adjusting anything. noise is the standard
// uncertainty of the reading by itself. ok is false where one of the two is not
// tied, and where every set-up counts alike.
func (s *Solution) SightDifference(rod int, at *Point, noise Uncertainty, of Station) (u Uncertainty, ok bool) {
	k, ok := s.index(of)
	n := s.net
	if !ok || s.numbers != covariances(n) {
		return 0, false
	}
	var room [4]term
	_, a, ok := n.sighting(rod, at, room[:0])
	if !ok {
		return 0, false
	}
	own := float64(noise) * float64(noise)
	return root(own + n.inverse.form(a, a) + s.variances[k] - 2*n.inverse.form(a, n.b(k))), true
}

// index of a tied station.
func (s *Solution) index(of Station) (int, bool) {
	if s.net == nil {
		return 0, false
	}
	j, ok := s.net.number[of]
	return j, ok && s.net.tied[j]
}

// root is a standard uncertainty from a variance.
func root(v float64) Uncertainty {
	return Uncertainty(math.Round(math.Sqrt(math.Max(0, v))))
}

// sorted stations in walking order.
func sorted(s []Station) []Station { slices.SortFunc(s, Compare); return s }

// sighting writes the row of a further reading by a rod of a spot at a place, nil
// for none, into row, and gives the rod's number in it. ok is false for a rod that is not
// tied.
func (n *solved) sighting(rod int, at *Point, row []term) (r int, _ []term, ok bool) {
	r, ok = n.rodNumber[rod]
	if !ok || n.rodAt[r] < 0 {
		return 0, nil, false
	}
	var place *xy
	if at != nil {
		p := metres(*at)
		place = &p
	}
	return r, n.rowOf(r, place, row), true
}
