package phrase

import (
	"regexp"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
)

var turns = map[string]reduce.Turn{
	"left": reduce.Left, "l": reduce.Left, "izquierda": reduce.Left, "izq": reduce.Left,
	"right": reduce.Right, "r": reduce.Right, "derecha": reduce.Right, "der": reduce.Right,
}

// degreeWords stand behind an angle.
var degreeWords = wordSet("deg degs degree degrees grado grados º")

// angleRE is an angle, with or without its word.
var angleRE = regexp.MustCompile(`^(-?[0-9]+(?:[.,][0-9]+)?)([a-zº]*)$`)

// angleAt reads an angle at the head of fields, and how many of them it takes;
// 0 where there is none.
func angleAt(fields []string) (angle string, n int) {
	if len(fields) == 0 {
		return "", 0
	}
	g := angleRE.FindStringSubmatch(fields[0])
	switch {
	case g == nil:
	case degreeWords[g[2]]:
		return g[1], 1
	case g[2] == "" && len(fields) > 1 && degreeWords[fields[1]]:
		return g[1], 2
	}
	return "", 0
}

// turnMark joins a turn and its angle into one word. No line has it: folding
// spells it out.
const turnMark = "°"

// joinTurns makes each turn with an angle one word: left 45 deg, 45 degrees
// left.
func joinTurns(fields []string) []string {
	out := make([]string, 0, len(fields))
	for i := 0; i < len(fields); i++ {
		f := fields[i]
		if _, turn := turns[f]; turn {
			if angle, n := angleAt(fields[i+1:]); n > 0 {
				f, i = f+turnMark+angle, i+n
			}
		} else if angle, n := angleAt(fields[i:]); n > 0 && i+n < len(fields) {
			if word := fields[i+n]; turns[word] != 0 {
				f, i = word+turnMark+angle, i+n
			}
		}
		out = append(out, f)
	}
	return out
}

// turnOf reads a turn as joinTurns leaves it. It is 0 where its angle cannot
// be.
func turnOf(word string) (t reduce.Turn, ok bool) {
	word, angle, has := strings.Cut(word, turnMark)
	if t, ok = turns[word]; !ok || !has {
		return t, ok
	}
	d, err := decimal.NewFromString(strings.Replace(angle, ",", ".", 1))
	if err != nil || len(angle) > 12 {
		return 0, true
	}
	d = d.Mul(decimal.NewFromInt(int64(reduce.Degree)))
	if !d.IsInteger() || !d.IsPositive() || d.GreaterThanOrEqual(decimal.NewFromInt(180*int64(reduce.Degree))) {
		return 0, true
	}
	return t / reduce.Left * reduce.Turn(d.IntPart()), true
}

// saidLeg is a leg as it was written: 14' 2", left 45 deg.
type saidLeg struct{ length, turn string }

// legs reads walls and turns: 40 left 28 left 40 left 28; a turn is a right
// angle where no other is said: left 45 deg.
func (c Context) legs(text string) (Walls, bool) {
	text = strings.NewReplacer(", ", " ", ";", " ").Replace(text)
	fields := joinTurns(strings.Fields(text))
	var unit reduce.Length
	var out Walls
	if n := len(fields); n > 0 {
		if u, ok := planUnits[fields[n-1]]; ok {
			unit, out.behind, fields = u, " "+fields[n-1], fields[:n-1]
		}
	}
	var length []string
	flush := func(said string, turn reduce.Turn) bool {
		text := strings.Join(length, " ")
		l, ok := c.plan(text, unit)
		out.Legs = append(out.Legs, reduce.Leg{Length: l, Turn: turn, Step: stepOf(text, c.planUnit(unit))})
		out.said = append(out.said, saidLeg{text, said})
		length = nil
		return ok
	}
	for _, f := range fields {
		if u, ok := planUnits[f]; ok && (unit == 0 || unit == u) {
			unit, out.behind = u, " "+f
			continue
		}
		if turn, ok := turnOf(f); ok {
			said := f
			if word, angle, has := strings.Cut(f, turnMark); has {
				said = word + " " + angle + " " + degrees(word)
			}
			if len(length) == 0 || turn == 0 || !flush(said, turn) {
				return out, false
			}
			continue
		}
		length = append(length, f)
	}
	if len(length) > 0 && !flush("", 0) {
		return out, false
	}
	out.Metric, out.Feet = c.planUnit(unit) == reduce.Metre, unit == reduce.Foot
	return out, len(out.Legs) > 1
}

// degrees is the word for them in the language of a turn.
func degrees(turn string) string {
	if strings.HasPrefix(turn, "izq") || strings.HasPrefix(turn, "der") {
		return "grados"
	}
	return "deg"
}

// stepOf is what a length in plan was rounded to at most, taken from how it was
// written: inches to the sixteenth, decimals to the second place (0.01 ft, a
// centimetre), both finer where finer parts were written. Fewer places do not
// make it rougher: 40 ft is not 40 give or take six inches.
func stepOf(text string, unit reduce.Length) reduce.Length {
	if strings.ContainsAny(text, `'"/`) {
		step := reduce.Inch / 16
		if _, part, ok := strings.Cut(text, "/"); ok {
			den, err := decimal.NewFromString(strings.Trim(part, ` '"`))
			if err == nil && den.IsInteger() && den.GreaterThan(decimal.NewFromInt(16)) {
				step = reduce.Inch / reduce.Length(min(den.IntPart(), int64(reduce.Inch)))
			}
		}
		return step
	}
	step := unit / 100
	if i := strings.LastIndexAny(text, ".,"); i >= 0 {
		for range len(text) - i - 3 {
			step = max(step/10, reduce.Nanometre)
		}
	}
	return step
}

// numberBehindTurn asks back where a turn is followed by two numbers: in left 45
// 10 the first may be an angle, or feet with inches.
func (c Context) numberBehindTurn(m Meaning, w way, head, text string) (Meaning, bool) {
	fields := joinTurns(strings.Fields(strings.NewReplacer(", ", " ", ";", " ").Replace(text)))
	number := func(i int) bool {
		return i < len(fields) && strings.Trim(fields[i], "0123456789.") == "" && fields[i] != "."
	}
	angles, feet, first := slices.Clone(fields), slices.Clone(fields), ""
	for i := 1; i < len(fields); i++ {
		if _, turn := turnOf(fields[i-1]); !turn || !number(i) || !number(i+1) {
			continue
		}
		if first == "" {
			first = fields[i] + " " + fields[i+1]
		}
		if _, right := turns[fields[i-1]]; right {
			angles[i] += " " + degrees(fields[i-1])
		}
		feet[i], feet[i+1] = feet[i]+"'", feet[i+1]+"\""
	}
	if first == "" {
		return m, false
	}
	line := func(fields []string) string {
		for i, f := range fields {
			if word, angle, has := strings.Cut(f, turnMark); has {
				fields[i] = word + " " + angle + " " + degrees(word)
			}
		}
		return head + " " + strings.Join(fields, " ")
	}
	answers := c.thatRead(line(angles), line(feet))
	if len(answers) == 0 {
		return m, false
	}
	m.Command, m.Lang = w.info.Name, w.lang
	return m.ask(Why{WhyTwoWays, []string{first}}, answers...), true
}

// Rewritten is the message that w was read from with other legs, as many: what
// did not change stands as it was written. It is "" where w was not written as
// walls and turns, or a length cannot be written so.
func (w Walls) Rewritten(legs []reduce.Leg) string {
	if len(legs) != len(w.said) {
		return ""
	}
	left, right := "left", "right"
	if slices.ContainsFunc(w.said, func(s saidLeg) bool { return degrees(s.turn) == "grados" }) {
		left, right = "izquierda", "derecha"
	}
	unit := reduce.Foot
	if w.Metric {
		unit = reduce.Metre
	}
	var out []string
	for i, l := range legs {
		length, turn := w.said[i].length, w.said[i].turn
		if l.Length != w.Legs[i].Length {
			if length = PlanText(l.Length, unit); length == "" {
				return ""
			}
		}
		if l.Turn != w.Legs[i].Turn {
			turn = left
			if l.Turn < 0 {
				turn = right
			}
			if a := TurnText(l.Turn); a != "90" {
				turn += " " + a + " " + degrees(turn)
			}
		}
		out = append(out, strings.TrimSpace(length+" "+turn))
	}
	return w.before + strings.Join(out, " ") + w.behind
}

// TurnText is a turn without its side, in degrees: "22.5".
func TurnText(t reduce.Turn) string {
	return decimal.New(int64(t), 0).Abs().Div(decimal.New(int64(reduce.Degree), 0)).String()
}

// PlanText writes a length in plan, in feet or metres, as it may be sent,
// exactly: 14.14, 14' 1 11/16". It is "" where there is no such text.
func PlanText(l, unit reduce.Length) string {
	exact := func(d decimal.Decimal, of reduce.Length) bool {
		back, err := reduce.FromDecimal(d, of)
		return err == nil && back == l
	}
	if d := l.Decimal(unit).Round(4); exact(d, unit) || unit == reduce.Metre {
		return l.Decimal(unit).String()
	}
	feet, rest := l/reduce.Foot, l%reduce.Foot
	text := (feet * reduce.Foot).Decimal(reduce.Foot).String() + "' "
	if rest%reduce.SixtyFourth == 0 {
		den := reduce.Length(64)
		num := rest % reduce.Inch / reduce.SixtyFourth
		for num%2 == 0 && den > 1 {
			num, den = num/2, den/2
		}
		text += decimal.New(int64(rest/reduce.Inch), 0).String()
		if num > 0 {
			text += " " + decimal.New(int64(num), 0).String() + "/" + decimal.New(int64(den), 0).String()
		}
		return text + "\""
	}
	if in := rest.Decimal(reduce.Inch).Round(6); exact(in.Add(decimal.New(int64(feet*12), 0)), reduce.Inch) {
		return text + in.String() + "\""
	}
	return ""
}

var atRE = regexp.MustCompile(`^(.*?)\s+(at|en|a)\s+([-0-9.]+\s*,\s*[-0-9.]+)\s*(ft|feet|pies|m|metres|meters|metros)?$`)

// loop reads "garage 24x22 at 40,0", "garage walls 24 left … at 40,0". A unit
// behind the place counts for the walls too where they have none, and theirs for
// the place.
func (c Context) loop(text string) (Walls, bool) {
	word, at, unit := "", "", ""
	if g := atRE.FindStringSubmatch(text); g != nil {
		text, word, at, unit = g[1], g[2], g[3], g[4]
	}
	name, rest, _ := strings.Cut(text, " ")
	if name != "" && digit(name[0]) {
		name, rest = "", text
	}
	for _, head := range []string{"walls ", "muros ", "outline "} {
		rest = strings.TrimPrefix(rest, head)
	}
	read := func(rest string) (Walls, bool) {
		if k, ok := c.size(Meaning{}, rest); ok {
			walls, _ := k.Arg.(Walls)
			return walls, len(walls.Legs) > 0
		}
		walls, ok := c.legs(rest)
		return walls, ok && len(walls.Legs) > 0
	}
	walls, ok := Walls{}, false
	if unit != "" {
		walls, ok = read(rest + " " + unit)
	}
	if !ok {
		walls, ok = read(rest)
	}
	if !ok {
		return walls, false
	}
	walls.Name = name
	if at == "" {
		return walls, true
	}
	said := planUnits[unit]
	switch {
	case said != 0:
	case walls.Metric:
		said = reduce.Metre
	case walls.Feet:
		said = reduce.Foot
	}
	p, ok := c.points(at, said)
	if !ok {
		return walls, false
	}
	walls.At = p[0]
	walls.behind += strings.TrimRight(" "+word+" "+at+" "+unit, " ")
	return walls, true
}
