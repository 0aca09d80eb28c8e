package report_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rodcall/reduce"
	"rodcall/render"
	"rodcall/session/report"
)

// TestSceneOfAFreeWalk: what was read stands in rows as walked, on no plan.
func TestSceneOfAFreeWalk(t *testing.T) {
	b := newBook(t, "Barn", reduce.Direct)
	for _, name := range []string{"c2", "c1", "bm", "c1+6.5", "p1", "c2+4", "c3", "c3+1", "c3+2", "c3+3"} {
		b.read(name, sixteenths(1))
	}
	s := report.Scene(b.job(), "en", made)
	const pitch = 4 * reduce.Foot
	var order []string
	for i, m := range s.Marks {
		order = append(order, m.Name)
		n := reduce.Length(i)
		if want := (reduce.Point{X: n % 8 * pitch, Y: -(n / 8) * pitch}); m.At != want {
			t.Errorf("%s stands at %v, want %v", m.Name, m.At, want)
		}
		if !m.Corner || m.Pier != (m.Name == "p1") {
			t.Errorf("%s: named %t, pier %t", m.Name, m.Corner, m.Pier)
		}
	}
	if d := cmp.Diff([]string{"c1", "c1+6.5", "c2", "c2+4", "c3", "c3+1", "c3+2", "c3+3", "p1"}, order); d != "" {
		t.Error(d)
	}
	run := s.Strip.Runs[0]
	if d := cmp.Diff([]render.RunCorner{{Name: "c1"}, {Name: "c2", At: 2 * pitch}, {Name: "c3", At: 4 * pitch}, {Name: "p1", At: 8 * pitch}}, run.Corners); d != "" {
		t.Error(d)
	}
	if len(run.Points) != 9 || run.Length != 8*pitch {
		t.Errorf("%d points on a strip of %s mm, want 9 on %s", len(run.Points), run.Length, 8*pitch)
	}
	if s.Loops != nil || s.ScaleBar != 0 || s.ScaleBarText != "" {
		t.Errorf("a free walk has no walls and no scale: %v, %q", s.Loops, s.ScaleBarText)
	}
	if !slices.Contains(s.Lines, "no outline yet: stations in rows as walked, not to scale") {
		t.Errorf("nothing says that there is no outline: %q", s.Lines)
	}
}

// TestSceneOfOneStation: the shortest free walk has a strip too.
func TestSceneOfOneStation(t *testing.T) {
	b := newBook(t, "Barn", reduce.Direct)
	b.read("c1+4", sixteenths(1))
	s := report.Scene(b.job(), "en", made)
	if len(s.Marks) != 1 || len(s.Strip.Runs) != 1 || s.Strip.Runs[0].Length <= 0 {
		t.Errorf("%d marks, runs %v", len(s.Marks), s.Strip.Runs)
	}
}

// TestSceneOfNothing: a job just opened is a title and its facts.
func TestSceneOfNothing(t *testing.T) {
	s := report.Scene(newBook(t, "Barn", reduce.Direct).job(), "en", made)
	if s.Title != "Barn" || len(s.Lines) == 0 {
		t.Errorf("the head is %q over %q", s.Title, s.Lines)
	}
	if len(s.Marks)+len(s.Strip.Runs)+len(s.Key) > 0 {
		t.Errorf("something is drawn: %+v", s)
	}
}

// TestScaleBar is a round length of the job's own marks.
func TestScaleBar(t *testing.T) {
	b := newBook(t, "Barn", reduce.Direct)
	for _, c := range []struct {
		w, d, bar reduce.Length
		en, es    string
	}{
		{40, 28, 10, "10 ft", "10 pies"},
		{28, 81, 20, "20 ft", "20 pies"},
		{6, 5, 1, "1 ft", "1 pie"},
	} {
		b.rectangle(c.w, c.d)
		for lang, want := range map[string]string{"en": c.en, "es": c.es} {
			if s := report.Scene(b.job(), lang, made); s.ScaleBar != c.bar*reduce.Foot || s.ScaleBarText != want {
				t.Errorf("%d x %d ft: a bar of %s mm, %q; want %d ft, %q", c.w, c.d, s.ScaleBar, s.ScaleBarText, c.bar, want)
			}
		}
	}
}
