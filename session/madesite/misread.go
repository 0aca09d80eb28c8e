package madesite

import "rodcall/reduce"

// Mistake draws how the next reading goes wrong, 0 for rightly, by the shares of
// the parameters.
func (k *Crew) Mistake() reduce.SlipKind {
	m := k.p.Misread
	at := k.c.Between(0, 1)
	for _, kind := range []struct {
		slip  reduce.SlipKind
		share float64
	}{
		{reduce.OtherSign, m.OtherSign}, {reduce.WholeUnit, m.WholeUnit}, {reduce.WholeFoot, m.WholeFoot},
		{reduce.TurnedRound, m.Digits}, {reduce.SkippedOne, m.Skipped}, {reduce.SwappedTwo, m.Swapped},
	} {
		if at < kind.share {
			return kind.slip
		}
		at -= kind.share
	}
	return 0
}

// Wrong is a reading gone wrong in a way; next is what the rod shows at the next
// station, for the two ways in which stations are confused. ok is false where
// this reading cannot go wrong so, or would come out right.
func (k *Crew) Wrong(kind reduce.SlipKind, right, next reduce.Length) (wrong reduce.Length, ok bool) {
	wrong = right
	sign := reduce.Length(k.c.Sign())
	unit, more := map[reduce.Unit][2]reduce.Length{
		reduce.UnitInch:       {reduce.Inch, reduce.Foot},
		reduce.UnitFoot:       {reduce.Foot / 10, reduce.Foot},
		reduce.UnitMillimetre: {reduce.Centimetre, reduce.Metre / 10},
	}[k.Unit], k.Rod.Kind == reduce.Standard
	switch kind {
	case reduce.OtherSign:
		if more {
			return right, false
		}
		wrong = -right
	case reduce.WholeUnit:
		wrong += sign * unit[0]
	case reduce.WholeFoot:
		if !more {
			return right, false
		}
		wrong += sign * unit[1]
	case reduce.TurnedRound:
		wrong = k.turned(right)
	case reduce.SkippedOne, reduce.SwappedTwo:
		wrong = next
	}
	return wrong, wrong != right && k.Rod.Kind.Reaches(wrong)
}

// turned exchanges two figures of a reading: in inches the whole ones and the
// eighths, else feet and inches; in feet and millimetres the last two digits.
func (k *Crew) turned(v reduce.Length) reduce.Length {
	if v < 0 {
		return -k.turned(-v)
	}
	if k.Unit != reduce.UnitInch {
		step := reduce.Millimetre
		if k.Unit == reduce.UnitFoot {
			step = reduce.Foot / 100
		}
		last, before := v/step%10, v/(10*step)%10
		return v + (last-before)*9*step
	}
	const eighth = reduce.Inch / 8
	feet, whole, eighths := v/reduce.Foot, v/reduce.Inch%12, v%reduce.Inch/eighth
	if v%eighth == 0 && whole%2 == 1 && eighths%2 == 1 && whole < 8 {
		return v + (eighths-whole)*(reduce.Inch-eighth)
	}
	if feet > 0 && whole > 0 {
		return v + (whole-feet)*(reduce.Foot-reduce.Inch)
	}
	return v
}
