package reduce

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"
)

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

// Amount shows |l| in the unit, rounded once to finest (> 0) with a tie to the
// even multiple. In inches exactly half a finest unit keeps its word as Shade;
// half of one above nothing is the finest amount, shy.
func (u Unit) Amount(l, finest Length) Amount {
	l = l.Abs()
	r := l.RoundTo(finest)
	if u != UnitInch {
		return Amount{Figure: fixed(r, u, finest)}
	}
	shade := 0
	if 2*(l-r).Abs() == finest {
		if r == 0 {
			r = finest
		}
		shade = 1
		if l < r {
			shade = -1
		}
	}
	return Amount{mixed(r), shade}
}

// mixed is a length in inches as a mixed fraction in lowest terms: "1 3/8".
func mixed(l Length) string {
	whole, rest := l/Inch, l%Inch
	if rest == 0 {
		return strconv.FormatInt(int64(whole), 10)
	}
	num, den := rest, Inch
	for a, b := num, den; ; a, b = b, a%b {
		if b == 0 {
			num, den = num/a, den/a
			break
		}
	}
	s := fmt.Sprintf("%d/%d", num, den)
	if whole > 0 {
		s = fmt.Sprintf("%d %s", whole, s)
	}
	return s
}

// fixed is a length in decimal feet or millimetres, with as many places as
// finest has.
func fixed(l Length, u Unit, finest Length) string {
	unit := Millimetre
	if u == UnitFoot {
		unit = Foot
	}
	_, places, _ := strings.Cut(finest.Decimal(unit).String(), ".")
	return l.Decimal(unit).StringFixed(int32(len(places)))
}

// RodFigure shows a reading of a standard rod (≥ 0), rounded to finest: feet
// and inches ("4' 7 3/8\""), decimal feet ("4.62") or millimetres ("1412").
func (u Unit) RodFigure(l, finest Length) string {
	l = l.RoundTo(finest)
	if u != UnitInch {
		return fixed(l, u, finest)
	}
	sign := ""
	if l < 0 {
		sign, l = "-", -l
	}
	return fmt.Sprintf("%s%d' %s\"", sign, l/Foot, mixed(l%Foot))
}

// FinestName names a finest amount as the export does: "1/16", "0.01", "1".
func FinestName(u Unit, finest Length) string {
	if u == UnitInch {
		return mixed(finest)
	}
	return fixed(finest, u, finest)
}

// ParseFinest reads a finest amount: in inches 1, 1/2 … 1/64, in feet and
// millimetres a power of ten between 0.0001 and 10.
func ParseFinest(u Unit, text string) (Length, error) {
	if u == UnitInch {
		for den := Length(1); den <= 64; den *= 2 {
			if mixed(Inch/den) == text {
				return Inch / den, nil
			}
		}
		return 0, fmt.Errorf("finest %q: want 1/2, 1/4 … 1/64", text)
	}
	unit := Millimetre
	if u == UnitFoot {
		unit = Foot
	}
	d, err := decimal.NewFromString(text)
	if err != nil {
		return 0, fmt.Errorf("finest %q: %w", text, err)
	}
	for _, ok := range []string{"10", "1", "0.1", "0.01", "0.001", "0.0001"} {
		if d.Equal(decimal.RequireFromString(ok)) {
			return FromDecimal(d, unit)
		}
	}
	return 0, fmt.Errorf("finest %q: want a power of ten from 0.0001 to 10", text)
}
