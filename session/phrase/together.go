package phrase

import (
	"strings"

	"rodcall/reduce"
)

// together is what two amounts of a direct rod make of each other: a sum
// (a quarter plus a sixteenth), a part of a part (half an eighth), or a whole
// number and its fraction (1, 1/2). It is "" where they are two. It is never
// taken silently.
func (c Context) together(s scan) string {
	if len(s.amounts) != 2 {
		return ""
	}
	a, b := s.amounts[0], s.amounts[1]
	if a.why.Code != "" || b.why.Code != "" || !b.frac || b.feet || a.feet || b.unit != 0 && b.unit != reduce.Inch || b.value >= reduce.Inch {
		return ""
	}
	var v reduce.Length
	switch {
	case a.bare && a.whole && a.dec.IntPart() < 12:
		v = reduce.Length(a.dec.IntPart())*reduce.Inch + b.value
	case !a.frac || a.unit != 0 && a.unit != reduce.Inch:
		return ""
	case s.joined[1] == PlusWord && len(s.sides) > 0 && s.sides[0] > 0, s.joined[1] == AndWord:
		v = a.value + b.value
	case s.joined[1] == Article && a.value < reduce.Inch:
		v = reduce.Length(int64(a.value/reduce.SixtyFourth)*int64(b.value/reduce.SixtyFourth)) * reduce.SixtyFourth / 64
		if v%reduce.SixtyFourth != 0 {
			return ""
		}
	default:
		return ""
	}
	return reduce.UnitInch.Amount(v, reduce.SixtyFourth).Figure
}

// togetherWays offers what two amounts make, and each of them. A plus between
// them is no side.
func (c Context) togetherWays(m Meaning, prefix string, s scan) []string {
	both := strings.TrimPrefix(c.together(s), "+")
	var sides []int
	for _, k := range s.sides {
		if k < 0 || s.joined[1] != PlusWord {
			sides = append(sides, k)
		}
	}
	s.sides = sides
	answers := c.sided(m, prefix, both, s)
	if s.joined[1] == Article {
		return answers
	}
	return append(answers, c.eachAmount(m, prefix, s)...)
}

// standardTogether is the one amount that two of a standard rod make: 4' 7",
// 3/8; 4 7"; one metre forty.
func (c Context) standardTogether(s scan) string {
	if len(s.amounts) != 2 || len(s.sides) > 0 {
		return ""
	}
	a, b := s.amounts[0], s.amounts[1]
	if a.why.Code != "" || b.why.Code != "" {
		return ""
	}
	switch {
	case a.feet && !strings.Contains(a.text, "/") && strings.HasSuffix(a.text, "\"") && b.frac && !b.feet && b.value < reduce.Inch:
		return strings.TrimSuffix(a.text, "\"") + " " + strings.TrimSuffix(b.text, "\"") + "\""
	case a.bare && a.whole && b.unit == reduce.Inch && !b.frac && b.value < reduce.Foot:
		return a.text + "' " + strings.TrimSuffix(b.text, " in") + "\""
	case a.unit == reduce.Metre && a.value%reduce.Metre == 0 && b.bare && b.whole && b.dec.IntPart() < 100:
		return (a.value + reduce.Length(b.dec.IntPart())*reduce.Centimetre).Decimal(reduce.Metre).String() + " m"
	case a.unit == reduce.Metre && a.value%reduce.Metre == 0 && b.unit == reduce.Centimetre && b.value < reduce.Metre:
		return (a.value + b.value).Decimal(reduce.Metre).String() + " m"
	}
	return ""
}
