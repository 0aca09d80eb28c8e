package render

import (
	"fmt"
	"math"
)

// faults lists what a page must not have: texts that touch one another, a
// mark, a wall or the page's edge, leaders under texts, letters too small.
func faults(p *Page) []string {
	var out []string
	bad := func(format string, a ...any) { out = append(out, fmt.Sprintf(format, a...)) }
	if p.Width != 1280 || p.Height > 2000 || p.Height < 1 {
		bad("page is %d × %d", p.Width, p.Height)
	}
	page := Box{0, 0, float64(p.Width), float64(p.Height)}
	var texts, shapes []Item
	for _, it := range p.Items {
		for _, v := range []float64{it.Box.X0, it.Box.Y0, it.Box.X1, it.Box.Y1} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				bad("role %d %q is nowhere", it.Role, it.Text)
			}
		}
		for _, q := range it.Path {
			if math.IsNaN(q.X+q.Y) || math.IsInf(q.X+q.Y, 0) {
				bad("role %d %q has a point nowhere", it.Role, it.Text)
			}
		}
		if b := it.Box; b.X0 < page.X0 || b.Y0 < page.Y0 || b.X1 > page.X1 || b.Y1 > page.Y1 {
			bad("role %d %q leaves the page: %v", it.Role, it.Text, b)
		}
		switch {
		case it.Kind == KindText:
			texts = append(texts, it)
			if least := leastEm(it.Role); it.Em < least {
				bad("%q is %v px, less than %v", it.Text, it.Em, least)
			}
		case it.Ink != InkPaper:
			shapes = append(shapes, it)
		}
	}
	for i, a := range texts {
		for _, b := range texts[i+1:] {
			if a.Box.Overlaps(b.Box) {
				bad("%q (%s) and %q (%s) overlap", a.Text, a.Mark, b.Text, b.Mark)
			}
		}
		for _, b := range shapes {
			if touches(b, a.Box) {
				bad("%q (%s) lies on role %d of %q", a.Text, a.Mark, b.Role, b.Mark)
			}
		}
	}
	return out
}

func leastEm(r Role) float64 {
	if r == RoleAmount || r == RoleTickAmount {
		return 36
	}
	return 24
}

// touches says whether what is painted of a shape comes into a box.
func touches(it Item, b Box) bool {
	if !it.Box.Overlaps(b) {
		return false
	}
	if it.Kind == KindFill {
		return true // shapes are small: their box will do
	}
	b = b.grow(it.Width / 2)
	for i := 1; i < len(it.Path); i++ {
		if crosses(it.Path[i-1], it.Path[i], b) {
			return true
		}
	}
	return false
}

// crosses says whether the segment p–q comes inside b (Liang and Barsky's
// clipping).
func crosses(p, q Pt, b Box) bool {
	t0, t1 := 0.0, 1.0
	for _, e := range [4][2]float64{
		{p.X - q.X, p.X - b.X0}, {q.X - p.X, b.X1 - p.X},
		{p.Y - q.Y, p.Y - b.Y0}, {q.Y - p.Y, b.Y1 - p.Y},
	} {
		switch {
		case e[0] == 0 && e[1] <= 0:
			return false
		case e[0] < 0:
			t0 = max(t0, e[1]/e[0])
		case e[0] > 0:
			t1 = min(t1, e[1]/e[0])
		}
	}
	return t0 < t1
}

// strays counts leaders that run over a mark which is not theirs, or cross
// another leader: untidy, not wrong.
func strays(p *Page) (overMarks, crossing int) {
	var leaders []Item
	marks := map[string]Box{}
	for _, it := range p.Items {
		switch {
		case it.Role == RoleLeader:
			leaders = append(leaders, it)
		case it.Role == RoleMark && it.Ink != InkPaper:
			if b, ok := marks[it.Mark]; ok {
				it.Box = Box{min(b.X0, it.Box.X0), min(b.Y0, it.Box.Y0), max(b.X1, it.Box.X1), max(b.Y1, it.Box.Y1)}
			}
			marks[it.Mark] = it.Box
		}
	}
	for i, l := range leaders {
		for name, b := range marks {
			if name != l.Mark && touches(l, b) {
				overMarks++
			}
		}
		for _, m := range leaders[i+1:] {
			if cut(l.Path, m.Path) {
				crossing++
			}
		}
	}
	return overMarks, crossing
}

func cut(a, b []Pt) bool {
	side := func(p, q, r Pt) float64 { return (q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X) }
	for i := 1; i < len(a); i++ {
		for j := 1; j < len(b); j++ {
			p, q, r, s := a[i-1], a[i], b[j-1], b[j]
			if side(p, q, r)*side(p, q, s) < 0 && side(r, s, p)*side(r, s, q) < 0 {
				return true
			}
		}
	}
	return false
}
