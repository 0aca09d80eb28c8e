package reduce_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"rodcall/reduce"
)

// trap is a made set-up with something other than a pure step in it. All
// amounts are in inches; the reading noise is normal.
type trap struct {
	r      *rand.Rand
	noise  float64
	n      int
	x, y   []float64 // feet
	height []float64
	owner  []int // rod, 1 or 2, that reads each station
	kind   [3]reduce.RodKind
	// beam is by how much spots seem risen at time k (n: check and re-shots),
	// at a station, on a rod.
	beam   func(k, station, rod int) float64
	places []int // the true bumps: after which reading
}

// The made sites: 8 to 60 readings round a rectangle of 20 to 60 ft, the
// benchmark read first, jumps of 4 to 20 times the noise either way.
func newTrap(r *rand.Rand) *trap {
	t := &trap{r: r, noise: 1.0 / 32, n: 8 + r.IntN(53)}
	w, d := 20+40*r.Float64(), 20+40*r.Float64()
	for k := range t.n {
		s := float64(k) / float64(t.n) * 2 * (w + d)
		switch {
		case s < w:
			t.x, t.y = append(t.x, s), append(t.y, 0)
		case s < w+d:
			t.x, t.y = append(t.x, w), append(t.y, s-w)
		case s < 2*w+d:
			t.x, t.y = append(t.x, 2*w+d-s), append(t.y, d)
		default:
			t.x, t.y = append(t.x, 0), append(t.y, 2*(w+d)-s)
		}
		t.height = append(t.height, r.NormFloat64()/4)
		t.owner = append(t.owner, 1)
	}
	for i := range t.kind {
		t.kind[i] = reduce.RodKind(1 + r.IntN(2))
	}
	return t
}

func (t *trap) jump(low, high float64) float64 {
	j := t.noise * (low + (high-low)*t.r.Float64())
	if t.r.IntN(2) == 0 {
		return -j
	}
	return j
}

func (t *trap) read(k, station, rod int) reduce.Observation {
	o := reduce.Observation{Rod: rod, Station: reduce.Corner(station)}
	e := t.height[station] + t.beam(k, station, rod) + t.noise*t.r.NormFloat64()
	if t.kind[rod] == reduce.Standard {
		e = 60 - e
	}
	o.Value = reduce.Length(math.Round(e * float64(reduce.Inch)))
	return o
}

// play plays the trap through and returns the finding.
func (t *trap) play(tb testing.TB, checkedBy ...int) (reduce.Finding, int) {
	rods := []reduce.Rod{{ID: 1, Kind: t.kind[1]}, {ID: 2, Kind: t.kind[2]}}
	var readings, checks []reduce.Observation
	for k := range t.n {
		readings = append(readings, t.read(k, k, t.owner[k]))
	}
	for _, rod := range checkedBy {
		for k := range t.n {
			if t.owner[k] == rod {
				checks = append(checks, t.read(t.n, k, rod))
				break
			}
		}
	}
	h, err := reduce.NewHalving(rods, readings, checks, reduce.Length(t.noise*float64(reduce.Inch)))
	if err != nil {
		tb.Fatal(err)
	}
	return search(tb, h, func(i int) reduce.Observation { return t.read(t.n, i, t.owner[i]) })
}

// one is a step of j after reading at.
func one(j float64, at int) func(k int) float64 {
	return func(k int) float64 {
		if k > at {
			return j
		}
		return 0
	}
}
