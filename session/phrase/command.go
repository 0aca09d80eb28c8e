package phrase

import (
	"slices"
	"strings"

	"rodcall/reduce"
)

// polite words may stand at either end of a command.
var polite = wordSet("please pls hey ok okay thanks por favor porfa gracias")

// lead words may stand before a command that takes nothing: "give me the
// summary".
var lead = wordSet("can could would you i we want to the a me give show send see let lets get bring " +
	"puedes quiero ver dame danos manda mandame muestra muestrame ensena ensename el la los las un una")

func wordSet(words string) map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Fields(words) {
		out[w] = true
	}
	return out
}

// command reads a line as a command; ok is false where it is none.
func (c Context) command(m Meaning, folded string, items []item) (Meaning, bool) {
	fields := strings.Fields(strings.TrimRight(folded, " .!?,;:"))
	if len(fields) == 0 && strings.Contains(folded, "?") {
		fields = []string{"?"}
	}
	slash := len(fields) > 0 && strings.HasPrefix(fields[0], "/")
	if slash {
		// /undo@some_bot: a command as chat platforms write it.
		head, _, _ := strings.Cut(fields[0][1:], "@")
		fields = slices.Concat(strings.Fields(strings.ReplaceAll(head, "_", " ")), fields[1:])
	}
	// said is how many more words the line has, as sent, before a command's
	// argument.
	said := 0
	if slash {
		said = -strings.Count(strings.Fields(folded)[0], "_")
	}
	for len(fields) > 1 && polite[fields[0]] {
		fields, said = fields[1:], said+1
	}
	for len(fields) > 1 && polite[fields[len(fields)-1]] {
		fields = fields[:len(fields)-1]
	}
	text := strings.Join(fields, " ")
	if k, ok := c.noteLine(m, text, said); ok {
		return k, true
	}
	for rest := text; rest != ""; {
		if w, ok := exactWays[rest]; ok {
			return c.plain(m, w, rest), true
		}
		first, more, _ := strings.Cut(rest, " ")
		if !lead[first] {
			break
		}
		rest = more
	}
	if k, ok := c.size(m, text); ok {
		return k, true
	}
	if k, ok := c.withStation(m, text); ok {
		return k, true
	}
	if k, ok := c.onePier(m, text); ok {
		return k, true
	}
	if k, ok := c.levelStation(m, items); ok {
		return k, true
	}
	if k, ok := c.correction(m, items); ok {
		return k, true
	}
	if k, ok := c.stationFirst(m, fields); ok {
		return k, true
	}
	if w, ok := prefixWays[text]; ok {
		k := c.form(m, w)
		if w.info.Name == CmdWeights {
			k = m.ask(Why{WhyTwoWays, []string{m.Said}}, text+" setups", text+" budget")
			k.Command, k.Lang = CmdWeights, w.lang
		}
		return k, true
	}
	for n := min(maxWords, len(fields)-1); n > 0; n-- {
		head, rest := firstWords(text, n)
		w, ok := prefixWays[head]
		if !ok {
			continue
		}
		k := c.withArg(m, w, head, rest, n+said)
		if k.Kind != Command && w.info.Name == CmdYes {
			break // "yes 3/8 low"
		}
		if k.Kind != Command && w.info.Name == CmdMore {
			continue // more or less 3/8 low
		}
		if k.Kind != Command && !slash {
			if r := c.reading(m, items); r.Kind == Reading {
				return r, true
			}
		}
		return k, true
	}
	if slash {
		return m.refuse(WhyNotUnderstood, m.Said), true
	}
	return m, false
}

// firstWords parts a text, whose words stand one space apart, behind n of them.
func firstWords(text string, n int) (head, rest string) {
	for i := range len(text) {
		if text[i] == ' ' {
			if n--; n == 0 {
				return text[:i], text[i+1:]
			}
		}
	}
	return text, ""
}

func (m Meaning) do(w way, arg Arg) Meaning {
	m.Kind, m.Command, m.Arg, m.Lang = Command, w.info.Name, arg, w.lang
	return m
}

// form refuses a command whose argument cannot be read, with an example.
func (c Context) form(m Meaning, w way) Meaning {
	m.Command, m.Lang = w.info.Name, w.lang
	return m.refuse(WhyCommandForm, m.Said, w.info.Example)
}

// plain is a command said without an argument.
func (c Context) plain(m Meaning, w way, text string) Meaning {
	has := func(parts ...string) bool {
		for _, p := range parts {
			if strings.Contains(text, p) {
				return true
			}
		}
		return false
	}
	switch w.info.Name {
	case CmdRod:
		if has("standard", "estandar", "normal") {
			return m.do(w, RodArg{reduce.Standard})
		}
		return m.do(w, RodArg{reduce.Direct})
	case CmdUnits:
		switch {
		case has("inch", "pulgada"):
			return m.do(w, UnitsArg{Unit: reduce.UnitInch})
		case has("feet", "pies"):
			return m.do(w, UnitsArg{Unit: reduce.UnitFoot})
		}
		return m.do(w, UnitsArg{Unit: reduce.UnitMillimetre})
	case CmdDatum:
		if choice, ok := searched[strings.TrimPrefix(text, "nivel ")]; ok {
			return m.do(w, DatumArg{Choice: choice})
		}
		switch {
		case has("no datum"):
			return m.do(w, DatumArg{Clear: true})
		case has("first", "primer"):
			return m.do(w, DatumArg{Choice: reduce.DatumFirst})
		}
		return m.do(w, DatumArg{Choice: reduce.DatumHigh})
	case CmdGrindMost:
		return m.do(w, LimitArg{})
	case CmdSurface:
		for _, s := range [][2]string{{"concrete", "concreto"}, {"shims", "calzas"}, {"plate", "solera"}} {
			if has(s[0], s[1]) {
				return m.do(w, Text(s[0]))
			}
		}
	case CmdYes:
		if has(" all", "all ", "todo") {
			return m.do(w, Text("all"))
		}
	case CmdAloud:
		if has("text", "no voice", "stop", "sin voz", "callate") {
			return m.do(w, Text("off"))
		}
		return m.do(w, Text("on"))
	case CmdLanguage:
		if has("espanol") {
			return m.do(w, Text("es"))
		}
		return m.do(w, Text("en"))
	case CmdBoltPlaces, CmdPosts, CmdSplices:
		return m.do(w, PlacesArg{Clear: true}) // no bolts
	case CmdNoBeam:
		m.Station = c.Asked
		return m.do(w, StationArg{c.Asked})
	case CmdShimmed:
		m.Station = c.Asked
		if c.Asked.IsZero() {
			return m.do(w, ShimmedArg{})
		}
		return m.do(w, ShimmedArg{Stations: []reduce.Station{c.Asked}})
	}
	return m.do(w, nil)
}

// correctionWords put a station's reading right: "c3 is -1/4".
var correctionWords = map[string]bool{"is": true, "es": true, "should": true, "debe": true, "actually": true}

var correctionHeads = map[string]bool{"make": true, "correct": true, "change": true, "fix": true, "corrige": true, "cambia": true, "set": true, "pon": true}

// correction reads "c3 is -1/4", "make c3 -1/4".
func (c Context) correction(m Meaning, items []item) (Meaning, bool) {
	head := len(items) > 1 && correctionHeads[items[0].text]
	if !head && !slices.ContainsFunc(items, func(it item) bool { return correctionWords[it.text] }) {
		return m, false
	}
	if head {
		items = items[1:]
	}
	n, ok := stationAt(items, c.Outline.Grid.Mark)
	if !ok || n.end >= len(items) || n.plus {
		return m, false
	}
	if !head && !correctionWords[n.rest[0].text] {
		return m, false
	}
	if head && !hasAmount(n.rest) {
		return m, false
	}
	lang := m.Lang
	rest := n.rest
	for len(rest) > 0 && (rest[0].Class == Filler || rest[0].text == "actually" || rest[0].text == "really" || rest[0].text == "debe" || rest[0].text == "ser") {
		rest = rest[1:]
	}
	whole := append(append([]item(nil), items[:n.end]...), rest...)
	k := c.reading(m, whole)
	k.Command, k.Lang = CmdCorrect, lang
	if k.Kind == Reading {
		k.Kind, k.Arg = Command, ReadingArg{k.Station, k.Value}
		k.Value = 0
	}
	return k, true
}
