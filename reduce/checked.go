package reduce

// checked finds the stations that something checks: those with an observation
// that could be left out and still be worked out from the others. In the graph
// of rods and stations these are the observations that are not bridges: the
// turning points of an open line are read twice and checked by nothing, those
// of a closed one are checked. Bridges are found by depth-first search and
// low-links (R. E. Tarjan, A note on finding the bridges of a graph, 1974;
// from memory).
func (n *net) checked() map[Station]bool {
	s := &search{net: n, order: map[any]int{}, checked: map[Station]bool{}}
	s.visit(n.reference, -1)
	return s.checked
}

// search is a depth-first search; its nodes are stations, and rods by number.
type search struct {
	*net
	order   map[any]int
	checked map[Station]bool
}

// visit searches from node, which was reached along the observation from. It
// returns the lowest order that can be reached from there along others.
func (s *search) visit(node any, from int) int {
	s.order[node] = len(s.order)
	low := s.order[node]
	var list []int
	switch v := node.(type) {
	case Station:
		list = s.at[v]
	case int:
		list = s.by[v]
	}
	for _, i := range list {
		if i == from {
			continue
		}
		o := s.obs[i]
		var other any = o.Rod
		if node == other {
			other = o.Station
		}
		reach, seen := s.order[other]
		if !seen {
			reach = s.visit(other, i)
		}
		if seen || reach <= s.order[node] {
			s.checked[o.Station] = true
		}
		low = min(low, reach)
	}
	return low
}
