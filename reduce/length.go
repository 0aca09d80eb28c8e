package reduce

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strconv"

	"github.com/shopspring/decimal"
)

// Length is a length or a height in whole nanometres; heights are + up.
type Length int64

// Exact lengths. The inch is 25.4 mm and the foot 304.8 mm exactly
// (international yard and pound agreement, 1959).
const (
	Nanometre   Length = 1
	Micrometre         = 1000 * Nanometre
	Millimetre         = 1000 * Micrometre
	Centimetre         = 10 * Millimetre
	Metre              = 1000 * Millimetre
	SixtyFourth        = 396_875 * Nanometre
	Inch               = 64 * SixtyFourth
	Foot               = 12 * Inch
)

// MaxLength bounds every length that text or JSON may bring in: 100 km.
// Sums of many such lengths stay far inside an int64.
const MaxLength = 100_000 * Metre

// ErrTooFine refuses a length that is not a whole number of nanometres.
var ErrTooFine = errors.New("finer than a nanometre")

// ErrRange refuses a length beyond MaxLength.
var ErrRange = errors.New("length out of range")

// FromDecimal returns d units (say Inch or Millimetre) as a Length, exactly.
// It returns ErrTooFine or ErrRange where that cannot be.
func FromDecimal(d decimal.Decimal, unit Length) (Length, error) {
	// A huge exponent would make the product itself expensive.
	if e := d.Exponent(); e > 20 || e < -40 || d.NumDigits() > 60 {
		return 0, ErrRange
	}
	if d.Exponent() == 0 && d.NumDigits() < 18 && unit > 0 { // a whole number: in machine words
		n := Length(d.CoefficientInt64())
		if n.Abs() > MaxLength/unit {
			return 0, ErrRange
		}
		return n * unit, nil
	}
	nm := d.Mul(decimal.NewFromInt(int64(unit)))
	if nm.Abs().GreaterThan(decimal.NewFromInt(int64(MaxLength))) {
		return 0, ErrRange
	}
	if !nm.IsInteger() {
		return 0, ErrTooFine
	}
	return Length(nm.IntPart()), nil
}

// Fraction returns num/den units exactly, or ErrTooFine or ErrRange.
func Fraction(num, den int64, unit Length) (Length, error) {
	if den == 0 {
		return 0, errors.New("denominator is zero")
	}
	if num > int64(MaxLength) || num < -int64(MaxLength) {
		return 0, ErrRange
	}
	if unit > 0 && Length(num).Abs() <= math.MaxInt64/unit { // in machine words
		switch p := num * int64(unit); {
		case p%den != 0:
			return 0, ErrTooFine
		case Length(p/den).Abs() > MaxLength:
			return 0, ErrRange
		default:
			return Length(p / den), nil
		}
	}
	p := decimal.NewFromInt(num).Mul(decimal.NewFromInt(int64(unit)))
	q, r := p.QuoRem(decimal.NewFromInt(den), 0)
	if !r.IsZero() {
		return 0, ErrTooFine
	}
	if q.Abs().GreaterThan(decimal.NewFromInt(int64(MaxLength))) {
		return 0, ErrRange
	}
	return Length(q.IntPart()), nil
}

// Decimal returns the length in units (say Millimetre), exactly when unit
// divides a power of ten of it, else to 16 places.
func (l Length) Decimal(unit Length) decimal.Decimal {
	return decimal.NewFromInt(int64(l)).Div(decimal.NewFromInt(int64(unit)))
}

// String is the length in millimetres as a plain decimal: "-9.525".
func (l Length) String() string {
	b := make([]byte, 0, 24)
	n := uint64(l) //nolint:gosec // the sign stands by itself
	if l < 0 {
		b, n = append(b, '-'), -n
	}
	b = strconv.AppendUint(b, n/uint64(Millimetre), 10)
	if rest := n % uint64(Millimetre); rest > 0 {
		point := len(b)
		b = strconv.AppendUint(b, uint64(Millimetre)+rest, 10) // its 1 is where the point goes
		b[point] = '.'
		b = bytes.TrimRight(b, "0")
	}
	return string(b)
}

// Abs is the length without its sign.
func (l Length) Abs() Length {
	if l < 0 {
		return -l
	}
	return l
}

// RoundTo rounds to a multiple of step (> 0); a tie goes to the even multiple.
func (l Length) RoundTo(step Length) Length {
	q, r := l/step, l%step
	if r < 0 {
		q, r = q-1, r+step
	}
	if 2*r > step || 2*r == step && q%2 != 0 {
		q++
	}
	return q * step
}

// MarshalText writes millimetres as String does; JSON shows a string.
func (l Length) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// UnmarshalText reads a decimal count of millimetres.
func (l *Length) UnmarshalText(b []byte) error {
	if len(b) > 40 {
		return ErrRange
	}
	d, err := decimal.NewFromString(string(b))
	if err != nil {
		return fmt.Errorf("length %q: %w", b, err)
	}
	*l, err = FromDecimal(d, Millimetre)
	return err
}
