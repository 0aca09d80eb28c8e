package phrase

import (
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
)

// DesignArg is a step or a fall. Its stations need not be on the outline.
type DesignArg struct {
	// From and To are the ends; of one spot both are that. With Loop From is the
	// loop's first corner.
	From, To reduce.Station
	Loop     string
	Rise     reduce.Length // + is higher; of a fall − for each Run from From on
	Run      reduce.Length // of a fall
	// Clear takes back what was said of these ends; of all where they are zero.
	Clear bool
}

// StepToleranceArg is the tolerance of the difference between two sections;
// Clear makes it that of the sill again.
type StepToleranceArg struct {
	Length reduce.Length
	Clear  bool
}

func (DesignArg) arg()        {}
func (StepToleranceArg) arg() {}

var (
	spotRE = regexp.MustCompile(`^(?:c([0-9]{1,4})(?:\+([0-9]{1,4}(?:[.,][0-9]{1,4})?)(?:'|ft|m)?)?|p([0-9]{1,4})|(bm|t)([0-9]{0,4}))$`)
	// What a station's name may be torn into: c5 + 4, corner 5, c5-c8.
	plusRE   = regexp.MustCompile(`(c[0-9]+) ?\+ ?([0-9])`)
	cornerRE = regexp.MustCompile(`\b(corner|esquina|pier|pad|pilar|zapata) ([a-z0-9]+)\b`)
	dashRE   = regexp.MustCompile(`([0-9])-([cp][0-9])`)
	slashRE  = regexp.MustCompile(` ?/ ?(1? ?(?:ft|foot|pie|m|metre|meter|metro)\b)`)

	lowerWords  = wordSet("lower low below down drop drops dropped sunk sunken falls bajo baja abajo debajo baje bajado")
	higherWords = wordSet("higher high above up raised rises alto alta arriba encima sube elevado")
	levelWords  = wordSet("level flush even same nivel parejo ras")
	takenBack   = wordSet("none off clear no ninguno ninguna nada quitar quita sin")
	// joinWords stand between what counts; those of articles may be part of an
	// amount that has begun: one and a half.
	joinWords = wordSet("to through thru from is are be at the of by step steps fall slope slopes pitch pitches wall reference than mas hasta desde al es esta estan son de del la el escalon caida pendiente hacia towards toward for")
	articles  = wordSet("and a an y un una en")
)

// design reads the argument of step and of fall.
func (c Context) design(m Meaning, w way, head, rest string) Meaning {
	falls := w.info.Name == CmdFall
	if word, figure, _ := strings.Cut(rest, " "); !falls && (word == "tolerance" || word == "tolerancia") {
		if takenBack[figure] {
			return m.do(w, StepToleranceArg{Clear: true})
		}
		if l, ok := c.lengthArg(CmdTolerance, figure); ok && l > 0 {
			return m.do(w, StepToleranceArg{Length: l})
		}
		m.Command, m.Lang = w.info.Name, w.lang
		return m.refuse(WhyCommandForm, m.Said, head+" "+word+" "+c.stepAmount())
	}
	if takenBack[rest] {
		return m.do(w, DesignArg{Clear: true})
	}
	d := c.designWords(rest)
	if !d.found {
		return c.form(m, w)
	}
	arg := DesignArg{From: d.from, To: d.to, Loop: d.loop}
	switch {
	case d.none && d.text == "" && d.side == 0:
		arg.Clear = true
		return m.do(w, arg)
	case falls:
		return c.fall(m, w, head, d, arg)
	case d.level && d.text == "":
		return m.do(w, arg)
	case d.text == "":
		return c.because(m, w, WhyHowMuch)
	}
	l, _, ok := ParseLength(c, d.text)
	switch {
	case !ok || l < 0 || d.level || d.none || d.both:
		return c.form(m, w)
	case l == 0:
		return m.do(w, arg)
	case d.side == 0:
		m.Command, m.Lang = w.info.Name, w.lang
		line := head + " " + rest
		if w.lang == "es" {
			return m.ask(Why{WhyStepSide, []string{m.Said}}, c.thatRead(line+" mas bajo", line+" mas alto")...)
		}
		return m.ask(Why{WhyStepSide, []string{m.Said}}, c.thatRead(line+" lower", line+" higher")...)
	}
	arg.Rise = reduce.Length(d.side) * l
	return m.do(w, arg)
}

// stepAmount is an amount for an example, in the job's unit.
func (c Context) stepAmount() string {
	return map[reduce.Unit]string{reduce.UnitFoot: "0.02", reduce.UnitMillimetre: "6"}[c.Unit] +
		map[bool]string{true: "1/4"}[c.Unit == reduce.UnitInch]
}

// designSaid is what the argument of a step or a fall holds.
type designSaid struct {
	from, to    reduce.Station
	loop        string
	found       bool // a station or a loop is named
	side        int  // −1 lower, +1 higher, 0 not said
	both        bool // two sides at once
	level, none bool
	text        string // what is left: the amount
}

// designWords takes the argument of a step or a fall apart.
func (c Context) designWords(rest string) designSaid {
	rest = plusRE.ReplaceAllString(rest, "$1+$2")
	rest = dashRE.ReplaceAllString(rest, "$1 $2")
	rest = cornerRE.ReplaceAllStringFunc(rest, nameSpot)
	var d designSaid
	var left []string
	fields := strings.Fields(rest)
	backward := false
	for i, f := range fields {
		s, spot := c.spot(strings.TrimRight(f, ",;:"))
		loop, named := c.loopNamed(f)
		switch {
		case spot && d.to.IsZero() && d.loop == "":
			if backward = d.found && (fields[i-1] == "from" || fields[i-1] == "desde"); d.found {
				d.to = s
			} else {
				d.from, d.found = s, true
			}
		case named && !d.found:
			d.loop, d.from, d.found = loop.Name, reduce.Corner(loop.First), true
		case lowerWords[f]:
			d.both, d.side = d.both || d.side > 0, -1
		case higherWords[f]:
			d.both, d.side = d.both || d.side < 0, 1
		case levelWords[f]:
			d.level = true
		case takenBack[f]:
			d.none = true
		case joinWords[f], articles[f] && len(left) == 0:
		default:
			left = append(left, f)
		}
	}
	if d.to.IsZero() && d.loop == "" {
		d.to = d.from
	}
	if backward {
		d.from, d.to = d.to, d.from
	}
	d.text = strings.Join(left, " ")
	return d
}

// partNames are parts of a building, each in the words that both languages have
// for it.
var partNames = []map[string]bool{
	wordSet("garage cochera garaje"), wordSet("porch porche"), wordSet("terrace terraza"), wordSet("patio"), wordSet("ledge"), wordSet("house casa"),
}

// partWords are those that are built lower or higher than the rest, and stand for
// no corners by themselves.
var partWords = func() map[string]bool {
	out := map[string]bool{}
	for _, words := range partNames[:len(partNames)-1] {
		maps.Copy(out, words)
	}
	return out
}()

// offRE says that something is meant to be lower or higher than the rest.
var offRE = regexp.MustCompile(`\b(lower|higher|below|above|down|drops?|sunken|mas (bajo|baja|abajo|alto|alta|arriba))\b`)

// partLower points to a step where a part of the building is said to be lower or
// higher: "the garage is 8 inches lower". A part that is a loop of the outline is
// offered as it is.
func (c Context) partLower(m Meaning, folded string) (Meaning, bool) {
	words := strings.FieldsFunc(folded, func(r rune) bool { return r == ' ' || r == ',' })
	names := c.loopNames()
	part := slices.ContainsFunc(words, func(f string) bool {
		return partWords[f] || loopAt(names, f) >= 0
	})
	if !part || !offRE.MatchString(folded) {
		return m, false
	}
	w := way{prefixWays["step"].info, m.Lang}
	if d := c.designWords(folded); d.loop != "" && d.side != 0 && !d.both && d.text != "" {
		line := "step " + d.loop + " " + d.text + " lower"
		switch {
		case m.Lang == "es" && d.side < 0:
			line = "escalon " + d.loop + " " + d.text + " mas bajo"
		case m.Lang == "es":
			line = "escalon " + d.loop + " " + d.text + " mas alto"
		case d.side > 0:
			line = "step " + d.loop + " " + d.text + " higher"
		}
		if answers := c.thatRead(line); len(answers) > 0 {
			m.Command = CmdStep
			return m.ask(Why{WhyMeant, []string{m.Said, line}}, answers...), true
		}
	}
	return c.because(m, w, WhyPartStep), true
}

// nameSpot writes "corner five" as c5.
func nameSpot(said string) string {
	word, number, _ := strings.Cut(said, " ")
	letter := "c"
	if word != "corner" && word != "esquina" {
		letter = "p"
	}
	if w, ok := wordIndex[number]; ok && w.Class == Cardinal {
		number = strconv.FormatInt(w.Num, 10)
	}
	if strings.Trim(number, "0123456789") != "" {
		return said
	}
	return letter + number
}

// spot reads a station's name as it is typed, in its one proper form where the
// outline has it.
func (c Context) spot(text string) (reduce.Station, bool) {
	g := spotRE.FindStringSubmatch(text)
	if g == nil {
		return reduce.Station{}, false
	}
	number := func(t string) int {
		n, _ := strconv.Atoi(t)
		return n
	}
	var s reduce.Station
	switch {
	case g[1] != "":
		s = reduce.Corner(number(g[1]))
		if g[2] != "" {
			d, err := decimal.NewFromString(strings.Replace(g[2], ",", ".", 1))
			if err != nil {
				return s, false
			}
			if s.Past, err = reduce.FromDecimal(d, c.Outline.Grid.Mark); err != nil {
				return s, false
			}
		}
	case g[3] != "":
		s = reduce.PierNumber(number(g[3]))
	case g[4] == "bm":
		s = reduce.BenchmarkNumber(max(1, number(g[5])))
	default:
		s = reduce.TurningNumber(number(g[5]))
	}
	if r, err := c.Outline.Resolve(s); err == nil {
		s = r
	}
	return s, true
}

// loopNamed is the loop of a name, or of another word for the same part where one
// loop alone has such a name.
func (c Context) loopNamed(text string) (reduce.Loop, bool) {
	if i := loopAt(c.loopNames(), text); i >= 0 {
		return c.Outline.Loops[i], true
	}
	return reduce.Loop{}, false
}

// loopNames are the names of the outline's loops, folded.
func (c Context) loopNames() []string {
	names := make([]string, len(c.Outline.Loops))
	for i, l := range c.Outline.Loops {
		names[i] = fold(l.Name)
	}
	return names
}

// loopAt is which of the loops of some names loopNamed means, -1 for none.
func loopAt(names []string, text string) int {
	alike, n := -1, 0
	for i, name := range names {
		if name == text {
			return i
		}
		if slices.ContainsFunc(partNames, func(words map[string]bool) bool { return words[name] && words[text] }) {
			alike, n = i, n+1
		}
	}
	if n != 1 {
		return -1
	}
	return alike
}

// fall reads how steep a fall is: "1/8 per ft", "1 in 10 ft", "2 %",
// "10 mm per m".
func (c Context) fall(m Meaning, w way, head string, d designSaid, arg DesignArg) Meaning {
	if d.side > 0 || d.both || d.none || d.loop != "" {
		return c.form(m, w)
	}
	text := slashRE.ReplaceAllString(d.text, " per $1")
	if d.level && text == "" {
		arg.Clear = true
		return m.do(w, arg)
	}
	if text == "" || d.level {
		return c.because(m, w, WhyHowMuch)
	}
	if figure, ok := percent(text); ok {
		p, err := decimal.NewFromString(strings.Replace(figure, ",", ".", 1))
		if err != nil || len(figure) > 12 {
			return c.form(m, w)
		}
		l, err := reduce.FromDecimal(p, reduce.Millimetre)
		if err != nil || l < 0 {
			return c.form(m, w)
		}
		arg.Rise, arg.Run = -l, 100*reduce.Millimetre
		return m.do(w, arg)
	}
	for _, per := range perWords {
		rise, run, ok := strings.Cut(text, per)
		if !ok {
			continue
		}
		inches := c
		if per == " in " && bareNumber(rise) {
			if bareNumber(run) {
				// 1 in 50: inches in feet, or one part of fifty?
				m.Command, m.Lang = w.info.Name, w.lang
				ends := head + " " + c.ends(d)
				return m.ask(Why{WhyTwoWays, []string{rise + " in " + run}}, c.thatRead(ends+" "+rise+" in per "+run+" ft", ends+" "+ratio(rise, run)+" %")...)
			}
			inches.Unit = reduce.UnitInch // what stands there is the unit
		}
		up, _, ok1 := ParseLength(inches, rise)
		far, ok2 := c.run(run)
		if !ok1 || !ok2 || up < 0 || far <= 0 {
			return c.form(m, w)
		}
		arg.Rise, arg.Run = -up, far
		return m.do(w, arg)
	}
	l, _, ok := ParseLength(c, text)
	if !ok || l < 0 {
		return c.form(m, w)
	}
	if _, ok := c.Outline.AlongWall(d.from, d.to); d.from == d.to || !ok && !c.Outline.Empty() {
		// No fall at all, whatever it goes over.
		arg.Rise, arg.Run = -l, c.Outline.Grid.Mark
		return m.do(w, arg)
	}
	// 3 in: over the whole wall, or in each foot?
	m.Command, m.Lang = w.info.Name, w.lang
	line, mark := head+" "+c.ends(d)+" "+text, c.Outline.Grid.Mark
	var answers []string
	if long, ok := c.Outline.AlongWall(d.from, d.to); ok && long > 0 {
		answers = append(answers, line+" per "+long.Decimal(mark).Round(4).String()+" "+unitNames[mark])
	}
	return m.ask(Why{WhyFallRun, []string{m.Said}}, c.thatRead(append(answers, line+" per "+unitNames[mark])...)...)
}

// percent is the figure of "2 %", "2 percent", "2 por ciento".
func percent(text string) (string, bool) {
	for _, sign := range []string{"%", "percent", "per cent", "por ciento"} {
		if t, ok := strings.CutSuffix(text, sign); ok {
			return strings.TrimSpace(t), true
		}
	}
	return "", false
}

func bareNumber(text string) bool {
	return text != "" && strings.Trim(text, "0123456789.") == ""
}

// ratio is one number over another in a hundred, to four places.
func ratio(rise, run string) string {
	a, err1 := decimal.NewFromString(rise)
	b, err2 := decimal.NewFromString(run)
	if err1 != nil || err2 != nil || !b.IsPositive() {
		return "0"
	}
	return a.Shift(2).DivRound(b, 4).String()
}

// ends names both ends of a fall.
func (c Context) ends(d designSaid) string {
	mark := c.Outline.Grid.Mark
	return d.from.Name(mark) + " " + d.to.Name(mark)
}

// run reads what a slope goes along: ft, 10 ft, m, 8'.
func (c Context) run(text string) (reduce.Length, bool) {
	text = strings.TrimSpace(text)
	for _, one := range []string{"each ", "every ", "cada ", "a ", "un ", "the "} {
		text = strings.TrimPrefix(text, one)
	}
	if text == "foot" || text == "pie" || text == "'" {
		text = "ft"
	}
	if text == "metre" || text == "meter" || text == "metro" {
		text = "m"
	}
	if u, ok := planUnits[text]; ok {
		return u, true
	}
	number, word, two := strings.Cut(text, " ")
	if u, ok := planUnits[word]; ok && two {
		return c.plan(number, u)
	}
	for _, u := range []string{"ft", "m"} {
		if n, ok := strings.CutSuffix(text, u); ok && bareNumber(n) {
			return c.plan(n, planUnits[u])
		}
	}
	return c.plan(text, 0)
}
