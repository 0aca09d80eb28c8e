package voice

import (
	"slices"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// Grammar is what may be said: rules, of which the first one is the sentence.
// A way is a list of words, and of names of rules in angle brackets. No rule
// comes back to itself, and no way is empty.
type Grammar struct {
	rules []rule
}

type rule struct {
	name string // with its brackets
	ways [][]string
	// weights are of the ways, 1 where they are missing: how likely each is
	// before anything is heard.
	weights []float64
}

func (r rule) weight(way int) float64 {
	if way < len(r.weights) {
		return r.weights[way]
	}
	return 1
}

func (r *rule) add(weight float64, ways ...[]string) {
	for _, w := range ways {
		r.ways, r.weights = append(r.ways, w), append(r.weights, weight)
	}
}

// Words lists the words of the grammar, each once.
func (g Grammar) Words() []string {
	var out []string
	for _, r := range g.rules {
		for _, w := range r.ways {
			for _, token := range w {
				if !isRule(token) {
					out = append(out, token)
				}
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func isRule(token string) bool { return token[0] == '<' }

func (g Grammar) rule(name string) rule {
	return g.rules[slices.IndexFunc(g.rules, func(r rule) bool { return r.name == name })]
}

// reading is one value that may be said, in one way.
type reading struct {
	words  []string
	value  reduce.Length
	weight float64
	// alone says that it is not said behind a station: nobody says corner two
	// eighth low, or corner two right on. Other talk is heard as such.
	alone bool
}

// shortCommands are those that are understood beside a value alone.
var shortCommands = []phrase.CommandName{
	phrase.CmdUndo, phrase.CmdYes, phrase.CmdNo, phrase.CmdSkip, phrase.CmdRepeat, phrase.CmdDone, phrase.CmdNoBeam, phrase.CmdLeft,
}

// shortWays is how many ways to say each of them are understood.
const shortWays = 5

// lexicon makes grammars of the words that a recogniser knows.
type lexicon struct {
	knows func(word string) bool
	// same says that two words sound alike: of such, the first of the table
	// stands for all.
	same func(a, b string) bool
}

// ways are the texts whose words are all known, as words.
func (s lexicon) ways(texts ...string) [][]string {
	var out [][]string
	for _, t := range texts {
		words := strings.Fields(t)
		if !slices.ContainsFunc(words, func(w string) bool { return !s.knows(w) }) {
			out = append(out, words)
		}
	}
	return out
}

// class lists the ways to say a class of words, none that sounds like one
// before it.
func (s lexicon) class(c phrase.Class) []string {
	var out []string
	for _, w := range phrase.Words() {
		if w.Class != c || w.Lang == "es" || len(s.ways(w.Text)) == 0 ||
			slices.ContainsFunc(out, func(o string) bool { return s.same(o, w.Text) }) {
			continue
		}
		out = append(out, w.Text)
	}
	return out
}

// amounts writes out the amounts of a direct rod.
func (s lexicon) amounts(c phrase.Context) []reading {
	var out []reading
	for _, family := range phrase.SpokenAmounts(c) {
		all := []reading{{weight: 1}}
		for _, part := range family {
			var longer []reading
			for _, a := range all {
				for _, p := range part {
					if words := s.ways(p.Text); len(words) > 0 {
						longer = append(longer, reading{words: slices.Concat(a.words, words[0]), value: a.value + p.Value, weight: 1})
					}
				}
			}
			all = longer
		}
		out = append(out, all...)
	}
	return out
}

// readings writes out what a direct rod may show: each amount on both sides, in
// the orders in which it is said, and no difference. What would be asked back
// if it were typed is left out.
func (s lexicon) readings(c phrase.Context) []reading {
	high, low := phrase.SideWords("en")
	var out []reading
	add := func(line string, weight float64, alone bool) {
		words := s.ways(line)
		if m := phrase.Parse(c, line); len(words) > 0 && m.Kind == phrase.Reading {
			out = append(out, reading{words[0], m.Value, weight, alone})
		}
	}
	for _, a := range s.amounts(c) {
		text, weight := strings.Join(a.words, " "), 1.0
		if slices.ContainsFunc(a.words, rarePart) {
			weight = rarePartWeight
		}
		if c.Unit == reduce.UnitInch && a.value >= reduce.Inch {
			weight *= largeWeight
		}
		bare := barePart(a.words[0])
		add(text+" "+high, weight, bare)
		add(text+" "+low, weight, bare)
		if len(a.words) > 2 || len(a.words) == 1 && c.Unit == reduce.UnitInch {
			continue // nobody says low three eighths of an inch, or plus eighth
		}
		add(high+" "+text, weight*turnedWeight, true)
		add(low+" "+text, weight*turnedWeight, true)
		for _, class := range []phrase.Class{phrase.PlusWord, phrase.MinusWord} {
			add(s.class(class)[0]+" "+text, weight*turnedWeight, true)
		}
	}
	for i, on := range s.class(phrase.OnWord) {
		if i < usualOn {
			add(on, 1, false)
		} else {
			add(on, turnedWeight, true)
		}
	}
	return out
}

// barePart says that an amount begins with an eighth or a sixteenth, and has no
// number or article before it; a half and a quarter are said so.
func barePart(word string) bool {
	return slices.ContainsFunc(phrase.Words(), func(w phrase.Word) bool { return w.Class == phrase.Part && w.Text == word && w.Num > 4 })
}

// rarePart says that most people have another word for this part of an inch: the
// first one of the table, or its plural.
func rarePart(word string) bool {
	all := phrase.Words()
	part := func(w phrase.Word) bool { return w.Class == phrase.Part && w.Lang == "en" }
	i := slices.IndexFunc(all, func(w phrase.Word) bool { return part(w) && w.Text == word })
	if i < 0 {
		return false
	}
	usual := all[slices.IndexFunc(all, func(w phrase.Word) bool { return part(w) && w.Num == all[i].Num })].Text
	return word != usual && word != usual+"s"
}

// values are the rules of the values of a rod, <value> first, and which of them is
// said behind a station: those of a direct rod are written out in all.
func (s lexicon) values(c phrase.Context, all []reading) (rules []rule, behind string) {
	value := rule{name: "<value>"}
	if c.Rod == reduce.Direct {
		named := rule{name: "<named>"}
		for _, r := range all {
			value.add(r.weight, r.words)
			if !r.alone {
				named.add(r.weight, r.words)
			}
		}
		return []rule{value, named}, named.name
	}
	rules = []rule{{}}
	part := func(texts []string) string {
		ways := s.ways(texts...)
		for _, r := range rules[1:] {
			if slices.EqualFunc(r.ways, ways, slices.Equal[[]string]) {
				return r.name
			}
		}
		rules = append(rules, rule{name: "<part" + string(rune('a'+len(rules)-1)) + ">", ways: ways})
		return rules[len(rules)-1].name
	}
	for _, family := range phrase.SpokenAmounts(c) {
		ways := [][]string{nil}
		for _, p := range family {
			var texts []string
			left := false
			for _, w := range p {
				if w.Text == "" {
					left = true
				} else {
					texts = append(texts, w.Text)
				}
			}
			name := part(texts)
			var longer [][]string
			for _, w := range ways {
				longer = append(longer, slices.Concat(w, []string{name}))
				if left {
					longer = append(longer, w)
				}
			}
			ways = longer
		}
		value.ways = append(value.ways, ways...)
	}
	rules[0] = value
	return rules, value.name
}

// commands are the ways to say commands that take nothing after them; only the
// ones named, where any are.
func (s lexicon) commands(c phrase.Context, only ...phrase.CommandName) [][]string {
	var out [][]string
	for _, info := range phrase.Commands() {
		if len(only) > 0 && !slices.Contains(only, info.Name) {
			continue
		}
		texts := info.English
		if len(only) > 0 {
			texts = texts[:min(len(texts), shortWays)]
		}
		for _, text := range texts {
			if m := phrase.Parse(c, text); m.Kind == phrase.Command && m.Command == info.Name {
				out = append(out, s.ways(text)...)
			}
		}
	}
	return out
}

// What is likely before anything is heard, against a small value of the station
// asked for, in the usual order, with its name or without. Common practice, no
// source.
const (
	largeWeight    = 0.1 // of an inch and more
	turnedWeight   = 0.3 // low three eighths, minus three eighths, dead on
	rarePartWeight = 0.1 // of a fourth, for a quarter
	commandWeight  = 0.1
	rareWeight     = 0.001  // of a command that hardly anybody says on the walk
	stationWeight  = 0.02   // of another station of the walk
	otherWeight    = 0.0005 // of a station that the job does not have
	betweenWeight  = 1e-6   // of a spot of its walls that the walk does not stop at: fifteen, beside sixteen
)

// usualOn is how many words for no difference are usual ones.
const usualOn = 3

// grammar is all that may be said: a value of the station asked for, or of
// another, or a command that takes nothing after it. Stations that the job does
// not have are in it, so that they are not heard as one that it has.
func (s lexicon) grammar(c phrase.Context, all []reading) Grammar {
	start := rule{name: "<sentence>"}
	start.add(1, []string{"<value>"})
	rules, behind := s.values(c, all)
	asked, walk := rule{name: "<asked>"}, rule{name: "<station>"}
	between, other := rule{name: "<between>"}, rule{name: "<other>"}
	for _, st := range s.stations(c) {
		switch _, err := c.Outline.Resolve(st.station); {
		case st.station == c.Asked:
			asked.add(1, st.words)
		case st.walked, c.Outline.Empty():
			walk.add(1, st.words)
		case err == nil && st.station.Kind == reduce.Wall:
			between.add(1, st.words)
		default:
			other.add(1, st.words)
		}
	}
	for _, named := range []struct {
		rule
		weight float64
	}{{asked, 1}, {walk, stationWeight}, {between, betweenWeight}, {other, otherWeight}} {
		if len(named.ways) > 0 {
			start.add(named.weight, []string{named.name, behind})
			rules = append(rules, named.rule)
		}
	}
	start.add(commandWeight, s.commands(c, shortCommands...)...)
	for _, way := range s.commands(c) {
		if !slices.ContainsFunc(start.ways, func(w []string) bool { return slices.Equal(w, way) }) {
			start.add(rareWeight, way)
		}
	}
	return Grammar{append([]rule{start}, rules...)}
}

// spoken is one way to say one station; walked says that it is one of those that
// a walk asks for.
type spoken struct {
	words   []string
	station reduce.Station
	walked  bool
}

// How far the stations go that are listened for although a walk does not ask
// for them: without them they would be heard as one that it asks for.
const (
	otherCorners = 30
	otherPast    = 60
	otherPoints  = 9
)

// stations are the ways to name the stations of the walk, and others like them.
func (s lexicon) stations(c phrase.Context) []spoken {
	var out []spoken
	seen := map[reduce.Station]bool{}
	mark := c.Outline.Grid.Mark
	add := func(walked bool, all ...reduce.Station) {
		for _, st := range all {
			if seen[st] {
				continue
			}
			seen[st] = true
			for _, text := range phrase.SayStation(st, mark) {
				for _, words := range s.ways(text) {
					out = append(out, spoken{words, st, walked})
				}
			}
		}
	}
	add(true, c.Outline.Stations()...)
	add(true, reduce.BenchmarkNumber(1))
	points := max(c.Outline.Corners(), otherPoints)
	for n := 1; n <= max(points, otherCorners); n++ {
		add(false, reduce.Corner(n))
	}
	for n := 1; n <= points; n++ {
		add(false, reduce.PierNumber(n), reduce.TurningNumber(n), reduce.BenchmarkNumber(n))
		for past := 1; past <= otherPast; past++ {
			add(false, reduce.Along(n, reduce.Length(past)*mark))
		}
	}
	return out
}
