package reduce_test

import (
	"errors"
	"math"
	"math/big"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"rodcall/reduce"
)

// angled makes a loop of walls in feet and turns in degrees, + to the left, by
// turns; lengths are as rounded as step says.
func angled(step reduce.Length, parts ...float64) (legs []reduce.Leg) {
	for i := 0; i < len(parts); i += 2 {
		l := reduce.Leg{Length: reduce.Length(math.Round(parts[i] * float64(reduce.Foot))), Step: step}
		if step > 0 {
			l.Length = l.Length.RoundTo(step)
		}
		if i+1 < len(parts) {
			l.Turn = reduce.Turn(math.Round(parts[i+1] * float64(reduce.Degree)))
		}
		legs = append(legs, l)
	}
	return legs
}

// seconds reads degrees, minutes and seconds.
func seconds(t *testing.T, text string) float64 {
	t.Helper()
	sum, part := 0.0, 3600.0
	for _, f := range strings.Fields(text) {
		d, err := decimal.NewFromString(f)
		if err != nil {
			t.Fatal(err)
		}
		v, _ := d.Float64()
		sum, part = sum+v*part, part/60
	}
	return sum
}

// TestTraverses holds gaps, and walls after they are spread, against traverses
// that were balanced by others. Published figures bind to half their last
// place; a direction besides to what half that place of a length turns it by.
func TestTraverses(t *testing.T) {
	const circle = 360 * 3600
	type line struct{ from, to, length, balanced, gap float64 }
	all := map[string][]line{}
	number := func(s string) float64 {
		if s == "-" {
			return math.NaN()
		}
		v, _ := decimal.RequireFromString(s).Float64()
		return v
	}
	for _, r := range checks(t, "traverse.tsv", 8, 7) {
		l := line{from: seconds(t, r[2]), to: math.NaN(), length: number(r[3]), balanced: number(r[5]), gap: number(r[6])}
		if r[4] != "-" {
			l.to = seconds(t, r[4])
		}
		all[r[0]] = append(all[r[0]], l)
	}
	for name, lines := range all {
		n := len(lines)
		var parts []float64
		for i, l := range lines {
			parts = append(parts, l.length, math.Remainder(l.from-lines[(i+1)%n].from, circle)/3600)
		}
		legs := angled(reduce.Foot/100, parts...)
		// The published gap is a sum of eight figures rounded to 0.001.
		gap, _ := reduce.Closing(legs)
		if got := float64(gap) / float64(reduce.Foot); math.Abs(got-lines[0].gap) > 0.003 {
			t.Errorf("%s: gap of %.4f ft, want %.3f", name, got, lines[0].gap)
		}
		c := reduce.Spread(legs)
		way := func(i int) (length, direction float64) {
			a, b := c[i%n], c[(i+1)%n]
			x, y := float64(b.X-a.X)/float64(reduce.Foot), float64(b.Y-a.Y)/float64(reduce.Foot)
			return math.Hypot(x, y), -math.Atan2(y, x) / math.Pi * circle / 2
		}
		for i, l := range lines {
			if math.IsNaN(l.balanced) {
				continue
			}
			length, direction := way(i)
			if math.Abs(length-l.balanced) > 0.0006 {
				t.Errorf("%s, line %d: %.4f ft after spreading, want %.3f", name, i+1, length, l.balanced)
			}
			off := math.Remainder(direction-(l.to-lines[0].to), circle)
			if most := 0.11 + 0.0005/l.length*206265; math.Abs(off) > most {
				t.Errorf("%s, line %d: %.2f″ off its direction after spreading, at most %.2f", name, i+1, off, most)
			}
		}
	}
}

// TestRegularShapes: hexagon and octagon close as they are, with the distances
// across them, and the area of the octagon, that geometry gives: across the
// hexagon's flats a·√3 and corners 2a; the octagon's flats (1+√2)·a, its area
// 2(1+√2)·a². Identities, from memory, and worked out again by the program.
func TestRegularShapes(t *testing.T) {
	const a = 10.0
	o := withLoop(t, grid(), "", reduce.Point{}, angled(0, a, 60, a, 60, a, 60, a, 60, a, 60, a))
	o = withLoop(t, o, "eight", reduce.Point{X: 100 * reduce.Foot}, angled(0, a, 45, a, 45, a, 45, a, 45, a, 45, a, 45, a, 45, a, 45))
	apart := func(m, n int) float64 {
		p, _, _ := o.Position(reduce.Corner(m))
		q, _, _ := o.Position(reduce.Corner(n))
		return math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y)) / float64(reduce.Foot)
	}
	for _, c := range []struct {
		from, to int
		want     float64
	}{
		{1, 3, a * math.Sqrt(3)}, {2, 4, a * math.Sqrt(3)}, {1, 4, 2 * a}, {3, 6, 2 * a},
		{7, 12, (1 + math.Sqrt2) * a}, {8, 11, (1 + math.Sqrt2) * a}, {9, 14, (1 + math.Sqrt2) * a},
	} {
		if got := apart(c.from, c.to); math.Abs(got-c.want) > 1e-8 {
			t.Errorf("c%d to c%d: %.9f ft, want %.9f", c.from, c.to, got, c.want)
		}
	}
	area := 0.0
	eight := o.Loops[1].Corners
	for i, p := range eight {
		q := eight[(i+1)%len(eight)]
		area += (float64(p.X-100*reduce.Foot)*float64(q.Y) - float64(q.X-100*reduce.Foot)*float64(p.Y)) / 2 / float64(reduce.Foot) / float64(reduce.Foot)
	}
	if want := 2 * (1 + math.Sqrt2) * a * a; math.Abs(area-want) > 1e-6 {
		t.Errorf("octagon of %v ft²,  want %v", area, want)
	}
}

// TestCutCorner: a corner cut off by a 3-4-5 triangle, its angles given to a
// hundredth of a degree (36.87 and 53.13).
func TestCutCorner(t *testing.T) {
	legs := angled(reduce.Foot/100, 20, 90, 16, 36.87, 5, 53.13, 17, 90, 20)
	gap, allowed := reduce.Closing(legs)
	if gap == 0 || gap > allowed || allowed > reduce.Inch {
		t.Errorf("gap of %v, %v allowed", gap, allowed)
	}
	o := withLoop(t, grid(), "", reduce.Point{}, legs)
	if w, _ := o.WallLength(3); w != 5*reduce.Foot {
		t.Errorf("the slanted wall is %v long, want 5 ft as it was given", w)
	}
	for i, want := range []reduce.Point{{}, {X: 20 * reduce.Foot}, {X: 20 * reduce.Foot, Y: 16 * reduce.Foot}, {X: 17 * reduce.Foot, Y: 20 * reduce.Foot}, {Y: 20 * reduce.Foot}} {
		got, _, _ := o.Position(reduce.Corner(i + 1))
		if (got.X-want.X).Abs() > allowed || (got.Y-want.Y).Abs() > allowed {
			t.Errorf("c%d at %v, want %v", i+1, got, want)
		}
	}
}

// TestAlongSlantedWalls: a station past a corner stands that share of the wall
// along it; at the wall's length as given it is the next corner, and no
// farther.
func TestAlongSlantedWalls(t *testing.T) {
	o := withLoop(t, grid(), "", reduce.Point{}, angled(reduce.Foot/100, 20, 45, 14.14, 45, 10, 90, 30, 90, 20))
	for name, full := range map[string]string{"c2+14.14": "c3", "c2+14.13": "c2+14.13", "c2+4": "c2+4", "c5+20": "c1"} {
		s, err := reduce.ParseStation(name, reduce.Foot)
		if err != nil {
			t.Fatal(err)
		}
		if s, err = o.Resolve(s); err != nil || s.Name(reduce.Foot) != full {
			t.Errorf("%s is %s (%v), want %s", name, s.Name(reduce.Foot), err, full)
		}
	}
	for _, name := range []string{"c2+14.1401", "c2+15"} {
		s, err := reduce.ParseStation(name, reduce.Foot)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := o.Resolve(s); err == nil {
			t.Errorf("%s is a station", name)
		}
	}
	a, _, _ := o.Position(reduce.Corner(2))
	b, _, _ := o.Position(reduce.Corner(3))
	half, _, ok := o.Position(reduce.Along(2, 707*reduce.Foot/100))
	if !ok || (2*half.X-a.X-b.X).Abs() > 1 || (2*half.Y-a.Y-b.Y).Abs() > 1 {
		t.Errorf("halfway from %v to %v: %v", a, b, half)
	}
}

// TestAngledShapes: what is no outline, with angles.
func TestAngledShapes(t *testing.T) {
	for name, c := range map[string]struct {
		legs []reduce.Leg
		want reduce.ShapeError
	}{
		"star":        {angled(0, 10, 144, 10, 144, 10, 144, 10, 144, 10), reduce.ShapeError{Fault: reduce.Crossing, Wall: 1, Other: 3}},
		"two walls":   {angled(0, 10, 179, 10), reduce.ShapeError{Fault: reduce.TooFewWalls}},
		"half circle": {angled(0, 10, 180, 10, 60, 10), reduce.ShapeError{Fault: reduce.NoTurn, Wall: 1}},
		"straight on": {angled(0, 5, 60, 10, 60, 10, 60, 10, 60, 10, 60, 10, 60, 5), reduce.ShapeError{Fault: reduce.StraightOn}},
	} {
		_, err := reduce.Trace(c.legs)
		var got *reduce.ShapeError
		if !errors.As(err, &got) || *got != c.want {
			t.Errorf("%s: %v, want %v", name, err, &c.want)
		}
	}
	if _, err := reduce.Trace(angled(0, 10, 120, 10, 120, 10)); err != nil {
		t.Errorf("a triangle: %v", err)
	}
}

// anyAngled draws an outline whose convex corners may be cut off at a multiple of
// 15°; the first one is. Its lengths are exact to a nanometre.
func anyAngled(r *rapid.T) []reduce.Leg {
	side := rapid.Custom(func(r *rapid.T) reduce.Length {
		return reduce.Length(rapid.IntRange(16, 400).Draw(r, "sixteenths of a metre")) * reduce.Metre / 16
	})
	var legs, back []reduce.Leg
	var w, d reduce.Length
	for range rapid.IntRange(0, 4).Draw(r, "steps") {
		in, up := side.Draw(r, "in"), side.Draw(r, "up")
		back = append(back, reduce.Leg{Length: up, Turn: reduce.Left}, reduce.Leg{Length: in, Turn: reduce.Right})
		w, d = w+in, d+up
	}
	up, in := side.Draw(r, "up"), side.Draw(r, "in")
	legs = append(legs, reduce.Leg{Length: w + in, Turn: reduce.Left})
	legs = append(legs, back...)
	legs = append(legs, reduce.Leg{Length: up, Turn: reduce.Left}, reduce.Leg{Length: in, Turn: reduce.Left}, reduce.Leg{Length: d + up})
	var out []reduce.Leg
	for i, l := range legs {
		if i == len(legs)-1 || l.Turn != reduce.Left || i > 0 && !rapid.Bool().Draw(r, "cut") {
			out = append(out, l)
			continue
		}
		// Cut off no more than a third of either wall.
		first := reduce.Turn(15*rapid.IntRange(1, 5).Draw(r, "turn/15")) * reduce.Degree
		tan := math.Tan(float64(first) / float64(reduce.Degree) * math.Pi / 180)
		p := min(float64(l.Length), float64(legs[i+1].Length)/tan) / 3
		l.Length -= reduce.Length(math.Round(p))
		l.Turn = first
		legs[i+1].Length -= reduce.Length(math.Round(p * tan))
		out = append(out, l, reduce.Leg{Length: reduce.Length(math.Round(math.Hypot(p, p*tan))), Turn: reduce.Left - first})
	}
	return out
}

// rounded gives lengths as they are read off a tape.
func rounded(legs []reduce.Leg, step reduce.Length) []reduce.Leg {
	out := append([]reduce.Leg(nil), legs...)
	for i := range out {
		out[i].Length, out[i].Step = out[i].Length.RoundTo(step), step
	}
	return out
}

// TestRoundingIsAllowed: outlines that close still do once their lengths are
// rounded; their corners are then no farther off than what is allowed; walls
// keep their lengths as given.
func TestRoundingIsAllowed(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		exact := anyAngled(r)
		step := rapid.SampledFrom([]reduce.Length{reduce.Centimetre, reduce.Foot / 100, reduce.Inch / 16, reduce.Millimetre}).Draw(r, "step")
		legs := rounded(exact, step)
		want, err := reduce.Trace(exact)
		if err != nil {
			r.Fatalf("%v: %v", exact, err)
		}
		got, err := reduce.Trace(legs)
		if err != nil {
			gap, allowed := reduce.Closing(legs)
			r.Fatalf("%v: %v; gap %v, allowed %v", legs, err, gap, allowed)
		}
		_, allowed := reduce.Closing(legs)
		for i := range got {
			// Twice: the walls before it, and turning the first back to +x.
			if d := math.Hypot(float64(got[i].X-want[i].X), float64(got[i].Y-want[i].Y)); d > 3*float64(allowed)+2*float64(reduce.Micrometre) {
				r.Fatalf("c%d is %v nm off, %v allowed", i+1, d, allowed)
			}
		}
		o, err := reduce.Outline{Grid: reduce.GridFor(reduce.UnitMillimetre)}.WithLoop("", reduce.Point{}, legs)
		if err != nil {
			r.Fatal(err)
		}
		for i, l := range legs {
			if w, ok := o.WallLength(i + 1); !ok || w != l.Length {
				r.Fatalf("wall %d is %v long, want %v", i+1, w, l.Length)
			}
		}
		for _, s := range o.Stations() {
			at, _, ok := o.Position(s)
			if proper, err := o.Resolve(s); err != nil || proper != s || !ok {
				r.Fatalf("%v resolves to %v (%v)", s, proper, err)
			}
			next, err := o.Resolve(reduce.Along(s.Number, legs[s.Number-1].Length))
			if err != nil || next != reduce.Corner(s.Number%len(legs)+1) {
				r.Fatalf("the end of wall %d is %v (%v)", s.Number, next, err)
			}
			a, b := got[s.Number-1], got[s.Number%len(got)]
			part := float64(s.Past) / float64(legs[s.Number-1].Length)
			if math.Abs(float64(a.X)+part*float64(b.X-a.X)-float64(at.X)) > 1 || math.Abs(float64(a.Y)+part*float64(b.Y-a.Y)-float64(at.Y)) > 1 {
				r.Fatalf("%v stands at %v", s, at)
			}
		}
	})
}

// TestRightAnglesStayExact: right angles only, and the smallest gap is one.
func TestRightAnglesStayExact(t *testing.T) {
	legs := rounded(feet(40, 28, 40, 28), reduce.Foot)
	legs[2].Length += reduce.Nanometre
	var gap *reduce.GapError
	if _, err := reduce.Trace(legs); !errors.As(err, &gap) || gap.DX != reduce.Nanometre {
		t.Errorf("%v, want a gap of a nanometre", err)
	}
	o := withLoop(t, grid(), "", reduce.Point{}, feet(40, 28, 40, 28))
	if o.Loops[0].Walls != nil {
		t.Error("a rectangle carries the lengths of its walls")
	}
}

// TestTouching holds the test of two walls against one in exact fractions.
func TestTouching(t *testing.T) {
	point := rapid.Custom(func(r *rapid.T) reduce.Point {
		// Near each other and near an axis, so that all cases turn up.
		big := rapid.SampledFrom([]reduce.Length{1, 1, 1, 1_000_000_007, 1_000_000_000_000_003}).Draw(r, "scale")
		n := rapid.IntRange(-3, 3)
		return reduce.Point{X: reduce.Length(n.Draw(r, "x")) * big, Y: reduce.Length(n.Draw(r, "y")) * big}
	})
	rapid.Check(t, func(r *rapid.T) {
		a, b, p, q := point.Draw(r, "a"), point.Draw(r, "b"), point.Draw(r, "p"), point.Draw(r, "q")
		if a == b || p == q {
			return
		}
		if got, want := reduce.Touch(a, b, p, q), slowTouch(a, b, p, q); got != want {
			r.Fatalf("%v–%v and %v–%v touch: %v, want %v", a, b, p, q, got, want)
		}
	})
}

// slowTouch solves for where on either wall the two meet.
func slowTouch(a, b, p, q reduce.Point) bool {
	rat := func(l reduce.Length) *big.Rat { return new(big.Rat).SetInt64(int64(l)) }
	cross := func(ux, uy, vx, vy reduce.Length) *big.Rat {
		return new(big.Rat).Sub(new(big.Rat).Mul(rat(ux), rat(vy)), new(big.Rat).Mul(rat(uy), rat(vx)))
	}
	dx, dy, ex, ey, fx, fy := b.X-a.X, b.Y-a.Y, q.X-p.X, q.Y-p.Y, p.X-a.X, p.Y-a.Y
	unit := func(t *big.Rat) bool { return t.Sign() >= 0 && t.Cmp(big.NewRat(1, 1)) <= 0 }
	den := cross(dx, dy, ex, ey)
	if den.Sign() != 0 {
		return unit(new(big.Rat).Quo(cross(fx, fy, ex, ey), den)) && unit(new(big.Rat).Quo(cross(fx, fy, dx, dy), den))
	}
	if cross(fx, fy, dx, dy).Sign() != 0 {
		return false
	}
	along := func(x, y reduce.Length) *big.Rat {
		return new(big.Rat).Add(new(big.Rat).Mul(rat(x), rat(dx)), new(big.Rat).Mul(rat(y), rat(dy)))
	}
	whole := along(dx, dy)
	s, e := new(big.Rat).Quo(along(fx, fy), whole), new(big.Rat).Quo(along(q.X-a.X, q.Y-a.Y), whole)
	if s.Cmp(e) > 0 {
		s, e = e, s
	}
	return s.Cmp(big.NewRat(1, 1)) <= 0 && e.Sign() >= 0
}
