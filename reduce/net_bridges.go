package reduce

// checkedObservations finds the observations that could be left out and still
// be worked out from the others: those that are no bridges of the graph. (See
// Levels.Checked; here a circle may run through any known heights.) Bridges
// are found by depth-first search and low-links (R. E. Tarjan, A note on
// finding the bridges of a graph, 1974; from memory). The search goes from rod
// to rod, so it is never deeper than there are rods, twice.
func (t *ties) checkedObservations() []bool {
	b := &bridges{ties: t, order: make([]int, len(t.parent)), checked: make([]bool, len(t.at))}
	nodes := len(t.parent)
	b.first = make([]int, nodes+1)
	ends := func(i int) [2]int { return [2]int{t.node[t.at[i]], t.nodeOf(t.rod[i])} }
	for i := range t.at {
		for _, n := range ends(i) {
			b.first[n+1]++
		}
	}
	for n := range nodes {
		b.first[n+1] += b.first[n]
	}
	next := append([]int(nil), b.first...)
	b.list = make([]int, 2*len(t.at))
	for i := range t.at {
		for _, n := range ends(i) {
			b.list[next[n]] = i
			next[n]++
		}
	}
	for n := range nodes {
		if b.order[n] == 0 {
			b.visit(n, -1)
		}
	}
	return b.checked
}

// bridges is a depth-first search.
type bridges struct {
	*ties
	first, list []int // observations, node by node
	order       []int // in which nodes were reached, from 1
	count       int
	checked     []bool
}

// visit searches from a node that was reached along the observation from, and
// returns the lowest order that can be reached from there along others.
func (b *bridges) visit(node, from int) int {
	b.count++
	b.order[node] = b.count
	low := b.count
	for _, i := range b.list[b.first[node]:b.first[node+1]] {
		if i == from {
			continue
		}
		other := b.node[b.at[i]] + b.nodeOf(b.rod[i]) - node
		reach := b.order[other]
		if reach == 0 {
			reach = b.visit(other, i)
			b.checked[i] = reach <= b.order[node]
		} else {
			b.checked[i] = true
		}
		low = min(low, reach)
	}
	return low
}
