package phrase

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
)

// CostArg is what taking off a length costs, in hundredths of what shims of
// that length cost.
type CostArg struct{ Hundredths int64 }

// LimitArg is the most that may be moved at a spot; with None there is no limit.
type LimitArg struct {
	Length reduce.Length
	None   bool
}

func (CostArg) arg()  {}
func (LimitArg) arg() {}

// maxCost bounds what grinding may cost against shimming.
const maxCost = 1000

// timesWords are what may stand behind a cost.
var timesWords = []string{" times as much", " times", "x", " veces mas", " veces"}

// cost reads "4", "2.5 times": at most two decimals, over 0.
func (c Context) cost(m Meaning, w way, rest string) Meaning {
	for _, t := range timesWords {
		rest = strings.TrimSuffix(rest, t)
	}
	d, err := decimal.NewFromString(strings.Replace(strings.TrimSpace(rest), ",", ".", 1))
	if err != nil || len(rest) > 12 {
		return c.form(m, w)
	}
	if d.Sign() <= 0 {
		return c.because(m, w, WhyNotPositive)
	}
	d = d.Shift(2)
	if !d.IsInteger() || d.GreaterThan(decimal.NewFromInt(maxCost*100)) {
		return c.form(m, w)
	}
	return m.do(w, CostArg{d.IntPart()})
}

// limit reads the most that may be ground or shimmed at a spot. Nothing may be
// ground where that is none; shims then have no limit.
func (c Context) limit(m Meaning, w way, rest string) Meaning {
	if _, none := oneOf(rest, "none:none nothing off never nada ninguno nunca"); none {
		return m.do(w, LimitArg{None: w.info.Name == CmdShimMost})
	}
	if slices.Contains([]string{"no limit", "any", "sin limite"}, rest) && w.info.Name == CmdShimMost {
		return m.do(w, LimitArg{None: true})
	}
	l, ok := c.lengthArg(w.info.Name, rest)
	switch {
	case !ok || l < 0:
		return c.form(m, w)
	case l == 0 && w.info.Name == CmdShimMost:
		return c.because(m, w, WhyNotPositive)
	}
	return m.do(w, LimitArg{Length: l})
}

// searched are the ways to say a level that is searched for.
var searched = map[string]reduce.DatumChoice{
	"fewest": reduce.DatumFewest, "fewest spots": reduce.DatumFewest, "the fewest spots": reduce.DatumFewest, "fewest touched": reduce.DatumFewest,
	"menos puntos": reduce.DatumFewest, "los menos puntos": reduce.DatumFewest,
	"least": reduce.DatumLeast, "least work": reduce.DatumLeast, "the least work": reduce.DatumLeast, "cheapest": reduce.DatumLeast,
	"menos trabajo": reduce.DatumLeast, "el menor trabajo": reduce.DatumLeast, "minimo": reduce.DatumLeast,
}
