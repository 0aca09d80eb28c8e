package reduce_test

import (
	"strconv"
	"testing"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
)

// line makes a survey of a published book, its points by name, each set-up
// with a rod of its own; the first and, where close is set, the last point are
// known. The last point of a loop is its first again.
func line(t *testing.T, book []sight, close string, weights reduce.Weights) (reduce.Survey, map[string]reduce.Station) {
	t.Helper()
	if close == book[0].point {
		book[len(book)-1].point = close
	}
	rods, obs, points := chain(book)
	s := single(survey{rods, obs}, weights)
	s.Known = map[reduce.Station]reduce.Length{points[book[0].point]: book[0].level}
	known := map[string]string{"USM": "29.66", "Rode": "105.263"}[book[0].example]
	if known != "" {
		s.Known[points[book[len(book)-1].point]] = length(t, known, reduce.Metre)
	}
	return s, points
}

// adjusted is what is published of each point's adjusted level.
type adjusted struct {
	sight, point string
	page         int
	correction   reduce.Length
	book         string
}

func adjustedLevels(t *testing.T) map[string][]adjusted {
	t.Helper()
	out := map[string][]adjusted{}
	for _, f := range checks(t, "levels-adjusted.tsv", 21, 6) {
		k, err := strconv.Atoi(f[1])
		if err != nil {
			t.Fatal(err)
		}
		out[f[0]] = append(out[f[0]], adjusted{f[2], f[3], k, length(t, f[4], reduce.Millimetre), f[5]})
	}
	return out
}

// TestBooksAsPublished writes every published book: sums at the foot, levels,
// misclosure, and the corrections of the two that are published adjusted, of
// intermediate sights too.
func TestBooksAsPublished(t *testing.T) {
	published := adjustedLevels(t)
	lines := 0
	for _, f := range checks(t, "level-sums.tsv", 4, 4) {
		sights := levelBook(t)[f[0]]
		end := ""
		if f[0] == "NPTEL" {
			end = sights[0].point
		}
		s, points := line(t, sights, end, reduce.AlikeSetUps)
		book, err := reduce.NewLevelBook(s)
		if err != nil || len(book.Runs) != 1 || len(book.Left) != 0 {
			t.Fatalf("%s: %+v, %v", f[0], book, err)
		}
		run := book.Runs[0]
		if !run.Agrees() {
			t.Errorf("%s: does not add up: %+v", f[0], run)
		}
		if b, w := run.BackSum, length(t, f[1], reduce.Metre); b != w {
			t.Errorf("%s: Σ BS %v, want %v", f[0], b, w)
		}
		if b, w := run.ForeSum, length(t, f[2], reduce.Metre); b != w {
			t.Errorf("%s: Σ FS %v, want %v", f[0], b, w)
		}
		switch m := run.Misclosure; {
		case f[3] == "-":
			if m != nil {
				t.Errorf("%s: misclosure %v of an open line", f[0], *m)
			}
		case m == nil || *m != length(t, f[3], reduce.Metre):
			t.Errorf("%s: misclosure %v, want %s m", f[0], m, f[3])
		}
		var fore []sight // lines but the first: one for each sight that is no backsight
		for _, s := range sights {
			if s.kind != "BS" {
				fore = append(fore, s)
			}
		}
		if len(run.Notes) != len(fore)+1 {
			t.Fatalf("%s: %d lines, want %d", f[0], len(run.Notes), len(fore)+1)
		}
		for i, w := range fore {
			n := run.Notes[i+1]
			if n.Station != points[w.point] || n.Elevation != w.level || strconv.Itoa(n.SetUp) != w.setup || (n.FS != nil) != (w.kind == "FS") {
				t.Errorf("%s, %s: %+v, want %+v", f[0], w.point, n, w)
			}
			lines++
		}
		for i, w := range published[f[0]] {
			n := run.Notes[i+1]
			if n.Station != points[w.point] || n.SetUp != w.page || n.Correction != w.correction {
				t.Errorf("%s, %s: %+v, want %+v", f[0], w.point, n, w)
			}
			if w.book != "-" {
				checkDigits(t, f[0]+", "+w.point, n.Adjusted(), w.book)
			}
		}
	}
	if lines != 34 {
		t.Errorf("%d lines, want 34", lines)
	}
}

// checkDigits compares a level with one published in metres, to its places.
func checkDigits(t *testing.T, what string, got reduce.Length, want string) {
	t.Helper()
	w := decimal.RequireFromString(want)
	if g := got.Decimal(reduce.Metre).Round(-w.Exponent()); !g.Equal(w) {
		t.Errorf("%s: %v, want %s", what, got, want)
	}
}

// TestSolveAsPublished adjusts the same lines by least squares: turning points
// as the books have them, intermediate sights half a set-up's share less.
func TestSolveAsPublished(t *testing.T) {
	for name, rows := range adjustedLevels(t) {
		sights := levelBook(t)[name]
		s, points := line(t, sights, "", reduce.AlikeSetUps)
		got := solve(t, s)
		share := rows[0].correction
		raw := map[string]reduce.Length{}
		for _, v := range sights {
			raw[v.point] = v.level
		}
		for _, w := range rows {
			e := got.Elevations[points[w.point]]
			want := raw[w.point] + w.correction
			if w.sight == "IS" {
				want -= share / 2
			} else {
				checkDigits(t, name+", "+w.point, e, w.book)
			}
			if e != want {
				t.Errorf("%s, %s: %v, want %v", name, w.point, e, want)
			}
		}
		last := got.SetUps[len(got.SetUps)-1]
		if m := -rows[len(rows)-1].correction; last.Misclosure == nil || *last.Misclosure != m {
			t.Errorf("%s: misclosure %v, want %v", name, last.Misclosure, m)
		}
		for _, u := range got.SetUps[:len(got.SetUps)-1] {
			if u.Misclosure != nil {
				t.Errorf("%s, set-up %d: misclosure %v of one tie", name, u.ID, *u.Misclosure)
			}
		}
		if got.DegreesOfFreedom != 1 {
			t.Errorf("%s: %d degrees of freedom, want 1", name, got.DegreesOfFreedom)
		}
	}
}
