package reduce

import (
	"math"
	"slices"
)

// hypot is the length of (x, y), to the nearest nanometre.
func hypot(x, y Length) Length { return Length(math.Round(math.Hypot(float64(x), float64(y)))) }

// Adjust reduces observations against the reference, whose elevation is 0.
// Rods are joined by the stations they share. Where nothing is redundant the
// results are exact. Where something is, they are the least-squares solution
// with every observation of equal weight: rod constants and elevations that
// the redundancy leaves untouched stay exact, the others are rounded once to
// 0.001 mm (a tie to even). What is not tied to the reference is left out of
// Levels.
func Adjust(rods []Rod, obs []Observation, reference Station) Levels {
	n := newNet(rods, obs, reference)
	n.tie()
	n.solve()
	return n.levels()
}

// net is the observations as a graph of rods and stations.
type net struct {
	rods      map[int]Rod
	reference Station
	obs       []Observation // of known rods only
	at        map[Station][]int
	by        map[int][]int
	tied      []int          // rods joined to the reference, in the order found
	exact     map[int]Length // their constants by propagation along the first path found
	constant  map[int]float64
	redundant bool // some rod's constant is over-determined
}

func newNet(rods []Rod, obs []Observation, reference Station) *net {
	n := &net{
		rods: map[int]Rod{}, reference: reference, at: map[Station][]int{}, by: map[int][]int{},
		exact: map[int]Length{}, constant: map[int]float64{},
	}
	for _, r := range rods {
		n.rods[r.ID] = r
	}
	for _, o := range obs {
		if _, ok := n.rods[o.Rod]; !ok {
			continue
		}
		i := len(n.obs)
		n.obs = append(n.obs, o)
		n.at[o.Station] = append(n.at[o.Station], i)
		n.by[o.Rod] = append(n.by[o.Rod], i)
	}
	return n
}

// constantFrom is the constant of the observation's rod if its station has
// that elevation.
func (n *net) constantFrom(o Observation, elevation Length) Length {
	if n.rods[o.Rod].Rises() {
		return o.Value - elevation
	}
	return o.Value + elevation
}

// tie walks from the reference to every rod that shares a station with it,
// directly or through others.
func (n *net) tie() {
	seen := map[Station]bool{n.reference: true}
	type spot struct {
		station   Station
		elevation Length
	}
	queue := []spot{{n.reference, 0}}
	for len(queue) > 0 {
		s := queue[0]
		queue = queue[1:]
		for _, i := range n.at[s.station] {
			o := n.obs[i]
			if _, ok := n.exact[o.Rod]; ok {
				continue
			}
			k := n.constantFrom(o, s.elevation)
			n.exact[o.Rod] = k
			n.tied = append(n.tied, o.Rod)
			for _, j := range n.by[o.Rod] {
				if p := n.obs[j]; !seen[p.Station] {
					seen[p.Station] = true
					queue = append(queue, spot{p.Station, n.rods[p.Rod].Elevation(p.Value, k)})
				}
			}
		}
	}
}

// solve finds the rod constants by least squares. With s = ±1 for the rod's
// direction the observation equation is value = k + s·elevation, so that
// s·value − s·k observes the elevation. Stations are eliminated: a station
// seen m times adds I − 11ᵀ/m of its rods' signed constants to the normal
// matrix; the reference, whose elevation is known, adds I.
func (n *net) solve() {
	slices.Sort(n.tied)
	index := map[int]int{}
	for i, r := range n.tied {
		index[r] = i
	}
	size := len(n.tied)
	matrix := make([][]float64, size)
	for i := range matrix {
		matrix[i] = make([]float64, size+1)
	}
	// Solved for as corrections to the propagated constants: small numbers,
	// and exactly zero where nothing disagrees.
	ties := 0
	disagree := false
	for station, list := range n.at {
		known := station == n.reference
		var rows []int
		var signs, misfits []float64
		var sum, mean float64
		for _, i := range list {
			o := n.obs[i]
			k, ok := n.exact[o.Rod]
			if !ok {
				continue
			}
			sign := -1.0
			if n.rods[o.Rod].Rises() {
				sign = 1
			}
			e := float64(n.rods[o.Rod].Elevation(o.Value, k))
			rows, signs, misfits = append(rows, index[o.Rod]), append(signs, sign), append(misfits, e)
			sum += e
		}
		m := float64(len(rows))
		if !known && m < 2 || m == 0 {
			continue
		}
		ties += len(rows)
		weight := 1 / m
		if mean = sum / m; known {
			weight, mean = 0, 0
		} else {
			ties--
		}
		for a := range rows {
			d := misfits[a] - mean
			disagree = disagree || d != 0
			matrix[rows[a]][size] += signs[a] * d
			for b := range rows {
				v := -weight
				if a == b {
					v++
				}
				matrix[rows[a]][rows[b]] += v * signs[a] * signs[b]
			}
		}
	}
	for _, r := range n.tied {
		n.constant[r] = 0
	}
	n.redundant = ties > size && disagree
	if !n.redundant {
		return
	}
	for i, d := range cholesky(matrix) {
		n.constant[n.tied[i]] = d
	}
}

// cholesky solves the symmetric positive definite system in the first n
// columns of an n×(n+1) matrix for its last column. The matrix is overwritten.
func cholesky(a [][]float64) []float64 {
	n := len(a)
	for j := range n {
		for k := range j {
			a[j][j] -= a[j][k] * a[j][k]
		}
		a[j][j] = math.Sqrt(a[j][j])
		for i := j + 1; i < n; i++ {
			for k := range j {
				a[i][j] -= a[i][k] * a[j][k]
			}
			a[i][j] /= a[j][j]
		}
	}
	x := make([]float64, n)
	for i := range n {
		x[i] = a[i][n]
		for k := range i {
			x[i] -= a[i][k] * x[k]
		}
		x[i] /= a[i][i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			x[i] -= a[k][i] * x[k]
		}
		x[i] /= a[i][i]
	}
	return x
}

// correction below which a constant counts as untouched: a picometre, far
// under the nanometre that lengths are counted in.
const untouched = 1e-3

// levels makes lengths of the solution.
func (n *net) levels() Levels {
	l := Levels{map[int]Length{}, map[Station]Length{}, n.checked()}
	for _, r := range n.tied {
		k := n.exact[r]
		if d := n.constant[r]; math.Abs(d) > untouched {
			k = micrometres(float64(k) + d)
		}
		l.Constants[r] = k
	}
	for station, list := range n.at {
		var sum, first float64
		var exact Length
		count, same := 0, true
		for _, i := range list {
			o := n.obs[i]
			k, ok := n.exact[o.Rod]
			if !ok {
				continue
			}
			e := n.rods[o.Rod].Elevation(o.Value, k)
			d := n.constant[o.Rod]
			if n.rods[o.Rod].Rises() {
				d = -d
			}
			f := float64(e) + d
			if count == 0 {
				exact, first = e, f
			}
			same = same && math.Abs(d) <= untouched && math.Abs(f-first) <= untouched
			sum += f
			count++
		}
		switch {
		case count == 0:
			continue
		case station == n.reference:
			l.Elevations[station] = 0
		case same:
			l.Elevations[station] = exact
		default:
			l.Elevations[station] = micrometres(sum / float64(count))
		}
	}
	return l
}

// micrometres rounds nanometres to whole micrometres, a tie to even.
func micrometres(nm float64) Length {
	return Length(math.RoundToEven(nm/float64(Micrometre))) * Micrometre
}
