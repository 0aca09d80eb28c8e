package phrase

import (
	"regexp"
	"strings"

	"rodcall/reduce"
)

// because refuses a command whose argument cannot be, with a reason of its own
// and an example that works.
func (c Context) because(m Meaning, w way, code WhyCode, args ...string) Meaning {
	k := c.form(m, w)
	k.Why = Why{code, append([]string{m.Said}, args...)}
	if len(args) == 0 {
		k.Why.Args = append(k.Why.Args, w.info.Example)
	}
	return k
}

// brokenSizeRE is what was meant as a rectangle, and is none: 40x-28.
var brokenSizeRE = regexp.MustCompile(`^-?[0-9][-0-9.,'"/ ]*x[-0-9.,'"/ x]*[0-9]['" ]*$`)

// noOutline says why walls and turns are no outline.
func (c Context) noOutline(m Meaning, w way, text string) Meaning {
	lengths, between, turned := 0, false, false
	for _, f := range joinTurns(strings.Fields(strings.NewReplacer(",", " ", ";", " ").Replace(text))) {
		if _, ok := planUnits[f]; ok {
			continue
		}
		if turn, ok := turnOf(f); ok {
			if turn == 0 {
				return c.because(m, w, WhyTurnAngle)
			}
			turned, between = true, false
			continue
		}
		if !digit(f[0]) {
			return c.because(m, w, WhyNoTurn)
		}
		if _, ok := c.plan(f, 0); !ok && len(strings.TrimLeft(f, "0123456789")) == 0 {
			return c.because(m, w, WhyLongWall)
		}
		if between {
			return c.because(m, w, WhyNoTurn)
		}
		lengths, between = lengths+1, true
	}
	if lengths > 0 && lengths < 4 && (turned || lengths == 1) {
		return c.because(m, w, WhyFewWalls)
	}
	return c.form(m, w)
}

// withStation refuses a command that takes no station with one behind it: undo
// c2.
func (c Context) withStation(m Meaning, text string) (Meaning, bool) {
	for n := strings.Count(text, " "); n > 0; n-- {
		head, rest := firstWords(text, n)
		w, ok := exactWays[head]
		if n == 1 && !ok && undoWords[head] {
			if head = "undo"; strings.HasPrefix(text, "quita") || strings.HasPrefix(text, "elimina") {
				head = "borra"
			}
			w, ok = exactWays[head]
		}
		if !ok || takesStation[w.info.Name] {
			continue
		}
		at, ok := stationAt(itemise(lex(rest)), c.Outline.Grid.Mark)
		if !ok || len(at.rest) > 0 {
			continue
		}
		s, _, exists := c.resolve(at.station)
		if !exists {
			continue
		}
		return c.because(m, w, WhyTakesNone, head, s.Name(c.Outline.Grid.Mark), c.Example()), true
	}
	return m, false
}

// takesStation are the commands that may have a station behind them, or words
// that begin a reading as well.
var takesStation = map[CommandName]bool{
	CmdNo: true, CmdYes: true, CmdNoBeam: true, CmdShimmed: true, CmdRepeat: true, CmdShims: true, CmdShimFrom: true,
}

// undoWords are meant as undo where a station stands behind them.
var undoWords = wordSet("delete remove erase void quita quitar elimina eliminar")

// onePier asks back where a place in plan stands behind one pier: pier 10,14.
func (c Context) onePier(m Meaning, text string) (Meaning, bool) {
	head, rest, _ := strings.Cut(text, " ")
	w, ok := wordIndex[head]
	if !ok || w.Class != PierWord || len(head) < 3 {
		return m, false
	}
	rest = strings.TrimPrefix(rest, "en ")
	if _, ok := c.points(rest, 0); !ok {
		return m, false
	}
	many := "piers "
	if w.Lang == "es" {
		many = "pilares "
	}
	answers := c.thatRead(many + rest)
	return m.ask(Why{WhyMeant, []string{m.Said, many + rest}}, answers...), len(answers) > 0
}

// levelStation asks back about "nivel c2": the level to build to, or a reading?
func (c Context) levelStation(m Meaning, items []item) (Meaning, bool) {
	if len(items) < 2 || items[0].text != "nivel" {
		return m, false
	}
	n, ok := stationAt(items[1:], c.Outline.Grid.Mark)
	if !ok || len(n.rest) > 0 {
		return m, false
	}
	s, _, exists := c.resolve(n.station)
	if !exists {
		return m, false
	}
	name := s.Name(c.Outline.Grid.Mark)
	m.Lang = "es"
	return m.ask(Why{WhyTwoWays, []string{m.Said}}, c.thatRead("datum "+name, name+" nivel")...), true
}

// datumSide asks back about a level without a side: datum 1/8.
func (c Context) datumSide(m Meaning, w way, head, amount string) Meaning {
	m.Command, m.Lang = w.info.Name, w.lang
	return m.ask(Why{WhyDatumSide, []string{m.Said}}, c.thatRead(head+" +"+amount, head+" -"+amount)...)
}

// nearReach says that a plain number of inches is as long as the rod itself,
// so that it may as well be millimetres.
func nearReach(l reduce.Length) bool { return l >= reduce.StandardReach-reduce.Foot }
