package phrase

import (
	"regexp"
	"strings"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
)

// withArg reads a command's argument. words counts the words of its head.
func (c Context) withArg(m Meaning, w way, head, rest string, words int) Meaning {
	switch w.info.Name {
	case CmdNew:
		return m.do(w, Text(tail(m.Said, words)))
	case CmdJobs:
		if head == "back to" || head == "go to job" || strings.HasPrefix(head, "job") || w.lang == "es" {
			return m.do(w, Text(tail(m.Said, words)))
		}
	case CmdOutline:
		if k, ok := c.size(m, rest); ok {
			return k
		}
		if walls, ok := c.legs(rest); ok {
			walls.before = head + " "
			return m.do(w, walls)
		}
		if k, ok := c.numberBehindTurn(m, w, head, rest); ok {
			return k
		}
		return c.noOutline(m, w, rest)
	case CmdLoop:
		if walls, ok := c.loop(rest); ok {
			if f := strings.Fields(m.Said); walls.Name != "" && len(f) > words {
				walls.Name = f[words]
			}
			walls.before = strings.TrimSpace(head+" "+walls.Name) + " "
			return m.do(w, walls)
		}
	case CmdPiers, CmdLaser:
		if p, ok := c.points(strings.TrimPrefix(rest, "at "), 0); ok && (w.info.Name == CmdPiers || len(p) == 1) {
			return m.do(w, p)
		}
		if f := strings.Fields(rest); w.info.Name == CmdLaser && len(f) == 2 {
			if _, ok := c.points(f[0]+","+f[1], 0); ok { // 20 14
				m.Command, m.Lang = CmdLaser, w.lang
				return m.ask(Why{WhyMeant, []string{m.Said, head + " " + f[0] + "," + f[1]}}, head+" "+f[0]+","+f[1])
			}
		}
	case CmdRod:
		if o, ok := exactWays[rest]; ok && o.info.Name == CmdRod {
			return c.plain(m, way{w.info, orLang(o.lang, w.lang)}, rest)
		}
	case CmdUnits:
		if k, ok := c.unitsArg(m, w, rest); ok {
			return k
		}
	case CmdCheck:
		k := c.reading(m, itemise(lex(rest)))
		k.Command, k.Lang = CmdCheck, w.lang
		if k.Kind == Reading {
			k.Kind, k.Arg, k.Value = Command, ReadingArg{k.Station, k.Value}, 0
		}
		return k
	case CmdMore:
		if a, ok := c.more(rest); ok {
			return m.do(w, a)
		}
	case CmdCheckEvery:
		if e, ok := every(rest); ok {
			return m.do(w, e)
		}
	case CmdDatum:
		return c.datum(m, w, head, rest)
	case CmdGrindCost:
		return c.cost(m, w, rest)
	case CmdGrindMost, CmdShimMost:
		return c.limit(m, w, rest)
	case CmdTolerance, CmdSpacing, CmdPlate:
		if l, ok := c.lengthArg(w.info.Name, rest); ok && l > 0 {
			return m.do(w, LengthArg{l})
		} else if ok {
			return c.because(m, w, WhyNotPositive)
		}
	case CmdYes:
		return c.stationArg(m, w, rest)
	case CmdReference, CmdNoBeam:
		return c.stationArg(m, w, rest)
	case CmdShims, CmdShimFrom:
		if _, all := oneOf(rest, "all:all everything todo todas"); all && w.info.Name == CmdShims {
			return m.do(w, Text("all"))
		}
		return c.stationArg(m, w, rest)
	case CmdShimmed:
		return c.shimmed(m, w, head, rest)
	case CmdStock:
		return c.stock(m, w, rest)
	case CmdStackMost:
		return c.count(m, w, rest, 1, reduce.MaxStack)
	case CmdSpares:
		return c.count(m, w, rest, 0, 100)
	case CmdGrout:
		return c.bag(m, w, rest)
	case CmdPlateWidth:
		return c.plateWidth(m, w, rest)
	case CmdSurface:
		if s, ok := oneOf(rest, "concrete:concrete concreto beton slab", "shims:shims shim calzas", "plate:plate solera sill"); ok {
			return m.do(w, Text(s))
		}
	case CmdBolts:
		if s, ok := oneOf(rest, "loose:loose flojos sueltos", "tight:tight apretados tightened"); ok {
			return m.do(w, Text(s))
		}
	case CmdHelp:
		return m.do(w, helpTopic(rest))
	case CmdLanguage:
		if s, ok := oneOf(rest, "en:en english ingles", "es:es spanish espanol"); ok {
			return m.do(w, Text(s))
		}
	case CmdCount:
		if s, ok := oneOf(rest, "8:8 8ths eighths 1/8 octavos", "16:16 16ths sixteenths 1/16 dieciseisavos", "none:none off nothing normal inches nada normal pulgadas"); ok {
			return m.do(w, Text(s))
		}
	case CmdKnown:
		return c.known(m, w, head, rest)
	case CmdStep, CmdFall:
		return c.design(m, w, head, rest)
	case CmdBudget:
		return c.budget(m, w, rest)
	case CmdBearing:
		return c.bearing(m, w, rest)
	case CmdBend:
		return c.bend(m, w, rest)
	case CmdBoltPlaces, CmdPosts, CmdSplices:
		return c.places(m, w, head, rest)
	case CmdWeights:
		if s, ok := oneOf(rest, "setups:setups set-ups alike posiciones", "budget:budget presupuesto"); ok {
			return m.do(w, Text(s))
		}
	default:
		return m.do(w, Text(tail(m.Said, words)))
	}
	return c.form(m, w)
}

func orLang(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// tail is a line, as it was sent, without its first words.
func tail(said string, words int) string {
	f := strings.Fields(said)
	return strings.Join(f[min(words, len(f)):], " ")
}

// oneOf finds a word in lists of the form "canonical:word word".
func oneOf(text string, lists ...string) (string, bool) {
	for _, l := range lists {
		name, words, _ := strings.Cut(l, ":")
		for _, w := range strings.Fields(words) {
			if text == w {
				return name, true
			}
		}
	}
	return "", false
}

// sizeRE is a rectangle: 40x28, 40' by 28', 12.5 x 8 m.
var sizeRE = regexp.MustCompile(`^([0-9][0-9.,'" /-]*?)\s*(ft|feet|pies|m|metres|meters|metros)?\s*(?:x|by|por|\*)\s*([0-9][0-9.,'" /-]*?)\s*(ft|feet|pies|m|metres|meters|metros)?$`)

// planUnits are the words for feet and metres behind a plan.
var planUnits = map[string]reduce.Length{
	"ft": reduce.Foot, "feet": reduce.Foot, "pies": reduce.Foot,
	"m": reduce.Metre, "metres": reduce.Metre, "meters": reduce.Metre, "metros": reduce.Metre,
}

// size reads a rectangle.
func (c Context) size(m Meaning, text string) (Meaning, bool) {
	g := sizeRE.FindStringSubmatch(text)
	w := way{&CommandInfo{Name: CmdOutline, Example: "40x28"}, ""}
	if g == nil {
		return c.form(m, w), brokenSizeRE.MatchString(text)
	}
	unit := planUnits[g[4]]
	if unit == 0 {
		unit = planUnits[g[2]]
	}
	a, ok1 := c.plan(g[1], unit)
	b, ok2 := c.plan(g[3], unit)
	if !ok1 || !ok2 {
		for _, t := range []string{g[1], g[3]} {
			if _, ok := c.plan(t, unit); !ok && strings.Trim(t, "0123456789") == "" {
				return c.because(m, w, WhyLongWall), true
			}
		}
		return c.form(m, w), true
	}
	return m.do(w, Walls{Legs: reduce.Rectangle(a, b), Metric: c.planUnit(unit) == reduce.Metre, Feet: unit == reduce.Foot || strings.ContainsAny(text, "'\"")}), true
}

// planUnit is what a plain number in plan counts in.
func (c Context) planUnit(said reduce.Length) reduce.Length {
	if said != 0 {
		return said
	}
	return c.Outline.Grid.Mark
}

// plan reads a length in plan: 40, 40', 26' 6", 12.5.
func (c Context) plan(text string, unit reduce.Length) (reduce.Length, bool) {
	text = strings.TrimSpace(strings.TrimRight(text, " ,"))
	if d, err := decimal.NewFromString(strings.Replace(text, ",", ".", 1)); err == nil && len(text) < 20 {
		l, err := reduce.FromDecimal(d, c.planUnit(unit))
		return l, err == nil
	}
	items := itemise(lex(text))
	std := c
	std.Rod, std.Unit = reduce.Standard, reduce.UnitFoot
	s := std.scan(items)
	if len(s.amounts) != 1 || s.amounts[0].why.Code != "" || s.unknown != "" || s.broken || !s.amounts[0].feet && !s.amounts[0].frac {
		return 0, false
	}
	return s.amounts[0].value, true
}

var pointRE = regexp.MustCompile(`^(-?[0-9]+(?:\.[0-9]+)?)\s*,\s*(-?[0-9]+(?:\.[0-9]+)?)$`)

// points reads places in plan: "10,14 20,14".
func (c Context) points(text string, unit reduce.Length) (Points, bool) {
	text = strings.ReplaceAll(text, ", ", ",")
	var out Points
	for _, f := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ';' }) {
		g := pointRE.FindStringSubmatch(f)
		if g == nil || len(out) >= reduce.MaxStations {
			return nil, false
		}
		x, ok1 := c.plan(g[1], unit)
		y, ok2 := c.plan(g[2], unit)
		if !ok1 || !ok2 {
			return nil, false
		}
		out = append(out, reduce.Point{X: x, Y: y})
	}
	return out, len(out) > 0
}

func (c Context) lengthArg(name CommandName, text string) (reduce.Length, bool) {
	if name == CmdSpacing {
		text, unit := text, reduce.Length(0)
		if i := strings.LastIndexByte(text, ' '); i > 0 {
			if u, ok := planUnits[text[i+1:]]; ok {
				text, unit = text[:i], u
			}
		}
		return c.plan(text, unit)
	}
	text = strings.TrimPrefix(strings.TrimPrefix(text, "is "), "es ")
	l, _, ok := ParseLength(c, strings.TrimPrefix(strings.TrimPrefix(text, "+-"), "+/-"))
	return l, ok
}

func (c Context) stationArg(m Meaning, w way, rest string) Meaning {
	n, ok := stationAt(itemise(lex(rest)), c.Outline.Grid.Mark)
	if !ok || len(n.rest) > 0 {
		return c.form(m, w)
	}
	s, why, exists := c.resolve(n.station)
	if !exists {
		m.Kind, m.Why, m.Command, m.Lang = Refuse, why, w.info.Name, w.lang
		return m
	}
	m.Station, m.Named = s, true
	return m.do(w, StationArg{s})
}

func (c Context) unitsArg(m Meaning, w way, rest string) (Meaning, bool) {
	if s, ok := oneOf(rest, "in:in inch inches pulgadas imperial", "ft:ft feet foot pies", "mm:mm millimeters millimetres metric milimetros metrico"); ok {
		var u reduce.Unit
		if err := u.UnmarshalText([]byte(s)); err != nil {
			return m, false
		}
		return m.do(w, UnitsArg{Unit: u}), true
	}
	text := strings.TrimSuffix(strings.TrimSuffix(strings.TrimSuffix(rest, "\""), " "+c.Unit.String()), "in")
	f, err := reduce.ParseFinest(c.Unit, strings.TrimSpace(text))
	if err != nil {
		return m, false
	}
	return m.do(w, UnitsArg{Finest: f}), true
}

func (c Context) datum(m Meaning, w way, head, rest string) Meaning {
	if s, ok := oneOf(rest, "first:first primero primer first_station", "high:high alto highest max", "none:none off clear ninguno nada quitar"); ok {
		if s == "none" {
			return m.do(w, DatumArg{Clear: true})
		}
		return m.do(w, DatumArg{Choice: reduce.DatumChoice(s)})
	}
	if choice, ok := searched[rest]; ok {
		return m.do(w, DatumArg{Choice: choice})
	}
	switch strings.TrimPrefix(rest, "the ") {
	case "high spot", "punto alto", "highest spot", "el punto alto":
		return m.do(w, DatumArg{Choice: reduce.DatumHigh})
	case "first station", "primer punto", "el primer punto":
		return m.do(w, DatumArg{Choice: reduce.DatumFirst})
	}
	items := itemise(lex(rest))
	if n, ok := stationAt(items, c.Outline.Grid.Mark); ok && len(n.rest) == 0 && !n.plus {
		k := c.stationArg(m, w, rest)
		if k.Kind == Command {
			k.Arg = DatumArg{Choice: reduce.DatumStation, Station: k.Station}
			k.Station = reduce.Station{}
		}
		return k
	}
	level := c
	level.Rod, level.trying, level.Count = reduce.Direct, true, 0
	found := level.scan(items)
	k := level.judge(m, "", found)
	if k.Kind == Ask && k.Why.Code == WhyNoSide && len(found.amounts) == 1 {
		return c.datumSide(m, w, head, found.amounts[0].text)
	}
	if k.Kind != Reading {
		return c.form(m, w)
	}
	return m.do(w, DatumArg{Choice: reduce.DatumFixed, Level: k.Value})
}
