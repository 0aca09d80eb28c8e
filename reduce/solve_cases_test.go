package reduce_test

import (
	"math"
	"testing"

	"rodcall/reduce"
)

// two set-ups on a plan of 40 × 28 ft: bm and c1 … c4 by a direct rod, then the
// laser moved and ties read by a standard one on a beam that is tilted by
// tilt, nanometres per metre towards +x.
func twoSetUps(ties []int, tilt float64) reduce.Survey {
	heights := []reduce.Length{0, 3_000_000, -5_000_000, 1_000_000, -2_000_000}
	places := []reduce.Point{
		{X: -10 * reduce.Foot}, {}, {X: 40 * reduce.Foot}, {X: 40 * reduce.Foot, Y: 28 * reduce.Foot}, {Y: 28 * reduce.Foot},
	}
	s := reduce.Survey{
		Reference: reduce.BenchmarkNumber(1), Budget: budget(), Places: map[reduce.Station]reduce.Point{},
		SetUps: []reduce.SetUp{
			{ID: 1, Rods: []reduce.Rod{{ID: 1, Kind: reduce.Direct}}},
			{ID: 2, Rods: []reduce.Rod{{ID: 2, Kind: reduce.Standard}}},
		},
	}
	station := func(i int) reduce.Station {
		if i == 0 {
			return s.Reference
		}
		return reduce.Corner(i)
	}
	for i, h := range heights {
		s.Places[station(i)] = places[i]
		s.Observations = append(s.Observations, reduce.Observation{Rod: 1, Station: station(i), Value: h - 7_000_000})
	}
	for _, i := range ties {
		v := 1500*reduce.Millimetre - heights[i] + reduce.Length(tilt*float64(places[i].X)/float64(reduce.Metre))
		s.Observations = append(s.Observations, reduce.Observation{Rod: 2, Station: station(i), Value: v})
	}
	return s
}

// TestTies: one tie joins and checks nothing, two have a misclosure, and it is
// the height that the later reading carries less the one that was there.
func TestTies(t *testing.T) {
	one := solve(t, twoSetUps([]int{1}, 0))
	if len(one.Closures) != 0 || one.SetUps[1].Misclosure != nil || !one.SetUps[1].Tied || one.DegreesOfFreedom != 0 {
		t.Errorf("one tie: %+v", one.SetUps[1])
	}
	s := twoSetUps([]int{1, 2, 4}, 0)
	s.Observations[6].Value += 3 * reduce.Millimetre // on a standard rod: c2 looks lower
	s.Observations[7].Value -= reduce.Millimetre
	three := solve(t, s)
	if m := three.SetUps[1].Misclosure; m == nil || *m != -3*reduce.Millimetre || three.SetUps[0].Misclosure != nil {
		t.Errorf("misclosures %+v", three.SetUps)
	}
	if len(three.Closures) != 2 || three.Closures[0] != (reduce.Closure{Observation: 6, SetUp: 2, Station: reduce.Corner(2), Misclosure: -3_000_000}) {
		t.Errorf("%+v", three.Closures)
	}
	for st, want := range map[reduce.Station]bool{
		reduce.BenchmarkNumber(1): false, reduce.Corner(1): true, reduce.Corner(2): true, reduce.Corner(3): false, reduce.Corner(4): true,
	} {
		if three.Checked[st] != want {
			t.Errorf("%s: checked %t", st.Name(reduce.Foot), three.Checked[st])
		}
	}
	// No bm in the second set-up, and no tie.
	none := solve(t, twoSetUps(nil, 0))
	if none.SetUps[1].Tied || len(none.UntiedRods) != 1 || none.UntiedRods[0] != 2 || len(none.Untied) != 0 {
		t.Errorf("%+v", none)
	}
	stray := twoSetUps(nil, 0)
	stray.Observations = append(stray.Observations, reduce.Observation{Rod: 2, Station: reduce.Along(2, reduce.Foot), Value: 1})
	out := solve(t, stray)
	if _, ok := out.Elevations[reduce.Along(2, reduce.Foot)]; ok || len(out.Untied) != 1 || out.Residuals[5].Tied {
		t.Errorf("%+v", out)
	}
	if _, ok := out.Uncertainty(out.Untied[0]); ok {
		t.Error("a station that nothing ties has a band")
	}
	if _, ok := out.Difference(reduce.Corner(1), out.Untied[0]); ok {
		t.Error("a pair that nothing ties has a band")
	}
}

// TestTiltShows: five ties on a beam far out of level show a tilt between the
// two set-ups, and the readings no longer fit the budget.
func TestTiltShows(t *testing.T) {
	const tilt = 500_000 // 0.5 mm a metre: about 1/4 in over 40 ft
	got := solve(t, twoSetUps([]int{0, 1, 2, 3, 4}, tilt))
	// The budget draws both towards level: less than the truth, but far out.
	between := got.SetUps[1].Tilt[0].Value - got.SetUps[0].Tilt[0].Value
	sd := math.Hypot(got.SetUps[1].Tilt[0].Uncertainty, got.SetUps[0].Tilt[0].Uncertainty)
	if between < 5*sd || between > tilt {
		t.Errorf("tilt between the set-ups %.0f ± %.0f nm/m, want most of %d", between, sd, tilt)
	}
	if across := got.SetUps[1].Tilt[1].Value; math.Abs(across) > between/10 {
		t.Errorf("tilt across it %.0f nm/m", across)
	}
	if got.VarianceFactor < 10 {
		t.Errorf("variance factor %.2f of a beam 19 times as tilted as the budget has it", got.VarianceFactor)
	}
	level := solve(t, twoSetUps([]int{0, 1, 2, 3, 4}, 0))
	if level.VarianceFactor != 0 || level.DegreesOfFreedom != 4 {
		t.Errorf("variance factor %v of %d", level.VarianceFactor, level.DegreesOfFreedom)
	}
}

// TestBandGrows: the band of a deviation grows with the distance from the
// datum station, reading more stations of one set-up does not narrow it, and
// reading the two again from another does.
func TestBandGrows(t *testing.T) {
	s := large(100, 1)
	got := solve(t, s)
	u := func(s reduce.Solution, n int) reduce.Uncertainty {
		v, ok := s.Difference(reduce.PierNumber(1), reduce.PierNumber(n))
		if !ok {
			t.Fatal("no band")
		}
		return v
	}
	for n := 3; n <= 10; n++ {
		if u(got, n) <= u(got, n-1) {
			t.Errorf("%d marks on: %d, one nearer %d", n, u(got, n), u(got, n-1))
		}
	}
	// By hand: two noises, and the tilt over 9 marks of 4 ft.
	noise := func(n int) float64 {
		for _, o := range s.Observations {
			if o.Station == reduce.PierNumber(n) {
				return float64(s.Budget.Noise(reduce.Standard, o.Value))
			}
		}
		return math.NaN()
	}
	tilt := float64(reduce.Inch/16) / 100 * 36 / limit95
	if want := math.Sqrt(noise(1)*noise(1) + noise(10)*noise(10) + tilt*tilt); math.Abs(want-float64(u(got, 10))) > 2 {
		t.Errorf("36 ft on: %d, want %.1f", u(got, 10), want)
	}
	fewer := s
	fewer.Observations = s.Observations[:20]
	if a, b := u(got, 10), u(solve(t, fewer), 10); a != b {
		t.Errorf("with 100 stations %d, with 20 %d", a, b)
	}
	again := clone(s)
	again.SetUps = append(again.SetUps, reduce.SetUp{ID: 2, Rods: []reduce.Rod{{ID: 2, Kind: reduce.Standard}}})
	for _, o := range s.Observations {
		if o.Station == reduce.PierNumber(1) || o.Station == reduce.PierNumber(10) {
			o.Rod = 2
			again.Observations = append(again.Observations, o)
		}
	}
	ratio := float64(u(solve(t, again), 10)) / float64(u(got, 10))
	if math.Abs(ratio-math.Sqrt2/2) > 1e-6 {
		t.Errorf("from two set-ups %.4f of one, want 0.7071", ratio)
	}
}

// TestNoCone: where the laser stands decides whether the cone is in the bands,
// and the solution says when it is not.
func TestNoCone(t *testing.T) {
	s := large(100, 1)
	without := solve(t, s)
	if !without.NoCone || without.Cone != nil {
		t.Errorf("no laser's place: %+v", without.Cone)
	}
	s.SetUps[0].Laser = &reduce.Point{}
	with := solve(t, s)
	if with.NoCone || with.Cone == nil || with.Cone.Value != 0 {
		t.Errorf("laser at p1: %+v", with.Cone)
	}
	a, _ := without.Difference(reduce.PierNumber(1), reduce.PierNumber(10))
	b, _ := with.Difference(reduce.PierNumber(1), reduce.PierNumber(10))
	cone := float64(reduce.Inch/32) / 100 * 36 / limit95
	if want := math.Hypot(float64(a), cone); math.Abs(want-float64(b)) > 2 {
		t.Errorf("with the cone %d, want %.1f", b, want)
	}
}
