package reduce_test

import (
	"math/big"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

// survey is rods and what they read.
type survey struct {
	rods []reduce.Rod
	obs  []reduce.Observation
}

// anySurvey draws up to five rods that read up to eight stations each, true
// heights with errors of up to a millimetre.
func anySurvey(r *rapid.T, exact bool) (s survey, truth map[reduce.Station]reduce.Length) {
	truth = map[reduce.Station]reduce.Length{}
	for n := 1; n <= 8; n++ {
		truth[reduce.Corner(n)] = reduce.Length(rapid.Int64Range(-50_000_000, 50_000_000).Draw(r, "height"))
	}
	truth[reduce.Corner(1)] = 0
	for id := range rapid.IntRange(1, 5).Draw(r, "rods") {
		rod := reduce.Rod{ID: id + 1, Kind: reduce.Direct, Flipped: rapid.Bool().Draw(r, "flipped")}
		constant := reduce.Length(rapid.Int64Range(-100_000_000, 100_000_000).Draw(r, "constant"))
		if rapid.Bool().Draw(r, "standard") {
			rod.Kind = reduce.Standard
		}
		s.rods = append(s.rods, rod)
		for _, n := range rapid.SliceOfN(rapid.IntRange(1, 8), 1, 8).Draw(r, "stations") {
			e := truth[reduce.Corner(n)]
			v := constant - e
			if rod.Rises() {
				v = constant + e
			}
			if !exact {
				v += reduce.Length(rapid.Int64Range(-1_000_000, 1_000_000).Draw(r, "error"))
			}
			s.obs = append(s.obs, reduce.Observation{Rod: rod.ID, Station: reduce.Corner(n), Value: v})
		}
	}
	return s, truth
}

// TestAdjustFindsTheTruth: readings without errors give the true heights to
// the nanometre, however rods are tied, and leave out what is not tied.
func TestAdjustFindsTheTruth(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s, truth := anySurvey(r, true)
		got := reduce.Adjust(s.rods, s.obs, reduce.Corner(1))
		for st, e := range got.Elevations {
			if e != truth[st] {
				r.Fatalf("%s: %v, want %v", st.Name(reduce.Foot), e, truth[st])
			}
		}
		tied := tiedStations(s)
		for st := range tied {
			if _, ok := got.Elevations[st]; !ok {
				r.Fatalf("%s is tied and has no elevation", st.Name(reduce.Foot))
			}
		}
		if len(tied) != len(got.Elevations) {
			r.Fatalf("%d elevations of %d tied stations", len(got.Elevations), len(tied))
		}
	})
}

// tiedStations spreads out from the reference until nothing changes.
func tiedStations(s survey) map[reduce.Station]bool {
	rods, stations := map[int]bool{}, map[reduce.Station]bool{}
	reached := func(o reduce.Observation) bool {
		return rods[o.Rod] || stations[o.Station] || o.Station == reduce.Corner(1)
	}
	for range s.obs {
		for _, o := range s.obs {
			if reached(o) {
				rods[o.Rod], stations[o.Station] = true, true
			}
		}
	}
	return stations
}

// TestAdjustSolvesTheNormalEquations compares elevations with the solution of
// the full normal equations in rational numbers (all constants and elevations
// as unknowns, Gauss's elimination): at most 0.5 µm of rounding apart, plus a
// nanometre for the floats.
func TestAdjustSolvesTheNormalEquations(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s, _ := anySurvey(r, false)
		tied := tiedStations(s)
		s.obs = slices.DeleteFunc(s.obs, func(o reduce.Observation) bool { return !tied[o.Station] })
		got := reduce.Adjust(s.rods, s.obs, reduce.Corner(1))
		if len(s.obs) == 0 {
			return
		}
		want := exactly(s)
		for st, e := range want {
			f, _ := e.Float64()
			if d := f - float64(got.Elevations[st]); d > 501 || d < -501 {
				r.Fatalf("%s: %v, want %.3f nm", st.Name(reduce.Foot), got.Elevations[st], f)
			}
		}
	})
}

// exactly solves a survey whose every observation is tied.
func exactly(s survey) map[reduce.Station]*big.Rat {
	column := map[any]int{}
	index := func(key any) int {
		if _, ok := column[key]; !ok {
			column[key] = len(column)
		}
		return column[key]
	}
	for _, o := range s.obs {
		index(o.Rod)
		if o.Station != reduce.Corner(1) {
			index(o.Station)
		}
	}
	n := len(column)
	m := make([][]*big.Rat, n)
	for i := range m {
		m[i] = make([]*big.Rat, n+1)
		for j := range m[i] {
			m[i][j] = new(big.Rat)
		}
	}
	add := func(i, j int, v int64) { m[i][j].Add(m[i][j], big.NewRat(v, 1)) }
	for _, o := range s.obs {
		// value = constant ± elevation
		sign := int64(-1)
		if s.rods[o.Rod-1].Rises() {
			sign = 1
		}
		k := column[o.Rod]
		add(k, k, 1)
		add(k, n, int64(o.Value))
		if e, ok := column[o.Station]; ok {
			add(e, e, 1)
			add(k, e, sign)
			add(e, k, sign)
			add(e, n, sign*int64(o.Value))
		}
	}
	for i := range n {
		p := i
		for m[p][i].Sign() == 0 {
			p++
		}
		m[i], m[p] = m[p], m[i]
		for r := range n {
			if r == i || m[r][i].Sign() == 0 {
				continue
			}
			f := new(big.Rat).Quo(m[r][i], m[i][i])
			for c := i; c <= n; c++ {
				m[r][c].Sub(m[r][c], new(big.Rat).Mul(f, m[i][c]))
			}
		}
	}
	out := map[reduce.Station]*big.Rat{}
	for key, i := range column {
		if st, ok := key.(reduce.Station); ok {
			out[st] = new(big.Rat).Quo(m[i][n], m[i][i])
		}
	}
	return out
}

// TestChecked: a station is checked where one of its readings can be left out
// and its height still comes out, tried for each reading.
func TestChecked(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s, _ := anySurvey(r, false)
		got := reduce.Adjust(s.rods, s.obs, reduce.Corner(1))
		want := map[reduce.Station]bool{}
		for i, o := range s.obs {
			if _, ok := got.Elevations[o.Station]; !ok {
				continue
			}
			less := survey{s.rods, slices.Delete(slices.Clone(s.obs), i, i+1)}
			rest := reduce.Adjust(less.rods, less.obs, reduce.Corner(1))
			_, station := rest.Elevations[o.Station]
			_, rod := rest.Constants[o.Rod]
			if station && rod || o.Station == reduce.Corner(1) && rod {
				want[o.Station] = true
			}
		}
		for st := range got.Elevations {
			if got.Checked[st] != want[st] {
				r.Fatalf("%s: checked %t, want %t", st.Name(reduce.Foot), got.Checked[st], want[st])
			}
		}
	})
}
