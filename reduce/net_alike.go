package reduce

import "math"

// alike propagates the errors of the budget through an adjustment whose
// weights do not follow it. With h = w(a − b) of each observation, the error of
// the rods is Q·Σhε, and that of station j's elevation
//
//	Σ(w/W)ε over its observations − bᵀQ·Σhε over all,
//
// where ε is an observation's noise, variance v, and what its set-up's tilt
// and the cone do to it.
type alike struct {
	*solved
	own   []float64   // of each station: Σ(w/W)²v
	cross [][]term    // of each station: Σ(w/W)v·h
	rods  square      // Q·Σv·hhᵀ·Q
	beams [][]float64 // of each station: what one standard uncertainty of each tilt and of the cone does
}

// beam is what one standard uncertainty of each tilt and of the cone does to
// an observation. Two columns a set-up, then one for the cone.
func (s *solved) beam(i int, budget Budget) []term {
	j, u := s.at[i], s.setUp[s.rod[i]]
	p := s.place[j]
	if p == nil {
		return nil
	}
	dx, dy := p.x-s.origin[u].x, p.y-s.origin[u].y
	e := []term{{2 * u, -dx * budget.tilt()}, {2*u + 1, -dy * budget.tilt()}}
	if s.laser[u] != nil {
		e = append(e, term{2 * len(s.tiltAt), -math.Hypot(dx, dy) * budget.cone()})
	}
	return e
}

// propagate works out what covariances need.
func (s *solved) propagateBudget(budget Budget) *alike {
	p, beams := s.columns, 2*len(s.tiltAt)+1
	a := &alike{solved: s, own: make([]float64, len(s.stations)), cross: make([][]term, len(s.stations))}
	a.beams = make([][]float64, len(s.stations))
	middle := &normal{matrix: newSquare(p)}
	through := make([]float64, p*beams) // Σ h·beamᵀ
	for j := range s.stations {
		a.beams[j] = make([]float64, beams)
		if !s.tied[j] {
			continue
		}
		for _, i := range s.list[s.first[j]:s.first[j+1]] {
			w := s.weight[i]
			h := plus(s.row(i, make([]term, 0, 4)), -1, s.b(j))
			for k := range h {
				h[k].value *= w
			}
			e := s.beam(i, budget)
			middle.add(s.noise[i], h)
			for _, t := range h {
				for _, b := range e {
					through[t.column*beams+b.column] += t.value * b.value
				}
			}
			if s.known[j] {
				continue
			}
			share := w / s.sum[j]
			a.own[j] += share * share * s.noise[i]
			a.cross[j] = plus(a.cross[j], share*s.noise[i], h)
			for _, b := range e {
				a.beams[j][b.column] += share * b.value
			}
		}
	}
	a.rods = s.inverse.product(middle.matrix).product(s.inverse)
	moved := make([]float64, p*beams) // Q·through
	for i := range p {
		for k, q := range s.inverse.row(i) {
			for b := range beams {
				moved[i*beams+b] += q * through[k*beams+b]
			}
		}
	}
	for j := range s.stations {
		for _, t := range s.b(j) {
			for b := range beams {
				a.beams[j][b] -= t.value * moved[t.column*beams+b]
			}
		}
	}
	return a
}

// product of two matrices.
func (m square) product(o square) square {
	r := newSquare(m.n)
	for i := range m.n {
		for k, v := range m.row(i) {
			for j, w := range o.row(k) {
				r.v[i*m.n+j] += v * w
			}
		}
	}
	return r
}

// covariance of the elevations of two stations.
func (a *alike) covariance(j, k int) float64 {
	v := a.rods.form(a.b(j), a.b(k)) + dot(a.beams[j], a.beams[k]) -
		a.inverse.form(a.b(k), a.cross[j]) - a.inverse.form(a.b(j), a.cross[k])
	if j == k {
		v += a.own[j]
	}
	return v
}
