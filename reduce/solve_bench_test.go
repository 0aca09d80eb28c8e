package reduce_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"gonum.org/v1/gonum/mat"

	"rodcall/reduce"
)

// large is a survey of so many stations, each set-up reading its share of them
// in turn, bm, and three stations of the set-up before. One rod a set-up.
func large(stations, setUps int) reduce.Survey {
	rnd := rand.New(rand.NewPCG(1, 3))
	s := reduce.Survey{
		Reference: reduce.BenchmarkNumber(1), Budget: budget(), Places: map[reduce.Station]reduce.Point{},
	}
	side := int(math.Ceil(math.Sqrt(float64(stations))))
	for i := range stations {
		s.Places[reduce.PierNumber(i+1)] = reduce.Point{
			X: reduce.Length(i%side) * 4 * reduce.Foot, Y: reduce.Length(i/side) * 4 * reduce.Foot,
		}
	}
	s.Places[s.Reference] = reduce.Point{X: -10 * reduce.Foot}
	share := stations / setUps
	for u := range setUps {
		rod := reduce.Rod{ID: u + 1, Kind: reduce.Standard}
		s.SetUps = append(s.SetUps, reduce.SetUp{ID: u + 1, Rods: []reduce.Rod{rod}})
		read := func(st reduce.Station) {
			v := reduce.Metre + reduce.Length(rnd.Int64N(int64(reduce.Inch)))
			s.Observations = append(s.Observations, reduce.Observation{Rod: rod.ID, Station: st, Value: v})
		}
		read(s.Reference)
		for k := range min(3, u) {
			read(reduce.PierNumber((u-1)*share + 1 + k*share/3))
		}
		for i := range share {
			read(reduce.PierNumber(u*share + i + 1))
		}
	}
	return s
}

// bands solves a survey and asks for the band of every deviation from the
// reference.
func bands(b *testing.B, s reduce.Survey) []reduce.Length {
	got, err := reduce.Solve(s)
	if err != nil {
		b.Fatal(err)
	}
	out := make([]reduce.Length, 0, len(s.Observations))
	for _, o := range s.Observations {
		u, ok := got.Difference(o.Station, s.Reference)
		if !ok {
			b.Fatal("a station has no band")
		}
		out = append(out, u.Band())
	}
	return out
}

// denseBands does the same by gonum's Cholesky of the same normal equations in
// full. The equations come ready made (rows of at most four columns); what is
// measured is adding them up, factoring, solving, and the inverse's diagonal.
func denseBands(b *testing.B, d sparse) []float64 {
	n := d.columns
	m, y := mat.NewSymDense(n, nil), make([]float64, n)
	raw := m.RawSymmetric()
	for k, row := range d.rows {
		for _, p := range row {
			y[p.column] += d.weights[k] * d.values[k] * p.value
			for _, q := range row {
				if q.column >= p.column {
					raw.Data[p.column*raw.Stride+q.column] += d.weights[k] * p.value * q.value
				}
			}
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(m) {
		b.Fatal("gonum cannot factor")
	}
	var x mat.VecDense
	var inv mat.SymDense
	if err := chol.SolveVecTo(&x, mat.NewVecDense(n, y)); err != nil {
		b.Fatal(err)
	}
	if err := chol.InverseTo(&inv); err != nil {
		b.Fatal(err)
	}
	out := make([]float64, len(d.of))
	for i, c := range d.of {
		if c >= 0 {
			out[i] = limit95 * math.Sqrt(inv.At(c, c)) * 1e6
		}
	}
	return out
}

// sparse is equations by their entries, and the column of each observation's
// station, -1 for the reference.
type sparse struct {
	columns         int
	rows            [][]entry
	values, weights []float64
	of              []int
}

type entry struct {
	column int
	value  float64
}

func thin(s reduce.Survey) sparse {
	d := observe(s)
	out := sparse{columns: len(d.columns), values: d.values, weights: d.weights}
	for _, row := range d.rows {
		var e []entry
		for c, v := range row {
			if v != 0 {
				e = append(e, entry{c, v})
			}
		}
		out.rows = append(out.rows, e)
	}
	for _, o := range s.Observations {
		c, ok := d.columns[o.Station]
		if !ok {
			c = -1
		}
		out.of = append(out.of, c)
	}
	return out
}

func middle(x []float64) float64 {
	slices.Sort(x)
	return x[len(x)/2]
}

// BenchmarkNetRatio: 1,000 stations in 20 set-ups, bands included, against the
// dense solution of the same normal equations; both in turns, the median of at
// least five.
func BenchmarkNetRatio(b *testing.B) {
	s := large(1000, 20)
	d := thin(s)
	var ratios, ours, dense []float64
	for range max(5, b.N) {
		start := time.Now()
		a := bands(b, s)
		one := time.Since(start)
		start = time.Now()
		c := denseBands(b, d)
		two := time.Since(start)
		for i := range a {
			if math.Abs(float64(a[i])-c[i]) > 3 {
				b.Fatalf("band %d: %v nm, dense %v", i, int64(a[i]), c[i])
			}
		}
		ratios, ours, dense = append(ratios, one.Seconds()/two.Seconds()), append(ours, one.Seconds()), append(dense, two.Seconds())
	}
	b.Logf("%.2f ms against %.1f ms, %d unknowns", 1e3*middle(ours), 1e3*middle(dense), d.columns)
	b.ReportMetric(middle(ratios), "ratio")
	b.ReportMetric(.02, "at-most")
	b.ReportMetric(0, "ns/op")
}

// BenchmarkNetStationRatio: the time of a station, bands included, among 10,000
// against among 100, both in two set-ups; in turns, each turn of the small net a
// hundred times, the median of at least nine.
func BenchmarkNetStationRatio(b *testing.B) {
	small, big := large(100, 2), large(10_000, 2)
	var ratios []float64
	for range max(9, b.N) {
		start := time.Now()
		for range 100 {
			bands(b, small)
		}
		one := time.Since(start).Seconds() / (100 * 100)
		start = time.Now()
		bands(b, big)
		two := time.Since(start).Seconds() / 10_000
		ratios = append(ratios, two/one)
	}
	b.ReportMetric(middle(ratios), "ratio")
	b.ReportMetric(1.3, "at-most")
	b.ReportMetric(0, "ns/op")
}

// BenchmarkSolve is one foundation of 34 stations in one set-up and in three.
func BenchmarkSolve(b *testing.B) {
	for name, setUps := range map[string]int{"one": 1, "three": 3} {
		s := large(36, setUps)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				bands(b, s)
			}
		})
	}
}
