package reduce_test

import (
	"errors"
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
)

// feet makes a loop of walls in feet; a negative one is followed by a turn to
// the right.
func feet(walls ...float64) (legs []reduce.Leg) {
	for _, w := range walls {
		l := reduce.Leg{Length: reduce.Length(math.Abs(w) * float64(reduce.Foot)), Turn: reduce.Left}
		if w < 0 {
			l.Turn = reduce.Right
		}
		legs = append(legs, l)
	}
	return legs
}

func grid() reduce.Outline { return reduce.Outline{Grid: reduce.GridFor(reduce.UnitInch)} }

func withLoop(t testing.TB, o reduce.Outline, name string, at reduce.Point, legs []reduce.Leg) reduce.Outline {
	t.Helper()
	o, err := o.WithLoop(name, at, legs)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// TestStationsCountedByHand checks the plain foundation, station by station.
func TestStationsCountedByHand(t *testing.T) {
	rows := checks(t, "stations-40x28.tsv", 34, 3)
	o := withLoop(t, grid(), "", reduce.Point{}, reduce.Rectangle(40*reduce.Foot, 28*reduce.Foot))
	got := o.Stations()
	if len(got) != len(rows) {
		t.Fatalf("%d stations, want %d", len(got), len(rows))
	}
	for i, row := range rows {
		at, loop, ok := o.Position(got[i])
		want := reduce.Point{X: length(t, row[1], reduce.Foot), Y: length(t, row[2], reduce.Foot)}
		if got[i].Name(reduce.Foot) != row[0] || at != want || !ok || loop != "house" {
			t.Errorf("station %d is %s at %v of %q, want %s at %v", i, got[i].Name(reduce.Foot), at, loop, row[0], want)
		}
	}
}

// TestDiagonals checks coordinates by the diagonals of rectangles.
func TestDiagonals(t *testing.T) {
	for _, row := range checks(t, "diagonals.tsv", 8, 3) {
		o := withLoop(t, grid(), "", reduce.Point{}, reduce.Rectangle(length(t, row[0], reduce.Foot), length(t, row[1], reduce.Foot)))
		for _, ends := range [][2]int{{1, 3}, {2, 4}} {
			a, _, _ := o.Position(reduce.Corner(ends[0]))
			b, _, _ := o.Position(reduce.Corner(ends[1]))
			d := math.Hypot(float64(a.X-b.X), float64(a.Y-b.Y)) / float64(reduce.Inch)
			if got := decimal.NewFromFloat(d).Round(4); !got.Equal(decimal.RequireFromString(row[2])) {
				t.Errorf("%s x %s ft: c%d to c%d is %v in, want %s", row[0], row[1], ends[0], ends[1], got, row[2])
			}
		}
	}
}

// TestMarksNearCorners: a mark nearer than 1 ft (0.3 m) to the next corner is
// dropped, one at that distance is not.
func TestMarksNearCorners(t *testing.T) {
	for _, c := range []struct {
		unit    reduce.Unit
		mark    reduce.Length
		wall    string
		spacing string
		last    string
	}{
		{reduce.UnitInch, reduce.Foot, "12", "4", "c1+8"},
		{reduce.UnitInch, reduce.Foot, "12.99", "4", "c1+8"},
		{reduce.UnitInch, reduce.Foot, "13", "4", "c1+12"},
		{reduce.UnitInch, reduce.Foot, "13.01", "4", "c1+12"},
		{reduce.UnitInch, reduce.Foot, "4.5", "4", "c1"},
		{reduce.UnitInch, reduce.Foot, "0.5", "4", "c1"},
		{reduce.UnitInch, reduce.Foot, "20", "6", "c1+18"},
		{reduce.UnitInch, reduce.Foot, "20", "6.5", "c1+13"},
		{reduce.UnitMillimetre, reduce.Metre, "3", "1", "c1+2"},
		{reduce.UnitMillimetre, reduce.Metre, "3.29", "1", "c1+2"},
		{reduce.UnitMillimetre, reduce.Metre, "3.3", "1", "c1+3"},
		{reduce.UnitMillimetre, reduce.Metre, "2.6", "1.2", "c1+1.2"},
	} {
		o := reduce.Outline{Grid: reduce.GridFor(c.unit)}
		o = withLoop(t, o, "", reduce.Point{}, reduce.Rectangle(length(t, c.wall, c.mark), 2*reduce.Metre))
		o, err := o.WithSpacing(length(t, c.spacing, c.mark))
		if err != nil {
			t.Fatal(err)
		}
		var last reduce.Station
		for _, s := range o.Stations() {
			if s.Number == 1 {
				last = s
			}
		}
		if got := last.Name(c.mark); got != c.last {
			t.Errorf("wall of %s, marks every %s %v: the last is %s, want %s", c.wall, c.spacing, c.unit, got, c.last)
		}
	}
}

// TestSeveralLoops: corners go on counting; every loop closes on its own first
// corner; piers come last.
func TestSeveralLoops(t *testing.T) {
	o := withLoop(t, grid(), "", reduce.Point{}, feet(40, 14, -20, 14, 20, 28))
	o = withLoop(t, o, "garage", reduce.Point{X: 50 * reduce.Foot}, feet(24, 22, 24, 22))
	o, err := o.WithPiers([]reduce.Point{{X: 10 * reduce.Foot, Y: 7 * reduce.Foot}})
	if err != nil {
		t.Fatal(err)
	}
	if n := o.Corners(); n != 10 {
		t.Errorf("%d corners, want 10", n)
	}
	for name, want := range map[string]struct {
		full string
		x, y reduce.Length
		loop string
	}{
		"c3":     {"c3", 40, 14, "house"},
		"c3+20":  {"c4", 20, 14, "house"},
		"c6+28":  {"c1", 0, 0, "house"},
		"c7":     {"c7", 50, 0, "garage"},
		"c10+22": {"c7", 50, 0, "garage"},
		"c10+2":  {"c10+2", 50, 20, "garage"},
		"p1":     {"p1", 10, 7, ""},
	} {
		s, err := reduce.ParseStation(name, reduce.Foot)
		if err != nil {
			t.Fatal(err)
		}
		if s, err = o.Resolve(s); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		at, loop, ok := o.Position(s)
		if s.Name(reduce.Foot) != want.full || !ok || at.X != want.x*reduce.Foot || at.Y != want.y*reduce.Foot || loop != want.loop {
			t.Errorf("%s is %s at %v in %q, want %+v", name, s.Name(reduce.Foot), at, loop, want)
		}
	}
	for _, name := range []string{"c11", "c3+20.1", "p2", "c7+25"} {
		s, err := reduce.ParseStation(name, reduce.Foot)
		if err != nil {
			t.Fatal(err)
		}
		var no *reduce.NoStationError
		if _, err := o.Resolve(s); !errors.As(err, &no) {
			t.Errorf("%s: %v, want no such station", name, err)
		}
		if _, _, ok := o.Position(s); ok {
			t.Errorf("%s has a place", name)
		}
	}
}
