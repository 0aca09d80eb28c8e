package reduce_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

// TestWorstPair against every pair there is.
func TestWorstPair(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		o := anyOutline(r)
		reach := reduce.Length(rapid.IntRange(1, 30).Draw(r, "reach")) * reduce.Metre
		var spots []reduce.Spot
		for _, s := range o.Stations() {
			if rapid.IntRange(0, 4).Draw(r, "read") > 0 {
				h := reduce.Length(rapid.IntRange(-8, 8).Draw(r, "height")) * reduce.Millimetre
				spots = append(spots, reduce.Spot{Station: s, Height: h})
			}
		}
		spots = append(spots, reduce.Spot{Station: reduce.BenchmarkNumber(1), Height: reduce.Metre})
		worst, near := reduce.Length(-1), false
		for i, a := range spots {
			for _, b := range spots[:i] {
				p, _, ok := o.Position(a.Station)
				q, _, ok2 := o.Position(b.Station)
				if !ok || !ok2 {
					continue
				}
				if d := math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y)); d <= float64(reach)+0.25 {
					worst, near = max(worst, (a.Height-b.Height).Abs()), true
				}
			}
		}
		got, ok := reduce.WorstPair(&o, spots, reach)
		if ok != near {
			r.Fatalf("found %t, want %t", ok, near)
		}
		if !ok {
			return
		}
		if got.Difference != worst || got.High.Height-got.Low.Height != worst {
			r.Fatalf("%v between %v and %v, want %v", got.Difference, got.High, got.Low, worst)
		}
		p, _, _ := o.Position(got.High.Station)
		q, _, _ := o.Position(got.Low.Station)
		d := math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y))
		if got.Distance > reach || math.Abs(d-float64(got.Distance)) > 1 {
			r.Fatalf("%v apart, want %.1f nm and at most %v", got.Distance, d, reach)
		}
	})
}

// TestReachOfPairs: exactly 20 ft apart counts, a nanometre more does not.
func TestReachOfPairs(t *testing.T) {
	for _, c := range []struct {
		x, y reduce.Length
		want bool
	}{
		{20 * reduce.Foot, 0, true},
		{20*reduce.Foot + 1, 0, false},
		{12 * reduce.Foot, 16 * reduce.Foot, true}, // 12-16-20
		{12 * reduce.Foot, 16*reduce.Foot + 1, false},
	} {
		o := withLoop(t, grid(), "", reduce.Point{}, feet(1, 1, 1, 1))
		o, err := o.WithPiers([]reduce.Point{{}, {X: c.x, Y: c.y}})
		if err != nil {
			t.Fatal(err)
		}
		_, ok := reduce.WorstPair(&o, []reduce.Spot{{Station: reduce.PierNumber(1)}, {Station: reduce.PierNumber(2), Height: 1}}, reduce.PairReach)
		if ok != c.want {
			t.Errorf("%v, %v apart: %t, want %t", c.x, c.y, ok, c.want)
		}
	}
}

// TestExtremesAndLevels of four spots, by hand.
func TestExtremesAndLevels(t *testing.T) {
	spots := []reduce.Spot{
		{Station: reduce.Corner(2), Height: 3}, {Station: reduce.Corner(3), Height: -5},
		{Station: reduce.Corner(4), Height: 3}, {Station: reduce.PierNumber(1), Height: -5},
	}
	e, ok := reduce.Extremes(spots)
	if want := (reduce.Extent{High: spots[0], Low: spots[1], Range: 8}); !ok || e != want {
		t.Errorf("%+v, want %+v", e, want)
	}
	if e, ok := reduce.Extremes(nil); ok || e != (reduce.Extent{}) {
		t.Errorf("of nothing: %+v", e)
	}
	first := reduce.Corner(1)
	for _, c := range []struct {
		choice reduce.DatumChoice
		named  reduce.Station
		level  reduce.Length
		at     reduce.Station
		ok     bool
	}{
		{reduce.DatumHigh, reduce.Station{}, 3, reduce.Corner(2), true},
		{reduce.DatumStation, reduce.Corner(3), -5, reduce.Corner(3), true},
		{reduce.DatumStation, reduce.Corner(9), 0, reduce.Station{}, false},
		{reduce.DatumFirst, reduce.Station{}, 0, reduce.Station{}, false}, // c1 is not read
		{reduce.DatumFixed, reduce.Station{}, 7, reduce.Station{}, true},
	} {
		level, at, ok := reduce.Level(c.choice, spots, first, c.named, 7, reduce.LevelRules{})
		if level != c.level || at != c.at || ok != c.ok {
			t.Errorf("%s %s: %v of %v (%t)", c.choice, c.named.Name(reduce.Foot), level, at, ok)
		}
	}
}

// TestVerdicts: on up to the tolerance itself, either way.
func TestVerdicts(t *testing.T) {
	const tol = reduce.DefaultTolerance
	for d, want := range map[reduce.Length]reduce.Verdict{
		0: reduce.On, tol: reduce.On, -tol: reduce.On,
		tol + 1: reduce.Lower, -tol - 1: reduce.Raise,
	} {
		if got := reduce.Judge(d, tol); got != want {
			t.Errorf("%v: %s, want %s", d, got, want)
		}
	}
}
