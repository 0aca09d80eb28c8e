package phrase

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"rodcall/reduce"
)

// Parse reads one line. It never fails: what it cannot read is a Refuse.
func Parse(c Context, line string) Meaning { return c.finish(parse(c, line)) }

func parse(c Context, line string) Meaning {
	m := Meaning{Said: strings.TrimSpace(line)}
	if utf8.RuneCountInString(m.Said) > maxRunes {
		m.Said = string([]rune(m.Said)[:60]) + "…"
		if c.longNote(m) {
			m.Command = CmdNote
			return m.refuse(WhyLongNote, strconv.Itoa(maxRunes))
		}
		return m.refuse(WhyTooLong, strconv.Itoa(maxRunes))
	}
	folded := fold(m.Said)
	items := itemise(lex(folded))
	if len(items) == 0 {
		return m.refuse(WhyNotUnderstood, m.Said)
	}
	m.Lang = langOf(items)
	if lang, ok := aboutSquare[strings.Trim(folded, " .!?¿")]; ok {
		m.Lang = lang
		return m.refuse(WhySquare, m.Said)
	}
	if k, ok := c.command(m, folded, items); ok {
		return k
	}
	if k, ok := c.partLower(m, folded); ok {
		return k
	}
	return c.mended(c.reading(m, items), folded, items)
}

func (m Meaning) refuse(code WhyCode, args ...string) Meaning {
	m.Kind, m.Why = Refuse, Why{code, args}
	return m
}

func (m Meaning) ask(why Why, answers ...string) Meaning {
	m.Kind, m.Why = Ask, why
	seen := map[string]bool{}
	for _, a := range answers {
		if !seen[a] {
			seen[a] = true
			m.Answers = append(m.Answers, a)
		}
	}
	return m
}

// aboutSquare are the ways to ask whether the walls are square, with their
// language.
var aboutSquare = func() map[string]string {
	out := map[string]string{}
	for _, w := range ways("square|is it square|is it out of square|out of square|squareness|check square|check for square|diagonal|diagonals") {
		out[w] = "en"
	}
	for _, w := range ways("escuadra|a escuadra|esta a escuadra|esta en escuadra|esta escuadrado|revisar escuadra|revisa escuadra|diagonales") {
		out[w] = "es"
	}
	return out
}()

// reading reads a line as a reading.
func (c Context) reading(m Meaning, items []item) Meaning {
	m.Station = c.Asked
	rest := items
	prefix := ""
	n, ok := findStation(items, c.Outline.Grid.Mark)
	if ask, unclear := c.numberedSpot(m, items); unclear {
		return ask
	}
	if why, big := c.tooBig(items); big {
		m.Kind, m.Why, m.Station = Refuse, why, reduce.Station{}
		return m
	}
	if ok && n.fine {
		m.Station = reduce.Station{}
		return m.refuse(WhyTooFine, n.far)
	}
	if ok && n.far != "" {
		// Past any wall: the refusal names the wall's end.
		n.station.Past = 1<<63 - 1
	}
	if ask, unclear := c.whichStation(m, items, n, ok); unclear {
		return ask
	}
	if ok {
		s, why, exists := c.resolve(n.station)
		if !exists && n.far != "" && why.Code == WhyPastEnd {
			why.Args[0] = why.Args[1] + "+" + n.far
		}
		if !exists {
			m.Kind, m.Why, m.Station = Refuse, why, reduce.Station{}
			return m
		}
		m.Station, m.Named = s, true
		prefix = s.Name(c.Outline.Grid.Mark) + " "
		rest = n.rest
		if ask, ok := c.unclear(m, prefix, n); ok {
			return ask
		}
	}
	s := c.scan(rest)
	if m.Named && loneDash(rest) {
		// c3 - 3/8 high, c3 - level: the dash is no sign.
		if t := c.scan(rest[1:]); len(t.sides) > 0 || t.on {
			s = t
		}
	}
	return c.judge(m, prefix, s)
}

// loneDash says that items, behind a station, begin with a dash that does not
// lean on a figure: a minus, or a dash between the two.
func loneDash(items []item) bool {
	return len(items) > 0 && items[0].is("-") && (items[0].after || !items[0].before)
}

// unclear asks back where a sign behind a station may belong to either.
func (c Context) unclear(m Meaning, prefix string, n named) (Meaning, bool) {
	if n.end == 0 || len(n.rest) == 0 {
		return m, false
	}
	first := n.rest[0]
	if len(n.others) > 0 {
		return c.asOther(m, prefix, n), true
	}
	switch {
	case n.plus && len(n.rest) > 1:
		answers := c.plusWays(m, prefix, n)
		behind := c.scan(n.rest[1:])
		if side, ok := behind.side(); !ok || side < 0 {
			answers = nil // c1 +8 1/4 low is no 8 1/4 high
		}
		if d, ok := decimalOf(n.rest[1]); ok && hasAmount(n.rest[2:]) {
			past := n.station
			if l, err := reduce.FromDecimal(d, n.mark); err == nil {
				past.Past = l
				answers = append(c.offered(m, []other{{past, n.rest[2:]}}), answers...)
			}
		}
		return m.ask(Why{WhyPlus, []string{m.Said}}, answers...), true
	case (c.Rod == reduce.Direct || len(c.scan(n.rest).amounts) == 2) && n.station.Kind == reduce.Benchmark && n.end == 1 && n.rest[0].whole() > 0 && len(n.rest) > 2 && n.rest[1].Class != UnitWord && hasAmount(n.rest[1:]) && !n.rest[1].is("/") && !n.rest[1].is("-") && !counts(n.rest[0].whole(), n.rest[1]):
		// bm 1 1/8 high: bm, or 1 1/8?
		own := reduce.BenchmarkNumber(int(min(n.rest[0].whole(), maxNumber)))
		answers := c.offered(m, []other{{own, n.rest[1:]}})
		if s := c.scan(n.rest); len(s.amounts) == 1 {
			answers = append(answers, c.sided(m, prefix, strings.Replace(s.amounts[0].text, " ", "-", 1), s)...)
		}
		return m.ask(Why{WhyTwoWays, []string{m.Said}}, answers...), true
	case first.is("/") && !first.before:
		// C3/8: a station, or three eighths?
		num := strconv.Itoa(m.Station.Number)
		text := num + "/" + n.rest[min(1, len(n.rest)-1)].text
		m.Named, m.Station = false, c.Asked
		s := c.scan(n.rest)
		return m.ask(Why{WhyTwoWays, []string{text}}, c.sided(m, "", text, s)...), true
	case first.Class == Part && shownParts[first.Num] && pluralPart(first.text):
		// Corner 3 eighths low: c3, or three eighths?
		s := c.scan(n.rest[1:])
		parts := strconv.FormatInt(first.Num, 10)
		answers := append(c.sided(m, "", strconv.Itoa(n.station.Number)+"/"+parts, s), c.sided(m, prefix, "1/"+parts, s)...)
		m.Named, m.Station = false, c.Asked
		return m.ask(Why{WhyTwoWays, []string{m.Said}}, answers...), true
	case (first.Class == MinusWord || first.Class == AndWord) && c.lostPlus(m.Station, n.rest[1:]):
		// c2 minus eight a quarter: a range, or 8 1/4?
		s := c.scan(n.rest)
		past := reduce.Along(m.Station.Number, reduce.Length(n.rest[1].whole())*c.Outline.Grid.Mark)
		inches := strings.Replace(c.scan(n.rest[1:]).amounts[0].text, " ", "-", 1)
		return m.ask(Why{WhyTwoWays, []string{m.Said}}, append(c.offered(m, []other{{past, n.rest[2:]}}), c.sided(m, prefix, inches, s)...)...), true
	case c.lostPlus(m.Station, n.rest):
		// c3 8 3/8 low: c3+8, or 8 3/8 in?
		s := c.scan(n.rest)
		inches := s.amounts[0].text
		_, part, _ := strings.Cut(inches, " ")
		past := reduce.Along(m.Station.Number, reduce.Length(n.rest[0].whole())*c.Outline.Grid.Mark)
		return m.ask(Why{WhyTwoWays, []string{m.Said}}, append(
			c.sided(m, past.Name(c.Outline.Grid.Mark)+" ", part, s),
			c.sided(m, prefix, strings.Replace(inches, " ", "-", 1), s)...)...), true
	case loneDash(n.rest) && len(n.rest) > 1:
		s := c.scan(n.rest[1:])
		if len(s.amounts) != 1 || len(s.sides) > 0 {
			return m, false
		}
		if c.Rod == reduce.Standard {
			return m.ask(Why{WhyDash, []string{m.Said}}, c.thatRead(prefix+s.amounts[0].text)...), true
		}
		return m.ask(Why{WhyDash, []string{m.Said}}, c.answers(m, prefix, s.amounts[0].text, s.shade)...), true
	}
	return m, false
}

// lostPlus says that a whole number and a fraction stand behind a corner, and
// that the number could be the distance to a mark of its wall.
func (c Context) lostPlus(corner reduce.Station, rest []item) bool {
	if c.Rod == reduce.Standard || !corner.IsCorner() || corner.Half > 0 || len(rest) < 2 || rest[1].is("-") {
		return false
	}
	past := reduce.Length(rest[0].whole()) * c.Outline.Grid.Mark
	if g := c.Outline.Grid; past <= 0 || g.Spacing <= 0 || past%g.Spacing != 0 {
		return false
	}
	s := c.scan(rest)
	if len(s.amounts) != 1 || !s.amounts[0].frac || !strings.Contains(s.amounts[0].text, " ") || rest[1].Class == UnitWord || rest[1].Class == AndWord {
		return false
	}
	_, _, ok := c.resolve(reduce.Along(corner.Number, past))
	return ok
}

func (c Context) plusWays(m Meaning, prefix string, n named) []string {
	var out []string
	plus := scan{sides: []int{1}}
	if s := c.scan(n.rest[1:]); len(s.amounts) == 1 {
		if parts, far, ok := c.counted(s.amounts[0]); ok && !far {
			return c.sided(m, prefix, parts.text, plus)
		}
	}
	t := spanText(n.rest[1:2])
	for _, f := range runs(t) {
		out = append(out, c.sided(m, prefix, strconv.FormatInt(f.num, 10)+"/"+strconv.FormatInt(f.den, 10), plus)...)
	}
	if s := c.scan(n.rest[1:]); len(s.amounts) == 1 && !s.amounts[0].bare {
		// "c3 +1 3/8" may be both.
		out = append(out, c.sided(m, prefix, strings.Replace(s.amounts[0].text, " ", "-", 1), plus)...)
	}
	if len(out) == 0 {
		out = c.sided(m, prefix, t+" "+c.Unit.String(), plus)
	}
	return out
}

// answers offers an amount on either side, as lines that are readings.
func (c Context) answers(m Meaning, prefix, text string, shade int) []string {
	if c.Rod == reduce.Standard {
		return nil
	}
	high, low := SideWords(m.Lang)
	if w := shadeWord(m.Lang, shade); w != "" {
		text += " " + w
	}
	return c.thatRead(prefix+text+" "+low, prefix+text+" "+high)
}

// thatRead keeps the lines that are readings or commands.
func (c Context) thatRead(lines ...string) []string {
	if c.trying {
		return nil
	}
	c.trying = true
	var out []string
	for _, l := range lines {
		if k := Parse(c, l).Kind; k == Reading || k == Command {
			out = append(out, l)
		}
	}
	return out
}

func shadeWord(lang string, shade int) string {
	if lang != "es" {
		lang = "en"
	}
	switch {
	case shade > 0:
		return textOf(lang, HeavyWord)
	case shade < 0:
		return textOf(lang, ShyWord)
	}
	return ""
}

// judge makes a meaning of what a line holds.
func (c Context) judge(m Meaning, prefix string, s scan) Meaning {
	if s.broken {
		return m.refuse(WhyNotUnderstood, m.Said)
	}
	if len(s.amounts) == 0 && !s.on {
		return c.noAmount(m, prefix, s)
	}
	for _, a := range s.amounts {
		if a.why.Code == WhyTwoWays {
			var ways []string
			for _, w := range a.ways {
				ways = append(ways, c.sided(m, prefix, w, s)...)
			}
			return m.ask(a.why, ways...)
		}
		if a.why.Code != "" {
			if a.why.Code == WhyReach {
				a.why.Args = []string{a.text, c.reach()}
			}
			m.Kind, m.Why = Refuse, a.why
			return m
		}
	}
	if c.Rod == reduce.Standard {
		return c.standard(m, prefix, s)
	}
	return c.direct(m, prefix, s)
}

// sided offers an amount with the side that was given, or on both.
func (c Context) sided(m Meaning, prefix, text string, s scan) []string {
	if c.Rod == reduce.Standard {
		return c.thatRead(prefix + text)
	}
	high, low := SideWords(m.Lang)
	switch side, ok := s.side(); {
	case ok && side < 0 && s.either == "":
		return c.thatRead(prefix + text + " " + low)
	case ok && side > 0 && s.either == "":
		return c.thatRead(prefix + text + " " + high)
	}
	return c.answers(m, prefix, text, s.shade)
}

func (c Context) noAmount(m Meaning, prefix string, s scan) Meaning {
	on := c.thatRead(prefix + textOf(orEnglish(m.Lang), OnWord))
	some := append(c.small(m, prefix, s), on...)
	if len(s.sides) > 0 && s.not == "" && s.either == "" {
		some = c.small(m, prefix, s)
	}
	ask := func(why Why, answers []string) Meaning {
		if c.Rod == reduce.Standard {
			return m.ask(Why{WhyRodNumber, []string{m.Said}}, c.directRod(m)...)
		}
		return m.ask(why, answers...)
	}
	none := Why{WhyNoAmount, []string{m.Said}}
	switch {
	case s.vague != "" && !m.Named && (s.unknown != "" || len(s.sides) == 0 && signText(s.vague)):
		return m.refuse(WhyNotUnderstood, m.Said)
	case s.inches && len(s.sides) > 0: // a full inch low
		return ask(Why{WhyUnsure, []string{m.Said, s.vague}}, c.sided(m, prefix, "1 in", s))
	case s.vague != "" && len(s.sides) > 0:
		return ask(none, some)
	case strings.HasPrefix(s.vague, "medio ") || strings.HasPrefix(s.vague, "media "):
		// Medio bajo: half an inch, or somewhat?
		_, side, _ := strings.Cut(s.vague, " ")
		return ask(Why{WhyUnsure, []string{m.Said, s.vague}}, c.thatRead(prefix+"1/2 "+side))
	case s.vague != "":
		return ask(Why{WhyUnsure, []string{m.Said, s.vague}}, on)
	case s.unknown != "" && !m.Named, s.not != "" && !m.Named && len(s.sides) == 0:
		return m.refuse(WhyNotUnderstood, m.Said)
	case m.Named && s.unknown == "" && s.not == "" && !s.good && s.either == "" && len(s.sides) == 0:
		if len(on) == 0 {
			blocked := "no beam "
			if m.Lang == "es" {
				blocked = "sin rayo "
			}
			on = c.thatRead(blocked + strings.TrimSpace(prefix))
		}
		return m.ask(Why{WhyStationOnly, []string{strings.TrimSpace(prefix)}}, on...)
	case s.good && !m.Named && len(s.sides) == 0:
		if c.Rod == reduce.Standard {
			on = c.directRod(m)
		}
		return m.ask(Why{WhyGood, []string{m.Said}}, on...)
	case s.good:
		return ask(none, on)
	case s.either != "" || len(s.sides) > 0 || s.shade != 0 || m.Named:
		return ask(none, some)
	}
	return m.refuse(WhyNotUnderstood, m.Said)
}

// directRod is the command for those who read a standard rod as a direct one.
func (c Context) directRod(m Meaning) []string {
	if m.Lang == "es" {
		return c.thatRead("regla directa")
	}
	return c.thatRead("direct rod")
}

// signText says that a word is a bare sign: nothing else was sent.
func signText(w string) bool { return w == "-" || w == "+" }

func orEnglish(lang string) string {
	if lang == "es" {
		return lang
	}
	return "en"
}

// KindName is the kind of a meaning as the outside knows it: "reading", "ask",
// "refuse" or "command".
func KindName(m Meaning) string {
	switch m.Kind {
	case Reading:
		return "reading"
	case Ask:
		return "ask"
	case Command:
		return "command"
	case Refuse:
	}
	return "refuse"
}
