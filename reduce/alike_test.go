package reduce_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"rodcall/reduce"
)

// TestAlikeBandsAgainstGonum: bands of an adjustment that counts set-ups alike
// follow the budget. With gonum: the errors' full covariance S (noise, and the
// tilts and cone that readings of a set-up share) taken through the estimator
// G = (AᵀA)⁻¹Aᵀ as G·S·Gᵀ.
func TestAlikeBandsAgainstGonum(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s, _ := placed(r, false)
		first := solve(r, s)
		var tied []reduce.Observation
		for i, o := range s.Observations {
			if first.Residuals[i].Tied {
				tied = append(tied, o)
			}
		}
		if len(tied) == 0 {
			return
		}
		s.Observations = tied
		d := observe(s)
		s.Weights = reduce.AlikeSetUps
		got := solve(r, s)
		// Columns of beams are errors here; the others are unknowns.
		var unknown, beams []int
		for key, i := range d.columns {
			switch key.(type) {
			case tiltX, tiltY, isCone:
				beams = append(beams, i)
			default:
				unknown = append(unknown, i)
			}
		}
		at := map[int]int{}
		for k, i := range unknown {
			at[i] = k
		}
		n := len(s.Observations)
		a, sigma := mat.NewDense(n, len(unknown), nil), mat.NewSymDense(n, nil)
		variance := map[int]float64{}
		row := 0
		var rows [][]float64
		for k, v := range d.rows {
			if !onlyTilt(d, v) {
				for i, c := range unknown {
					a.Set(row, i, v[c])
				}
				sigma.SetSym(row, row, 1/d.weights[k])
				rows = append(rows, v)
				row++
				continue
			}
			for _, c := range beams {
				if v[c] != 0 {
					variance[c] = 1 / d.weights[k]
				}
			}
		}
		for _, c := range beams {
			e := mat.NewVecDense(n, nil)
			for i, v := range rows {
				e.SetVec(i, v[c])
			}
			sigma.SymRankOne(sigma, variance[c], e)
		}
		var normal, g, gs, cov mat.Dense
		normal.Mul(a.T(), a)
		if err := g.Solve(&normal, a.T()); err != nil {
			r.Fatal(err)
		}
		gs.Mul(&g, sigma)
		cov.Mul(&gs, g.T())
		of := func(x, y reduce.Station) float64 {
			i, oki := d.columns[x]
			j, okj := d.columns[y]
			if !oki || !okj {
				return 0
			}
			return cov.At(at[i], at[j])
		}
		for x := range got.Elevations {
			for y := range got.Elevations {
				u, ok := got.Difference(x, y)
				want := math.Sqrt(math.Max(0, of(x, x)+of(y, y)-2*of(x, y)))
				if !ok || math.Abs(float64(u)/1e6-want) > 2e-6 {
					r.Fatalf("%s to %s: %v mm, gonum %.9f", x.Name(reduce.Foot), y.Name(reduce.Foot), reduce.Length(u), want)
				}
			}
		}
	})
}
