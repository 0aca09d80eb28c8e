package reduce_test

import (
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
)

// inFeet is a length as so many feet.
func inFeet(l reduce.Length) float64 { return float64(l) / float64(reduce.Foot) }

// TestPublishedNets adjusts the published nets. A difference of weight w is w
// set-ups that read both its ends alike. The readings are made up: any with
// that difference will do.
func TestPublishedNets(t *testing.T) {
	type difference struct {
		from, to        string
		value, residual string
		weight          int
	}
	surveys := map[string]*reduce.Survey{}
	names := map[string]map[string]reduce.Station{}
	measured := map[string][]difference{}
	rows := checks(t, "level-nets.tsv", 40, 7)
	for _, f := range rows {
		s := surveys[f[0]]
		if s == nil {
			s = &reduce.Survey{Known: map[reduce.Station]reduce.Length{}, Weights: reduce.AlikeSetUps, Budget: budget()}
			surveys[f[0]], names[f[0]] = s, map[string]reduce.Station{}
		}
		station := func(name string) reduce.Station {
			if _, ok := names[f[0]][name]; !ok {
				names[f[0]][name] = reduce.TurningNumber(len(names[f[0]]) + 1)
			}
			return names[f[0]][name]
		}
		switch f[1] {
		case "K":
			s.Known[station(f[3])] = length(t, f[4], reduce.Foot)
		case "D":
			w := int(decimal.RequireFromString(f[5]).IntPart())
			measured[f[0]] = append(measured[f[0]], difference{f[2], f[3], f[4], f[6], w})
			for range w {
				id := len(s.SetUps) + 1
				s.SetUps = append(s.SetUps, reduce.SetUp{ID: id, Rods: []reduce.Rod{{ID: id, Kind: reduce.Standard}}})
				back := 30 * reduce.Foot
				s.Observations = append(s.Observations,
					reduce.Observation{Rod: id, Station: station(f[2]), Value: back},
					reduce.Observation{Rod: id, Station: station(f[3]), Value: back - length(t, f[4], reduce.Foot)})
			}
		}
	}
	squares, left := map[string]float64{}, map[string]int{}
	solutions := map[string]reduce.Solution{}
	for net, s := range surveys {
		solutions[net] = solve(t, *s)
		e := func(name string) reduce.Length {
			st := names[net][name]
			if h, ok := s.Known[st]; ok {
				return h
			}
			return solutions[net].Elevations[st]
		}
		for _, d := range measured[net] {
			v := inFeet(length(t, d.value, reduce.Foot) - (e(d.to) - e(d.from)))
			squares[net] += float64(d.weight) * v * v
			if d.residual == "-" {
				continue
			}
			if want := decimal.RequireFromString(d.residual).InexactFloat64(); math.Abs(math.Abs(v)-math.Abs(want)) > 0.0005 {
				t.Errorf("%s, %s to %s: residual %.4f, want ±%v", net, d.from, d.to, v, want)
			}
		}
		left[net] = len(measured[net])
	}
	for _, f := range rows {
		if f[1] == "A" {
			left[f[0]]--
		}
	}
	asserted := 0
	for _, f := range rows {
		net := f[0]
		var got float64
		switch {
		case f[1] == "A":
			got = inFeet(solutions[net].Elevations[names[net][f[3]]])
		case f[1] == "S" && f[3] == "squares":
			got = squares[net]
		case f[1] == "S" && f[3] == "deviation":
			got = math.Sqrt(squares[net] / float64(left[net]))
		default:
			continue
		}
		want := decimal.RequireFromString(f[4]).InexactFloat64()
		if math.Abs(got-want) > decimal.RequireFromString(f[5]).InexactFloat64() {
			t.Errorf("%s, %s: %.6f, want %v", net, f[3], got, want)
		}
		asserted++
	}
	if asserted != 11 {
		t.Errorf("%d figures, want 11", asserted)
	}
}

// TestPublishedLink carries a published line of levels in feet to a benchmark
// that is known.
func TestPublishedLink(t *testing.T) {
	bm, end := reduce.BenchmarkNumber(1), reduce.BenchmarkNumber(2)
	s := reduce.Survey{Budget: budget(), Weights: reduce.AlikeSetUps, Known: map[reduce.Station]reduce.Length{
		bm: 100 * reduce.Foot, end: length(t, "94.91", reduce.Foot),
	}}
	from := bm
	rows := checks(t, "level-links.tsv", 4, 3)
	for i, f := range rows {
		to := reduce.TurningNumber(i + 1)
		if i == len(rows)-1 {
			to = end
		}
		s.SetUps = append(s.SetUps, reduce.SetUp{ID: i + 1, Rods: []reduce.Rod{{ID: i + 1, Kind: reduce.Standard}}})
		s.Observations = append(s.Observations,
			reduce.Observation{Rod: i + 1, Station: from, Value: length(t, f[0], reduce.Foot)},
			reduce.Observation{Rod: i + 1, Station: to, Value: length(t, f[1], reduce.Foot)})
		from = to
	}
	want := length(t, "0.04", reduce.Foot)
	if m := solve(t, s).SetUps[3].Misclosure; m == nil || *m != want {
		t.Errorf("misclosure %v, want %v", m, want)
	}
	book, err := reduce.NewLevelBook(s)
	if err != nil || len(book.Runs) != 1 {
		t.Fatalf("%+v, %v", book, err)
	}
	run := book.Runs[0]
	if run.Misclosure == nil || *run.Misclosure != want || !run.Agrees() || len(run.Notes) != 5 {
		t.Fatalf("%+v", run)
	}
	for i, f := range rows {
		if e := run.Notes[i+1].Elevation; e != length(t, f[2], reduce.Foot) {
			t.Errorf("line %d: %v, want %s ft", i+1, e, f[2])
		}
	}
}
