package reduce

// DatumChoice says how the level to build to was chosen.
type DatumChoice string

// The choices.
const (
	DatumFirst   DatumChoice = "first"   // the first station of the walk
	DatumHigh    DatumChoice = "high"    // the high spot: nothing to grind
	DatumStation DatumChoice = "station" // a named station
	DatumFixed   DatumChoice = "fixed"   // a height above the reference
	DatumFewest  DatumChoice = "fewest"  // the fewest spots to move
	DatumLeast   DatumChoice = "least"   // the least work
)

// Verdict on a station against the tolerance.
type Verdict string

// The verdicts.
const (
	On     Verdict = "on"
	Raise  Verdict = "raise"
	Lower  Verdict = "lower"
	Unsure Verdict = "unsure"
	Unread Verdict = "unread"
)

// Judge gives the verdict on a deviation (+ is high): on while it is at most
// the tolerance either way.
func Judge(deviation, tolerance Length) Verdict {
	switch {
	case deviation.Abs() <= tolerance:
		return On
	case deviation > 0:
		return Lower
	}
	return Raise
}

// DefaultTolerance of the sill from its datum: 1/8 in (common practice, no
// source).
const DefaultTolerance = Inch / 8

// Spot is a station with a height: its elevation less design.
type Spot struct {
	Station Station
	Height  Length
}

// Extent of a set of spots. High and Low are the first in walking order among
// equals.
type Extent struct {
	High, Low Spot
	Range     Length
}

// Extremes finds the extent; ok is false where there are no spots.
func Extremes(spots []Spot) (e Extent, ok bool) {
	for _, s := range spots {
		if !ok || s.Height > e.High.Height {
			e.High = s
		}
		if !ok || s.Height < e.Low.Height {
			e.Low = s
		}
		ok = true
	}
	e.Range = e.High.Height - e.Low.Height
	return e, ok
}
