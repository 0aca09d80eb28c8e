package render

import "math"

// inkOf is the ink of a status.
func inkOf(s Status) Ink {
	switch s {
	case StatusOn:
		return InkOn
	case StatusHigh:
		return InkHigh
	case StatusLow:
		return InkLow
	case StatusRaise:
		return InkRaise
	case StatusLower:
		return InkLower
	case StatusUnsure:
		return InkUnsure
	case StatusUnread:
	}
	return InkUnread
}

// circle is a closed path of n corners round c, the first at angle from.
func circle(c Pt, r float64, n int, from float64) []Pt {
	p := make([]Pt, n)
	for i := range p {
		s, k := math.Sincos(from + 2*math.Pi*float64(i)/float64(n))
		p[i] = Pt{c.X + r*k, c.Y + r*s}
	}
	return p
}

// shape draws a status in a circle of radius r at c, on a clear ground:
//
//	on      a ring with a level bar across
//	high    a dome standing on a line       low    a bowl hanging from a line
//	raise   an arrow up                     lower  an arrow down
//	unsure  a diamond, hollow
//	unread  a broken ring, empty
func shape(p *Page, role Role, s Status, c Pt, r float64, mark string) {
	ink := inkOf(s)
	at := func(pts ...Pt) []Pt { // in units of r from c
		out := make([]Pt, len(pts))
		for i, q := range pts {
			out[i] = Pt{c.X + q.X*r, c.Y + q.Y*r}
		}
		return out
	}
	half := func(dir float64) []Pt { // half a disc and its line
		out := make([]Pt, 0, 19)
		for i := range 17 {
			sn, k := math.Sincos(math.Pi * float64(i) / 16)
			out = append(out, Pt{k * 0.72, dir * (0.38 - 1.1*sn)})
		}
		return at(out...)
	}
	p.fill(role, InkPaper, mark, circle(c, r*1.25, 24, 0)...)
	w := max(1.5, r*0.24)
	switch s {
	case StatusOn:
		p.ring(role, ink, w, 0, mark, circle(c, r-w/2, 24, 0))
		p.fill(role, ink, mark, at(Pt{-0.6, -0.2}, Pt{0.6, -0.2}, Pt{0.6, 0.2}, Pt{-0.6, 0.2})...)
	case StatusHigh:
		p.fill(role, ink, mark, half(1)...)
		p.fill(role, ink, mark, at(Pt{-1, 0.55}, Pt{1, 0.55}, Pt{1, 0.8}, Pt{-1, 0.8})...)
	case StatusLow:
		p.fill(role, ink, mark, half(-1)...)
		p.fill(role, ink, mark, at(Pt{-1, -0.55}, Pt{1, -0.55}, Pt{1, -0.8}, Pt{-1, -0.8})...)
	case StatusRaise, StatusLower:
		d := 1.0
		if s == StatusLower {
			d = -1
		}
		p.fill(role, ink, mark, at(Pt{0, -d}, Pt{0.96, 0.1 * d}, Pt{0.26, 0.1 * d}, Pt{0.26, d},
			Pt{-0.26, d}, Pt{-0.26, 0.1 * d}, Pt{-0.96, 0.1 * d})...)
	case StatusUnsure:
		p.ring(role, ink, w, 0, mark, circle(c, r-w/2, 4, 0))
	case StatusUnread:
		p.ring(role, ink, w, max(2, r*0.42), mark, circle(c, r-w/2, 24, 0))
	}
}

// ring strokes a closed path.
func (p *Page) ring(role Role, ink Ink, width, dash float64, mark string, path []Pt) {
	path = append(path, path[0])
	p.add(Item{Kind: KindStroke, Role: role, Ink: ink, Width: width, Dash: dash,
		Path: path, Box: bounds(path, width), Mark: mark})
}
