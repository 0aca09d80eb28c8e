package session

import (
	"strings"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// SaySpot names a spot in a language as it is found with a tape: feet and inches
// past the corner, c3+9'4", where the job counts in inches.
func SaySpot(lang string, j *Job, s reduce.Station) string {
	if j.Unit != reduce.UnitInch || s.Kind != reduce.Wall || s.Past%reduce.Foot == 0 {
		return SayStation(lang, j, s)
	}
	return sayHalf(lang, j.StationName(reduce.Corner(s.Number))+pastName(s.Past), s.Half)
}

func (h *hearing) spotName(b ShimPoint) string { return SaySpot(h.lang, h.job, b.Station) }

// pastName is +9'4": how far past a corner a spot lies.
func pastName(past reduce.Length) string {
	return "+" + strings.Replace(reduce.UnitInch.RodFigure(past, reduce.Inch/16), "' ", "'", 1)
}

// SaySize is a shim's size: a fraction of an inch where it is one, else
// millimetres. Its unit is said where it is not what the job counts in.
func (v View) SaySize(lang string, size reduce.Length) string {
	if size%reduce.SixtyFourth == 0 {
		figure := phrase.SayAmount(lang, reduce.UnitInch, reduce.UnitInch.Amount(size, reduce.SixtyFourth))
		if v.Job.Unit == reduce.UnitInch {
			return figure
		}
		return inUnit(lang, reduce.UnitInch, figure)
	}
	figure := size.String()
	if v.Job.Unit == reduce.UnitMillimetre {
		return figure
	}
	return inUnit(lang, reduce.UnitMillimetre, figure)
}

// SayStack is a stack of shims, largest first: "1/4 + 1/16".
func (v View) SayStack(lang string, stack []reduce.Length) string {
	out := make([]string, len(stack))
	for i, s := range stack {
		out[i] = v.SaySize(lang, s)
	}
	return strings.Join(out, " + ")
}

// SayShims is a list of shims by size: "1/8 x40, 1/4 plenty".
func (v View) SayShims(lang string, list []reduce.Shim) string {
	out := make([]string, len(list))
	for i, s := range list {
		key := Key("shims.count")
		if s.Plenty {
			key = "shims.plenty"
		}
		out[i] = Say(lang, key, v.SaySize(lang, s.Size), s.Count)
	}
	return strings.Join(out, ", ")
}

// SayVolume is a volume in cubic millimetres: cubic feet to a hundredth, in
// metric jobs litres to a tenth.
func (v View) SayVolume(lang string, mm3 decimal.Decimal) string {
	if v.Job.Unit == reduce.UnitMillimetre {
		return Say(lang, "volume.l", mm3.Div(decimal.New(1, 6)).Round(1).String())
	}
	return Say(lang, "volume.ft3", mm3.Div(decimal.New(28_316_846_592, -3)).Round(2).String())
}

// sayFine is an amount as finely as a plan is reckoned: hundredths of an inch, a
// thousandth of a foot, tenths of a millimetre.
func (v View) sayFine(lang string, l reduce.Length) string {
	d := l.Abs().Decimal(reduce.Inch).StringFixed(2)
	switch v.Job.Unit {
	case reduce.UnitFoot:
		d = l.Abs().Decimal(reduce.Foot).StringFixed(3)
	case reduce.UnitMillimetre:
		d = l.Abs().Decimal(reduce.Millimetre).StringFixed(1)
	case reduce.UnitInch:
	}
	return inUnit(lang, v.Job.Unit, d)
}

// SayTolerance is the job's tolerance as finely as it takes to show it.
func (v View) SayTolerance(lang string) string {
	finest := v.Job.Finest
	for v.Job.Tolerance > 0 && showsNothing(v.Job.Unit, v.Job.Tolerance, finest) && finest > reduce.SixtyFourth/100 {
		if v.Job.Unit == reduce.UnitInch {
			finest /= 2
		} else {
			finest /= 10
		}
	}
	return v.measureIn(lang, v.Job.Tolerance, finest)
}

// sizes is the sizes of shims, without their counts.
func (v View) sizes(lang string, list []reduce.Shim) string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = v.SaySize(lang, s.Size)
	}
	return strings.Join(out, ", ")
}

// millilitres is a volume in cubic millimetres.
func millilitres(ml int64) decimal.Decimal { return decimal.New(ml, 3) }
