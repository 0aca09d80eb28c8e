package phrase

import (
	"regexp"
	"strings"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
)

// FigureArg is a figure of the plate's plan: a length, or a length under Run.
// Clear makes it ours again.
type FigureArg struct {
	Length, Run reduce.Length
	Clear       bool
}

// PlacesArg says where bolts, posts or splices are: spots of walls, resolved,
// or bolts at most Every apart. Clear takes them all back.
type PlacesArg struct {
	At    []reduce.Station
	Every reduce.Length
	Clear bool
}

func (FigureArg) arg() {}
func (PlacesArg) arg() {}

// noneWords take a setting of the plate back.
const noneWords = "none:none off clear default ours usual ninguno ninguna nada quitar nuestro nuestra"

// bearing reads how far apart joists stand: 16, 16 in, 400 mm. Without a unit it
// counts inches where walls count feet, for nobody says 1 1/3 ft.
func (c Context) bearing(m Meaning, w way, rest string) Meaning {
	rest = strings.TrimPrefix(strings.TrimPrefix(rest, "every "), "cada ")
	for _, tail := range []string{" apart", " on center", " on centre", " oc", " o.c", " a centros"} {
		rest = strings.TrimSuffix(rest, tail)
	}
	if _, none := oneOf(rest, noneWords); none {
		return m.do(w, FigureArg{Clear: true})
	}
	inches := c
	if c.Unit == reduce.UnitFoot {
		inches.Unit = reduce.UnitInch
	}
	l, _, ok := ParseLength(inches, rest)
	switch {
	case !ok || l < 0:
		return c.form(m, w)
	case l == 0:
		return c.because(m, w, WhyNotPositive)
	}
	return m.do(w, FigureArg{Length: l})
}

// bendRE is a hollow under a straightedge: 1/16 in 8 ft, 2 mm under 2.5 m,
// 1/16 in in 8 ft.
var bendRE = regexp.MustCompile(`^(.+?)(?: (?:in|inch|inches|pulgadas?))? (?:in|per|under|over|at|en|por|bajo|a) (.+)$`)

// bend reads how fast the plate may bend.
func (c Context) bend(m Meaning, w way, rest string) Meaning {
	if _, none := oneOf(rest, noneWords); none {
		return m.do(w, FigureArg{Clear: true})
	}
	g := bendRE.FindStringSubmatch(rest)
	if g == nil {
		return c.form(m, w)
	}
	rise, _, ok := ParseLength(c, g[1])
	run, far := c.lengthArg(CmdSpacing, g[2])
	if !ok || !far || rise < 0 {
		return c.form(m, w)
	}
	if run <= 0 {
		return c.because(m, w, WhyNotPositive)
	}
	return m.do(w, FigureArg{Length: rise, Run: run})
}

// places reads where bolts, posts or splices are: c1+2 c1+8, c1+2, c1+8 and
// c1+14; of bolts also how far apart they are.
func (c Context) places(m Meaning, w way, head, rest string) Meaning {
	if _, none := oneOf(rest, noneWords); none {
		return m.do(w, PlacesArg{Clear: true})
	}
	if strings.HasSuffix(head, " every") || strings.HasSuffix(head, " cada") {
		l, ok := c.lengthArg(CmdSpacing, rest)
		if _, err := decimal.NewFromString(rest); err != nil && !ok { // 72 in
			l, _, ok = ParseLength(c, rest)
		}
		switch {
		case !ok || l < 0:
			return c.form(m, w)
		case l == 0:
			return c.because(m, w, WhyNotPositive)
		}
		return m.do(w, PlacesArg{Every: l})
	}
	var at []reduce.Station
	for _, word := range strings.FieldsFunc(strings.TrimPrefix(rest, "at "), func(r rune) bool { return r == ' ' || r == ',' || r == ';' }) {
		if word == "and" || word == "y" || word == "&" {
			continue
		}
		n, ok := stationAt(itemise(lex(word)), c.Outline.Grid.Mark)
		if !ok || len(n.rest) > 0 || n.station.Kind != reduce.Wall {
			return c.form(m, w)
		}
		s, why, exists := c.resolve(n.station)
		if !exists {
			m.Kind, m.Why, m.Command, m.Lang = Refuse, why, w.info.Name, w.lang
			return m
		}
		at = append(at, s)
	}
	if len(at) == 0 {
		return c.form(m, w)
	}
	return m.do(w, PlacesArg{At: at})
}
