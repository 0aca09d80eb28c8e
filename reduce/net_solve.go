package reduce

import "math"

// weigh gives every tied observation its weight: by the budget, or all the
// mean one.
func (n *normal) weigh(s *Survey) {
	n.weight, n.noise = make([]float64, len(n.at)), make([]float64, len(n.at))
	n.misfit = make([]float64, len(n.at))
	total, count := 0.0, 0.0
	for i, r := range n.rod {
		if n.rodAt[r] < 0 {
			continue
		}
		n.noise[i] = s.Budget.noise(n.rods[r].Kind, s.Observations[i].Value)
		n.misfit[i] = float64(n.ties.misfit(i))
		n.weight[i] = 1 / n.noise[i]
		total += n.noise[i]
		count++
	}
	if s.Weights == ByBudget {
		return
	}
	for i, w := range n.weight {
		if w > 0 {
			n.weight[i] = count / total
		}
	}
}

// assemble adds up the reduced matrix and its right-hand side.
func (n *normal) assemble(s *Survey) {
	n.weigh(s)
	n.matrix, n.right = newSquare(n.columns), make([]float64, n.columns)
	n.sum, n.mean = make([]float64, len(n.stations)), make([]float64, len(n.stations))
	n.start = make([]int, len(n.stations)+1)
	n.terms = make([]term, 0, 4*len(n.stations))
	a, b := make([]term, 0, 8), make([]term, 0, 8)
	for j := range n.stations {
		b = n.eliminate(j, a[:0], b[:0])
		n.terms = append(n.terms, b...)
		n.start[j+1] = len(n.terms)
	}
	prior := func(column int, sd float64) { n.matrix.v[column*n.columns+column] += 1 / (sd * sd) }
	for _, c := range n.tiltAt {
		if c >= 0 {
			prior(c, s.Budget.tilt())
			prior(c+1, s.Budget.tilt())
		}
	}
	if n.coneAt >= 0 {
		prior(n.coneAt, s.Budget.cone())
	}
}

// eliminate adds what station j says to the matrix and returns its b; a is
// room to work in.
func (n *normal) eliminate(j int, a, b []term) []term {
	list := n.list[n.first[j]:n.first[j+1]]
	if n.known[j] {
		for _, i := range list {
			a = n.row(i, a[:0])
			n.add(n.weight[i], a)
			for _, t := range a {
				n.right[t.column] += n.weight[i] * t.value * n.misfit[i]
			}
		}
		return b
	}
	if !n.tied[j] {
		return b
	}
	for _, i := range list {
		n.sum[j] += n.weight[i]
		n.mean[j] += n.weight[i] * n.misfit[i]
	}
	n.mean[j] /= n.sum[j]
	if len(list) == 1 {
		n.mean[j] = n.misfit[list[0]]
		return n.row(list[0], b)
	}
	for _, i := range list {
		a = n.row(i, a[:0])
		b = plus(b, n.weight[i]/n.sum[j], a)
		n.add(n.weight[i], a)
		f := n.weight[i] * (n.misfit[i] - n.mean[j])
		for _, t := range a {
			n.right[t.column] += f * t.value
		}
	}
	n.add(-n.sum[j], b)
	return b
}

// b of a station: the mean row of its observations.
func (n *normal) b(j int) []term { return n.terms[n.start[j]:n.start[j+1]] }

// solved is the normal equations and their solution, in nanometres (and
// nanometres per metre for slopes).
type solved struct {
	*normal
	unknowns []float64
	inverse  square
	shift    []float64 // of each station: its elevation above the propagated one
}

// solve solves a survey. ok is false where the equations are singular, which
// a usable budget rules out but for the limits of floats.
func (n *normal) solve() (s *solved, ok bool) {
	s = &solved{normal: n, shift: make([]float64, len(n.stations))}
	if s.unknowns, s.inverse, ok = solveNormal(n.matrix, n.right); !ok {
		return nil, false
	}
	for j := range n.stations {
		if n.tied[j] && !n.known[j] {
			s.shift[j] = n.mean[j] - times(n.b(j), s.unknowns)
		}
	}
	return s, true
}

// covariance of the elevations of two stations, by propagation: with the
// reduced inverse Q it is bᵀQb, and 1/W more for a station with itself.
func (s *solved) covariance(j, k int) float64 {
	v := s.inverse.form(s.b(j), s.b(k))
	if j == k && !s.known[j] {
		v += 1 / s.sum[j]
	}
	return v
}

// residual of observation i is how much higher it puts its station than the
// adjustment does; part is its redundancy number, 1 − w·(variance of the
// adjusted observation).
func (s *solved) residual(i int) (v, part float64) {
	j := s.at[i]
	a := s.row(i, make([]term, 0, 8))
	v = s.misfit[i] - times(a, s.unknowns) - s.shift[j]
	a = plus(a, -1, s.b(j))
	q := s.inverse.form(a, a)
	if !s.known[j] {
		q += 1 / s.sum[j]
	}
	return v, math.Max(0, 1-s.weight[i]*q)
}
