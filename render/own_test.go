package render

import (
	"math"
	"testing"

	"rodcall/reduce"
)

// astray counts the labels on a page, and those whose leader ends, or which
// without one stand, nearer to the mark of another label than to their own.
func astray(p *Page) (n, all int) {
	marks := shown(p)
	for name, a := range marks {
		if a.words == (Box{}) {
			continue
		}
		all++
		away := func(b *written) float64 { return apart(a.words, b.mark.centre()) }
		if n := len(a.leader); n > 0 {
			end := a.leader[n-1]
			away = func(b *written) float64 {
				q := b.mark.centre()
				return math.Hypot(q.X-end.X, q.Y-end.Y)
			}
		}
		for other, b := range marks {
			if other != name && b.words != (Box{}) && away(b) < away(a)-3 {
				n++
				break
			}
		}
	}
	return n, all
}

// TestOwnMark counts, on all outlines, the labels that stand nearer to another
// one's mark than to their own. Where walls are not crowded there is none; where
// they are, a leader joins each to its own (TestWhose), and few stray.
func TestOwnMark(t *testing.T) {
	roomy := map[string]bool{
		"plain 40x28": true, "rectangle 24x24": true, "rectangle 20x10": true, "metric 12x8": true, "metric 10x6": true,
		"notch": true, "L metric": true, "hexagon": true, "metric bay": true,
	}
	all := outlines(t)
	all = append(all, shape50{"metric 10x6", outline(t, reduce.Metre, []float64{0, 0, 10, 6, 10, 6})})
	sum, labels, looked := 0, 0, 0
	for _, o := range all {
		for k, w := range []wording{calm, before, widest, millimetres} {
			p, err := Layout(sceneOf(o.name, o.o, w))
			if err != nil {
				t.Fatal(err)
			}
			n, of := astray(p)
			sum, labels = sum+n, labels+of
			if k == 2 || !roomy[o.name] {
				continue
			}
			if looked++; n > 0 {
				t.Errorf("%s, wording %d: %d of %d labels stand nearer to another mark", o.name, k, n, of)
			}
		}
	}
	t.Logf("%d of %d labels stand nearer to another mark than to their own, and have a leader", sum, labels)
	if looked < 3*9 {
		t.Errorf("only %d drawings were looked at", looked)
	}
	if 100*sum > 17*labels {
		t.Errorf("%d of %d stray", sum, labels)
	}
}

// TestLeadersLast checks that leaders are seen on a picture scaled down to a
// phone's 400 pixels across: they are more than a pixel wide there.
func TestLeadersLast(t *testing.T) {
	leaders := 0
	for _, o := range outlines(t) {
		p, err := Layout(sceneOf(o.name, o.o, calm))
		if err != nil {
			t.Fatal(err)
		}
		for _, it := range p.Items {
			if it.Role != RoleLeader {
				continue
			}
			if leaders++; it.Width*400/pageWidth <= 1 {
				t.Fatalf("%s: the leader of %s is %.2f px wide at 400", o.name, it.Mark, it.Width*400/pageWidth)
			}
		}
	}
	if leaders < 1000 {
		t.Errorf("only %d leaders were looked at", leaders)
	}
}
