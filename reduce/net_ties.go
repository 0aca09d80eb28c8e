package reduce

import "fmt"

// ties is a survey as a graph: node 0 stands for all stations of known height,
// then come the other stations, then the rods. An observation joins its
// station and its rod. Every node has a potential: a station its elevation, a
// rod the elevation at which it reads 0, so that for an observation
//
//	elevation of the station = potential of the rod ± value.
//
// Potentials are propagated along the observations in the order given, those
// that close a circle being left out; a circle's misclosure is what such an
// observation disagrees by.
type ties struct {
	stations  []Station // by number; known ones too
	number    map[Station]int
	rods      []Rod
	rodNumber map[int]int // by ID
	setUp     []int       // of each rod: index in Survey.SetUps
	node      []int       // of each station, 0 where known
	known     []Length    // of each station: its height where known, else 0
	at, rod   []int       // of each observation: its station and rod by number
	rise      []Length    // of each observation: its value, + upwards
	parent    []int       // of each node, in a forest
	offset    []Length    // of each node: its potential above its parent's
	closing   []int       // observations that closed a circle
	first     []int       // where the observations of each station start in list
	list      []int       // observations, station by station
}

// tie builds the graph.
func tie(s *Survey) (*ties, error) {
	t := &ties{number: make(map[Station]int, len(s.Observations))}
	rods := map[int]int{}
	t.rodNumber = rods
	for i, u := range s.SetUps {
		for _, r := range u.Rods {
			if _, twice := rods[r.ID]; twice {
				return nil, fmt.Errorf("rod %d stands in two set-ups", r.ID)
			}
			rods[r.ID] = len(t.rods)
			t.rods, t.setUp = append(t.rods, r), append(t.setUp, i)
		}
	}
	heights := s.heights()
	count := len(s.Observations)
	t.at, t.rod, t.rise = make([]int, 0, count), make([]int, 0, count), make([]Length, 0, count)
	t.stations, t.known, t.node = make([]Station, 0, count), make([]Length, 0, count), make([]int, 0, count)
	nodes := 1
	for _, o := range s.Observations {
		r, ok := rods[o.Rod]
		if !ok {
			return nil, fmt.Errorf("reading by rod %d, which stands in no set-up", o.Rod)
		}
		n, ok := t.number[o.Station]
		if !ok {
			n = len(t.stations)
			t.number[o.Station] = n
			t.stations = append(t.stations, o.Station)
			h, known := heights[o.Station]
			t.known = append(t.known, h)
			if known {
				t.node = append(t.node, 0)
			} else {
				t.node = append(t.node, nodes)
				nodes++
			}
		}
		v := o.Value
		if !t.rods[r].Rises() {
			v = -v
		}
		t.at, t.rod, t.rise = append(t.at, n), append(t.rod, r), append(t.rise, v)
	}
	t.parent, t.offset = make([]int, nodes+len(t.rods)), make([]Length, nodes+len(t.rods))
	for i := range t.parent {
		t.parent[i] = i
	}
	t.sort()
	t.propagate()
	return t, nil
}

// sort lists the observations station by station.
func (t *ties) sort() {
	t.first = make([]int, len(t.stations)+1)
	for _, n := range t.at {
		t.first[n+1]++
	}
	for n := range t.stations {
		t.first[n+1] += t.first[n]
	}
	next := append([]int(nil), t.first...)
	t.list = make([]int, len(t.at))
	for i, n := range t.at {
		t.list[next[n]] = i
		next[n]++
	}
}

// nodeOf is the node of a rod.
func (t *ties) nodeOf(rod int) int { return len(t.parent) - len(t.rods) + rod }

// root finds a node's tree and its potential above the root's, and hangs the
// nodes on the way from the root itself.
func (t *ties) root(n int) (root int, above Length) {
	for root = n; t.parent[root] != root; root = t.parent[root] {
		above += t.offset[root]
	}
	left := above
	for n != root {
		next, step := t.parent[n], t.offset[n]
		t.parent[n], t.offset[n] = root, left
		n, left = next, left-step
	}
	return root, above
}

// propagate joins trees, observation by observation.
func (t *ties) propagate() {
	for i := range t.at {
		a, above := t.root(t.node[t.at[i]])
		b, over := t.root(t.nodeOf(t.rod[i]))
		if a == b {
			t.closing = append(t.closing, i)
			continue
		}
		// potential of b above a's
		d := above + t.known[t.at[i]] - t.rise[i] - over
		if b == 0 {
			t.parent[a], t.offset[a] = b, -d
		} else {
			t.parent[b], t.offset[b] = a, d
		}
	}
}

// rodTied and stationTied say whether known heights reach that far.
func (t *ties) rodTied(rod int) bool { r, _ := t.root(t.nodeOf(rod)); return r == 0 }
func (t *ties) stationTied(station int) bool {
	r, _ := t.root(t.node[station])
	return r == 0
}

// elevation of a station as propagated.
func (t *ties) elevation(station int) Length {
	_, p := t.root(t.node[station])
	return p + t.known[station]
}

// zero is the elevation at which a rod reads 0, as propagated.
func (t *ties) zero(rod int) Length { _, p := t.root(t.nodeOf(rod)); return p }

// misfit is how much higher an observation puts its station than propagation.
func (t *ties) misfit(i int) Length {
	return t.zero(t.rod[i]) + t.rise[i] - t.elevation(t.at[i])
}
