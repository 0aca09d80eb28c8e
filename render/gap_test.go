package render

import (
	"testing"

	"rodcall/reduce"
)

// TestStripGaps: no line leads over what is unread.
func TestStripGaps(t *testing.T) {
	s := sceneOf("gaps", rectangle(t, 40, 28), calm)
	r := &s.Strip.Runs[0]
	r.Points = nil
	for i := range 10 {
		r.Points = append(r.Points, RunPoint{At: reduce.Length(i) * 8 * reduce.Foot, Height: reduce.Length(i%3) * reduce.Inch / 8, Status: StatusOn, Gap: i == 3 || i == 4})
	}
	p, err := Layout(s)
	if err != nil {
		t.Fatal(err)
	}
	var lengths []int
	for _, it := range p.Items {
		if it.Role == RoleStrip && it.Kind == KindStroke && it.Ink == InkLine && it.Width == 2 {
			lengths = append(lengths, len(it.Path))
		}
	}
	// Points 0–2 are joined, 3 stands alone, 4–9 are joined.
	if len(lengths) != 2 || lengths[0] != 3 || lengths[1] != 6 {
		t.Errorf("lines of %v points, want 3 and 6", lengths)
	}
}
