package render

import (
	"fmt"
	"math"
	"testing"
)

// written is what a page shows of one mark: its shape, its words and its
// leader.
type written struct {
	mark, words Box
	leader      []Pt
}

// shown gathers the marks of a page by name.
func shown(p *Page) map[string]*written {
	join := func(a, b Box) Box {
		if a == (Box{}) {
			return b
		}
		return Box{min(a.X0, b.X0), min(a.Y0, b.Y0), max(a.X1, b.X1), max(a.Y1, b.Y1)}
	}
	all := map[string]*written{}
	strip := math.Inf(1)
	for _, it := range p.Items {
		if it.Role == RoleStrip || it.Role == RoleStripText {
			strip = min(strip, it.Box.Y0)
		}
	}
	for _, it := range p.Items {
		if it.Mark == "" || it.Box.Y0 > strip || it.Ink == InkPaper {
			continue
		}
		w := all[it.Mark]
		if w == nil {
			w = &written{}
			all[it.Mark] = w
		}
		switch it.Role {
		case RoleMark:
			w.mark = join(w.mark, it.Box)
		case RoleCornerName, RoleWord, RoleAmount:
			w.words = join(w.words, it.Box)
		case RoleLeader:
			w.leader = it.Path
		case RoleTitle, RoleFact, RoleWall, RoleScale, RoleKey, RoleStrip, RoleStripText, RoleTickAmount, RoleMore,
			RoleHeading, RoleCell, RoleRule, RoleFoot, RoleStamp, RolePhoto:
		}
	}
	return all
}

func (b Box) centre() Pt { return Pt{(b.X0 + b.X1) / 2, (b.Y0 + b.Y1) / 2} }

// TestWhose checks that every label says whose it is: it has a leader, from its
// own mark to its words, or it stands nearer to its own mark than to any other.
func TestWhose(t *testing.T) {
	bare, led := 0, 0
	for _, o := range outlines(t) {
		for k, w := range []wording{calm, before, widest} {
			p, err := Layout(sceneOf(o.name, o.o, w))
			if err != nil {
				t.Fatal(err)
			}
			all := shown(p)
			for name, a := range all {
				at := fmt.Sprintf("%s, wording %d, %s", o.name, k, name)
				if n := len(a.leader); n > 0 {
					led++
					// Some shapes leave a part of their circle empty.
					if d := apart(a.mark.grow(9), a.leader[0]); d > 0 {
						t.Errorf("%s: its leader begins %.0f px from its mark", at, d)
					}
					if d := apart(a.words, a.leader[n-1]); d > 8 {
						t.Errorf("%s: its leader ends %.0f px from its words", at, d)
					}
					continue
				}
				bare++
				own := apart(a.words, a.mark.centre())
				for other, b := range all {
					if d := apart(a.words, b.mark.centre()); other != name && d <= own+3 {
						t.Errorf("%s: words %.0f px from its mark, %.0f px from %s", at, own, d, other)
					}
				}
			}
		}
	}
	t.Logf("%d labels beside their marks, %d with leaders", bare, led)
	if bare == 0 || led == 0 {
		t.Error("nothing was looked at")
	}
}

// TestSharedWall checks the wall between a house, its corners c1 to c4, and a
// garage to the right of it: each one's labels stand inside it, near their
// marks, and two marks on one spot stand to either side of the wall.
func TestSharedWall(t *testing.T) {
	scenes := map[string]*Scene{"golden": goldens(t)["garage"]}
	for _, o := range outlines(t) {
		if o.name == "garage beside" || o.name == "metric garage" {
			scenes[o.name] = sceneOf(o.name, o.o, calm)
		}
	}
	labels, pairs := 0, 0
	for name, s := range scenes {
		p, err := Layout(s)
		if err != nil {
			t.Fatal(err)
		}
		all := shown(p)
		wall := all["c3"].mark.centre().X
		for i, m := range s.Marks {
			if m.At.X != s.Loops[0].Corners[1].X || m.Corner {
				continue
			}
			a := all[m.Name]
			house, at := m.Name[:2] == "c2", a.words.centre().X
			if near := apart(a.words, a.mark.centre()); near > 130 {
				t.Errorf("%s, %s: its words stand %.0f px off", name, m.Name, near)
			}
			if house != (at < wall) {
				t.Errorf("%s, %s: its words stand at %.0f, the wall at %.0f", name, m.Name, at, wall)
			}
			labels++
			for _, o := range s.Marks[:i] {
				if o.At != m.At {
					continue
				}
				pairs++
				if b := all[o.Name]; b.mark.X1 > wall-wallWidth/2 || a.mark.X0 < wall+wallWidth/2 {
					t.Errorf("%s: %s at %v and %s at %v are not to either side of the wall at %.0f", name, o.Name, b.mark, m.Name, a.mark, wall)
				}
			}
		}
	}
	t.Logf("%d labels, %d pairs", labels, pairs)
	if len(scenes) != 3 || labels < 25 || pairs < 5 {
		t.Error("too few were looked at")
	}
}

// TestFollow checks that the walk tells marks of two loops on one wall apart.
func TestFollow(t *testing.T) {
	s := goldens(t)["garage"]
	for i, loop := range follow(s) {
		want := 0
		switch m := s.Marks[i]; {
		case m.Pier:
			want = -1
		case m.Name[:2] >= "c5":
			want = 1
		}
		if loop != want {
			t.Errorf("%s is taken to be on loop %d, want %d", s.Marks[i].Name, loop, want)
		}
	}
}
