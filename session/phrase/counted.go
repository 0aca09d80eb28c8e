package phrase

import (
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
)

// countsParts says that digits alone are so many parts of an inch. On a standard rod
// they are the rod's own number, and in other units there are no parts.
func (c Context) countsParts() bool {
	return c.Count > 0 && c.Unit == reduce.UnitInch && c.Rod == reduce.Direct
}

// counted is a number typed in digits as so many parts of an inch: 6 is 3/8. far
// says that the rod does not reach so far; ok is false where it is no such
// number, or 0. Decimals are asked back (partOfParts); numbers in words are what
// they always are.
func (c Context) counted(a amount) (b amount, far, ok bool) {
	if !c.countsParts() || !a.bare || !a.whole || a.run == "" || a.dec.IsZero() {
		return a, false, false
	}
	if a.dec.GreaterThan(decimal.NewFromInt(int64(reduce.DirectReach / (reduce.Inch / reduce.Length(c.Count))))) {
		return a, true, true
	}
	b = a
	b.bare, b.whole, b.run, b.frac = false, false, "", true
	b.value = reduce.Length(a.dec.IntPart()) * (reduce.Inch / reduce.Length(c.Count))
	b.text = inchesText(b.value)
	return b, false, true
}

// inchesText is an amount of inches as it may be said again: "3/8", "2 in".
func inchesText(l reduce.Length) string {
	text := reduce.UnitInch.Amount(l, reduce.SixtyFourth).Figure
	if !strings.Contains(text, "/") {
		text += " in"
	}
	return text
}

// inParts puts what digits alone count into a line's amounts. How they were
// written stays, for what tells several amounts apart.
func (c Context) inParts(s scan) scan {
	if !c.countsParts() {
		return s
	}
	all := make([]amount, len(s.amounts))
	for i, a := range s.amounts {
		all[i] = a
		if b, _, ok := c.counted(a); ok {
			all[i].text = b.text
		}
	}
	s.amounts = all
	return s
}

// partsText is a count of parts with what it comes to: "6/16 = 3/8". Where that
// is the same, it is said once.
func (c Context) partsText(a, b amount) string {
	as := a.dec.String() + "/" + strconv.Itoa(c.Count)
	if as == b.text {
		return as
	}
	return as + " = " + b.text
}

// habitual is what people count in parts; more is as likely a fraction whose
// stroke was left out, from habit: 38.
const habitual = 2 * reduce.Inch

// habit asks back digits that count many parts and would be a fraction without
// counting: 38 is 38/16, or 3/8.
func (c Context) habit(m Meaning, prefix string, s scan, a, parts amount) Meaning {
	answers := c.sided(m, prefix, parts.text, s)
	for _, f := range runs(a.run) {
		answers = append(answers, c.sided(m, prefix, strconv.FormatInt(f.num, 10)+"/"+strconv.FormatInt(f.den, 10), s)...)
	}
	return m.ask(Why{WhyTwoWays, []string{c.partsText(a, parts)}}, answers...)
}

// partOfParts asks back a decimal where digits alone count parts: 6.5 is inches,
// or half a part more than six. Where the rod shows neither it is refused.
func (c Context) partOfParts(m Meaning, prefix string, s scan, a amount) Meaning {
	ways := c.sided(m, prefix, a.dec.String()+" in", s)
	if two := a.dec.Mul(decimal.NewFromInt(2)); two.IsInteger() {
		text := inchesText(reduce.Length(two.IntPart()) * (reduce.Inch / reduce.Length(2*c.Count)))
		ways = append(ways, c.sided(m, prefix, text, s)...)
	}
	if len(ways) == 0 {
		return m.refuse(WhyReach, a.text, c.reach())
	}
	return m.ask(Why{WhyTwoWays, []string{a.text}}, ways...)
}

// tooManyParts asks back digits that count more parts than the rod shows: they
// may be run together, as without counting: 316 is 3/16. Where they are not,
// they are refused.
func (c Context) tooManyParts(m Meaning, prefix string, s scan, a amount) Meaning {
	var ways []string
	for _, f := range runs(a.run) {
		ways = append(ways, strconv.FormatInt(f.num, 10)+"/"+strconv.FormatInt(f.den, 10))
	}
	ways = append(ways, mixedRuns(a.run)...)
	var answers []string
	for _, w := range ways {
		answers = append(answers, c.sided(m, prefix, w, s)...)
	}
	if len(answers) == 0 {
		return m.refuse(WhyReach, a.dec.String()+"/"+strconv.Itoa(c.Count), c.reach())
	}
	return m.ask(Why{WhyPartsReach, []string{a.dec.String() + "/" + strconv.Itoa(c.Count), c.reach()}}, answers...)
}

// pairWays are what two numbers side by side may be where digits are counted: 1 6
// is an inch and so many parts; 3 8 may be 3/8 too.
func (c Context) pairWays(s scan) []string {
	a, b := s.amounts[0], s.amounts[1]
	whole, part := a.dec.IntPart(), b.dec.IntPart()
	if !c.countsParts() || len(s.sides) > 1 || a.run == "" || b.run == "" || whole < 1 || whole > 12 || part < 1 || part >= int64(c.Count) {
		return nil
	}
	return []string{inchesText(reduce.Length(whole)*reduce.Inch + reduce.Length(part)*(reduce.Inch/reduce.Length(c.Count)))}
}
