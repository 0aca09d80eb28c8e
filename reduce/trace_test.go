package reduce_test

import (
	"errors"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

// TestGap: an outline that does not close is refused with the gap.
func TestGap(t *testing.T) {
	for _, c := range []struct {
		legs        []reduce.Leg
		dx, dy, gap reduce.Length // feet
	}{
		{legs: feet(40, 28, 39, 28), dx: -1, gap: 1},
		{legs: feet(40, 28, 40, 24), dy: -4, gap: 4},
		{legs: feet(40, 28, 37, 24), dx: -3, dy: -4, gap: 5},
		{legs: feet(-40, -28, -40, -24), dy: 4, gap: 4},
	} {
		_, err := reduce.Trace(c.legs)
		var gap *reduce.GapError
		if !errors.As(err, &gap) {
			t.Errorf("%v: %v, want a gap", c.legs, err)
			continue
		}
		if gap.DX != c.dx*reduce.Foot || gap.DY != c.dy*reduce.Foot || gap.Length() != c.gap*reduce.Foot {
			t.Errorf("%v: %v, want %d, %d ft", c.legs, gap, c.dx, c.dy)
		}
	}
}

// TestShapes: what closes and still is no outline.
func TestShapes(t *testing.T) {
	many := slices.Repeat(feet(1, -1), reduce.MaxStations)
	for name, c := range map[string]struct {
		legs []reduce.Leg
		want reduce.ShapeError
	}{
		"nothing":      {nil, reduce.ShapeError{Fault: reduce.TooFewWalls}},
		"three":        {feet(4, 4, 4), reduce.ShapeError{Fault: reduce.TooFewWalls}},
		"no length":    {feet(4, 0, 4, 0), reduce.ShapeError{Fault: reduce.NoLength, Wall: 2}},
		"very long":    {feet(4000, 4, 4000, 4), reduce.ShapeError{Fault: reduce.TooLong, Wall: 1}},
		"crosses":      {feet(10, 10, 5, -20, -5, 10), reduce.ShapeError{Fault: reduce.Crossing, Wall: 1, Other: 4}},
		"straight on":  {feet(5, 5, 10, 5, 5), reduce.ShapeError{Fault: reduce.StraightOn}},
		"many corners": {many, reduce.ShapeError{Fault: reduce.TooManyMarks}},
		"no turn":      {[]reduce.Leg{{Length: 4}, {Length: 4}, {Length: 4}, {Length: 4}}, reduce.ShapeError{Fault: reduce.NoTurn, Wall: 1}},
	} {
		_, err := reduce.Trace(c.legs)
		var got *reduce.ShapeError
		if !errors.As(err, &got) || *got != c.want {
			t.Errorf("%s: %v, want %v", name, err, &c.want)
		}
	}
}

// TestOutlinesAreValues: the With methods leave what they were given alone.
func TestOutlinesAreValues(t *testing.T) {
	a := withLoop(t, grid(), "", reduce.Point{}, feet(40, 28, 40, 28))
	b := withLoop(t, a, "b", reduce.Point{X: reduce.Metre}, feet(4, 4, 4, 4))
	c := withLoop(t, a, "c", reduce.Point{Y: reduce.Metre}, feet(8, 8, 8, 8))
	if len(a.Loops) != 1 || b.Loops[1].Name != "b" || c.Loops[1].Name != "c" {
		t.Errorf("%d loops; %s, %s", len(a.Loops), b.Loops[1].Name, c.Loops[1].Name)
	}
	if _, err := b.WithLoop("B", reduce.Point{}, feet(4, 4, 4, 4)); err == nil {
		t.Error("a second loop B was taken")
	}
	if _, err := a.WithSpacing(reduce.Foot - 1); err == nil {
		t.Error("a spacing under a foot was taken")
	}
}

// anyOutline draws an outline of loops with steps along one side, and piers.
func anyOutline(r *rapid.T) reduce.Outline {
	o := reduce.Outline{Grid: reduce.GridFor(rapid.SampledFrom([]reduce.Unit{
		reduce.UnitInch, reduce.UnitFoot, reduce.UnitMillimetre}).Draw(r, "unit"))}
	side := rapid.Custom(func(r *rapid.T) reduce.Length {
		return reduce.Length(rapid.IntRange(1, 400).Draw(r, "sixteenths of a metre")) * reduce.Metre / 16
	})
	for range rapid.IntRange(1, 3).Draw(r, "loops") {
		steps := rapid.IntRange(0, 5).Draw(r, "steps")
		var w, d reduce.Length
		var back []reduce.Leg
		for range steps {
			in, up := side.Draw(r, "in"), side.Draw(r, "up")
			back = append(back, reduce.Leg{Length: up, Turn: reduce.Left}, reduce.Leg{Length: in, Turn: reduce.Right})
			w, d = w+in, d+up
		}
		up, in := side.Draw(r, "up"), side.Draw(r, "in")
		w, d = w+in, d+up
		legs := append([]reduce.Leg{{Length: w, Turn: reduce.Left}}, back...)
		legs = append(legs, reduce.Leg{Length: up, Turn: reduce.Left}, reduce.Leg{Length: in, Turn: reduce.Left}, reduce.Leg{Length: d})
		at := reduce.Point{X: side.Draw(r, "x"), Y: -side.Draw(r, "y")}
		var err error
		if o, err = o.WithLoop("", at, legs); err != nil {
			r.Fatal(err)
		}
	}
	return o
}

// TestEveryStation of any outline: a name of its own that reads back as it, a
// place of its own on its wall, at the spacing from its corner, no nearer to
// the next corner than marks may be; and it is in its one proper form.
func TestEveryStation(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		o := anyOutline(r)
		names, perimeter := map[string]bool{}, reduce.Length(0)
		stations := o.Stations()
		if !slices.IsSortedFunc(stations, reduce.Compare) {
			r.Fatal("not in walking order")
		}
		for _, s := range stations {
			name := s.Name(o.Grid.Mark)
			if names[name] {
				r.Fatalf("%s stands twice", name)
			}
			names[name] = true
			if back, err := reduce.ParseStation(name, o.Grid.Mark); err != nil || back != s {
				r.Fatalf("%s reads back as %v (%v)", name, back, err)
			}
			if proper, err := o.Resolve(s); err != nil || proper != s {
				r.Fatalf("%s resolves to %v (%v)", name, proper, err)
			}
			at, _, ok := o.Position(s)
			corner, _, _ := o.Position(reduce.Corner(s.Number))
			if along := (at.X - corner.X).Abs() + (at.Y - corner.Y).Abs(); !ok || along != s.Past {
				r.Fatalf("%s stands %v past its corner", name, along)
			}
			wall, _ := o.WallLength(s.Number)
			if s.Past%o.Grid.Spacing != 0 || s.Past > 0 && wall-s.Past < o.Grid.Drop {
				r.Fatalf("%s on a wall of %v", name, wall)
			}
			if s.Past == 0 {
				perimeter += wall
			}
		}
		if most := int(perimeter/o.Grid.Spacing) + o.Corners(); len(stations) > most {
			r.Fatalf("%d stations on %v", len(stations), perimeter)
		}
	})
}
