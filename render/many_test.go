package render

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"

	"rodcall/reduce"
)

// crowd is a scene of n marks in rows, every tenth a corner.
func crowd(n int) *Scene {
	s := &Scene{Title: "crowd", MoreText: "labels shown for %d of %d"}
	for i := range n {
		s.Marks = append(s.Marks, Mark{
			Name: fmt.Sprintf("c%d", i+1), Corner: i%10 == 0, Word: "raise", Amount: fmt.Sprintf("%d/16", 1+i%15), Status: StatusRaise,
			At:  reduce.Point{X: reduce.Length(i%100) * reduce.Foot, Y: -reduce.Length(i/100) * reduce.Foot},
			Off: reduce.Length(i%997) * reduce.Millimetre,
		})
	}
	return s
}

// more is what the page says of labels that are not shown.
func more(p *Page) string {
	for _, it := range p.Items {
		if it.Role == RoleMore {
			return it.Text
		}
	}
	return ""
}

// TestMany lays out from no mark to the most that are drawn: all marks are
// there, and where not all have labels the page says how many do.
func TestMany(t *testing.T) {
	for _, n := range []int{0, 1, 2, 59, 65, 300, maxMarks} {
		p, err := Layout(crowd(n))
		if err != nil {
			t.Fatalf("%d marks: %v", n, err)
		}
		drawn := map[string]bool{}
		labels := map[string]bool{}
		for _, it := range p.Items {
			if it.Role == RoleMark {
				drawn[it.Mark] = true
			}
			if it.Role == RoleWord {
				labels[it.Mark] = true
			}
		}
		if p.Marks != n || len(drawn) != n || p.Labelled != len(labels) {
			t.Errorf("%d marks: %d drawn, %d labels; the page says %d and %d", n, len(drawn), len(labels), p.Marks, p.Labelled)
		}
		want := ""
		if p.Labelled < n {
			want = fmt.Sprintf("labels shown for %d of %d", p.Labelled, n)
		}
		if more(p) != want {
			t.Errorf("%d marks, %d labels: the page says %q, want %q", n, p.Labelled, more(p), want)
		}
		if least := min(n, 20); p.Labelled < least {
			t.Errorf("%d marks: only %d labels", n, p.Labelled)
		}
		if n <= 300 {
			for _, f := range faults(p) {
				t.Errorf("%d marks: %s", n, f)
			}
		}
		if p.Height > 2000 {
			t.Errorf("%d marks: %d high", n, p.Height)
		}
	}
}

// TestTooMany refuses one mark more than are drawn.
func TestTooMany(t *testing.T) {
	if _, err := Layout(crowd(maxMarks + 1)); !errors.Is(err, ErrTooMany) || !strings.Contains(err.Error(), "10001") {
		t.Errorf("error is %v, want %v", err, ErrTooMany)
	}
}

// TestCornersKeepLabels checks who is labelled where not all can be: corners
// before others, then the farthest off.
func TestCornersKeepLabels(t *testing.T) {
	s := crowd(300)
	p, err := Layout(s)
	if err != nil {
		t.Fatal(err)
	}
	if p.Labelled >= p.Marks || p.Labelled < 10 {
		t.Fatalf("%d of %d marks have labels: nothing to choose", p.Labelled, p.Marks)
	}
	has := map[string]bool{}
	for _, it := range p.Items {
		if it.Role == RoleAmount {
			has[it.Mark] = true
		}
	}
	corners, others := 0, 0
	for _, m := range s.Marks {
		switch {
		case has[m.Name] && m.Corner:
			corners++
		case has[m.Name]:
			others++
		}
	}
	if others > 0 && corners < 30*9/10 {
		t.Errorf("%d of 30 corners have labels, and %d others", corners, others)
	}
}

// TestSameBytes writes the same scene twice in both formats.
func TestSameBytes(t *testing.T) {
	s := goldens(t)["garage"]
	var docs [2][2]bytes.Buffer
	for i := range docs {
		p, err := Layout(s)
		if err != nil {
			t.Fatal(err)
		}
		if err := errors.Join(WriteSVG(&docs[i][0], p), WritePNG(&docs[i][1], p)); err != nil {
			t.Fatal(err)
		}
	}
	for k, format := range []string{"SVG", "PNG"} {
		if docs[0][k].Len() == 0 || !bytes.Equal(docs[0][k].Bytes(), docs[1][k].Bytes()) {
			t.Errorf("%s differs, %d and %d bytes", format, docs[0][k].Len(), docs[1][k].Len())
		}
	}
}
