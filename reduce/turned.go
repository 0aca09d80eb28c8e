package reduce

import (
	"github.com/shopspring/decimal"
)

// turnedRound are the readings whose figures, said the other way round, give
// this one. Decimal feet and millimetres: two neighbouring digits exchanged.
// Inches: whole inches and the numerator (1 3/8 and 3 1/8), or feet and whole
// inches (4' 7" and 7' 4"). Only what a crew could have read: no 3/16 as 16/3,
// no fraction that is not in lowest terms, no 12 inches.
func (u Unit) turnedRound(l, finest Length) []Length {
	sign := Length(1)
	if l < 0 {
		sign, l = -1, -l
	}
	l = l.RoundTo(finest)
	var out []Length
	add := func(v Length) {
		if v != l {
			out = append(out, sign*v)
		}
	}
	if u != UnitInch {
		unit := Millimetre
		if u == UnitFoot {
			unit = Foot
		}
		digits := []byte(fixed(l, u, finest))
		last := -1
		for i, c := range digits {
			if c == '.' {
				continue
			}
			if last >= 0 {
				digits[last], digits[i] = digits[i], digits[last]
				if d, err := decimal.NewFromString(string(digits)); err == nil {
					if v, err := FromDecimal(d, unit); err == nil {
						add(v)
					}
				}
				digits[last], digits[i] = digits[i], digits[last]
			}
			last = i
		}
		return out
	}
	feet, whole, rest := l/Foot, l%Foot/Inch, l%Inch
	if feet > 0 && feet < 12 {
		add(whole*Foot + feet*Inch + rest)
	}
	if rest == 0 {
		return out
	}
	// In lowest terms: the denominators of a tape are powers of two.
	num, den := rest*64/Inch, Length(64)
	if num*Inch != rest*64 {
		return out
	}
	for num%2 == 0 {
		num, den = num/2, den/2
	}
	if whole%2 == 1 && whole < den && num < 12 {
		add(feet*Foot + num*Inch + whole*(Inch/den))
	}
	return out
}
