package reduce

import (
	"math"
	"slices"
)

// Solve adjusts a survey of any number of set-ups, with both kinds of rod, by
// least squares. Unknowns are a constant of each rod, two slopes of the beam in
// each set-up that has stations with places, one cone (where a laser's place
// is known), and the elevations; of the slopes the budget says beforehand how
// far from 0 they may be. See Survey.Weights for the alternative.
//
// Where nothing is redundant all elevations are exactly as propagated: the
// slopes stay 0. Where something is, elevations and constants that it leaves
// untouched stay exact, the others are rounded once to 0.001 mm (a tie to
// even).
//
// Uncertainties are propagated from the budget as it is, not scaled by the
// variance factor.
//
// It returns ErrBudget for a useless budget, another error for rods that stand
// in two set-ups or in none.
func Solve(survey Survey) (Solution, error) {
	if err := survey.Budget.check(); err != nil {
		return Solution{}, err
	}
	t, err := tie(&survey)
	if err != nil {
		return Solution{}, err
	}
	n := arrange(&survey, t)
	n.assemble(&survey)
	s, ok := n.solve()
	if !ok {
		return Solution{}, ErrSingular
	}
	out := Solution{net: s, numbers: s}
	if survey.Weights == AlikeSetUps {
		out.numbers = s.propagateBudget(survey.Budget)
	}
	out.heights(s)
	out.judge(s, &survey)
	out.setUps(s, &survey)
	return out, nil
}

// heights makes lengths of the solution.
func (out *Solution) heights(s *solved) {
	out.Elevations = make(map[Station]Length, len(s.stations))
	out.Constants = make(map[int]Length, len(s.rods))
	out.variances = make([]float64, len(s.stations))
	for j, st := range s.stations {
		if !s.tied[j] {
			out.Untied = append(out.Untied, st)
			continue
		}
		out.Elevations[st] = shifted(s.elevation(j), s.shift[j])
		out.variances[j] = out.numbers.covariance(j, j)
	}
	sorted(out.Untied)
	for r, rod := range s.rods {
		c := s.rodAt[r]
		if c < 0 {
			out.UntiedRods = append(out.UntiedRods, rod.ID)
			continue
		}
		// The unknown is how much too high the propagated zero is; a rising rod
		// reads 0 at minus its constant.
		k, d := s.zero(r), s.unknowns[c]
		if rod.Rises() {
			k = -shifted(k, -d)
		} else {
			k = shifted(k, -d)
		}
		out.Constants[rod.ID] = k
	}
}

// shifted moves an exact length; what does not move it stays exact.
func shifted(l Length, by float64) Length {
	if math.Abs(by) <= untouched {
		return l
	}
	return micrometres(float64(l) + by)
}

// judge fills in residuals and what follows from them.
func (out *Solution) judge(s *solved, survey *Survey) {
	checked := s.checkedObservations()
	out.Checked = map[Station]bool{}
	out.Residuals = make([]Residual, len(s.at))
	sum, count := 0.0, 0
	for i, j := range s.at {
		if !s.tied[j] || s.rodAt[s.rod[i]] < 0 {
			continue
		}
		r := Residual{Tied: true}
		count++
		if checked[i] {
			v, part := s.residual(i)
			sum += s.weight[i] * v * v
			r.Value, r.Redundancy = Length(math.Round(v)), part
			if part > 0 {
				r.Normalised = v * math.Sqrt(s.weight[i]/part)
			}
			out.Checked[s.stations[j]] = true
		}
		out.Residuals[i] = r
	}
	unknowns := 0
	for j := range s.stations {
		if s.tied[j] && !s.known[j] {
			unknowns++
		}
	}
	for _, c := range s.rodAt {
		if c >= 0 {
			unknowns++
		}
	}
	if out.DegreesOfFreedom = count - unknowns; out.DegreesOfFreedom == 0 {
		return
	}
	for _, c := range s.tiltAt {
		if c >= 0 {
			x, y, sd := s.unknowns[c], s.unknowns[c+1], survey.Budget.tilt()
			sum += (x*x + y*y) / (sd * sd)
		}
	}
	if s.coneAt >= 0 {
		k := s.unknowns[s.coneAt] / survey.Budget.cone()
		sum += k * k
	}
	out.VarianceFactor = sum / float64(out.DegreesOfFreedom)
}

// setUps fills in closures and what is said of set-ups.
func (out *Solution) setUps(s *solved, survey *Survey) {
	for _, u := range survey.SetUps {
		out.SetUps = append(out.SetUps, SetUpResult{ID: u.ID})
	}
	slope := func(c int) Slope {
		return Slope{s.unknowns[c], math.Sqrt(s.inverse.row(c)[c])}
	}
	for r, c := range s.rodAt {
		out.SetUps[s.setUp[r]].Tied = out.SetUps[s.setUp[r]].Tied || c >= 0
	}
	for u, c := range s.tiltAt {
		if c >= 0 {
			out.SetUps[u].Tilt = &[2]Slope{slope(c), slope(c + 1)}
		}
	}
	if s.coneAt >= 0 {
		k := slope(s.coneAt)
		out.Cone = &k
	}
	for i, j := range s.at {
		u := s.setUp[s.rod[i]]
		out.NoCone = out.NoCone || s.tied[j] && s.place[j] != nil && s.laser[u] == nil && survey.Budget.cone() > 0
	}
	slices.Sort(s.closing)
	for _, i := range s.closing {
		if !s.tied[s.at[i]] {
			continue
		}
		u := &out.SetUps[s.setUp[s.rod[i]]]
		m := s.ties.misfit(i)
		out.Closures = append(out.Closures, Closure{i, u.ID, s.stations[s.at[i]], m})
		if u.Misclosure == nil || m.Abs() > u.Misclosure.Abs() {
			u.Misclosure = &m
		}
	}
}
