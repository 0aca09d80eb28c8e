package render

import (
	"strconv"
	"strings"
)

// fewRows of a table are not parted between two pages.
const fewRows = 6

// tabular is a table measured for a size of type.
type tabular struct {
	*Table
	s     *sheets
	rows  []Row
	lines [][][]string // of each row's cells
	head  [][]string
	width []float64 // of the columns
	lead  float64   // room for shapes before the first
	gap   float64   // between columns
}

// measure measures a table: columns as wide as what stands in them. Where that
// is too much for the page, the widest gives way and its cells are wrapped.
func (s *sheets) measure(t *Table) *tabular {
	if g, known := s.measured[t]; known {
		return g
	}
	g := &tabular{Table: t, s: s, rows: heaviest(t.Rows, s.most), gap: s.em * 0.9}
	g.width = make([]float64, len(t.Head))
	for c, text := range t.Head {
		g.width[c] = textWidth(clean(text), s.em, true)
	}
	for _, r := range g.rows {
		for c, text := range r.Cells {
			g.width[c] = max(g.width[c], textWidth(clean(text), s.em, false))
		}
		if r.Status != 0 {
			g.lead = s.em * 1.3
		}
	}
	for g.across() > s.width() {
		s.wrapped = true
		widest := 0
		for c := range g.width {
			if g.width[c] > g.width[widest] {
				widest = c
			}
		}
		least := s.em * 3
		if g.width[widest] <= least {
			break
		}
		g.width[widest] = max(least, min(g.width[widest]*0.9, g.width[widest]-(g.across()-s.width())))
	}
	cells := func(texts []string, bold bool) [][]string {
		out := make([][]string, len(g.width))
		for c := range min(len(texts), len(g.width)) {
			if text := clean(texts[c]); textWidth(text, s.em, bold) <= g.width[c] {
				out[c] = []string{text}
			} else {
				out[c] = wrap(text, s.em, bold, g.width[c])
			}
		}
		return out
	}
	g.head = cells(t.Head, true)
	for _, r := range g.rows {
		g.lines = append(g.lines, cells(r.Cells, false))
	}
	s.measured[t] = g
	return g
}

// across is the table's width.
func (g *tabular) across() float64 {
	w := g.lead + g.gap*float64(len(g.width)-1)
	for _, c := range g.width {
		w += c
	}
	return w
}

// height of a line of cells.
func (g *tabular) height(cells [][]string) float64 {
	n := 1
	for _, lines := range cells {
		n = max(n, len(lines))
	}
	return float64(n)*g.s.line() + 1
}

// tall is the height of rows from one up to another, with their head.
func (g *tabular) tall(from, to int) float64 {
	h := g.height(g.head) + 2
	for _, cells := range g.lines[from:to] {
		h += g.height(cells)
	}
	return h
}

// start is the room without which a table does not begin on a page.
func (g *tabular) start() float64 {
	n := len(g.rows)
	if n > fewRows {
		n = 3
	}
	return g.tall(0, n)
}

// parts is how many columns of rows have room side by side.
func (g *tabular) parts() int {
	w := g.s.width()
	return max(1, int((w+sheetGutter)/(g.across()+sheetGutter)))
}

// table lays a table out, page after page.
func (s *sheets) table(t *Table) {
	g := s.measure(t)
	s.need(g.start())
	for at := 0; at < len(g.rows); {
		if at > 0 {
			s.turn()
		}
		at = g.fill(at)
	}
	if n, all := len(g.rows), len(t.Rows); n < all {
		s.y += s.em * 0.3
		text := strings.Replace(t.LeftOut, "%d", strconv.Itoa(n), 1)
		s.text(strings.Replace(text, "%d", strconv.Itoa(all), 1))
	}
	s.y += s.em * 0.4
}

// fill puts rows from at on the page and returns the first that has no room:
// all in as few columns side by side as take them, or as many as have room.
func (g *tabular) fill(at int) int {
	room, rest, parts := g.s.bottom()-g.s.y, len(g.rows)-at, g.parts()
	n := 1
	if g.s.spread && rest > fewRows {
		n = parts
	}
	for ; n <= parts; n++ {
		each, fits := (rest+n-1)/n, true
		for k := 0; k < n; k++ {
			from := min(at+k*each, len(g.rows))
			fits = fits && g.tall(from, min(from+each, len(g.rows))) <= room
		}
		if fits {
			y := g.s.y
			for k := 0; k < n; k++ {
				from := min(at+k*each, len(g.rows))
				g.draw(k, y, from, min(from+each, len(g.rows)))
			}
			return len(g.rows)
		}
	}
	y := g.s.y
	for k := range parts {
		to := at
		for to < len(g.rows) && g.tall(at, to+1) <= room {
			to++
		}
		if to == at {
			to++ // a row taller than a page is let run over rather than lost
		}
		g.draw(k, y, at, to)
		if at = to; at == len(g.rows) {
			break
		}
	}
	return at
}

// draw draws rows in the k-th place side by side, from y on.
func (g *tabular) draw(k int, y float64, from, to int) {
	if from == to {
		return
	}
	s, x := g.s, sheetMargin+float64(k)*(g.across()+sheetGutter)
	g.cells(g.head, true, x, y)
	y += g.height(g.head)
	s.page.stroke(RoleRule, InkText, 0.8, "", Pt{x, y}, Pt{x + g.across(), y})
	y += 2
	for i := from; i < to; i++ {
		h := g.height(g.lines[i])
		if g.rows[i].Status != 0 {
			shape(s.page, RoleMark, g.rows[i].Status, Pt{x + s.em*0.45, y + s.line()/2}, s.em*0.42, "")
		}
		g.cells(g.lines[i], false, x, y)
		y += h
		rule := []Pt{{x, y - 0.5}, {x + g.across(), y - 0.5}}
		s.page.add(Item{Kind: KindStroke, Role: RoleRule, Ink: InkLine, Width: 0.25, Dash: 1, Path: rule, Box: bounds(rule, 0.25)})
	}
	s.y = max(s.y, y)
}

// cells writes one line of cells.
func (g *tabular) cells(cells [][]string, bold bool, x, y float64) {
	x += g.lead
	for c, lines := range cells {
		for i, text := range lines {
			at := x
			if c < len(g.Right) && g.Right[c] {
				at += g.width[c] - textWidth(text, g.s.em, bold)
			}
			g.s.page.text(RoleCell, InkText, g.s.em, bold, at, y+float64(i)*g.s.line()+(g.s.line()-g.s.em)/2, text, "")
		}
		x += g.width[c] + g.gap
	}
}
