package reduce_test

import (
	"errors"
	"math/big"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

// at reads a station of a job in feet; "" is none.
func at(t testing.TB, name string) reduce.Station {
	t.Helper()
	if name == "" {
		return reduce.Station{}
	}
	s, err := reduce.ParseStation(name, reduce.Foot)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func step(t testing.TB, from, to string, inches reduce.Length) reduce.DesignPart {
	return reduce.DesignPart{From: at(t, from), To: at(t, to), Rise: inches * reduce.Inch}
}

// eighths is a fall of so many eighths of an inch a foot.
func eighths(t testing.TB, from, to string, n reduce.Length) reduce.DesignPart {
	return reduce.DesignPart{From: at(t, from), To: at(t, to), Rise: -n * reduce.Inch / 8, Run: reduce.Foot}
}

// house is 40 x 28 ft with a garage of 24 x 22 beside it and a pier.
func house(t testing.TB) reduce.Outline {
	o := withLoop(t, grid(), "", reduce.Point{}, feet(40, 28, 40, 28))
	o = withLoop(t, o, "garage", reduce.Point{X: 40 * reduce.Foot}, feet(24, 22, 24, 22))
	o, err := o.WithPiers([]reduce.Point{{X: reduce.Foot, Y: reduce.Foot}, {X: 2 * reduce.Foot, Y: reduce.Foot}})
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// TestDesignByHand: heights in sixteenths of an inch, worked out by hand.
func TestDesignByHand(t *testing.T) {
	o := house(t)
	for name, c := range map[string]struct {
		reference string
		parts     []reduce.DesignPart
		want      map[string]reduce.Length
	}{
		"a stretch": {"c1", []reduce.DesignPart{step(t, "c2", "c3", -8)}, map[string]reduce.Length{
			"c1": 0, "c1+39.9": 0, "c2": -128, "c2 top": 0, "c2 bottom": -128, "c2+4": -128, "c3": -128, "c3 top": 0,
			"c3 bottom": -128, "c3+0.1": 0, "c4": 0, "c5": 0, "bm": 0, "t1": 0, "p1": 0, "c1 top": 0, "c1 bottom": 0,
		}},
		"round the first corner": {"c2", []reduce.DesignPart{step(t, "c4", "c1+8", 3)}, map[string]reduce.Length{
			"c3+39": 0, "c4": 48, "c4+20": 48, "c1": 48, "c1+8": 48, "c1+8 bottom": 0, "c1+8.1": 0, "c2": 0,
		}},
		"the reference in it": {"c2", []reduce.DesignPart{step(t, "c2", "c3", -8)}, map[string]reduce.Length{
			"c2": 0, "c3": 0, "c1": 128, "c3+1": 128, "p1": 128, "c5": 128, "bm": 0,
		}},
		"a spot": {"c1", []reduce.DesignPart{step(t, "c3+8", "c3+8", -2), step(t, "p1", "p1", -4)}, map[string]reduce.Length{
			"c3+7.9": 0, "c3+8": -32, "c3+8 top": 0, "c3+8 bottom": -32, "c3+8.1": 0, "p1": -64, "p2": 0,
		}},
		"the later holds": {"c1", []reduce.DesignPart{step(t, "c2", "c4", -8), step(t, "c3", "c3+8", -3), step(t, "p1", "p2", 1)}, map[string]reduce.Length{
			"c2+4": -128, "c3": -48, "c3 top": -48, "c3 bottom": -128, "c3+8": -48, "c3+9": -128, "c4": -128, "c4+1": 0, "p1": 16, "p2": 16,
		}},
		"a loop": {"c1", []reduce.DesignPart{{From: at(t, "c5"), Loop: true, Rise: -4 * reduce.Inch}}, map[string]reduce.Length{
			"c4+27": 0, "c5": -64, "c7+3": -64, "c8+21.9": -64, "c5 top": -64, "c1": 0,
		}},
		"a fall and what lies behind it": {"c1", []reduce.DesignPart{step(t, "c3", "c4", -5), eighths(t, "c2", "c3", 1)},
			map[string]reduce.Length{
				"c2": 0, "c2+8": -16, "c3": -56, "c3 top": -56, "c3 bottom": -80, "c3+1": -80, "c4": -80, "c4+0.5": 0,
			}},
		"against the walk": {"c1", []reduce.DesignPart{eighths(t, "c1", "c4+12", 1)}, map[string]reduce.Length{
			"c1": 0, "c4+20": -16, "c4+12": -32, "c4+12 top": 0, "c4+11.9": 0, "c4": 0,
		}},
		"from the lower section": {"c1", []reduce.DesignPart{step(t, "c2", "c4", -8), eighths(t, "c3", "c2", 2)}, map[string]reduce.Length{
			"c3": -128, "c2+4": -128 - 96, "c2": -128 - 112, "c2 top": 0, "c2 bottom": -128 - 112,
		}},
	} {
		t.Run(name, func(t *testing.T) {
			d := reduce.NewDesign(&o, c.parts, at(t, c.reference))
			for s, want := range c.want {
				if got := d.At(at(t, s)); got != want*reduce.Inch/16 {
					t.Errorf("%s is %v in, want %v/16", s, got.Decimal(reduce.Inch), want)
				}
			}
		})
	}
}

// TestStepsByHand: where steps are, which half is whose, what is stepped off.
func TestStepsByHand(t *testing.T) {
	o := house(t)
	d := reduce.NewDesign(&o, []reduce.DesignPart{
		step(t, "c2", "c3", -8), eighths(t, "c4", "c1", 1), step(t, "c1", "c1", 0), step(t, "c6+4", "c6+4", -2),
	}, at(t, "c1+4"))
	in := reduce.Inch
	want := []reduce.DesignStep{
		{At: at(t, "c1"), Before: -28 * in / 8, On: 0, After: 0},
		{At: at(t, "c2"), Before: 0, On: -8 * in, After: -8 * in},
		{At: at(t, "c3"), Before: -8 * in, On: -8 * in, After: 0},
		{At: at(t, "c6+4"), Before: 0, On: -2 * in, After: 0},
	}
	if got := d.Steps(); !slices.Equal(got, want) {
		t.Errorf("steps %v, want %v", got, want)
	}
	for s, want := range map[string]reduce.Half{"c1": reduce.Top, "c2": reduce.Bottom, "c3": reduce.Bottom, "c4": 0, "c6+4": reduce.Bottom, "c1+4": 0} {
		if got := d.Own(at(t, s)); got != want {
			t.Errorf("%s is its half %d, want %d", s, got, want)
		}
	}
	for _, c := range []struct {
		a, b string
		want bool
	}{
		{"c1", "c1+4", false}, {"c1+36", "c2", true}, {"c1+36", "c2 top", false}, {"c2 top", "c2", true}, {"c2", "c2 bottom", false},
		{"c2", "c2+4", false}, {"c2+4", "c3", false}, {"c3", "c3+4", true}, {"c3 top", "c3+4", false}, {"c2+24", "c3+4", true},
		{"c3+4", "c4", false}, {"c4", "c4+4", false}, {"c4+4", "c1 bottom", false}, {"c4+24", "c1", true}, {"c4+24", "c1+4", true},
		{"c6", "c6+4", true}, {"c6+4", "c6+8", true}, {"c6", "c6+8", true}, {"c6", "c6+4 top", false}, {"c7", "c8", false},
		{"c4+24", "c2", true}, {"p1", "p2", false}, {"p1", "c1", false},
	} {
		if got := d.Stepped(at(t, c.a), at(t, c.b)); got != c.want {
			t.Errorf("a step between %s and %s: %t, want %t", c.a, c.b, got, c.want)
		}
	}
	walk := []string{"c1+36", "c2 top", "c2", "c2 bottom", "c2+4", "c3", "c3 bottom", "c3 top", "c3+4", "p1", "bm"}
	var order []reduce.Station
	for _, s := range walk {
		order = append(order, at(t, s))
	}
	got := slices.Clone(order)
	slices.SortFunc(got, reduce.Compare)
	slices.SortFunc(got, d.Compare)
	if !slices.Equal(got, order) {
		t.Errorf("in the order %v, want %v", got, order)
	}
	for s, want := range map[string]int{"c1+4": -1, "c2": 0, "c2 top": -1, "c2 bottom": 0, "c3 top": -1, "c4+4": 1, "c1": 2, "c1 bottom": 1, "p1": -1, "bm": -1} {
		if got := d.Part(at(t, s)); got != want {
			t.Errorf("%s is of part %d, want %d", s, got, want)
		}
	}
}

// TestLevelDesign: no parts, and no design at all, are level and without steps.
func TestLevelDesign(t *testing.T) {
	o := house(t)
	for _, d := range []*reduce.Design{nil, {}, reduce.NewDesign(&o, nil, reduce.Corner(1))} {
		for _, s := range o.Stations() {
			if _, stepped := d.StepAt(s); d.At(s) != 0 || d.Part(s) != -1 || stepped || d.Own(s) != 0 || d.Stepped(s, reduce.Corner(1)) {
				t.Errorf("%v is not level", s)
			}
		}
		if len(d.Steps()) != 0 || d.Compare(reduce.Corner(1), reduce.Corner(2)) >= 0 {
			t.Error("steps, or another order")
		}
	}
}

// TestFreeWalkDesign: without an outline a stretch goes by the names alone.
func TestFreeWalkDesign(t *testing.T) {
	o := grid()
	d := reduce.NewDesign(&o, []reduce.DesignPart{step(t, "c4", "c2+8", -8), eighths(t, "c6+4", "c6+12", 1)}, at(t, "c1"))
	for s, inches := range map[string]reduce.Length{"c1": 0, "c2+4": 0, "c2+8": -8, "c2+8 top": 0, "c3": -8, "c3+900": -8, "c4": -8, "c4+4": 0, "c6+12": -1, "c9": 0} {
		if got := d.At(at(t, s)); got != inches*reduce.Inch {
			t.Errorf("%s is %v in, want %d", s, got.Decimal(reduce.Inch), inches)
		}
	}
	if d.Stepped(at(t, "c2+8"), at(t, "c4")) || !d.Stepped(at(t, "c2"), at(t, "c3")) {
		t.Error("a step in the wrong place")
	}
}

// TestDesignFaults: each part that cannot be, and that it then changes nothing.
func TestDesignFaults(t *testing.T) {
	o := house(t)
	for name, c := range map[string]struct {
		part reduce.DesignPart
		want reduce.DesignFault
	}{
		"no such corner":    {step(t, "c2", "c9", -8), reduce.DesignNoStation},
		"past its wall":     {step(t, "c2+28", "c4", -8), reduce.DesignNoStation},
		"no such pier":      {step(t, "p1", "p3", -8), reduce.DesignNoStation},
		"a benchmark":       {step(t, "bm", "bm", -8), reduce.DesignOffWalk},
		"half a spot":       {step(t, "c2 top", "c3", -8), reduce.DesignOffWalk},
		"nothing":           {reduce.DesignPart{}, reduce.DesignOffWalk},
		"two loops":         {step(t, "c2", "c6", -8), reduce.DesignTwoLoops},
		"a wall and a pier": {step(t, "c2", "p1", -8), reduce.DesignTwoLoops},
		"two walls":         {eighths(t, "c1", "c3", 1), reduce.DesignTwoWalls},
		"round a corner":    {eighths(t, "c1+8", "c2+8", 1), reduce.DesignTwoWalls},
		"the wrong corner":  {eighths(t, "c2+8", "c1", 1), reduce.DesignTwoWalls},
		"a pier falls":      {eighths(t, "p1", "p2", 1), reduce.DesignOffWalk},
		"from itself":       {eighths(t, "c1", "c1", 1), reduce.DesignOneSpot},
		"very steep":        {eighths(t, "c1", "c2", 97), reduce.DesignTooSteep},
		"very high":         {step(t, "c1", "c2", 1201), reduce.DesignTooSteep},
		"a loop of piers":   {reduce.DesignPart{From: at(t, "p1"), Loop: true}, reduce.DesignOffWalk},
	} {
		var fault *reduce.DesignError
		if err := reduce.CheckDesign(&o, c.part); !errors.As(err, &fault) || fault.Fault != c.want || fault.Error() == "" {
			t.Errorf("%s: %v, want %s", name, err, c.want)
		}
		d := reduce.NewDesign(&o, []reduce.DesignPart{c.part}, at(t, "c1"))
		for _, s := range o.Stations() {
			if d.At(s) != 0 {
				t.Errorf("%s: %v is %v", name, s, d.At(s))
			}
		}
	}
}

// anyPart draws a part of an outline that may be.
func anyPart(r *rapid.T, o *reduce.Outline) reduce.DesignPart {
	l := rapid.SampledFrom(o.Loops).Draw(r, "loop")
	spot := func(name string) reduce.Station {
		n := l.First + rapid.IntRange(0, len(l.Corners)-1).Draw(r, name)
		wall, _ := o.WallLength(n)
		s, _ := o.Resolve(reduce.Along(n, wall*reduce.Length(rapid.IntRange(0, 4).Draw(r, "quarters"))/4))
		return s
	}
	p := reduce.DesignPart{From: spot("from"), Rise: reduce.Length(rapid.Int64Range(-1_000_000_000, 1_000_000_000).Draw(r, "rise"))}
	p.To = p.From
	switch rapid.SampledFrom([]string{"step", "spot", "loop", "fall"}).Draw(r, "sort") {
	case "step":
		p.To = spot("to")
	case "loop":
		p.Loop = true
	case "fall":
		n := l.First + rapid.IntRange(0, len(l.Corners)-1).Draw(r, "wall")
		p.From, p.To = reduce.Corner(n), reduce.Corner(l.First+(n-l.First+1)%len(l.Corners))
		if rapid.Bool().Draw(r, "against the walk") {
			p.From, p.To = p.To, p.From
		}
		p.Run = p.Rise.Abs() + reduce.Length(rapid.Int64Range(1, 1_000_000_000).Draw(r, "run"))
	}
	return p
}

// TestDesignIsAsSaid holds any design against the words of its parts, spot by
// spot: the last part that a walk from From to To meets the spot on decides;
// the ends of a fall differ by exactly rise × length / run.
func TestDesignIsAsSaid(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		o := anyOutline(r)
		parts := rapid.SliceOfN(rapid.Custom(func(r *rapid.T) reduce.DesignPart { return anyPart(r, &o) }), 0, 6).Draw(r, "parts")
		for _, p := range parts {
			if err := reduce.CheckDesign(&o, p); err != nil {
				r.Fatal(err)
			}
		}
		// The walk: quarters of each wall, and a spot between any two of them.
		var walk []reduce.Station
		at := map[reduce.Station]reduce.Length{} // along its loop
		loop := map[reduce.Station]int{}
		for i, l := range o.Loops {
			var round reduce.Length
			for k := range l.Corners {
				wall, _ := o.WallLength(l.First + k)
				for q := range reduce.Length(8) {
					s := reduce.Along(l.First+k, wall*q/8)
					if _, twice := at[s]; !twice {
						walk, at[s], loop[s] = append(walk, s), round+s.Past, i
					}
				}
				round += wall
			}
		}
		var said func(n int, s reduce.Station) reduce.Length
		said = func(n int, s reduce.Station) reduce.Length {
			for n--; n >= 0; n-- {
				p := parts[n]
				if loop[p.From] != loop[s] {
					continue
				}
				from, to := at[p.From], at[p.To]
				if p.Run == 0 {
					if in := from <= at[s] && at[s] <= to; p.Loop || in && from <= to || from > to && (at[s] >= from || at[s] <= to) {
						return p.Rise
					}
					continue
				}
				// A fall: both ends are corners of one wall.
				start := p.From.Number
				if first := o.Loops[loop[s]].First; p.From.Number == first+(p.To.Number-first+1)%len(o.Loops[loop[s]].Corners) {
					start = p.To.Number
				}
				wall, _ := o.WallLength(start)
				var far reduce.Length
				switch {
				case s == p.From:
				case s == p.To:
					far = wall
				case s.Number != start:
					continue
				case start == p.From.Number:
					far = s.Past
				default:
					far = wall - s.Past
				}
				fall := new(big.Rat).SetFrac(new(big.Int).Mul(big.NewInt(int64(p.Rise)), big.NewInt(int64(far))), big.NewInt(int64(p.Run)))
				nm, _ := new(big.Int).SetString(fall.FloatString(0), 10) // to the nearest, halves away from 0
				return said(n, p.From) + reduce.Length(nm.Int64())
			}
			return 0
		}
		reference := rapid.SampledFrom(walk).Draw(r, "reference")
		d := reduce.NewDesign(&o, parts, reference)
		zero := said(len(parts), reference)
		if d.At(reference) != 0 {
			r.Fatalf("the reference is %v", d.At(reference))
		}
		steps := map[reduce.Station]bool{}
		for _, s := range d.Steps() {
			steps[s.At] = true
		}
		for _, s := range walk {
			want := said(len(parts), s) - zero
			if off := (d.At(s) - want).Abs(); off > reduce.Length(len(parts)) {
				r.Fatalf("%v is %v, want %v", s, d.At(s), want)
			}
			if top, bottom := d.At(s.At(reduce.Top)), d.At(s.At(reduce.Bottom)); top < d.At(s) || bottom > d.At(s) || (top != bottom) != steps[s] {
				r.Fatalf("%v is %v between %v and %v; a step: %t", s, d.At(s), top, bottom, steps[s])
			}
		}
	})
}
