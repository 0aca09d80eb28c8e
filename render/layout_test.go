package render

import "testing"

// TestLeaders measures how many leaders run over a mark that is not theirs, or
// cross another: untidy, not wrong. On the plain foundation none does. What is
// borne with is what was reached; wide words leave less room.
func TestLeaders(t *testing.T) {
	for _, c := range []struct {
		name           string
		w              wording
		over, crossing int
	}{
		{"calm", calm, 10, 3},
		{"before", before, 18, 5},
		{"widest", widest, 55, 25},
	} {
		over, crossing := 0, 0
		for _, o := range outlines(t) {
			p, err := Layout(sceneOf(o.name, o.o, c.w))
			if err != nil {
				t.Fatalf("%s: %v", o.name, err)
			}
			a, b := strays(p)
			if o.name == "plain 40x28" && a+b > 0 {
				t.Errorf("%s, %s: %d leaders over marks, %d crossing", o.name, c.name, a, b)
			}
			if a+b > 3 {
				t.Logf("%s, %s: %d leaders over marks, %d crossing", o.name, c.name, a, b)
			}
			over, crossing = over+a, crossing+b
		}
		t.Logf("%s: in all %d over marks, %d crossing", c.name, over, crossing)
		if over > c.over || crossing > c.crossing {
			t.Errorf("%s: %d leaders over marks and %d crossing on all outlines, at most %d and %d are borne with", c.name, over, crossing, c.over, c.crossing)
		}
	}
}

// TestOutlines lays out 64 outlines of up to 60 stations, with everyday and
// with the widest words: every station has its label, and no label touches
// another, a mark, a wall, another's leader or the edge.
func TestOutlines(t *testing.T) {
	all := outlines(t)
	if n := len(all[0].o.Stations()); n != 34 {
		t.Errorf("a 40 × 28 ft rectangle has %d stations at 4 ft, want 34 (counted by hand: 9 + 6 + 9 + 6 and 4 corners)", n)
	}
	if len(all) < 51 {
		t.Errorf("%d outlines, want the plain one and 50 others", len(all))
	}
	for _, o := range all {
		if n := len(o.o.Stations()); n > 60 {
			t.Errorf("%s has %d stations", o.name, n)
		}
		for _, w := range []wording{calm, before, widest} {
			p, err := Layout(sceneOf(o.name, o.o, w))
			if err != nil {
				t.Errorf("%s: %v", o.name, err)
				continue
			}
			if p.Labelled != p.Marks {
				t.Errorf("%s: %d of %d marks have labels", o.name, p.Labelled, p.Marks)
			}
			for _, f := range faults(p) {
				t.Errorf("%s: %s", o.name, f)
			}
		}
	}
}
