package reduce_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

// same compares two solutions of what should be one survey: heights within the
// two roundings, or exactly where both are exact, and all uncertainties.
func same(r *rapid.T, got, want reduce.Solution, rise reduce.Length) {
	r.Helper()
	if len(got.Elevations) != len(want.Elevations) || got.DegreesOfFreedom != want.DegreesOfFreedom {
		r.Fatalf("%d elevations and %d free, want %d and %d", len(got.Elevations), got.DegreesOfFreedom, len(want.Elevations), want.DegreesOfFreedom)
	}
	slack := reduce.Micrometre
	if want.DegreesOfFreedom == 0 {
		slack = 0
	}
	for st, e := range want.Elevations {
		if d := (got.Elevations[st] - e - rise).Abs(); d > slack {
			r.Fatalf("%s: %v, want %v", st.Name(reduce.Foot), got.Elevations[st], e+rise)
		}
		if got.Checked[st] != want.Checked[st] {
			r.Fatalf("%s: checked %t", st.Name(reduce.Foot), got.Checked[st])
		}
		for other := range want.Elevations {
			g, _ := got.Difference(st, other)
			w, _ := want.Difference(st, other)
			if d := g - w; d < -2 || d > 2 {
				r.Fatalf("%s to %s: uncertainty %d, want %d", st.Name(reduce.Foot), other.Name(reduce.Foot), g, w)
			}
		}
	}
	if math.Abs(got.VarianceFactor-want.VarianceFactor) > 1e-6*(1+want.VarianceFactor) {
		r.Fatalf("variance factor %v, want %v", got.VarianceFactor, want.VarianceFactor)
	}
}

// anyWeights draws how a survey is weighed.
func anyWeights(r *rapid.T) reduce.Weights {
	return rapid.SampledFrom([]reduce.Weights{reduce.ByBudget, reduce.AlikeSetUps}).Draw(r, "weights")
}

// clone copies a survey for changing.
func clone(s reduce.Survey) reduce.Survey {
	s.Observations = slices.Clone(s.Observations)
	s.SetUps = slices.Clone(s.SetUps)
	for i := range s.SetUps {
		s.SetUps[i].Rods = slices.Clone(s.SetUps[i].Rods)
	}
	return s
}

// TestFlippedRods: a rod that counts the other way, with all its readings
// turned, changes nothing. Kind stays: it is the length read off that leans.
func TestFlippedRods(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s, _ := placed(r, false)
		s.Weights = anyWeights(r)
		other := clone(s)
		flipped := map[int]bool{}
		for i := range other.SetUps {
			for j := range other.SetUps[i].Rods {
				if rod := &other.SetUps[i].Rods[j]; rapid.Bool().Draw(r, "flip") {
					rod.Flipped, flipped[rod.ID] = !rod.Flipped, true
				}
			}
		}
		for i := range other.Observations {
			if o := &other.Observations[i]; flipped[o.Rod] {
				o.Value = -o.Value
			}
		}
		same(r, solve(r, other), solve(r, s), 0)
	})
}

// TestRaised: a rod held with its foot higher, the heights known beforehand
// raised, or the whole plan moved and turned by a quarter change no difference.
func TestRaised(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s, _ := placed(r, false)
		s.Weights = anyWeights(r)
		s.Budget.RodLean = 0 // it goes by the length read off
		other := clone(s)
		lift := reduce.Length(rapid.Int64Range(-1_000_000_000, 1_000_000_000).Draw(r, "lift"))
		for i := range other.Observations {
			if o := &other.Observations[i]; o.Rod%2 == 0 {
				o.Value += lift
			}
		}
		rise := 29_230 * reduce.Millimetre
		other.Known = map[reduce.Station]reduce.Length{s.Reference: rise}
		move := reduce.Length(rapid.Int64Range(-50, 50).Draw(r, "move")) * reduce.Metre
		turn := func(p reduce.Point) reduce.Point { return reduce.Point{X: move - p.Y, Y: p.X} }
		other.Places = map[reduce.Station]reduce.Point{}
		for st, p := range s.Places {
			other.Places[st] = turn(p)
		}
		for i, u := range other.SetUps {
			if u.Laser != nil {
				p := turn(*u.Laser)
				other.SetUps[i].Laser = &p
			}
		}
		same(r, solve(r, other), solve(r, s), rise)
	})
}

// TestOrder: the order of observations, of set-ups and of rods decides nothing
// but which reading closes a circle.
func TestOrder(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s, _ := placed(r, false)
		s.Weights = anyWeights(r)
		other := clone(s)
		if len(s.Observations) > 0 {
			other.Observations = rapid.Permutation(s.Observations).Draw(r, "order")
		}
		slices.Reverse(other.SetUps)
		for _, u := range other.SetUps {
			slices.Reverse(u.Rods)
		}
		a, b := solve(r, other), solve(r, s)
		same(r, a, b, 0)
		if len(a.Closures) != len(b.Closures) || !slices.Equal(a.Untied, b.Untied) || a.NoCone != b.NoCone {
			r.Fatalf("%d circles, want %d; untied %v, want %v", len(a.Closures), len(b.Closures), a.Untied, b.Untied)
		}
	})
}

// TestInches: a survey of which every length is 25.4 times as long has
// elevations and uncertainties 25.4 times as large.
func TestInches(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s, _ := placed(r, false)
		s.Weights = anyWeights(r)
		other := clone(s)
		grow := func(l reduce.Length) reduce.Length { return l / 1000 * 25_400 }
		for i := range s.Observations {
			o := &s.Observations[i]
			o.Value = o.Value / 1000 * 1000
			other.Observations[i].Value = grow(o.Value)
		}
		// Slopes stay as they are while places grow too.
		other.Places = map[reduce.Station]reduce.Point{}
		point := func(p reduce.Point) reduce.Point { return reduce.Point{X: grow(p.X), Y: grow(p.Y)} }
		for st, p := range s.Places {
			other.Places[st] = point(p)
		}
		for i, u := range other.SetUps {
			if u.Laser != nil {
				p := point(*u.Laser)
				other.SetUps[i].Laser = &p
			}
		}
		s.Budget.Receiver = s.Budget.Receiver / 1000 * 1000
		s.Budget.Resolution = s.Budget.Resolution / 1000 * 1000
		other.Budget.Receiver, other.Budget.Resolution = grow(s.Budget.Receiver), grow(s.Budget.Resolution)
		a, b := solve(r, other), solve(r, s)
		for st, e := range b.Elevations {
			u, _ := a.Uncertainty(st)
			w, _ := b.Uncertainty(st)
			if d := float64(a.Elevations[st]) - 25.4*float64(e); math.Abs(d) > 14_000 {
				r.Fatalf("%s: %v, want 25.4 times %v", st.Name(reduce.Foot), a.Elevations[st], e)
			}
			if d := float64(u) - 25.4*float64(w); math.Abs(d) > 14 {
				r.Fatalf("%s: uncertainty %d, want 25.4 times %d", st.Name(reduce.Foot), u, w)
			}
		}
	})
}
