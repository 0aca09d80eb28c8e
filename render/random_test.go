package render

import (
	"bytes"
	"math"
	"reflect"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"rodcall/reduce"
)

// hostile are texts that drawings may be asked to show.
var hostile = []string{
	"", " ", "c1", "3/8", "1 15/16 heavy", "subir", "\x00\x1b[31m", "a\nb\tc", "\u202egnol\u202c", "ﷺ﷽𒐫", "\xff\xfe", "…", "%s %d %!",
	`<text font-size="1">&lt;]]>`, "Ñandú ½ ° ″", "👷🏽‍♀️", "a\u0301\u0302\u0303", "WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW", "two words and some more of them, as many as will not fit on one line of the page at all, however it is set",
}

func drawText() *rapid.Generator[string] {
	return rapid.OneOf(rapid.SampledFrom(hostile), rapid.StringN(0, 12, 40))
}

// drawLength draws lengths of all sizes, of both signs.
func drawLength() *rapid.Generator[reduce.Length] {
	return rapid.Custom(func(t *rapid.T) reduce.Length {
		switch rapid.IntRange(0, 5).Draw(t, "size") {
		case 0:
			return reduce.Length(rapid.Int64().Draw(t, "any"))
		case 1:
			return rapid.SampledFrom([]reduce.Length{0, 1, -1, math.MaxInt64, math.MinInt64}).Draw(t, "end")
		case 2:
			return reduce.Length(rapid.IntRange(-20, 20).Draw(t, "few"))
		}
		return reduce.Length(rapid.IntRange(-30, 30).Draw(t, "feet")) * reduce.Foot
	})
}

func drawPoint() *rapid.Generator[reduce.Point] {
	return rapid.Custom(func(t *rapid.T) reduce.Point {
		return reduce.Point{X: drawLength().Draw(t, "x"), Y: drawLength().Draw(t, "y")}
	})
}

func drawStatus() *rapid.Generator[Status] {
	return rapid.Custom(func(t *rapid.T) Status { return Status(rapid.IntRange(0, 9).Draw(t, "status")) })
}

func drawMark() *rapid.Generator[Mark] {
	return rapid.Custom(func(t *rapid.T) Mark {
		return Mark{Name: drawText().Draw(t, "name"), At: drawPoint().Draw(t, "at"), Corner: rapid.Bool().Draw(t, "corner"), Pier: rapid.Bool().Draw(t, "pier"),
			Status: drawStatus().Draw(t, "s"), Note: drawText().Draw(t, "note"), Word: drawText().Draw(t, "word"), Amount: drawText().Draw(t, "amount"), Off: drawLength().Draw(t, "off")}
	})
}

// drawScene draws scenes that no job would give, too.
func drawScene() *rapid.Generator[*Scene] {
	return rapid.Custom(func(t *rapid.T) *Scene {
		s := &Scene{Title: drawText().Draw(t, "title"), Stamp: drawText().Draw(t, "stamp"), Source: drawText().Draw(t, "source"), MoreText: drawText().Draw(t, "more"),
			ScaleBar: drawLength().Draw(t, "bar"), ScaleBarText: drawText().Draw(t, "bar text"),
			Lines: rapid.SliceOfN(drawText(), 0, 12).Draw(t, "lines"),
			Marks: rapid.SliceOfN(drawMark(), 0, 70).Draw(t, "marks")}
		for range rapid.IntRange(0, 3).Draw(t, "loops") {
			s.Loops = append(s.Loops, Ring{drawText().Draw(t, "loop"), rapid.SliceOfN(drawPoint(), 0, 9).Draw(t, "corners")})
		}
		for _, l := range s.Loops { // hollow are stretches of walls
			for i := range l.Corners {
				if rapid.Bool().Draw(t, "hollow") {
					s.Other = append(s.Other, []reduce.Point{l.Corners[i], l.Corners[(i+1)%len(l.Corners)]})
				}
			}
		}
		for range rapid.IntRange(0, 12).Draw(t, "keys") {
			s.Key = append(s.Key, KeyEntry{drawStatus().Draw(t, "key"), drawText().Draw(t, "key text")})
		}
		s.Strip = Strip{Title: drawText().Draw(t, "strip"), ZeroLabel: drawText().Draw(t, "zero"), HighLabel: drawText().Draw(t, "high"), LowLabel: drawText().Draw(t, "low")}
		for range rapid.IntRange(0, 3).Draw(t, "runs") {
			r := Run{Loop: drawText().Draw(t, "run"), Length: drawLength().Draw(t, "length")}
			for range rapid.IntRange(0, 6).Draw(t, "run corners") {
				r.Corners = append(r.Corners, RunCorner{drawText().Draw(t, "corner"), drawLength().Draw(t, "at")})
			}
			for range rapid.IntRange(0, 20).Draw(t, "points") {
				r.Points = append(r.Points, RunPoint{drawLength().Draw(t, "at"), drawLength().Draw(t, "height"), drawStatus().Draw(t, "s"), rapid.Bool().Draw(t, "gap")})
			}
			for range rapid.IntRange(0, 4).Draw(t, "steps") {
				r.Steps = append(r.Steps, RunStep{drawLength().Draw(t, "at"), drawText().Draw(t, "step")})
			}
			s.Strip.Runs = append(s.Strip.Runs, r)
		}
		for range rapid.IntRange(0, 6).Draw(t, "ticks") {
			s.Strip.Ticks = append(s.Strip.Ticks, Tick{drawLength().Draw(t, "tick"), drawText().Draw(t, "tick text")})
		}
		return s
	})
}

// copyOf copies a scene deeply.
func copyOf(s *Scene) *Scene {
	c := *s
	c.Lines = append([]string(nil), s.Lines...)
	c.Marks = append([]Mark(nil), s.Marks...)
	c.Key = append([]KeyEntry(nil), s.Key...)
	c.Loops, c.Strip.Runs, c.Other = nil, nil, nil
	for _, o := range s.Other {
		c.Other = append(c.Other, append([]reduce.Point(nil), o...))
	}
	for _, r := range s.Loops {
		c.Loops = append(c.Loops, Ring{r.Name, append([]reduce.Point(nil), r.Corners...)})
	}
	for _, r := range s.Strip.Runs {
		r.Corners, r.Points = append([]RunCorner(nil), r.Corners...), append([]RunPoint(nil), r.Points...)
		r.Steps = append([]RunStep(nil), r.Steps...)
		c.Strip.Runs = append(c.Strip.Runs, r)
	}
	c.Strip.Ticks = append([]Tick(nil), s.Strip.Ticks...)
	return &c
}

// TestAnyScene lays out scenes of all sorts: never a panic, no fault on the
// page, the scene as it was, and the same drawing again.
func TestAnyScene(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawScene().Draw(t, "scene")
		was := copyOf(s)
		p, err := Layout(s)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range faults(p) {
			t.Error(f)
		}
		var a, b bytes.Buffer
		if err := WriteSVG(&a, p); err != nil {
			t.Fatal(err)
		}
		if _, err := paint(p); err != nil {
			t.Fatal(err)
		}
		q, err := Layout(was)
		if err != nil {
			t.Fatal(err)
		}
		if err := WriteSVG(&b, q); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(a.Bytes(), b.Bytes()) || !reflect.DeepEqual(p, q) {
			t.Error("the same scene gives two drawings")
		}
		if d := cmp.Diff(copyOf(s), copyOf(was)); d != "" {
			t.Errorf("the scene was changed: %s", d)
		}
	})
}

// TestNoLength: walls without length are not drawn, hollow or not, and nothing
// makes way for them or lies on them.
func TestNoLength(t *testing.T) {
	at := reduce.Point{Y: 4 * reduce.Foot}
	s := &Scene{
		Loops: []Ring{{Corners: []reduce.Point{at}}, {Corners: []reduce.Point{at, at}}}, Other: [][]reduce.Point{{at, at}},
		Marks: []Mark{
			{Name: "c1", At: reduce.Point{Y: 14 * reduce.Foot}}, {Name: "c2", Note: "A", Word: "A"}, {Name: "c3", Amount: "1 15/16 heavy"},
			{Name: "c4", At: reduce.Point{X: -2 * reduce.Foot, Y: -13 * reduce.Foot}}, {Name: "c5", At: reduce.Point{X: 5 * reduce.Foot}},
		},
	}
	p, err := Layout(s)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range faults(p) {
		t.Error(f)
	}
	for _, it := range p.Items {
		if it.Role == RoleWall {
			t.Errorf("a wall is drawn: %v", it.Path)
		}
	}
	if p.Labelled != 2 {
		t.Errorf("%d labels, want 2", p.Labelled)
	}
}
