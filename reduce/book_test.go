package reduce_test

import (
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

// TestBooksAddUp: whatever is surveyed, every run of its book adds up, elevation
// is HI less the reading on every line, rises and falls lead from line to line,
// each rod has one page at most, corrections end at the misclosure, and rods
// are left out only where Solve finds nothing that ties them.
func TestBooksAddUp(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s, _ := placed(r, false)
		if rapid.Bool().Draw(r, "known heights") {
			s.Known = map[reduce.Station]reduce.Length{
				reduce.Corner(2): 29_230 * reduce.Millimetre, reduce.Corner(4): 29_231 * reduce.Millimetre,
			}
		}
		book, err := reduce.NewLevelBook(s)
		if err != nil {
			r.Fatal(err)
		}
		seen := map[int]bool{}
		for _, run := range book.Runs {
			checkRun(r, run, seen)
		}
		solution := solve(r, s)
		sights := map[int]map[reduce.Station]bool{}
		for _, o := range s.Observations {
			if sights[o.Rod] == nil {
				sights[o.Rod] = map[reduce.Station]bool{}
			}
			sights[o.Rod][o.Station] = true
		}
		untied := map[int]bool{}
		for _, id := range solution.UntiedRods {
			untied[id] = true
		}
		left := map[int]bool{}
		for _, id := range book.Left {
			left[id] = true
		}
		for id, n := range sights {
			if len(n) > 1 && (left[id] != untied[id] || seen[id] == left[id]) {
				r.Fatalf("rod %d: left out %t, untied %t, in the book %t", id, left[id], untied[id], seen[id])
			}
		}
	})
}

// checkRun adds a run up again from its lines.
func checkRun(r *rapid.T, run reduce.Run, seen map[int]bool) {
	r.Helper()
	if !run.Agrees() {
		r.Fatalf("does not add up: %+v", run)
	}
	var hi, back, fore, rise, fall, last reduce.Length
	count := 0
	var from reduce.Station // of the page's backsight
	for i, n := range run.Notes {
		if n.IS != nil && n.FS != nil || (i == 0) != (n.IS == nil && n.FS == nil) || (n.HI == nil) != (n.BS == nil) {
			r.Fatalf("line %d: %+v", i, n)
		}
		if i > 0 {
			v := n.IS
			if v == nil {
				v = n.FS
				fore += *v
			}
			if n.Elevation != hi-*v {
				r.Fatalf("line %d: elevation %v, HI %v less %v", i, n.Elevation, hi, *v)
			}
			if n.Station == from {
				r.Fatalf("line %d: the page's backsight again", i)
			}
			d := n.Rise
			if d != nil {
				rise += *d
			} else {
				fall += *n.Fall
				down := -*n.Fall
				d = &down
			}
			if n.Elevation != last+*d {
				r.Fatalf("line %d: elevation %v, from %v by %v", i, n.Elevation, last, *d)
			}
		}
		if last = n.Elevation; n.BS != nil {
			back += *n.BS
			count++
			from = n.Station
			if hi = n.Elevation + *n.BS; *n.HI != hi {
				r.Fatalf("line %d: HI %v, want %v", i, *n.HI, hi)
			}
		}
		if i > 0 && run.Notes[i-1].Rod != n.Rod && seen[n.Rod] {
			r.Fatalf("rod %d has two pages", n.Rod)
		}
		seen[n.Rod] = true
	}
	if back != run.BackSum || fore != run.ForeSum || rise != run.RiseSum || fall != run.FallSum || count != run.Pages {
		r.Fatalf("sums: %+v", run)
	}
	end := run.Notes[len(run.Notes)-1]
	switch m := run.Misclosure; {
	case run.First != run.Notes[0].Elevation || run.Last != end.Elevation || run.Notes[0].Correction != 0:
		r.Fatalf("ends: %+v", run)
	case m == nil && end.Correction != 0 || m != nil && end.Correction != -*m:
		r.Fatalf("misclosure %v, corrected by %v", m, end.Correction)
	}
}

// TestBookOfDirectRods: a direct rod's page has its readings turned, and gives
// the same elevations as the readings of a standard rod on the same beam.
func TestBookOfDirectRods(t *testing.T) {
	bm, a, b := reduce.BenchmarkNumber(1), reduce.Corner(1), reduce.Corner(2)
	mm := reduce.Millimetre
	s := reduce.Survey{
		Reference: bm, Budget: budget(),
		SetUps: []reduce.SetUp{
			{ID: 1, Rods: []reduce.Rod{{ID: 1, Kind: reduce.Direct}}},
			{ID: 2, Rods: []reduce.Rod{{ID: 2, Kind: reduce.Standard}, {ID: 3, Kind: reduce.Standard}}},
		},
		Observations: []reduce.Observation{
			{Rod: 1, Station: bm, Value: -20 * mm}, {Rod: 1, Station: a, Value: 30 * mm}, {Rod: 1, Station: bm, Value: -19 * mm},
			{Rod: 2, Station: a, Value: 1400 * mm}, {Rod: 2, Station: b, Value: 1410 * mm},
			{Rod: 3, Station: reduce.Corner(3), Value: 1400 * mm}, {Rod: 3, Station: reduce.Corner(4), Value: 1400 * mm},
		},
	}
	book, err := reduce.NewLevelBook(s)
	if err != nil || len(book.Runs) != 1 || len(book.Left) != 1 || book.Left[0] != 3 {
		t.Fatalf("%+v, %v", book, err)
	}
	n := book.Runs[0].Notes
	if len(n) != 3 || *n[0].BS != 20*mm || *n[0].HI != 20*mm || !n[0].Turned || !n[1].Turned || *n[1].FS != -30*mm || n[2].Turned {
		t.Fatalf("%+v", n)
	}
	if n[1].Elevation != 50*mm || *n[1].HI != 1450*mm || *n[1].Rise != 50*mm || n[2].Elevation != 40*mm || *n[2].Fall != 10*mm {
		t.Fatalf("%+v", n)
	}
}

// TestBookStopsAtKnownHeights: a run ends where a known height is shared by two
// pages, with its own misclosure, and the next starts from that height again.
func TestBookStopsAtKnownHeights(t *testing.T) {
	bm, bm2, c1 := reduce.BenchmarkNumber(1), reduce.BenchmarkNumber(2), reduce.Corner(1)
	mm := reduce.Millimetre
	s := reduce.Survey{
		Known: map[reduce.Station]reduce.Length{bm: 0, bm2: 100 * mm}, Budget: budget(),
		SetUps: []reduce.SetUp{
			{ID: 1, Rods: []reduce.Rod{{ID: 1, Kind: reduce.Standard}}},
			{ID: 2, Rods: []reduce.Rod{{ID: 2, Kind: reduce.Standard}}},
		},
		Observations: []reduce.Observation{
			{Rod: 1, Station: bm, Value: 1500 * mm}, {Rod: 1, Station: bm2, Value: 1398 * mm},
			{Rod: 2, Station: bm2, Value: 1400 * mm}, {Rod: 2, Station: c1, Value: 1410 * mm},
		},
	}
	book, err := reduce.NewLevelBook(s)
	if err != nil || len(book.Runs) != 2 {
		t.Fatalf("%+v, %v", book, err)
	}
	if m := book.Runs[0].Misclosure; m == nil || *m != 2*mm || book.Runs[1].Misclosure != nil {
		t.Errorf("misclosures %v and %v", m, book.Runs[1].Misclosure)
	}
	if n := book.Runs[1].Notes; n[0].Elevation != 100*mm || n[1].Elevation != 90*mm {
		t.Errorf("%+v", n)
	}
}
