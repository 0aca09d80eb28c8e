package reduce

import (
	"cmp"
	"math"
	"slices"
)

// SlipKind is a way to get a reading wrong.
type SlipKind uint8

// The slips, the commonest first.
const (
	OtherSign   SlipKind = iota + 1 // + for −, on a direct rod
	WholeUnit                       // a whole inch, a tenth of a foot, or a centimetre
	TurnedRound                     // 1 3/8 for 3 1/8, 1412 for 1421, 4' 7" for 7' 4"
	WholeFoot                       // a whole foot, or a decimetre or metre
	SkippedOne                      // the reading belongs to the next station
	SwappedTwo                      // this reading and the one before it are exchanged
)

// slipNames names the slips.
var slipNames = map[SlipKind]string{
	OtherSign: "other-sign", WholeUnit: "whole-unit", TurnedRound: "turned-round", WholeFoot: "whole-foot",
	SkippedOne: "skipped", SwappedTwo: "swapped",
}

// String is a short name: "other-sign".
func (k SlipKind) String() string { return slipNames[k] }

// slipWeights say how common the slips are beside each other: by experience,
// not measured.
var slipWeights = map[SlipKind]float64{
	OtherSign: 0.35, WholeUnit: 0.25, TurnedRound: 0.15, WholeFoot: 0.10, SkippedOne: 0.10, SwappedTwo: 0.05,
}

// Slip is one likely slip behind an unlikely reading.
type Slip struct {
	Kind SlipKind
	// Value is the reading that was meant for this station; for SkippedOne the
	// reading as it stands, meant for Station; for SwappedTwo the other one's.
	Value Length
	// Station is the other station of SkippedOne and SwappedTwo.
	Station Station
	// Off is by how much it still misses what is expected, as rod's numbers.
	Off Length
}

// Suspect is an unlikely reading and what is known round it. Readings are the
// numbers of one rod.
type Suspect struct {
	Rod      Rod
	Unit     Unit
	Finest   Length // to which the crew reads; > 0
	Value    Length // as read
	Expected Length // as its neighbours lead to expect: Doubt.Reading
	Limit    Length // Doubt.Limit
	Scatter  Length // Doubt.Scatter
	// Next is the station after it and what is expected there, with its design;
	// the zero Station where there is none.
	Next         Station
	NextExpected Length
	// Previous is the station read before it by this rod, what was read and
	// what is expected there; the zero Station where there is none.
	Previous         Station
	PreviousValue    Length
	PreviousExpected Length
}

// Slips lists the likely slips, the likeliest first: those that bring the
// reading within the limit and at least twice as near to what is expected. How
// common a slip is counts as much as how well it fits. Candidates with one
// value count once. Nil where no slip explains the reading: it may be true.
func (s Suspect) Slips() []Slip {
	miss := (s.Value - s.Expected).Abs()
	var out []Slip
	add := func(k SlipKind, value Length, at Station, off Length) {
		same := func(o Slip) bool { return o.Value == value && o.Station == at }
		if off.Abs() <= s.Limit && 2*off.Abs() <= miss && !slices.ContainsFunc(out, same) {
			out = append(out, Slip{k, value, at, off})
		}
	}
	plain := func(k SlipKind, value Length) {
		if value != s.Value && s.Rod.Kind.Reaches(value) {
			add(k, value, Station{}, value-s.Expected)
		}
	}
	if s.Rod.Kind == Direct {
		plain(OtherSign, -s.Value)
	}
	unit, more := s.wholes()
	for _, sign := range []Length{1, -1} {
		plain(WholeUnit, s.Value+sign*unit)
		for _, m := range more {
			plain(WholeFoot, s.Value+sign*m)
		}
	}
	for _, v := range s.Unit.turnedRound(s.Value, s.Finest) {
		plain(TurnedRound, v)
	}
	if !s.Next.IsZero() {
		add(SkippedOne, s.Value, s.Next, s.Value-s.NextExpected)
	}
	if !s.Previous.IsZero() && s.PreviousValue != s.Value {
		// Both must fit: what is left is the worse of the two.
		here, there := s.PreviousValue-s.Expected, s.Value-s.PreviousExpected
		was := (s.PreviousValue - s.PreviousExpected).Abs()
		if there.Abs() > here.Abs() {
			here = there
		}
		if 2*here.Abs() <= was {
			add(SwappedTwo, s.PreviousValue, s.Previous, here)
		}
	}
	weight := func(o Slip) float64 {
		z := float64(o.Off) / float64(max(s.Scatter, s.Finest))
		return math.Log(slipWeights[o.Kind]) - z*z/2
	}
	slices.SortStableFunc(out, func(a, b Slip) int { return cmp.Compare(weight(b), weight(a)) })
	return out
}

// wholes are the amounts by which a reading is easily off as a whole.
func (s Suspect) wholes() (unit Length, more []Length) {
	switch s.Unit {
	case UnitFoot:
		return Foot / 10, []Length{Foot}
	case UnitMillimetre:
		return Centimetre, []Length{10 * Centimetre, Metre}
	case UnitInch:
	}
	return Inch, []Length{Foot}
}
