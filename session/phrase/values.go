package phrase

import (
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
)

// direct judges a reading of a direct rod.
func (c Context) direct(m Meaning, prefix string, s scan) Meaning {
	side, agree := s.side()
	three := threeNumbers(s.amounts)
	s = c.inParts(s)
	var a amount
	if len(s.amounts) > 0 {
		a = s.amounts[0]
	}
	text := c.inUnit(prefix, a)
	ways := func() []string {
		if len(s.amounts) == 0 {
			return c.thatRead(prefix + textOf(orEnglish(m.Lang), OnWord))
		}
		return c.sided(m, prefix, text, s)
	}
	switch {
	case s.strange:
		return m.refuse(WhyNotUnderstood, m.Said)
	case c.together(s) != "":
		return m.ask(Why{WhyTwoAmounts, []string{m.Said}}, c.togetherWays(m, prefix, s)...)
	case s.on && a.bare && !a.dec.IsZero() && len(s.amounts) == 1:
		// Good on station 3, la tres está a nivel: the number is no amount.
		on := " " + textOf(orEnglish(m.Lang), OnWord)
		var lines []string
		if n := a.dec.IntPart(); a.whole && !m.Named && n < maxNumber {
			lines = c.thatRead(reduce.Corner(int(n)).Name(c.Outline.Grid.Mark) + on)
		}
		return m.ask(Why{WhyTwoWays, []string{m.Said}}, append(lines, c.thatRead(strings.TrimSpace(prefix+on))...)...)
	case three != "":
		return m.ask(Why{WhyTwoWays, []string{m.Said}}, c.sided(m, prefix, three, s)...)
	case s.pair != "" && len(s.amounts) == 2:
		both := c.sided(m, prefix, s.pair, s)
		for _, w := range c.pairWays(s) {
			both = append(both, c.sided(m, prefix, w, s)...)
		}
		if len(both) == 0 {
			both = c.eachAmount(m, prefix, s)
		}
		return m.ask(Why{WhyTwoWays, []string{strings.ReplaceAll(s.pair, "/", " ")}}, both...)
	case len(s.amounts) > 1:
		return m.ask(Why{WhyTwoAmounts, []string{m.Said}}, c.eachAmount(m, prefix, s)...)
	case s.not != "":
		if s.not == "no" && !s.on {
			return m.ask(Why{WhyUnsure, []string{m.Said, s.not}}, ways()...) // no, 3/8 low
		}
		if a.value == 0 {
			return m.ask(Why{WhyNoAmount, []string{m.Said}}, c.small(m, prefix, s)...)
		}
		return m.ask(Why{WhyUnsure, []string{m.Said, s.not}}, c.answers(m, prefix, text, s.shade)...)
	case s.vague != "":
		return m.ask(Why{WhyUnsure, []string{m.Said, s.vague}}, ways()...)
	case s.unknown != "" && s.lost && !m.Named:
		return m.refuse(WhyNotUnderstood, m.Said)
	case s.unknown != "":
		k := m.ask(Why{WhyMore, []string{m.Said, s.unknown}}, ways()...)
		if len(k.Answers) == 0 && !m.Named && len(s.sides) == 0 && !s.on && s.either == "" {
			return m.refuse(WhyNotUnderstood, m.Said)
		}
		return k
	case s.need && (s.spot != "" || s.on):
		return m.ask(Why{WhySpotOrMove, []string{m.Said, s.wanted()}}, c.answers(m, prefix, text, s.shade)...)
	case s.either != "":
		return m.ask(Why{WhySpotOrMove, []string{m.Said, s.either}}, c.answers(m, prefix, text, s.shade)...)
	case !agree:
		return m.ask(Why{WhyTwoSides, []string{m.Said}}, c.answers(m, prefix, text, s.shade)...)
	case s.shade != 0 && c.metric(a):
		return m.ask(Why{WhyUnsure, []string{m.Said, shadeWord(m.Lang, s.shade)}}, c.answers(m, prefix, text, 0)...)
	case a.odd || s.loose:
		// A low quarter: a quarter that is low, or a light one?
		return m.ask(Why{WhyTwoWays, []string{m.Said}}, c.answers(m, prefix, text, 0)...)
	}
	if mm, ok := c.halfMillimetre(a); ok {
		return m.ask(Why{WhyTwoWays, []string{a.text}}, append(c.sided(m, prefix, mm, s), c.sided(m, prefix, a.text+" in", s)...)...)
	}
	asked := a.text
	if parts, far, ok := c.counted(a); far {
		return c.tooManyParts(m, prefix, s, a)
	} else if ok && parts.value > habitual && len(runs(a.run)) > 0 {
		return c.habit(m, prefix, s, a, parts)
	} else if ok {
		a, asked = parts, c.partsText(a, parts)
	}
	if a.bare {
		if ask, done := c.bareDirect(m, prefix, s, &a); done {
			return ask
		}
		asked = a.text
		if !a.frac && !a.dec.IsZero() {
			a.text += " " + c.Unit.String()
		}
	}
	switch {
	case s.on && a.value != 0:
		return m.ask(Why{WhyTwoSides, []string{m.Said}}, c.answers(m, prefix, a.text, s.shade)...)
	case s.on && (side != 0 || s.shade != 0), a.value == 0 && s.sided:
		return m.ask(Why{WhyNoAmount, []string{m.Said}}, append(c.small(m, prefix, s), ways()...)...)
	case a.value != 0 && side == 0:
		return m.ask(Why{WhyNoSide, []string{asked}}, c.answers(m, prefix, a.text, s.shade)...)
	}
	v := a.value
	if s.shade != 0 && v != 0 {
		v += reduce.Length(s.shade) * 2 * reduce.SixtyFourth
	}
	return c.value(m, reduce.Length(side)*v, a.text)
}

// inUnit is an amount as it stands in an answer that is offered: a bare number
// that reads as millimetres or feet has the unit behind it.
func (c Context) inUnit(prefix string, a amount) string {
	low := scan{sides: []int{-1}}
	if a.bare && !a.frac && !a.dec.IsZero() && c.Unit != reduce.UnitInch && len(c.sided(Meaning{}, prefix, a.text, low)) > 0 {
		return a.text + " " + c.Unit.String()
	}
	return a.text
}

// metric says that an amount counts millimetres or metres: half a sixteenth
// more or less means nothing there.
func (c Context) metric(a amount) bool {
	if a.unit == 0 {
		return a.bare && c.Unit == reduce.UnitMillimetre
	}
	return a.unit == reduce.Millimetre || a.unit == reduce.Centimetre || a.unit == reduce.Metre
}

// value is a reading, if the rod can show it.
func (c Context) value(m Meaning, v reduce.Length, text string) Meaning {
	if !c.Rod.Reaches(v) {
		return m.refuse(WhyReach, text, c.reach())
	}
	m.Kind, m.Value = Reading, v
	return m
}

// reach is what the rod shows, in words of numbers.
func (c Context) reach() string {
	metric := c.Unit == reduce.UnitMillimetre
	switch {
	case c.Rod == reduce.Standard && metric:
		return "0 … 7620 mm"
	case c.Rod == reduce.Standard:
		return "0 … 25 ft"
	case metric:
		return "±304.8 mm"
	}
	return "±12 in"
}

func (c Context) eachAmount(m Meaning, prefix string, s scan) []string {
	var out []string
	for i, a := range s.amounts {
		one := s
		if len(s.sides) == len(s.amounts) {
			one.sides = s.sides[i : i+1]
		}
		out = append(out, c.sided(m, prefix, c.inUnit(prefix, a), one)...)
	}
	return out
}

// bareDirect gives a number without a unit its meaning. done is true where it
// has to be asked back or refused.
func (c Context) bareDirect(m Meaning, prefix string, s scan, a *amount) (Meaning, bool) {
	switch {
	case a.dec.IsZero():
		a.value = 0
		return m, false
	case c.Unit == reduce.UnitMillimetre:
		return c.bareDecimal(m, a, reduce.Millimetre)
	case c.Unit == reduce.UnitFoot:
		return c.bareDecimal(m, a, reduce.Foot)
	case !a.whole && c.countsParts() && a.run != "" && strings.Contains(m.Said, a.run):
		return c.partOfParts(m, prefix, s, *a), true
	case !a.whole:
		if _, after, comma := strings.Cut(a.run, ","); comma && len(after) == 3 {
			text := strings.Replace(a.run, ",", ".", 1)
			return m.ask(Why{WhyTwoWays, []string{a.run}}, c.sided(m, prefix, text+" in", s)...), true
		}
		return c.bareDecimal(m, a, reduce.Inch)
	}
	fractions, mixed := runs(a.run), mixedRuns(a.run)
	if len(fractions) == 1 && len(mixed) == 0 {
		a.set(decimal.Zero, fractions[0], reduce.Inch)
		return m, false
	}
	var ways []string
	for _, f := range fractions {
		ways = append(ways, strconv.FormatInt(f.num, 10)+"/"+strconv.FormatInt(f.den, 10))
	}
	ways = append(ways, mixed...)
	if n := a.dec; len(ways) == 0 && n.LessThanOrEqual(decimal.NewFromInt(12)) {
		for _, den := range []int64{8, 16} {
			if n.LessThan(decimal.NewFromInt(den)) && n.IntPart()%2 == 1 {
				ways = append(ways, n.String()+"/"+strconv.FormatInt(den, 10))
			}
		}
		ways = append(ways, n.String()+" in")
	}
	if len(ways) == 0 {
		return m.refuse(WhyReach, a.text, c.reach()), true
	}
	var answers []string
	for _, w := range ways {
		answers = append(answers, c.sided(m, prefix, w, s)...)
	}
	return m.ask(Why{WhyTwoWays, []string{a.text}}, answers...), true
}

func (c Context) bareDecimal(m Meaning, a *amount, unit reduce.Length) (Meaning, bool) {
	v, why := ofDecimal(a.dec, unit)
	if why.Code != "" {
		if why.Code == WhyReach {
			why.Args = []string{a.text, c.reach()}
		}
		m.Kind, m.Why = Refuse, why
		return m, true
	}
	a.value = v
	return m, false
}

// standard judges a reading of a standard rod: a number without a side.
func (c Context) standard(m Meaning, prefix string, s scan) Meaning {
	rod := c.directRod(m)
	var a amount
	if len(s.amounts) > 0 {
		a = s.amounts[0]
	}
	switch {
	case s.strange:
		return m.refuse(WhyNotUnderstood, m.Said)
	case c.standardTogether(s) != "":
		return m.ask(Why{WhyTwoAmounts, []string{m.Said}}, c.thatRead(prefix+c.standardTogether(s))...)
	case s.on || len(s.sides) > 0 || s.either != "":
		if len(s.amounts) == 1 && !s.sided && !s.on && s.either == "" {
			rod = append(c.thatRead(prefix+a.text), rod...) // -4' 7"
		}
		return m.ask(Why{WhyRodNumber, []string{m.Said}}, rod...)
	case s.pair != "" && len(s.amounts) == 2:
		two := strings.Split(s.pair, "/")
		if f := runs(two[1]); len(f) == 1 && c.Unit == reduce.UnitInch { // 47 38
			part := strconv.FormatInt(f[0].num, 10) + "/" + strconv.FormatInt(f[0].den, 10)
			return m.ask(Why{WhyTwoWays, []string{m.Said}}, c.thatRead(prefix+two[0]+" "+part, prefix+two[0]+" "+part+"\"")...)
		}
		return m.ask(Why{WhyFeetOrInches, []string{strings.ReplaceAll(s.pair, "/", " ")}}, c.thatRead(prefix+two[0]+"' "+two[1]+"\"")...)
	case len(s.amounts) > 2 && s.pair != "":
		f := runs(s.amounts[2].run)
		if len(s.amounts) == 3 && len(f) == 1 && c.Unit == reduce.UnitInch { // 4 7 38
			text := s.amounts[0].text + "' " + s.amounts[1].text + " " + strconv.FormatInt(f[0].num, 10) + "/" + strconv.FormatInt(f[0].den, 10) + "\""
			return m.ask(Why{WhyTwoAmounts, []string{m.Said}}, c.thatRead(prefix+text)...)
		}
		return m.refuse(WhyNotUnderstood, m.Said) // four six two
	case len(s.amounts) > 1:
		return m.ask(Why{WhyTwoAmounts, []string{m.Said}}, c.eachAmount(m, prefix, s)...)
	case s.not != "":
		k := m.ask(Why{WhyUnsure, []string{m.Said, s.not}})
		if s.not == "no" {
			k = k.ask(k.Why, c.thatRead(prefix+c.inUnit(prefix, a))...)
		}
		return k
	case s.vague != "":
		return m.ask(Why{WhyUnsure, []string{m.Said, s.vague}}, c.thatRead(prefix+c.inUnit(prefix, a))...)
	case s.unknown != "":
		return m.ask(Why{WhyMore, []string{m.Said, s.unknown}}, c.thatRead(prefix+c.inUnit(prefix, a))...)
	case s.shade != 0 && c.metric(a):
		return m.ask(Why{WhyUnsure, []string{m.Said, shadeWord(m.Lang, s.shade)}}, c.thatRead(prefix+c.inUnit(prefix, a))...)
	case a.odd:
		return m.ask(Why{WhyRodNumber, []string{m.Said}}, rod...)
	}
	if mm, ok := c.halfMillimetre(a); ok {
		return m.ask(Why{WhyTwoWays, []string{a.text}}, c.thatRead(prefix+mm, prefix+a.text+" in")...)
	}
	if a.bare {
		return c.bareStandard(m, prefix, a)
	}
	if a.frac && !a.feet && a.value < reduce.Inch {
		return m.ask(Why{WhyRodNumber, []string{m.Said}}, c.thatRead(prefix+"0' 0 "+a.text+"\"")...)
	}
	if a.frac && !a.feet && a.unit == 0 && a.value < reduce.Foot {
		// 4 7/8: so low on a rod is rare, and feet may have lost their mark.
		feet, part, _ := strings.Cut(a.text, " ")
		return m.ask(Why{WhyFeetOrInches, []string{a.text}}, c.thatRead(prefix+feet+"' 0 "+part+"\"", prefix+a.text+" in")...)
	}
	v := a.value
	if s.shade != 0 {
		v += reduce.Length(s.shade) * 2 * reduce.SixtyFourth
	}
	return c.value(m, v, a.text)
}

// bareStandard gives a standard rod's number without a unit its meaning.
func (c Context) bareStandard(m Meaning, prefix string, a amount) Meaning {
	unit, why := reduce.Inch, WhyFeetOrInches
	var ways []string
	n := a.dec.String()
	switch {
	case c.Unit == reduce.UnitFoot:
		unit = reduce.Foot
	case c.Unit == reduce.UnitMillimetre:
		unit = reduce.Millimetre
		if !a.whole && a.dec.LessThan(decimal.NewFromInt(30)) {
			ways, why = []string{n + " m", n + " mm"}, WhyMetres
		}
	case a.dec.LessThanOrEqual(decimal.NewFromInt(int64(reduce.StandardReach / reduce.Foot))):
		// Feet would be on the rod too.
		ways = []string{n + " ft", n + " in"}
	}
	if v, why := ofDecimal(a.dec, unit); unit == reduce.Inch && a.whole && why.Code == "" && nearReach(v) && c.Rod.Reaches(v) {
		ways = []string{n + " in", n + " mm"}
		return m.ask(Why{WhyTwoWays, []string{a.text}}, c.thatRead(prefix+ways[0], prefix+ways[1])...)
	}
	if ways != nil {
		return m.ask(Why{why, []string{a.text}}, c.thatRead(prefix+ways[0], prefix+ways[1])...)
	}
	v, bad := ofDecimal(a.dec, unit)
	if bad.Code != "" {
		return m.refuse(WhyReach, a.text, c.reach())
	}
	return c.value(m, v, a.text)
}

// ParseLength reads a bare length without a side: "3/4", "3/4 in", "19 mm".
// ok is false, with a Why, where it is none.
func ParseLength(c Context, text string) (l reduce.Length, why Why, ok bool) {
	items := itemise(lex(fold(text)))
	d := c
	d.Rod = reduce.Direct
	s := d.scan(items)
	bad := Why{WhyNotUnderstood, []string{text}}
	if len(s.amounts) != 1 || len(s.sides) > 0 || s.unknown != "" || s.vague != "" || s.either != "" || s.on || s.broken {
		return 0, bad, false
	}
	a := s.amounts[0]
	if a.why.Code != "" {
		return 0, a.why, false
	}
	if a.bare {
		unit := map[reduce.Unit]reduce.Length{reduce.UnitFoot: reduce.Foot, reduce.UnitMillimetre: reduce.Millimetre}[c.Unit]
		if unit == 0 {
			unit = reduce.Inch
		}
		if a.value, why = ofDecimal(a.dec, unit); why.Code != "" {
			return 0, why, false
		}
	}
	return a.value + reduce.Length(s.shade)*2*reduce.SixtyFourth, Why{}, true
}

// ParseDistance reads a distance in plan: feet or metres where it has no unit,
// as the outline counts. ok is false where it is none, or not over zero.
func ParseDistance(c Context, text string) (l reduce.Length, ok bool) {
	l, ok = c.lengthArg(CmdSpacing, strings.TrimSpace(fold(text)))
	return l, ok && l > 0
}

// halfMillimetre is nine and a half as a text in millimetres, in a job that
// counts in them: without a unit it may be that, or inches.
func (c Context) halfMillimetre(a amount) (string, bool) {
	if c.Unit != reduce.UnitMillimetre || !a.frac || a.feet || a.unit != 0 || !strings.HasSuffix(a.text, "1/2") || a.text == "11/2" {
		return "", false
	}
	return a.value.Decimal(reduce.Inch).String() + " mm", true
}
