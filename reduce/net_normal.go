package reduce

import "math"

// normal is the normal equations of a survey, with the stations eliminated.
//
// With u the ±value of an observation (+ upwards), the model is
//
//	zero + u = E + c − t·d − κ·ρ + noise
//
// where zero is the rod's propagated potential and c its error, E the
// station's elevation, t the slopes of the beam's plane, d the station's place
// in the set-up, κ the cone's slope and ρ the distance from the laser: where the beam stands high, a spot looks
// low on either kind of rod. All unknowns are corrections to propagated
// values, so they are small, and exactly 0 where nothing disagrees.
//
// A station meets others only through rods, tilts and the cone, so with its
// observations' weights w and rows a over those, W = Σw and b = Σwa/W, it adds
// Σwaaᵀ − Wbbᵀ to the reduced matrix (the Schur complement; a station that is
// read once adds nothing) and its own correction is the mean misfit less b·g.
// A known station adds Σwaaᵀ. What a tilt and the cone may be stands on the
// diagonal as 1/variance.
type normal struct {
	*ties
	columns int
	rodAt   []int    // column of each rod, -1 where it is not tied
	rodZero []Length // of each rod, as propagated
	tiltAt  []int    // first of two columns of each set-up, -1 where it has none
	coneAt  int      // -1 where no laser's place is known
	origin  []xy     // of each set-up
	laser   []*Point
	place   []*xy     // of each station, nil where it has none
	weight  []float64 // of each observation, 0 where not tied
	noise   []float64 // its variance by the budget
	misfit  []float64 // of each observation
	known   []bool    // of each station
	tied    []bool    // of each station
	sum     []float64 // W
	mean    []float64 // mean misfit
	start   []int     // b of station j is terms[start[j]:start[j+1]]
	terms   []term
	matrix  square
	right   []float64
}

// xy is a place in metres.
type xy struct{ x, y float64 }

func metres(p Point) xy { return xy{float64(p.X) / float64(Metre), float64(p.Y) / float64(Metre)} }

// arrange gives every unknown its column.
func arrange(s *Survey, t *ties) *normal {
	n := &normal{ties: t, coneAt: -1}
	n.rodAt, n.tiltAt = make([]int, len(t.rods)), make([]int, len(s.SetUps))
	n.rodZero = make([]Length, len(t.rods))
	for r := range t.rods {
		n.rodAt[r], n.rodZero[r] = -1, t.zero(r)
		if t.rodTied(r) {
			n.rodAt[r] = n.columns
			n.columns++
		}
	}
	n.place = make([]*xy, len(t.stations))
	places := make([]xy, 0, len(t.stations))
	n.known, n.tied = make([]bool, len(t.stations)), make([]bool, len(t.stations))
	for j, st := range t.stations {
		n.known[j], n.tied[j] = t.node[j] == 0, t.stationTied(j)
		if p, ok := s.Places[st]; ok {
			places = append(places, metres(p))
			n.place[j] = &places[len(places)-1]
		}
	}
	n.origin, n.laser = make([]xy, len(s.SetUps)), make([]*Point, len(s.SetUps))
	count := make([]float64, len(s.SetUps))
	for i, r := range t.rod {
		if p := n.place[t.at[i]]; p != nil && n.rodAt[r] >= 0 {
			u := t.setUp[r]
			n.origin[u].x += p.x
			n.origin[u].y += p.y
			count[u]++
		}
	}
	model := s.Weights == ByBudget
	cone := false
	for u, c := range count {
		n.tiltAt[u] = -1
		if c == 0 {
			continue
		}
		n.origin[u].x /= c
		n.origin[u].y /= c
		if l := s.SetUps[u].Laser; l != nil {
			n.laser[u], n.origin[u], cone = l, metres(*l), true
		}
		if model && s.Budget.tilt() > 0 {
			n.tiltAt[u] = n.columns
			n.columns += 2
		}
	}
	if model && cone && s.Budget.cone() > 0 {
		n.coneAt = n.columns
		n.columns++
	}
	return n
}

// row appends what an observation says about the columns.
func (n *normal) row(i int, a []term) []term { return n.rowOf(n.rod[i], n.place[n.at[i]], a) }

// rowOf is row for a reading by a rod at a place.
func (n *normal) rowOf(r int, p *xy, a []term) []term {
	u := n.setUp[r]
	a = append(a, term{n.rodAt[r], 1})
	if p == nil {
		return a
	}
	dx, dy := p.x-n.origin[u].x, p.y-n.origin[u].y
	if c := n.tiltAt[u]; c >= 0 {
		a = append(a, term{c, -dx}, term{c + 1, -dy})
	}
	if n.coneAt >= 0 && n.laser[u] != nil {
		a = append(a, term{n.coneAt, -math.Hypot(dx, dy)})
	}
	return a
}

// add adds f·aaᵀ to the matrix.
func (n *normal) add(f float64, a []term) {
	for _, s := range a {
		row := n.matrix.row(s.column)
		for _, t := range a {
			row[t.column] += f * s.value * t.value
		}
	}
}
