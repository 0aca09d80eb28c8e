package reduce_test

import (
	"maps"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

// budget of the tests: a crew's in inches.
func budget() reduce.Budget { return reduce.DefaultBudget(reduce.UnitInch, reduce.Inch/16) }

// solve fails the test on an error.
func solve(t rapid.TB, s reduce.Survey) reduce.Solution {
	t.Helper()
	out, err := reduce.Solve(s)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// single puts all rods of a survey into set-ups of their own.
func single(s survey, w reduce.Weights) reduce.Survey {
	out := reduce.Survey{Observations: s.obs, Reference: reduce.Corner(1), Weights: w, Budget: budget()}
	for i, r := range s.rods {
		out.SetUps = append(out.SetUps, reduce.SetUp{ID: i + 1, Rods: []reduce.Rod{r}})
	}
	return out
}

// TestSolveAlikeIsAdjust: with all weights alike the solver gives what Adjust
// gives, which is checked against rational numbers.
func TestSolveAlikeIsAdjust(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s, _ := anySurvey(r, rapid.Bool().Draw(r, "exact"))
		want := reduce.Adjust(s.rods, s.obs, reduce.Corner(1))
		got := solve(r, single(s, reduce.AlikeSetUps))
		if !maps.Equal(got.Checked, want.Checked) {
			r.Fatalf("checked %v, want %v", got.Checked, want.Checked)
		}
		if len(got.Elevations) != len(want.Elevations) || len(got.Constants) != len(want.Constants) {
			r.Fatalf("tied %v, want %v", got.Elevations, want.Elevations)
		}
		for st, e := range want.Elevations {
			if g, ok := got.Elevations[st]; !ok || (g-e).Abs() > 1000 {
				r.Fatalf("%s: %v, want %v", st.Name(reduce.Foot), g, e)
			}
		}
		for id, k := range want.Constants {
			if g, ok := got.Constants[id]; !ok || (g-k).Abs() > 1000 {
				r.Fatalf("rod %d: constant %v, want %v", id, g, k)
			}
		}
	})
}

// placed draws a survey in which some stations have places, rods stand
// together in set-ups, and some lasers' places are known.
func placed(r *rapid.T, exact bool) (reduce.Survey, map[reduce.Station]reduce.Length) {
	s, truth := anySurvey(r, exact)
	out := reduce.Survey{
		Observations: s.obs, Reference: reduce.Corner(1), Budget: budget(),
		Places: map[reduce.Station]reduce.Point{},
	}
	point := func(label string) reduce.Point {
		return reduce.Point{
			X: reduce.Length(rapid.Int64Range(-40, 40).Draw(r, label+" x")) * reduce.Foot,
			Y: reduce.Length(rapid.Int64Range(-40, 40).Draw(r, label+" y")) * reduce.Foot,
		}
	}
	for st := range truth {
		if rapid.IntRange(0, 4).Draw(r, "has a place") > 0 {
			out.Places[st] = point(st.Name(reduce.Foot))
		}
	}
	for _, rod := range s.rods {
		if len(out.SetUps) == 0 || rapid.Bool().Draw(r, "moved") {
			u := reduce.SetUp{ID: len(out.SetUps) + 1}
			if rapid.Bool().Draw(r, "laser known") {
				p := point("laser")
				u.Laser = &p
			}
			out.SetUps = append(out.SetUps, u)
		}
		u := &out.SetUps[len(out.SetUps)-1]
		u.Rods = append(u.Rods, rod)
	}
	return out, truth
}

// TestSolveFindsTheTruth: readings without errors give the true heights to the
// nanometre, whatever is tied how, level beams, and no misclosure.
func TestSolveFindsTheTruth(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s, truth := placed(r, true)
		got := solve(r, s)
		for st, e := range got.Elevations {
			if e != truth[st] {
				r.Fatalf("%s: %v, want %v", st.Name(reduce.Foot), e, truth[st])
			}
		}
		for _, u := range got.SetUps {
			if u.Misclosure != nil && *u.Misclosure != 0 || u.Tilt != nil && (u.Tilt[0].Value != 0 || u.Tilt[1].Value != 0) {
				r.Fatalf("set-up %d: %+v", u.ID, u)
			}
		}
		seen := map[reduce.Station]bool{}
		for _, o := range s.Observations {
			seen[o.Station] = true
		}
		for _, st := range got.Untied {
			if _, ok := got.Elevations[st]; ok || !seen[st] {
				r.Fatalf("%s is untied and has an elevation or no reading", st.Name(reduce.Foot))
			}
		}
		if len(got.Untied)+len(got.Elevations) != len(seen) {
			r.Fatalf("%d tied and %d untied of %d", len(got.Elevations), len(got.Untied), len(seen))
		}
	})
}

// TestBridgesStayExact: a reading that nothing checks is never moved on its
// own: without redundancy all is as propagated, to the nanometre, though
// readings have errors and beams may tilt.
func TestBridgesStayExact(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s, _ := placed(r, false)
		// Only the observations that join something new.
		full := solve(r, s)
		var kept []reduce.Observation
		for i, o := range s.Observations {
			if !slices.ContainsFunc(full.Closures, func(c reduce.Closure) bool { return c.Observation == i }) && full.Residuals[i].Tied {
				kept = append(kept, o)
			}
		}
		s.Observations = kept
		got := solve(r, s)
		if got.DegreesOfFreedom != 0 || got.VarianceFactor != 0 || len(got.Closures) != 0 || len(got.Checked) != 0 {
			r.Fatalf("redundancy %d, factor %v, checked %v", got.DegreesOfFreedom, got.VarianceFactor, got.Checked)
		}
		for _, o := range kept {
			var rod reduce.Rod
			for _, u := range s.SetUps {
				for _, x := range u.Rods {
					if x.ID == o.Rod {
						rod = x
					}
				}
			}
			if e := rod.Elevation(o.Value, got.Constants[o.Rod]); e != got.Elevations[o.Station] {
				r.Fatalf("%s: %v, reading says %v", o.Station.Name(reduce.Foot), got.Elevations[o.Station], e)
			}
		}
	})
}

// TestSight: a station that nothing checks stands where its rod's constant and
// beam put it, to the rounding; a rod that nothing ties says nothing.
func TestSight(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s, _ := placed(r, false)
		s.Weights = anyWeights(r)
		got := solve(r, s)
		for i, o := range s.Observations {
			var at *reduce.Point
			if p, ok := s.Places[o.Station]; ok {
				at = &p
			}
			e, ok := got.Sight(o.Rod, o.Value, at)
			if ok != got.Residuals[i].Tied {
				r.Fatalf("rod %d: says %t, tied %t", o.Rod, ok, got.Residuals[i].Tied)
			}
			if !ok {
				continue
			}
			// Its residual is what the adjustment moved the station by.
			if d := (e - got.Elevations[o.Station] - got.Residuals[i].Value).Abs(); d > 1001 {
				r.Fatalf("%s: sight %v, elevation %v, residual %v", o.Station.Name(reduce.Foot), e, got.Elevations[o.Station], got.Residuals[i].Value)
			}
			if got.DegreesOfFreedom == 0 && e != got.Elevations[o.Station] {
				r.Fatalf("%s: sight %v, elevation %v", o.Station.Name(reduce.Foot), e, got.Elevations[o.Station])
			}
		}
		if _, ok := got.Sight(99, 0, nil); ok {
			r.Fatal("a rod that is not there says something")
		}
	})
}
