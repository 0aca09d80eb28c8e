package reduce

// DatumChoice says how the level to build to was chosen.
type DatumChoice string

// The choices.
const (
	DatumFirst   DatumChoice = "first"   // the first station of the walk
	DatumHigh    DatumChoice = "high"    // the high spot: nothing to grind
	DatumStation DatumChoice = "station" // a named station
	DatumFixed   DatumChoice = "fixed"   // a height above the reference
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
func Extremes(spots []Spot) (e Extent, ok bool) { return extremes(spots) }

// Pair is two spots and how far apart in height they are.
type Pair struct {
	High, Low  Spot
	Difference Length
	Distance   Length // straight, in plan, to the nearest nanometre
}

// PairReach is the distance within which a foundation's level is judged:
// 20 ft straight.
const PairReach = 20 * Foot

// WorstPair finds the two spots within reach of each other (in plan, at most)
// that differ most in height. Spots without a place in the outline are left
// out; ok is false where no two are near enough. Among equals the pair first
// in walking order wins.
func WorstPair(o *Outline, spots []Spot, reach Length) (p Pair, ok bool) {
	return worstPair(o, spots, reach)
}
