package phrase

import (
	"slices"
	"strings"

	"rodcall/reduce"
)

// mended asks back where a word that the table does not have is one slip away
// from one that it has: "thre eighths low" offers three eighths low. A slip is
// never mended silently.
func (c Context) mended(m Meaning, folded string, items []item) Meaning {
	switch {
	case c.trying, m.Kind != Ask && m.Kind != Refuse:
		return m
	case m.Why.Code != WhyNotUnderstood && m.Why.Code != WhyMore && m.Why.Code != WhyNoAmount && m.Why.Code != WhyGood:
		return m
	}
	slip := ""
	for _, it := range items {
		if it.Class != unknown {
			continue
		}
		if slip != "" || len(it.text) < 3 && sounds[it.text] == "" || strings.Count(folded, it.text) != 1 {
			return m
		}
		slip = it.text
	}
	if slip == "" || commandWords[slip] {
		return m
	}
	var lines []string
	if w, ok := sounds[slip]; ok {
		lines = append(lines, strings.Replace(folded, slip, w, 1))
	}
	commands := c.meantCommands(folded, slip)
	for w, entry := range wordIndex {
		if entry.Class == AndWord || entry.Class == Article {
			continue // they carry nothing
		}
		if len(w) > 2 && oneSlip(slip, w) && (len(slip) > 3 || len(w) == 3 && sameLetters(slip, w)) {
			lines = append(lines, strings.Replace(folded, slip, w, 1))
		}
	}
	slices.Sort(lines)
	if lines = append(c.thatRead(lines...), commands...); len(lines) == 0 || len(lines) > 3 {
		return m
	}
	if len(lines) == len(commands) && len(m.Answers) == 0 {
		return m.ask(Why{WhyTwoWays, []string{m.Said}}, commands...)
	}
	lines = c.distinct(append(lines, m.Answers...))
	m.Answers = nil
	return m.ask(Why{WhyMore, []string{m.Said, slip}}, lines...)
}

// sounds are words that a recogniser or a keyboard writes for others.
var sounds = map[string]string{"cl": "c1", "pl": "p1", "ates": "eighths", "aits": "eighths", "eits": "eighths"}

// commandWords are the words of all commands.
var commandWords = func() map[string]bool {
	out := map[string]bool{}
	for _, info := range commandTable {
		for _, list := range [][]string{info.English, info.Spanish} {
			for _, way := range list {
				for _, w := range strings.Fields(way) {
					out[w] = len(w) > 3
				}
			}
		}
	}
	return out
}()

// meantCommands offers the commands that a line would be with one word put
// right: udno is undo. They are never done by themselves.
func (c Context) meantCommands(folded, slip string) []string {
	var out []string
	c.trying = true
	for w, long := range commandWords {
		if !long || len(slip) < 4 || w == slip || !oneSlip(slip, w) || w[0] != slip[0] && !sameLetters(slip, w) {
			continue
		}
		if l := strings.Replace(folded, slip, w, 1); Parse(c, l).Kind == Command {
			out = append(out, l)
		}
	}
	slices.Sort(out)
	return out
}

// distinct keeps the first of the lines that mean one reading.
func (c Context) distinct(lines []string) []string {
	type reading struct {
		at    reduce.Station
		value reduce.Length
	}
	c.trying = true
	seen := map[reading]bool{}
	return slices.DeleteFunc(lines, func(l string) bool {
		m := Parse(c, l)
		if m.Kind != Reading {
			return false
		}
		r := reading{m.Station, m.Value}
		twice := seen[r]
		seen[r] = true
		return twice
	})
}

// sameLetters says that two short words have the same letters; with other
// letters too many of them are near each other: not, got, out, cut.
func sameLetters(a, b string) bool {
	x, y := []byte(a), []byte(b)
	slices.Sort(x)
	slices.Sort(y)
	return string(x) == string(y)
}

// oneSlip says that a and b differ by one letter too many, too few or wrong,
// or by two that changed places.
func oneSlip(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	switch len(b) - len(a) {
	case 0:
		return i < len(a) && (a[i+1:] == b[i+1:] || i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:])
	case 1:
		return a[i:] == b[i+1:]
	}
	return false
}
