package reduce_test

import (
	"math"
	"strconv"
	"testing"

	"rodcall/reduce"
)

// TestCertifiedLeastSquares solves the normal equations of data with certified
// results by the solver's own Cholesky. Normal equations lose twice the digits
// that the data lose: parameters must agree to 1e-8 of themselves, deviations
// to 1e-9.
func TestCertifiedLeastSquares(t *testing.T) {
	type set struct{ x, y, certified []float64 }
	sets, deviation := map[string]*set{}, map[string]float64{}
	for _, f := range checks(t, "least-squares.tsv", 83, 4) {
		if sets[f[0]] == nil {
			sets[f[0]] = &set{}
		}
		s := sets[f[0]]
		v, err := strconv.ParseFloat(f[3], 64)
		if err != nil {
			t.Fatal(err)
		}
		switch f[1] {
		case "P":
			s.certified = append(s.certified, v)
		case "S":
			deviation[f[0]] = v
		case "O":
			x, err := strconv.ParseFloat(f[2], 64)
			if err != nil {
				t.Fatal(err)
			}
			s.x, s.y = append(s.x, x), append(s.y, v)
		}
	}
	for name, s := range sets {
		p := len(s.certified)
		m, right := make([][]float64, p), make([]float64, p)
		for i := range m {
			m[i] = make([]float64, p)
			for k, x := range s.x {
				right[i] += math.Pow(x, float64(i)) * s.y[k]
				for j := range p {
					m[i][j] += math.Pow(x, float64(i+j))
				}
			}
		}
		got, ok := reduce.SolveNormal(m, right)
		if !ok {
			t.Fatalf("%s: singular", name)
		}
		for i, want := range s.certified {
			if d := math.Abs(got[i]/want - 1); !(d < 1e-8) {
				t.Errorf("%s, power %d: %.15g, want %.15g (off by %.2g)", name, i, got[i], want, d)
			} else {
				t.Logf("%s, power %d: off by %.1e of itself", name, i, d)
			}
		}
		sum := 0.0
		for k, x := range s.x {
			v := s.y[k]
			for i := range p {
				v -= got[i] * math.Pow(x, float64(i))
			}
			sum += v * v
		}
		sd := math.Sqrt(sum / float64(len(s.x)-p))
		if d := math.Abs(sd/deviation[name] - 1); !(d < 1e-9) {
			t.Errorf("%s: deviation %.15g, want %.15g", name, sd, deviation[name])
		}
	}
	if len(sets) != 2 {
		t.Errorf("%d sets, want 2", len(sets))
	}
}
