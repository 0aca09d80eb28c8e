package reduce_test

import (
	"math/big"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

// kinds names the kinds of a point by their first letters.
func kinds(k reduce.BearingKind) string {
	var out []string
	for i, name := range []string{"end", "splice", "bolt", "post", "joist", "alone"} {
		if k&(1<<i) != 0 {
			out = append(out, name)
		}
	}
	return strings.Join(out, "+")
}

// places of walls from full names.
func places(t *testing.T, names ...string) []reduce.Station {
	t.Helper()
	var out []reduce.Station
	for _, n := range names {
		s, err := reduce.ParseStation(n, reduce.Foot)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, s)
	}
	return out
}

// TestBearingsByHand: the points of the first wall of 12 ft, and what lies under
// them, read off by hand. Joists every 16 in; the concrete falls from the level
// at c1 to 1/2 in low at c1+4, rises to the level at c1+8, and c2 is not read.
func TestBearingsByHand(t *testing.T) {
	o := withLoop(t, grid(), "", reduce.Point{}, reduce.Rectangle(12*reduce.Foot, 8*reduce.Foot))
	opt := reduce.PlateDefaults(reduce.UnitInch)
	opt.Bolts = places(t, "c1+1", "c1+11")
	opt.Posts = places(t, "c1+6")
	opt.Splices = places(t, "c1+7")
	opt.Gap = sixteenths(7)
	plan := reduce.PlanPlate(&o, wallSpots(&o, 0, -8, 0), nil, opt)
	type row struct {
		inches, amount float64 // along; sixteenths, -1 where not known
		kinds          string
	}
	want := []row{
		{0, 0, "end+joist"},
		{9, 1.5, "bolt"},        // 9/48 of 8
		{15, 2.5, "bolt+joist"}, // joist at 16
		{32, 8 * 32.0 / 48, "joist"},
		{48, 8, "joist"},
		{64, 8 * 32.0 / 48, "joist"},
		{72, 4, "post"},
		{81, 2.5, "splice+joist"}, // joist at 80
		{87, 1.5, "splice"},
		{96, 0, "joist"},
		{112, -1, "joist"},
		{129, -1, "bolt+joist"}, // joist at 128
		{135, -1, "bolt"},
		{0, -1, "end+joist"}, // c2
	}
	for i, w := range want {
		p := plan.Points[i]
		if p.Station.Past != reduce.Length(w.inches*float64(reduce.Inch)) || kinds(p.Kinds) != w.kinds || p.Known != (w.amount >= 0) {
			t.Errorf("%d: %s %s, known %t; want %+v", i, p.Station.Name(reduce.Foot), kinds(p.Kinds), p.Known, w)
		}
		if p.Known && (p.Amount-sixteenths(w.amount)).Abs() > 1 || p.Engineer != (w.amount > 7) {
			t.Errorf("%s: %v mm, want %v; engineer %t", p.Station.Name(reduce.Foot), p.Amount, sixteenths(w.amount), p.Engineer)
		}
		if !p.Known && p.Unread != reduce.Corner(2) {
			t.Errorf("%s: waits for %+v, want c2", p.Station.Name(reduce.Foot), p.Unread)
		}
	}
	if i := slices.Index(plan.Unread, reduce.Corner(2)); i != 0 {
		t.Errorf("waits for %v", plan.Unread)
	}
}

// TestBearingsAtAStep: a step of a place of its own ends both plates there, each
// at its own height; a step somewhere between two spots leaves what is between
// them without an amount, and no line runs across either.
func TestBearingsAtAStep(t *testing.T) {
	o := withLoop(t, grid(), "", reduce.Point{}, reduce.Rectangle(12*reduce.Foot, 8*reduce.Foot))
	spots := wallSpots(&o, -3, -2, -3, -3, -3, -3, -3, -3, -3, -3)
	opt := reduce.PlateDefaults(reduce.UnitInch)
	one := reduce.PlanPlate(&o, spots, nil, opt)
	if got := one.Spots[1]; !got.ForLine || got.Target != -sixteenths(1) {
		t.Fatalf("without a step c1+4 is %+v", got)
	}

	// c1+4 twice: it ends one plate 1/8 low, and begins one 3/16 low.
	twice := slices.Insert(slices.Clone(spots), 2, reduce.PlateSpot{Station: spots[1].Station, Deviation: -sixteenths(3), Read: true})
	plan := reduce.PlanPlate(&o, twice, nil, opt)
	if plan.Spots[1].Target != -sixteenths(2) || plan.Spots[2].Target != 0 {
		t.Errorf("the step's two plates end at %v and %v", plan.Spots[1].Target, plan.Spots[2].Target)
	}
	var got []string
	for _, p := range plan.Points[:6] {
		got = append(got, p.Station.Name(reduce.Foot)+" "+kinds(p.Kinds)+" "+p.Amount.String())
	}
	// Between c1 (3/16) and the first height of c1+4 (nothing): 2/3 and 1/3 of 3/16.
	want := []string{"c1 end+joist 4.7625", "c1+1.3333 joist 3.175", "c1+2.6667 joist 1.5875", "c1+4 end+joist 0", "c1+4 end+joist 4.7625", "c1+5.3333 joist 4.7625"}
	if !slices.Equal(got, want) {
		t.Errorf("%q\nwant %q", got, want)
	}

	// Somewhere between c1 and c1+4.
	plan = reduce.PlanPlate(&o, spots, func(a, b reduce.Station) bool { return a == reduce.Corner(1) && b.Past > 0 }, opt)
	if plan.Spots[1].Target != -sixteenths(2) {
		t.Errorf("c1+4 begins a plate at %v", plan.Spots[1].Target)
	}
	for _, p := range plan.Points {
		inside := p.Station.Number == 1 && p.Station.Past > 0 && p.Station.Past < 4*reduce.Foot
		if p.Known == inside || !p.Unread.IsZero() {
			t.Errorf("%s: %+v", p.Station.Name(reduce.Foot), p)
		}
	}
	if plan.Unread != nil {
		t.Errorf("waits for %v", plan.Unread)
	}

	// A corner of two heights: the first ends its wall, the second begins one.
	c2 := slices.IndexFunc(spots, func(s reduce.PlateSpot) bool { return s.Station == reduce.Corner(2) })
	twice = slices.Insert(slices.Clone(spots), c2, reduce.PlateSpot{Station: reduce.Corner(2), Deviation: -sixteenths(1), Read: true})
	plan = reduce.PlanPlate(&o, twice, nil, opt)
	var ends []reduce.Length
	for _, p := range plan.Points {
		if p.Station == reduce.Corner(2) {
			ends = append(ends, p.Amount)
		}
	}
	if !slices.Equal(ends, []reduce.Length{0, sixteenths(3)}) {
		t.Errorf("c2 has ends of %v", ends)
	}
}

// TestBearingsAlone: piers, and every spot of a walk without an outline, are
// brought to the level by themselves.
func TestBearingsAlone(t *testing.T) {
	spots := []reduce.PlateSpot{
		{Station: reduce.Corner(1), Deviation: -sixteenths(3), Read: true},
		{Station: reduce.Along(1, 4*reduce.Foot), Deviation: -sixteenths(2), Read: true},
		{Station: reduce.Corner(2), Deviation: sixteenths(3), Read: true},
		{Station: reduce.PierNumber(1), Deviation: -sixteenths(24), Read: true},
		{Station: reduce.PierNumber(2)},
		{Station: reduce.BenchmarkNumber(1), Read: true},
	}
	opt := reduce.PlateDefaults(reduce.UnitInch)
	opt.Grind = sixteenths(2)
	free := grid()
	plan := reduce.PlanPlate(&free, spots, nil, opt)
	var amounts []reduce.Length
	for _, p := range plan.Points {
		amounts = append(amounts, p.Amount)
		if p.Kinds != reduce.BearAlone || p.Known == (p.Station == reduce.PierNumber(2)) || p.Engineer != (p.Station == reduce.PierNumber(1)) {
			t.Errorf("%+v", p)
		}
	}
	if want := []reduce.Length{sixteenths(3), 0, -sixteenths(2), sixteenths(24), 0}; !slices.Equal(amounts, want) {
		t.Errorf("amounts %v, want %v", amounts, want)
	}
	if !slices.Equal(plan.Unread, []reduce.Station{reduce.PierNumber(2)}) {
		t.Errorf("waits for %v", plan.Unread)
	}

	// With an outline that has one pier: the other and bm are nowhere on it.
	o := withLoop(t, grid(), "", reduce.Point{}, reduce.Rectangle(12*reduce.Foot, 8*reduce.Foot))
	o, err := o.WithPiers([]reduce.Point{{X: 6 * reduce.Foot, Y: 4 * reduce.Foot}})
	if err != nil {
		t.Fatal(err)
	}
	plan = reduce.PlanPlate(&o, spots, nil, opt)
	if last := plan.Points[len(plan.Points)-1]; len(plan.Spots) != 4 || last.Station != reduce.PierNumber(1) || last.Amount != sixteenths(24) {
		t.Errorf("%d spots, the last point is %+v", len(plan.Spots), last)
	}
}

// TestBearings of any foundation, against the slow way: for every point the
// spots beside it are looked up among all, and what is wanted is looked up among
// the points.
func TestBearings(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		o := anyOutline(r)
		unit := reduce.Length(rapid.IntRange(1, 40).Draw(r, "sixteenths of a metre")) * reduce.Metre / 16
		opt := reduce.PlateOptions{
			Tolerance: 3 * reduce.Millimetre, Bend: reduce.DefaultBend, Gap: 25 * reduce.Millimetre,
			Spacing: unit, Beside: unit / 5, Merge: unit / 8,
		}
		any := func(name string) (out []reduce.Station) {
			for range rapid.IntRange(0, 6).Draw(r, name) {
				n := rapid.IntRange(1, o.Corners()).Draw(r, "corner")
				w, _ := o.WallLength(n)
				out = append(out, reduce.Along(n, w*reduce.Length(rapid.IntRange(0, 99).Draw(r, "share"))/100))
			}
			return out
		}
		opt.Bolts, opt.Posts, opt.Splices = any("bolts"), any("posts"), any("splices")
		var spots []reduce.PlateSpot
		for _, s := range o.Stations() {
			for range 1 + max(0, rapid.IntRange(-6, 1).Draw(r, "heights")) {
				spots = append(spots, reduce.PlateSpot{
					Station: s, Read: rapid.IntRange(0, 5).Draw(r, "read") > 0,
					Deviation: reduce.Length(rapid.IntRange(-30, 5).Draw(r, "mm")) * reduce.Millimetre,
				})
			}
		}
		stepped := map[reduce.Station]bool{}
		for _, s := range any("steps") {
			stepped[reduce.Along(s.Number, s.Past/o.Grid.Spacing*o.Grid.Spacing)] = true
		}
		breaks := func(a, _ reduce.Station) bool { return stepped[a] }
		plan := reduce.PlanPlate(&o, spots, breaks, opt)
		if len(plan.Spots) != len(spots) {
			r.Fatalf("%d spots of %d", len(plan.Spots), len(spots))
		}
		waits := map[reduce.Station]bool{}
		for i, p := range plan.Points {
			// The height at which a walk comes back to a loop's first corner is the
			// loop's last point.
			back := slices.ContainsFunc(o.Loops, func(l reduce.Loop) bool { return p.Station == reduce.Corner(l.First) })
			if i > 0 && reduce.Compare(plan.Points[i-1].Station, p.Station) > 0 && !back {
				r.Fatalf("%v after %v", p.Station, plan.Points[i-1].Station)
			}
			waits[p.Unread] = true
			checkUnder(r, &o, plan, breaks, i)
		}
		for _, s := range plan.Spots {
			if slices.Contains(plan.Unread, s.Station) != waits[s.Station] && !s.Read {
				r.Fatalf("%v: waited for %t", s.Station, waits[s.Station])
			}
		}
		for _, l := range o.Loops {
			for k := range l.Corners {
				checkWanted(r, &o, plan, opt, l.First+k)
			}
		}
	})
}

// onWall are the spots of a wall from corner to corner, and where they stand.
func onWall(o *reduce.Outline, plan reduce.PlatePlan, n int) (spots []reduce.SpotTarget, along []reduce.Length) {
	w, _ := o.WallLength(n)
	next, _ := o.Resolve(reduce.Along(n, w))
	var corner, last []reduce.SpotTarget
	for _, s := range plan.Spots {
		switch {
		case s.Station == reduce.Corner(n):
			corner = append(corner, s)
		case s.Station == next:
			last = append(last, s)
		case s.Station.Number == n:
			spots, along = append(spots, s), append(along, s.Station.Past)
		}
	}
	spots = append(append(corner[len(corner)-1:], spots...), last[0])
	return spots, append(append([]reduce.Length{0}, along...), w)
}

// checkUnder checks what a point says of what lies under it.
func checkUnder(r *rapid.T, o *reduce.Outline, plan reduce.PlatePlan, breaks func(a, b reduce.Station) bool, i int) {
	p := plan.Points[i]
	if p.Known && (p.Amount != p.Target-p.Concrete || p.Amount < 0 || p.Engineer != (p.Amount > 25*reduce.Millimetre)) {
		r.Fatalf("%+v", p)
	}
	spots, along := onWall(o, plan, p.Station.Number)
	var here []reduce.SpotTarget // heights read or to be read at the point's own place
	for _, s := range plan.Spots {
		if s.Station == p.Station {
			here = append(here, s)
		}
	}
	if len(here) > 0 {
		if !slices.ContainsFunc(here, func(h reduce.SpotTarget) bool {
			return h.Read == p.Known && (!h.Read || h.Target == p.Target && h.Deviation == p.Concrete)
		}) {
			r.Fatalf("%+v is none of %+v", p, here)
		}
		return
	}
	k, found := slices.BinarySearch(along, p.Station.Past)
	if found || k == 0 || k == len(along) {
		r.Fatalf("%+v stands on no wall", p)
	}
	a, b := spots[k-1], spots[k]
	if known := a.Read && b.Read && !breaks(a.Station, b.Station); p.Known != known {
		r.Fatalf("%+v between %+v and %+v", p, a, b)
	} else if !known {
		if wait := p.Unread; wait != a.Station && wait != b.Station && !wait.IsZero() {
			r.Fatalf("%+v between %+v and %+v", p, a, b)
		}
		return
	}
	share := big.NewRat(int64(p.Station.Past-along[k-1]), int64(along[k]-along[k-1]))
	line := func(a, b reduce.Length) float64 {
		x := new(big.Rat).Mul(share, big.NewRat(int64(b-a), 1))
		f, _ := x.Add(x, big.NewRat(int64(a), 1)).Float64()
		return f
	}
	if d := line(a.Deviation, b.Deviation) - float64(p.Concrete); d > .6 || d < -.6 {
		r.Fatalf("%+v between %+v and %+v", p, a, b)
	}
	if d := line(a.Target, b.Target) - float64(p.Target); d > .6 || d < -.6 {
		r.Fatalf("%+v between %+v and %+v", p, a, b)
	}
}

// checkWanted looks for a point of the kind near every place of a wall that is to
// bear, but near its closing corner, which is a point of the next wall; and for
// places of points that are too near one another.
func checkWanted(r *rapid.T, o *reduce.Outline, plan reduce.PlatePlan, opt reduce.PlateOptions, n int) {
	w, _ := o.WallLength(n)
	points := []reduce.BearingPoint{{}} // the corner's, as one, then those past it
	for _, p := range plan.Points {
		switch {
		case p.Station == reduce.Corner(n):
			points[0].Station, points[0].Kinds = p.Station, points[0].Kinds|p.Kinds
		case p.Station.Kind == reduce.Wall && p.Station.Number == n:
			points = append(points, p)
		}
	}
	if points[0].Station != reduce.Corner(n) || points[0].Kinds&reduce.BearEnd == 0 {
		r.Fatalf("wall %d begins with %+v", n, points[0])
	}
	for i, p := range points[1:] {
		if d := p.Station.Past - points[i].Station.Past; d < opt.Merge && (p.Kinds&points[i].Kinds&reduce.BearEnd == 0) {
			r.Fatalf("%+v and %+v are %v apart", points[i], p, d)
		}
	}
	want := func(at reduce.Length, kind reduce.BearingKind) {
		if at < 0 || w-at < max(opt.Merge, 1) {
			return
		}
		if !slices.ContainsFunc(points, func(p reduce.BearingPoint) bool {
			d := (p.Station.Past - at).Abs()
			return p.Kinds&kind != 0 && (d == 0 || d < opt.Merge)
		}) {
			r.Fatalf("wall %d: no %s near %v", n, kinds(kind), at)
		}
	}
	for at := reduce.Length(0); at <= w; at += opt.Spacing {
		want(at, reduce.BearJoist)
	}
	for kind, list := range map[reduce.BearingKind][]reduce.Station{
		reduce.BearBolt: opt.Bolts, reduce.BearSplice: opt.Splices, reduce.BearPost: opt.Posts,
	} {
		by := opt.Beside
		if kind == reduce.BearPost {
			by = 0
		}
		for _, s := range list {
			if s.Number == n {
				want(s.Past-by, kind)
				want(s.Past+by, kind)
			}
		}
	}
}

// TestBoltsEvery against IRC R403.1.6 (as the American Wood Council's answers to
// questions give it; read): bolts at most 6 ft on centre, at least two in each
// piece of plate, one within 12 in of each end of it and none nearer to the end
// than seven diameters, 3 1/2 in for a bolt of 1/2 in.
func TestBoltsEvery(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		o := anyOutline(r)
		every := reduce.Length(rapid.IntRange(12, 72).Draw(r, "every")) * reduce.Inch
		cuts := map[int][]reduce.Length{}
		var ends []reduce.Station
		for n := range o.Corners() {
			w, _ := o.WallLength(n + 1)
			cuts[n+1] = []reduce.Length{0}
			for range rapid.IntRange(0, 2).Draw(r, "splices") {
				s := reduce.Along(n+1, w*reduce.Length(rapid.IntRange(1, 99).Draw(r, "share"))/100)
				ends, cuts[n+1] = append(ends, s), append(cuts[n+1], s.Past)
			}
			slices.Sort(cuts[n+1])
			cuts[n+1] = append(cuts[n+1], w)
		}
		bolts := reduce.BoltsEvery(&o, every, ends)
		if !slices.IsSortedFunc(bolts, reduce.Compare) {
			r.Fatal("not in walking order")
		}
		for n, c := range cuts {
			for i, to := range c[1:] {
				from := c[i]
				var at []reduce.Length
				for _, b := range bolts {
					if b.Number == n && b.Past > from && b.Past < to {
						at = append(at, b.Past)
					}
				}
				if to-from <= 7*reduce.Inch {
					if at != nil {
						r.Fatalf("bolts %v in a piece of %v", at, to-from)
					}
					continue
				}
				if len(at) < 2 {
					r.Fatalf("%d bolts in a piece of %v", len(at), to-from)
				}
				for _, end := range []reduce.Length{at[0] - from, to - at[len(at)-1]} {
					if end > 12*reduce.Inch || end < 7*reduce.Inch/2 {
						r.Fatalf("a bolt %v mm from the end of a piece of %v", end, to-from)
					}
				}
				for k := range at[1:] {
					if at[k+1]-at[k] > every {
						r.Fatalf("bolts %v mm apart, at most %v", at[k+1]-at[k], every)
					}
				}
			}
		}
	})
	// 26 ft: 1 ft from each end, and 24 ft between in four bays of 6 ft.
	o := withLoop(t, grid(), "", reduce.Point{}, reduce.Rectangle(26*reduce.Foot, 10*reduce.Foot))
	got := reduce.BoltsEvery(&o, reduce.BoltSpacing, nil)[:5]
	if want := places(t, "c1+1", "c1+7", "c1+13", "c1+19", "c1+25"); !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

// TestTooManyBearings: joists and bolts that nobody could set are left out.
func TestTooManyBearings(t *testing.T) {
	o := withLoop(t, grid(), "", reduce.Point{}, reduce.Rectangle(900*reduce.Metre, 900*reduce.Metre))
	opt := reduce.PlateDefaults(reduce.UnitInch)
	for spacing, want := range map[reduce.Length]int{37 * reduce.Millimetre: 97_300, 36 * reduce.Millimetre: 4, 1: 4, 0: 4} {
		opt.Spacing, opt.Merge = spacing, 0
		if got := len(reduce.PlanPlate(&o, nil, nil, opt).Points); got != want {
			t.Errorf("every %v mm: %d points, want %d", spacing, got, want)
		}
	}
	if n := len(reduce.BoltsEvery(&o, reduce.Millimetre, nil)); n != 0 {
		t.Errorf("%d bolts", n)
	}
}

// toothed is foundations of about 500 stations each, every one a loop with walls
// of 8 ft along one side, with concrete up to 1/2 in low, and bolts and posts.
func toothed(tb testing.TB, loops int) (reduce.Outline, []reduce.PlateSpot, reduce.PlateOptions) {
	const teeth = 40
	walls := []float64{16*teeth + 8, 16}
	for range teeth {
		walls = append(walls, 8, -8, -8, 8)
	}
	o := grid()
	for i := range loops {
		o = withLoop(tb, o, "", reduce.Point{Y: reduce.Length(20*i) * reduce.Foot}, feet(append(walls, 8, 16)...))
	}
	rnd := rand.New(rand.NewPCG(4, 6))
	var spots []reduce.PlateSpot
	for _, s := range o.Stations() {
		spots = append(spots, reduce.PlateSpot{Station: s, Read: true, Deviation: -reduce.Length(rnd.Int64N(int64(reduce.Inch / 2)))})
	}
	opt := reduce.PlateDefaults(reduce.UnitInch)
	opt.Bolts = reduce.BoltsEvery(&o, reduce.BoltSpacing, nil)
	opt.Posts = o.Stations()[:len(spots)/10]
	return o, spots, opt
}

// BenchmarkPlateRatio: the time of a station in the plate's plan, line, bearing
// points, bends and all, among about 5,000 against about 500; in turns, each turn
// of the small one ten times, the median of at least nine.
func BenchmarkPlateRatio(b *testing.B) {
	o1, spots1, opt1 := toothed(b, 1)
	o10, spots10, opt10 := toothed(b, 10)
	var ratios []float64
	for range max(9, b.N) {
		start := time.Now()
		for range 10 {
			reduce.PlanPlate(&o1, spots1, nil, opt1)
		}
		one := time.Since(start).Seconds() / float64(10*len(spots1))
		start = time.Now()
		reduce.PlanPlate(&o10, spots10, nil, opt10)
		ten := time.Since(start).Seconds() / float64(len(spots10))
		ratios = append(ratios, ten/one)
	}
	b.ReportMetric(middle(ratios), "ratio")
	b.ReportMetric(1.3, "at-most")
	b.ReportMetric(0, "ns/op")
}

// BenchmarkPlate plans a foundation of 40 x 28 ft, and ten large ones.
func BenchmarkPlate(b *testing.B) {
	o := withLoop(b, grid(), "", reduce.Point{}, reduce.Rectangle(40*reduce.Foot, 28*reduce.Foot))
	b.Run("34", func(b *testing.B) {
		spots := wallSpots(&o, 0, -1, -3, -8, -2, 0, -4, -5, -1, -2, 0, -3, -3, 0, -1, -1, -2, 0, -4, -4, -6, 0, 0, -1, -2, -3, 0, -1, -5, -8, -2, -1, 0, -2)
		for b.Loop() {
			reduce.PlanPlate(&o, spots, nil, reduce.PlateDefaults(reduce.UnitInch))
		}
	})
	large, spots, opt := toothed(b, 10)
	b.Run(strconv.Itoa(len(spots)), func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			reduce.PlanPlate(&large, spots, nil, opt)
		}
	})
}
