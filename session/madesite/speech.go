package madesite

import (
	"fmt"

	"rodcall/reduce"
)

// Say is a reading as a crew sends it, in English or Spanish ("es"): which of the
// ways to put it is drawn. Amounts are exact to what can be told apart.
func (k *Crew) Say(lang string, v reduce.Length) string {
	if k.Rod.Kind == reduce.Standard {
		return k.figure(v)
	}
	if v == 0 {
		return "0"
	}
	low, minus := v < 0, map[bool]string{true: "menos ", false: "minus "}[lang == "es"]
	side := map[bool]map[bool]string{
		false: {true: "low", false: "high"},
		true:  {true: "bajo", false: "alto"},
	}[lang == "es"][low]
	amount := k.figure(v.Abs())
	// No "+": behind a corner's name it might be a place on the wall.
	switch way := k.c.Below(3); {
	case low && way == 1:
		return minus + amount
	case low && way == 2:
		return "-" + amount
	}
	return amount + " " + side
}

// figure is an amount without a side: "1 3/8", "4' 7 3/8\"", "4.62", "1412".
func (k *Crew) figure(v reduce.Length) string {
	if k.Unit != reduce.UnitInch {
		unit := reduce.Millimetre
		if k.Unit == reduce.UnitFoot {
			unit = reduce.Foot
		}
		return v.Decimal(unit).String()
	}
	inches := func(v reduce.Length) string {
		whole, num, den := v/reduce.Inch, v%reduce.Inch/(reduce.Inch/64), reduce.Length(64)
		for num > 0 && num%2 == 0 {
			num, den = num/2, den/2
		}
		switch {
		case num == 0:
			return fmt.Sprint(int64(whole))
		case whole == 0:
			return fmt.Sprintf("%d/%d", num, den)
		}
		return fmt.Sprintf("%d %d/%d", whole, num, den)
	}
	if k.Rod.Kind == reduce.Standard {
		return fmt.Sprintf("%d' %s\"", v/reduce.Foot, inches(v%reduce.Foot))
	}
	if v%reduce.Inch == 0 { // a bare whole number might be asked back
		return inches(v) + "\""
	}
	return inches(v)
}
