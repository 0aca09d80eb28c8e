package voice

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// JSGF writes the grammar in the JSpeech Grammar Format (W3C Note, 5 June
// 2000): a header, then each rule with its ways between bars; the first rule is
// the public one.
func (g Grammar) JSGF() string {
	var b strings.Builder
	b.WriteString("#JSGF V1.0;\ngrammar rodcall;\n")
	for i, r := range g.rules {
		if i == 0 {
			b.WriteString("public ")
		}
		fmt.Fprintf(&b, "%s =", r.name)
		for k, w := range r.ways {
			if k > 0 {
				b.WriteString(" |")
			}
			if w := r.weight(k); w != 1 {
				fmt.Fprintf(&b, " /%g/", w)
			}
			b.WriteString(" " + strings.Join(w, " "))
		}
		b.WriteString(";\n")
	}
	return b.String()
}

// fsg writes the grammar as states and transitions, the form in which
// pocketsphinx takes one for each sound of a batch. A way's weight
// stands on its first word; all other words weigh the same, so that of two
// sentences the sound decides. States from which the same may follow are one,
// which keeps the search small.
func (g Grammar) fsg(name string) string {
	f := &states{grammar: g, known: map[string]int{}, arcs: [][]arc{nil}}
	start := f.state(f.rule(g.rules[0], 0))
	var b strings.Builder
	fmt.Fprintf(&b, "FSG_BEGIN %s\nNUM_STATES %d\nSTART_STATE %d\nFINAL_STATE 0\n", name, len(f.arcs), start)
	for from, arcs := range f.arcs {
		for _, a := range arcs {
			fmt.Fprintf(&b, "TRANSITION %d %d %g %s\n", from, a.to, a.weight, a.word)
		}
	}
	b.WriteString("FSG_END\n")
	return b.String()
}

// arc is a word that leads to a state.
type arc struct {
	word   string
	to     int
	weight float64
}

// states are the states made so far, from the last one backwards: 0 is the end.
type states struct {
	grammar Grammar
	known   map[string]int
	arcs    [][]arc
}

// state is the one state with these arcs.
func (f *states) state(arcs []arc) int {
	key := fmt.Sprint(arcs)
	if n, ok := f.known[key]; ok {
		return n
	}
	n := len(f.arcs)
	f.arcs = append(f.arcs, arcs)
	f.known[key] = n
	return n
}

// rule is what may follow where a rule begins that leads to a state.
func (f *states) rule(r rule, to int) []arc {
	var weights []float64
	alike := map[float64][][]string{}
	for i, way := range r.ways {
		w := r.weight(i)
		if alike[w] == nil {
			weights = append(weights, w)
		}
		alike[w] = append(alike[w], way)
	}
	var out []arc
	for _, w := range weights {
		for _, a := range f.ways(alike[w], to) {
			a.weight *= w
			out = append(out, a)
		}
	}
	return out
}

// ways is what may follow where any of several ways begins, none of them empty.
func (f *states) ways(ways [][]string, to int) []arc {
	var heads []string
	tails := map[string][][]string{}
	ends := map[string]bool{}
	for _, w := range ways {
		if tails[w[0]] == nil && !ends[w[0]] {
			heads = append(heads, w[0])
		}
		if len(w) == 1 {
			ends[w[0]] = true
		} else {
			tails[w[0]] = append(tails[w[0]], w[1:])
		}
	}
	var out []arc
	for _, head := range heads {
		var next []int
		if ends[head] {
			next = append(next, to)
		}
		if tails[head] != nil {
			next = append(next, f.state(f.ways(tails[head], to)))
		}
		for _, n := range next {
			if isRule(head) {
				out = append(out, f.rule(f.grammar.rule(head), n)...)
			} else {
				out = append(out, arc{head, n, 1})
			}
		}
	}
	slices.SortFunc(out, func(a, b arc) int { return cmp.Or(strings.Compare(a.word, b.word), a.to-b.to) })
	return slices.Compact(out)
}
