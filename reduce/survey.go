package reduce

// SetUp is the laser standing in one place, undisturbed, and the rods that
// were read in it.
type SetUp struct {
	ID    int
	Rods  []Rod
	Laser *Point // where the laser stands, nil where that is unknown
}

// Weights says what counts how much in the adjustment.
type Weights uint8

// ByBudget weighs each reading by the error budget and lets the beam of each
// set-up tilt as far as the budget and the readings say. AlikeSetUps counts
// every reading alike and the beam as level, so that each set-up of a line
// takes an equal share of its misclosure, as level books have it; bands still
// follow the budget.
const (
	ByBudget Weights = iota
	AlikeSetUps
)

// Survey is what was read, in order, and what is known beforehand.
type Survey struct {
	SetUps       []SetUp
	Observations []Observation
	// Reference is the station whose elevation is 0, unless heights are Known.
	Reference Station
	// Known heights, taken as exact. Where there are any, elevations are above
	// their zero and the Reference is a station like others.
	Known map[Station]Length
	// Places of stations in plan. A station without one (a turning point, a
	// free walk) takes part as if the beam did not tilt there.
	Places  map[Station]Point
	Weights Weights
	Budget  Budget
}

// heights are the stations whose height is not asked for.
func (s *Survey) heights() map[Station]Length {
	if len(s.Known) > 0 {
		return s.Known
	}
	return map[Station]Length{s.Reference: 0}
}
