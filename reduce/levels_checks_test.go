package reduce_test

import (
	"testing"

	"rodcall/reduce"
)

// sight is one line of a published level book.
type sight struct {
	example, setup, kind, point string
	reading, level              reduce.Length
}

// levelBook reads the published level books, by example.
func levelBook(t *testing.T) map[string][]sight {
	t.Helper()
	books := map[string][]sight{}
	for _, f := range checks(t, "levels.tsv", 56, 6) {
		books[f[0]] = append(books[f[0]], sight{
			f[0], f[1], f[2], f[3], length(t, f[4], reduce.Metre), length(t, f[5], reduce.Metre),
		})
	}
	return books
}

// TestEachSetUp reduces every published set-up by itself: its backsight is the
// reference, and each other sight must come out at its published level.
func TestEachSetUp(t *testing.T) {
	rod := []reduce.Rod{{ID: 1, Kind: reduce.Standard}}
	setups, sights := 0, 0
	for _, book := range levelBook(t) {
		for len(book) > 0 {
			back, n := book[0], 1
			if back.kind != "BS" {
				t.Fatalf("set-up %s of %s starts with %s", back.setup, back.example, back.kind)
			}
			for n < len(book) && book[n].setup == back.setup {
				n++
			}
			at := reduce.BenchmarkNumber(1)
			obs := []reduce.Observation{{Rod: 1, Station: at, Value: back.reading}}
			for i, s := range book[1:n] {
				obs = append(obs, reduce.Observation{Rod: 1, Station: reduce.Corner(i + 1), Value: s.reading})
			}
			got := reduce.Adjust(rod, obs, at)
			if k := got.Constants[1]; k != back.reading {
				t.Errorf("%s set-up %s: constant %v, want the backsight %v", back.example, back.setup, k, back.reading)
			}
			for i, s := range book[1:n] {
				e, ok := got.Elevations[reduce.Corner(i+1)]
				if !ok || back.level+e != s.level {
					t.Errorf("%s set-up %s, %s: level %v (%v), want %v", s.example, s.setup, s.point, back.level+e, ok, s.level)
				}
				if got.Checked[reduce.Corner(i+1)] {
					t.Errorf("%s set-up %s, %s: checked by one reading", s.example, s.setup, s.point)
				}
				sights++
			}
			setups++
			book = book[n:]
		}
	}
	if setups != 22 || sights != 34 {
		t.Errorf("reduced %d set-ups and %d sights, want 22 and 34", setups, sights)
	}
}

// chain makes observations of a whole book: one rod a set-up, the points as
// turning points, but for the first, which is the reference bm.
func chain(book []sight) (rods []reduce.Rod, obs []reduce.Observation, points map[string]reduce.Station) {
	points = map[string]reduce.Station{book[0].point: reduce.BenchmarkNumber(1)}
	for _, s := range book {
		if _, ok := points[s.point]; !ok {
			points[s.point] = reduce.TurningNumber(len(points))
		}
		if s.kind == "BS" {
			rods = append(rods, reduce.Rod{ID: len(rods) + 1, Kind: reduce.Standard})
		}
		obs = append(obs, reduce.Observation{Rod: len(rods), Station: points[s.point], Value: s.reading})
	}
	return rods, obs, points
}

// TestWholeBooks reduces every published book in one go, from its first point
// through all set-ups: where nothing is redundant every level is exact, and
// every point is unchecked, turning points too.
func TestWholeBooks(t *testing.T) {
	for name, book := range levelBook(t) {
		rods, obs, points := chain(book)
		got := reduce.Adjust(rods, obs, reduce.BenchmarkNumber(1))
		for _, s := range book {
			e, ok := got.Elevations[points[s.point]]
			if l := book[0].level + e; !ok || l != s.level {
				t.Errorf("%s, %s: level %v (%v), want %v", name, s.point, l, ok, s.level)
			}
			if got.Checked[points[s.point]] {
				t.Errorf("%s, %s: said to be checked, and nothing checks it", name, s.point)
			}
		}
	}
}

// TestLoopClosed closes the NPTEL loop on its benchmark. Its misclosure of
// +0.050 m over eight set-ups goes to the points in equal parts: the k-th of n
// is moved by -k/n of the misclosure (a published rule for a closed traverse of
// levels: read). That is the least-squares solution as well.
func TestLoopClosed(t *testing.T) {
	book := levelBook(t)["NPTEL"]
	last := &book[len(book)-1]
	misclosure := last.level - book[0].level
	if want := 50 * reduce.Millimetre; misclosure != want {
		t.Fatalf("misclosure %v, want %v", misclosure, want)
	}
	last.point, last.level = book[0].point, book[0].level
	rods, obs, points := chain(book)
	got := reduce.Adjust(rods, obs, reduce.BenchmarkNumber(1))
	n := 0
	for _, s := range book[:len(book)-1] {
		if s.kind != "FS" {
			continue
		}
		n++
		want := s.level - misclosure*reduce.Length(n)/8
		if l := book[0].level + got.Elevations[points[s.point]]; l != want {
			t.Errorf("%s: level %v, want %v", s.point, l, want)
		}
		if !got.Checked[points[s.point]] {
			t.Errorf("%s: unchecked in a closed loop", s.point)
		}
	}
	if n != 7 {
		t.Errorf("%d turning points, want 7", n)
	}
}

// TestFeetAndInchesRod checks the textbook example of a standard rod.
func TestFeetAndInchesRod(t *testing.T) {
	for _, row := range checks(t, "feet-inches-rod.tsv", 1, 5) {
		a := length(t, row[0], reduce.Foot) + length(t, row[1], reduce.Inch)
		b := length(t, row[2], reduce.Foot) + length(t, row[3], reduce.Inch)
		A, B := reduce.Corner(1), reduce.Corner(2)
		got := reduce.Adjust([]reduce.Rod{{ID: 1, Kind: reduce.Standard}}, []reduce.Observation{
			{Rod: 1, Station: A, Value: a}, {Rod: 1, Station: B, Value: b},
		}, B)
		if e, want := got.Elevations[A], length(t, row[4], reduce.Inch); e != want {
			t.Errorf("A is higher by %v, want %v", e, want)
		}
		p := reduce.UnitInch
		if f := p.RodFigure(a, p.Finest()); f != row[0]+"' "+row[1]+`"` {
			t.Errorf("the reading at A shows as %s", f)
		}
	}
}
