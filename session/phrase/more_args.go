package phrase

import (
	"regexp"

	"rodcall/reduce"
)

// MoreArg says which values are to stand on the keys: those of one whole inch,
// tenth of a foot or centimetre, as a reading that has it would begin.
type MoreArg struct {
	// From is the one nearest 0 of the rod's own numbers that are meant. Side is
	// −1 or 1 where they lie below or above 0 on a direct rod, else 0.
	From reduce.Length
	Side int
	// Wide: all of a foot or a decimetre is meant, on a standard rod.
	Wide bool
}

func (MoreArg) arg() {}

// wideRE are whole feet, and metres to a tenth.
var wideRE = regexp.MustCompile(`^[0-9]+ ?(ft|pies?)$|^[0-9]+(\.[0-9])? ?m$`)

// wholeRE is a whole number with a word.
var wholeRE = regexp.MustCompile(`^([0-9]+) ([a-z]+)$`)

// sides are those that a word alone tells.
var sides = map[Class]int{HighWord: 1, LowWord: -1}

// more reads which values are meant: "1 low", "low" (less than one), "4' 7\"",
// "4 ft" (all of the foot).
func (c Context) more(rest string) (MoreArg, bool) {
	items := itemise(lex(rest))
	if len(items) == 1 && c.Rod == reduce.Direct {
		if side, ok := sides[items[0].Class]; ok {
			return MoreArg{Side: side}, true
		}
	}
	if g := wholeRE.FindStringSubmatch(rest); g != nil && c.Unit == reduce.UnitInch && c.Rod == reduce.Direct {
		items = itemise(lex(g[1] + `" ` + g[2])) // no number of parts
	}
	c.trying = true
	k := c.reading(Meaning{Said: rest}, items)
	if k.Kind != Reading || k.Named {
		return MoreArg{}, false
	}
	a := MoreArg{From: k.Value}
	if c.Rod == reduce.Standard {
		a.Wide = wideRE.MatchString(rest)
		return a, true
	}
	a.Side = 1
	if k.Value < 0 {
		a.Side = -1
	}
	return a, true
}
