package render

import (
	"testing"

	"rodcall/reduce"
)

// stepped puts steps into a scene: at every other corner a step with its words,
// and every other wall at another level.
func stepped(s *Scene, words ...string) *Scene {
	n := 0
	for i := range s.Marks {
		if m := &s.Marks[i]; m.Corner {
			if n%2 == 1 {
				m.Note = words[n/2%len(words)]
			}
			n++
		}
	}
	n = 0
	for i, l := range s.Loops {
		for k, a := range l.Corners {
			if k%2 == 1 {
				s.Other = append(s.Other, []reduce.Point{a, l.Corners[(k+1)%len(l.Corners)]})
				r := &s.Strip.Runs[i]
				r.Steps = append(r.Steps, RunStep{r.Corners[k].At, words[n%len(words)]})
				n++
			}
		}
	}
	return s
}

// TestSteps lays out all outlines with steps: no label touches anything, and
// the everyday words find room at every station.
func TestSteps(t *testing.T) {
	for _, o := range outlines(t) {
		for name, c := range map[string]struct {
			w     wording
			words []string
		}{
			"calm": {calm, []string{"step 8 in", "step 1 1/2 in"}}, "widest": {widest, []string{"escalón 11 15/16 in", "escalón 200 mm"}},
		} {
			p, err := Layout(stepped(sceneOf(o.name, o.o, c.w), c.words...))
			if err != nil {
				t.Errorf("%s, %s: %v", o.name, name, err)
				continue
			}
			if name == "calm" && p.Labelled != p.Marks {
				t.Errorf("%s, %s: %d of %d marks have labels", o.name, name, p.Labelled, p.Marks)
			}
			for _, f := range faults(p) {
				t.Errorf("%s, %s: %s", o.name, name, f)
			}
		}
	}
}

// TestStepsAreDrawn: a step has its words on the plan and in the strip, a dashed
// rule there, and the wall at another level is hollow.
func TestStepsAreDrawn(t *testing.T) {
	p, err := Layout(stepped(sceneOf("plain", rectangle(t, 40, 28), calm), "step 8 in"))
	if err != nil {
		t.Fatal(err)
	}
	var words, strip, rules, hollow int
	for _, it := range p.Items {
		switch {
		case it.Text == "step 8 in" && it.Role == RoleWord:
			words++
		case it.Text == "step 8 in":
			strip++
		case it.Role == RoleStrip && it.Dash == 8:
			rules++
		case it.Role == RoleWall && it.Ink == InkPaper:
			hollow++
		}
	}
	if words != 2 || strip != 2 || rules != 2 || hollow != 2 {
		t.Errorf("%d and %d words, %d rules, %d hollow walls; want two of each", words, strip, rules, hollow)
	}
}
