package reduce_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"rodcall/reduce"
)

// dense is a survey's observation equations in full, for gonum: every rod,
// beam, cone and elevation a column, priors as rows, in millimetres and metres.
type dense struct {
	columns map[any]int
	rows    [][]float64
	values  []float64 // as observed
	weights []float64
}

type (
	tiltX  int
	tiltY  int
	isCone struct{}
)

// sd of a limit that holds 95 in 100.
const limit95 = 1.959963984540054

// observe writes the equations of a survey whose every observation is tied,
// straight from the model's definition: elevation + c − t·d − κ·ρ = ±value.
func observe(s reduce.Survey) dense {
	d := dense{columns: map[any]int{}}
	type equation map[any]float64
	var list []equation
	put := func(e equation, v, w float64) {
		for k := range e {
			if _, ok := d.columns[k]; !ok {
				d.columns[k] = len(d.columns)
			}
		}
		list, d.values, d.weights = append(list, e), append(d.values, v), append(d.weights, w)
	}
	mm := func(l reduce.Length) float64 { return float64(l) / 1e6 }
	m := func(l reduce.Length) float64 { return float64(l) / 1e9 }
	b := s.Budget
	slope := func(g reduce.Grade) float64 { return mm(g.Rise) / m(g.Run) / limit95 }
	heights := s.Known
	if len(heights) == 0 {
		heights = map[reduce.Station]reduce.Length{s.Reference: 0}
	}
	cone := false
	for _, u := range s.SetUps {
		var cx, cy, n float64
		for _, r := range u.Rods {
			for _, o := range s.Observations {
				if p, ok := s.Places[o.Station]; ok && o.Rod == r.ID {
					cx, cy, n = cx+m(p.X), cy+m(p.Y), n+1
				}
			}
		}
		cx, cy = cx/n, cy/n
		if u.Laser != nil {
			cx, cy = m(u.Laser.X), m(u.Laser.Y)
		}
		for _, r := range u.Rods {
			for _, o := range s.Observations {
				if o.Rod != r.ID {
					continue
				}
				sign := -1.0
				if r.Rises() {
					sign = 1
				}
				e := equation{r.ID: 1}
				v := sign * mm(o.Value)
				if h, ok := heights[o.Station]; ok {
					v -= mm(h)
				} else {
					e[o.Station] = 1
				}
				if p, ok := s.Places[o.Station]; ok {
					dx, dy := m(p.X)-cx, m(p.Y)-cy
					e[tiltX(u.ID)], e[tiltY(u.ID)] = -dx, -dy
					if u.Laser != nil {
						cone = true
						e[isCone{}] = -math.Hypot(dx, dy)
					}
				}
				q := math.Pow(mm(b.Receiver)/limit95, 2) + math.Pow(mm(b.Resolution), 2)/12
				if r.Kind == reduce.Standard {
					q += math.Pow(mm(o.Value)*(1-math.Cos(b.RodLean*math.Pi/180))/limit95, 2)
				}
				put(e, v, 1/q)
			}
		}
		if n > 0 {
			put(equation{tiltX(u.ID): 1}, 0, 1/math.Pow(slope(b.Tilt), 2))
			put(equation{tiltY(u.ID): 1}, 0, 1/math.Pow(slope(b.Tilt), 2))
		}
	}
	if cone {
		put(equation{isCone{}: 1}, 0, 1/math.Pow(slope(b.Cone), 2))
	}
	for _, e := range list {
		row := make([]float64, len(d.columns))
		for k, v := range e {
			row[d.columns[k]] = v
		}
		d.rows = append(d.rows, row)
	}
	return d
}

// normals are the normal equations.
func (d dense) normals() (*mat.SymDense, *mat.VecDense) {
	n := len(d.columns)
	m, y := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	for r, row := range d.rows {
		m.SymRankOne(m, d.weights[r], mat.NewVecDense(n, row))
		y.AddScaledVec(y, d.weights[r]*d.values[r], mat.NewVecDense(n, row))
	}
	return m, y
}

// TestSolveAgainstGonum compares elevations and variances (to 1e-9 before
// rounding), tilts, the cone, redundancy, normalised residuals and all
// uncertainties (to the nanometre that they are rounded to) with gonum's
// Cholesky of the full normal equations, on random surveys.
func TestSolveAgainstGonum(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s, _ := placed(r, false)
		if rapid.Bool().Draw(r, "known heights") {
			s.Known = map[reduce.Station]reduce.Length{
				reduce.Corner(1): 29_230 * reduce.Millimetre, reduce.Corner(4): 29_231 * reduce.Millimetre,
			}
		}
		got := solve(r, s)
		var tied []reduce.Observation
		for i, o := range s.Observations {
			if got.Residuals[i].Tied {
				tied = append(tied, o)
			}
		}
		if len(tied) == 0 {
			return
		}
		if s.Observations = tied; len(tied) < len(got.Residuals) {
			got = solve(r, s)
		}
		d := observe(s)
		m, y := d.normals()
		var chol mat.Cholesky
		if !chol.Factorize(m) {
			r.Fatal("gonum cannot factor")
		}
		var x mat.VecDense
		var inv mat.SymDense
		if err := chol.SolveVecTo(&x, y); err != nil {
			r.Fatal(err)
		}
		if err := chol.InverseTo(&inv); err != nil {
			r.Fatal(err)
		}
		near := func(what string, got, want, tolerance float64) {
			if !(math.Abs(got-want) <= tolerance) {
				r.Fatalf("%s: %.12g, gonum %.12g", what, got, want)
			}
		}
		cov := func(a, b any) float64 {
			i, oki := d.columns[a]
			j, okj := d.columns[b]
			if !oki || !okj {
				return 0
			}
			return inv.At(i, j)
		}
		for a, e := range got.Elevations {
			if i, ok := d.columns[a]; ok {
				near("elevation "+a.Name(reduce.Foot), float64(e)/1e6, x.AtVec(i), 0.000_501)
				fine, variance := got.Unrounded(a)
				near("unrounded elevation", fine/1e6, x.AtVec(i), 1e-9*math.Max(1, math.Abs(x.AtVec(i))))
				near("variance", variance/1e12, inv.At(i, i), 1e-9*math.Max(1, inv.At(i, i)))
			}
			u, _ := got.Uncertainty(a)
			near("uncertainty "+a.Name(reduce.Foot), float64(u)/1e6, math.Sqrt(cov(a, a)), 0.000_001)
			for b := range got.Elevations {
				u, _ := got.Difference(a, b)
				near("difference", float64(u)/1e6, math.Sqrt(math.Max(0, cov(a, a)+cov(b, b)-2*cov(a, b))), 0.000_001)
			}
		}
		for _, u := range got.SetUps {
			if u.Tilt == nil {
				continue
			}
			for i, key := range []any{tiltX(u.ID), tiltY(u.ID)} {
				near("tilt", u.Tilt[i].Value/1e6, x.AtVec(d.columns[key]), 1e-9)
				near("tilt's uncertainty", u.Tilt[i].Uncertainty/1e6, math.Sqrt(cov(key, key)), 1e-9)
			}
		}
		if got.Cone != nil {
			near("cone", got.Cone.Value/1e6, x.AtVec(d.columns[isCone{}]), 1e-9)
		}
		// Rows stand set-up by set-up; equal readings of one rod are equal rows.
		factor := 0.0
		redundancy, worst := 0.0, 0.0
		for k, row := range d.rows {
			v := mat.NewVecDense(len(row), row)
			e := d.values[k] - mat.Dot(v, &x)
			factor += d.weights[k] * e * e
			if part := 1 - d.weights[k]*mat.Inner(v, &inv, v); part > 1e-6 {
				redundancy += part
				if i, ok := d.columns[isCone{}]; (!ok || row[i] != 1) && !onlyTilt(d, row) {
					worst = math.Max(worst, math.Abs(e)*math.Sqrt(d.weights[k]/part))
				}
			}
		}
		if got.DegreesOfFreedom > 0 {
			near("variance factor", got.VarianceFactor, factor/float64(got.DegreesOfFreedom), 1e-9*math.Max(1, factor))
			near("degrees of freedom", float64(got.DegreesOfFreedom), redundancy, 1e-4)
			most := 0.0
			for _, v := range got.Residuals {
				most = math.Max(most, math.Abs(v.Normalised))
			}
			near("largest normalised residual", most, worst, 1e-6*math.Max(1, worst))
		}
	})
}

// onlyTilt says that a row is what is known of a tilt beforehand.
func onlyTilt(d dense, row []float64) bool {
	for key, i := range d.columns {
		switch key.(type) {
		case tiltX, tiltY, isCone:
		default:
			if row[i] != 0 {
				return false
			}
		}
	}
	return true
}
