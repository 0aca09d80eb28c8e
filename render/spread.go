package render

// gap demands x[j] − x[from] ≥ d of two places on a line, from < j.
type gap struct {
	from int
	d    float64
}

// spread places points on a line near where they want to be, in their order:
// lo ≤ x ≤ hi each, and for every gap of j, x[j] − x[gap.from] ≥ gap.d. ok is
// false where there is no such placing.
//
// It is the mean of two placings, one that only pushes forward and one that
// only pushes back. Both keep every demand, so their mean does, and a crowd
// comes to stand about its middle.
func spread(want, lo, hi []float64, gaps [][]gap) (x []float64, ok bool) {
	n := len(want)
	first, last := append([]float64(nil), lo...), append([]float64(nil), hi...)
	for j := range n {
		for _, g := range gaps[j] {
			first[j] = max(first[j], first[g.from]+g.d)
		}
	}
	for j := n - 1; j >= 0; j-- {
		for _, g := range gaps[j] {
			last[g.from] = min(last[g.from], last[j]-g.d)
		}
	}
	forward, back := make([]float64, n), make([]float64, n)
	for j := range n {
		if first[j] > last[j] {
			return nil, false
		}
		w := min(max(want[j], first[j]), last[j])
		forward[j], back[j] = w, w
	}
	for j := range n {
		for _, g := range gaps[j] {
			forward[j] = max(forward[j], forward[g.from]+g.d)
		}
	}
	for j := n - 1; j >= 0; j-- {
		for _, g := range gaps[j] {
			back[g.from] = min(back[g.from], back[j]-g.d)
		}
	}
	for j := range n {
		forward[j] = (forward[j] + back[j]) / 2
	}
	return forward, true
}
