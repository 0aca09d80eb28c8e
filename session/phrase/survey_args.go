package phrase

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
)

// KnownArg is a station of known height above whatever the drawings count
// from. Clear takes it back.
type KnownArg struct {
	Station reduce.Station
	Height  reduce.Length
	Clear   bool
}

// BudgetPart names a part of the error budget.
type BudgetPart string

// The parts. "" stands for all of them.
const (
	BudgetBeam     BudgetPart = "beam"     // so much in so far, along each axis
	BudgetCone     BudgetPart = "cone"     // so much in so far from the laser
	BudgetReceiver BudgetPart = "receiver" // a length
	BudgetReading  BudgetPart = "reading"  // a length: the step between two readings
	BudgetLean     BudgetPart = "lean"     // degrees out of plumb
)

// BudgetArg sets one part of the error budget. Rise is a length; Run is 0 but
// for beam and cone. With Clear all parts are ours again.
type BudgetArg struct {
	Part      BudgetPart
	Rise, Run reduce.Length
	Degrees   decimal.Decimal
	Clear     bool
}

func (KnownArg) arg()  {}
func (BudgetArg) arg() {}

// known reads "bm 29.23 m". A number without a unit is asked back but in foot
// jobs, where it counts feet: heights are given in feet or metres whatever the
// rod shows.
func (c Context) known(m Meaning, w way, head, rest string) Meaning {
	name, figure, two := strings.Cut(rest, " ")
	n, ok := stationAt(itemise(lex(name)), c.Outline.Grid.Mark)
	if !ok || len(n.rest) > 0 || !two {
		return c.form(m, w)
	}
	s, why, exists := c.resolve(n.station)
	if !exists {
		m.Kind, m.Why, m.Command, m.Lang = Refuse, why, w.info.Name, w.lang
		return m
	}
	figure = strings.TrimPrefix(strings.TrimPrefix(figure, "is "), "es ")
	if _, none := oneOf(figure, "none:none off clear ninguno nada quitar"); none {
		return m.do(w, KnownArg{Station: s, Clear: true})
	}
	if _, err := decimal.NewFromString(strings.Replace(figure, ",", ".", 1)); err == nil && c.Unit != reduce.UnitFoot {
		m.Command, m.Lang = w.info.Name, w.lang
		line := head + " " + rest
		units := []string{" ft", " m"}
		if c.Unit == reduce.UnitMillimetre {
			units = []string{" m", " mm"}
		}
		return m.ask(Why{WhyTwoWays, []string{figure}}, line+units[0], line+units[1])
	}
	l, ok := c.surveyed(figure)
	if !ok {
		return c.form(m, w)
	}
	return m.do(w, KnownArg{Station: s, Height: l})
}

// surveyed reads a height, which may be below nothing: 29.23 m, -1.2 ft,
// 29230 mm, 95' 10 3/4".
func (c Context) surveyed(text string) (reduce.Length, bool) {
	sign := reduce.Length(1)
	if t := strings.TrimLeft(text, "-−–"); t != text {
		text, sign = t, -1
	}
	unit := reduce.Foot
	if t, ok := strings.CutSuffix(text, "mm"); ok {
		text, unit = t, reduce.Millimetre
	} else {
		for _, u := range []string{"feet", "pies", "ft", "metres", "meters", "metros", "m"} {
			if t, ok := strings.CutSuffix(text, u); ok {
				text, unit = t, planUnits[u]
				break
			}
		}
	}
	l, ok := c.plan(strings.TrimSpace(strings.TrimPrefix(text, "+")), unit)
	return sign * l, ok
}

// perWords is what stands between the rise and the run of a slope.
var perWords = []string{" per ", " in ", " at ", " por ", " en ", " a "}

// budget reads a part of the error budget: "beam 1/16 per 100 ft",
// "receiver 1/32", "lean 2".
func (c Context) budget(m Meaning, w way, rest string) Meaning {
	if _, clear := oneOf(rest, "default:default ours usual normal nuestro"); clear {
		return m.do(w, BudgetArg{Clear: true})
	}
	word, figure, _ := strings.Cut(rest, " ")
	part, ok := oneOf(word, "beam:beam tilt rayo haz", "cone:cone cono", "receiver:receiver receptor detector",
		"reading:reading lectura", "lean:lean plumb desplome")
	if !ok {
		return c.form(m, w)
	}
	arg := BudgetArg{Part: BudgetPart(part)}
	switch arg.Part {
	case BudgetBeam, BudgetCone:
		i := slices.IndexFunc(perWords, func(per string) bool { return strings.Contains(figure, per) })
		if i < 0 {
			return c.form(m, w)
		}
		rise, run, _ := strings.Cut(figure, perWords[i])
		run = strings.TrimSpace(run)
		unit := reduce.Length(0)
		if head, u, two := strings.Cut(run, " "); two && planUnits[u] != 0 {
			run, unit = head, planUnits[u]
		}
		up, _, ok1 := ParseLength(c, rise)
		far, ok2 := c.plan(run, unit)
		if !ok1 || !ok2 || up < 0 || far <= 0 {
			return c.form(m, w)
		}
		arg.Rise, arg.Run = up, far
	case BudgetReceiver, BudgetReading:
		l, _, ok := ParseLength(c, figure)
		if !ok || l < 0 {
			return c.form(m, w)
		}
		arg.Rise = l
	case BudgetLean:
		for _, unit := range []string{"degrees", "degree", "deg", "grados", "grado", "°"} {
			figure = strings.TrimSuffix(figure, unit)
		}
		d, err := decimal.NewFromString(strings.TrimSpace(figure))
		if err != nil || len(figure) > 12 || d.IsNegative() || d.GreaterThan(decimal.NewFromInt(45)) {
			return c.form(m, w)
		}
		arg.Degrees = d
	}
	return m.do(w, arg)
}
