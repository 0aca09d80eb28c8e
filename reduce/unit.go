package reduce

import "fmt"

// Unit is what a crew counts amounts in.
type Unit uint8

// The units of a job. In and ft jobs mark their walls in feet, mm jobs in
// metres.
const (
	UnitInch Unit = iota + 1
	UnitFoot
	UnitMillimetre
)

// String is "in", "ft" or "mm".
func (u Unit) String() string {
	switch u {
	case UnitInch:
		return "in"
	case UnitFoot:
		return "ft"
	case UnitMillimetre:
		return "mm"
	}
	return fmt.Sprintf("Unit(%d)", uint8(u))
}

// MarshalText writes String; an unknown unit is an error.
func (u Unit) MarshalText() ([]byte, error) {
	if u < UnitInch || u > UnitMillimetre {
		return nil, fmt.Errorf("unknown unit %d", uint8(u))
	}
	return []byte(u.String()), nil
}

// UnmarshalText reads "in", "ft" or "mm".
func (u *Unit) UnmarshalText(b []byte) error {
	for _, k := range []Unit{UnitInch, UnitFoot, UnitMillimetre} {
		if k.String() == string(b) {
			*u = k
			return nil
		}
	}
	return fmt.Errorf("unknown unit %q: want in, ft or mm", b)
}

// Finest is the finest amount shown by default: 1/16 in, 0.01 ft or 1 mm.
func (u Unit) Finest() Length {
	switch u {
	case UnitFoot:
		return Foot / 100
	case UnitMillimetre:
		return Millimetre
	case UnitInch:
	}
	return Inch / 16
}

// Amount is an unsigned amount as a crew reads it.
type Amount struct {
	// Figure is "3/8", "1 3/8", "0.03" or "9", without a unit.
	Figure string
	// Shade is +1 where the true amount is half a finest unit above the
	// figure ("1/4 heavy"), -1 where it is half one below ("1/4 shy"),
	// else 0.
	Shade int
}

// Amount shows |l| in the unit, rounded once to finest with a tie to the even
// multiple. In inches exactly half a finest unit keeps its word as Shade.
func (u Unit) Amount(l, finest Length) Amount { return u.amount(l.Abs(), finest) }

// RodFigure shows a reading of a standard rod: feet and inches ("4' 7 3/8\""),
// decimal feet ("4.62") or millimetres ("1412"), rounded to finest.
func (u Unit) RodFigure(l, finest Length) string { return u.rodFigure(l, finest) }
