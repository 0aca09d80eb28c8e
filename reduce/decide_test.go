package reduce_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

// TestDecideTable: the rule, at and beside its limits. A standard uncertainty
// of 1 mm has a guard band of 1.644854 mm.
func TestDecideTable(t *testing.T) {
	const tolerance = 5 * reduce.Millimetre
	u := reduce.Uncertainty(reduce.Millimetre)
	if g, b := u.Guard(), u.Band(); g != 1_644_854 || b != 1_959_964 {
		t.Errorf("guard %d, band %d", g, b)
	}
	for _, c := range []struct {
		deviation reduce.Length
		u         reduce.Uncertainty
		want      reduce.Verdict
	}{
		{0, u, reduce.On},
		{3_355_146, u, reduce.On}, {-3_355_146, u, reduce.On},
		{3_355_147, u, reduce.Unsure}, {-3_355_147, u, reduce.Unsure},
		{6_644_854, u, reduce.Unsure}, {-6_644_854, u, reduce.Unsure},
		{6_644_855, u, reduce.Lower}, {-6_644_855, u, reduce.Raise},
		{tolerance, 0, reduce.On}, {tolerance + 1, 0, reduce.Lower}, {-tolerance - 1, 0, reduce.Raise},
		{0, 4 * u, reduce.Unsure}, // nothing can be called on
	} {
		if v := reduce.Decide(c.deviation, tolerance, c.u); v != c.want {
			t.Errorf("%d ± %d: %s, want %s", c.deviation, c.u, v, c.want)
		}
	}
}

// TestDecideWithoutDoubt: a reading without uncertainty is judged as Judge
// does, and more uncertainty never turns one call into another, only into
// unsure.
func TestDecideWithoutDoubt(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		d := reduce.Length(rapid.Int64Range(-20_000_000, 20_000_000).Draw(r, "deviation"))
		tol := reduce.Length(rapid.Int64Range(0, 10_000_000).Draw(r, "tolerance"))
		sure := reduce.Decide(d, tol, 0)
		if sure != reduce.Judge(d, tol) {
			r.Fatalf("%s, want %s", sure, reduce.Judge(d, tol))
		}
		u := reduce.Uncertainty(rapid.Int64Range(0, 5_000_000).Draw(r, "u"))
		if v := reduce.Decide(d, tol, u); v != sure && v != reduce.Unsure {
			r.Fatalf("%s turned %s", sure, v)
		}
	})
}

// calls sends crews to made sites whose stations have heights as drawn, and
// counts in 100 what is said of one station of each at the tolerance of 1/8 in
// from c1.
func calls(t *testing.T, seed uint64, b reduce.Budget, height func(*rand.Rand) float64) map[reduce.Verdict]float64 {
	t.Helper()
	sites := 10_000
	if testing.Short() {
		sites = 2000
	}
	rnd := rand.New(rand.NewPCG(seed, 2))
	o := withLoop(t, grid(), "", reduce.Point{}, reduce.Rectangle(40*reduce.Foot, 28*reduce.Foot))
	stations := o.Stations()
	out := map[reduce.Verdict]float64{}
	for range sites {
		truth := map[reduce.Station]float64{reduce.BenchmarkNumber(1): float64(reduce.Inch) * rnd.NormFloat64()}
		for _, st := range stations {
			truth[st] = height(rnd)
		}
		truth[reduce.Corner(1)] = 0
		got := solve(t, visit(rnd, o, truth, b, 1).survey)
		st := stations[1+rnd.IntN(len(stations)-1)]
		u, _ := got.Difference(st, reduce.Corner(1))
		out[reduce.Decide(got.Elevations[st], reduce.DefaultTolerance, u)] += 100 / float64(sites)
	}
	return out
}

// TestCalls: with the default budget, of stations exactly at the tolerance at
// most 5 in 100 may be called on, of stations anywhere within half of it at
// least 80 in 100 must be. Readings to 0.01 ft are nearly as coarse as the
// tolerance: their errors are far from normal, and the test only holds what was
// measured.
func TestCalls(t *testing.T) {
	tolerance := float64(reduce.DefaultTolerance)
	for i, c := range []struct {
		unit       reduce.Unit
		atMost, on float64
	}{{reduce.UnitInch, 5, 80}, {reduce.UnitMillimetre, 5, 80}, {reduce.UnitFoot, 7, 60}} {
		b := reduce.DefaultBudget(c.unit, c.unit.Finest())
		at := calls(t, uint64(2*i), b, func(r *rand.Rand) float64 { return math.Copysign(tolerance, r.NormFloat64()) })
		within := calls(t, uint64(2*i+1), b, func(r *rand.Rand) float64 { return tolerance * (r.Float64() - 0.5) })
		t.Logf("%s: exactly at the tolerance: %v", c.unit, at)
		t.Logf("%s: within half of it: %v", c.unit, within)
		if at[reduce.On] > c.atMost {
			t.Errorf("%s: %.2f in 100 stations at the tolerance are called on, want at most %v", c.unit, at[reduce.On], c.atMost)
		}
		if within[reduce.On] < c.on {
			t.Errorf("%s: %.2f in 100 stations within half the tolerance are called on, want at least %v", c.unit, within[reduce.On], c.on)
		}
		if wrong := within[reduce.Raise] + within[reduce.Lower]; wrong > 1 {
			t.Errorf("%s: %.2f in 100 stations within half the tolerance are sent to be moved", c.unit, wrong)
		}
	}
}

// TestUselessSurveys: what cannot be solved is refused with its reason.
func TestUselessSurveys(t *testing.T) {
	rod := []reduce.Rod{{ID: 1, Kind: reduce.Standard}}
	good := reduce.Survey{
		SetUps: []reduce.SetUp{{ID: 1, Rods: rod}}, Reference: reduce.Corner(1), Budget: budget(),
		Observations: []reduce.Observation{{Rod: 1, Station: reduce.Corner(1), Value: reduce.Metre}},
	}
	solve(t, good)
	for name, change := range map[string]func(*reduce.Budget){
		"none":          func(b *reduce.Budget) { *b = reduce.Budget{} },
		"negative tilt": func(b *reduce.Budget) { b.Tilt.Rise = -1 },
		"negative cone": func(b *reduce.Budget) { b.Cone.Run = -1 },
		"lying rod":     func(b *reduce.Budget) { b.RodLean = 90 },
		"no lean":       func(b *reduce.Budget) { b.RodLean = math.NaN() },
		"noiseless":     func(b *reduce.Budget) { b.Receiver, b.Resolution = 0, 0 },
	} {
		bad := good
		change(&bad.Budget)
		if _, err := reduce.Solve(bad); !errors.Is(err, reduce.ErrBudget) {
			t.Errorf("%s: %v", name, err)
		}
	}
	twice, stray := good, good
	twice.SetUps = append(twice.SetUps, reduce.SetUp{ID: 2, Rods: rod})
	stray.Observations = []reduce.Observation{{Rod: 2, Station: reduce.Corner(1)}}
	for _, bad := range []reduce.Survey{twice, stray} {
		if _, err := reduce.Solve(bad); err == nil {
			t.Error("solved a survey whose rods are not in one set-up each")
		}
		if _, err := reduce.NewLevelBook(bad); err == nil {
			t.Error("wrote a book of a survey whose rods are not in one set-up each")
		}
	}
}
