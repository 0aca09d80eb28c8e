package render

import "math"

// longWay is the way across the plan, in pixels, from which a label rather
// stands beside its mark than on a rail.
const longWay = 50

// besides moves labels from rails to places beside their marks where they
// have room: of piers, and of marks a long way in from the plan's edge. Each
// label that turns out to have none goes back to its rail for good, and the
// plan is arranged again without it; so this ends, and what it leaves is
// free. ok is false where the rails do not fit, as it was before.
func (p *plan) besides(top, zone float64) (ok bool) {
	if !p.arrange(top, zone) {
		return false
	}
	any := false
	for i := range p.labels {
		l := &p.labels[i]
		if p.s.Marks[l.mark].Pier || p.way(l) > longWay {
			l.side, any = sideNone, true
		}
	}
	for any {
		any = false
		if !p.arrange(top, zone) {
			// Fewer labels never need more room, but their order may.
			for i := range p.labels {
				p.labels[i].side = p.labels[i].home
			}
			return p.arrange(top, zone)
		}
		var placed []Box
		for _, corners := range []bool{true, false} { // corners choose first
			for i := range p.labels {
				l := &p.labels[i]
				if l.side != sideNone || p.s.Marks[l.mark].Corner != corners {
					continue
				}
				if b, free := p.standBeside(l, placed); free {
					placed = append(placed, b)
				} else {
					l.side, any = l.home, true
				}
			}
		}
	}
	return true
}

// way is how far a label's leader runs across the plan, in pixels.
func (p *plan) way(l *label) float64 {
	q := p.px[l.mark]
	switch l.side {
	case sideTop:
		return q.Y - p.origin.Y
	case sideBottom:
		return p.origin.Y + (p.ext.Y1-p.ext.Y0)*p.scale - q.Y
	case sideLeft:
		return q.X - p.origin.X
	case sideRight:
		return p.origin.X + (p.ext.X1-p.ext.X0)*p.scale - q.X
	case sideNone:
	}
	return 0
}

// standBeside looks for a free place next to the label's mark: first where
// its wall looks, then round it.
func (p *plan) standBeside(l *label, placed []Box) (Box, bool) {
	f := p.looks(l.mark)
	fx, fy := sign(f.X), -sign(f.Y) // on the page y runs down
	tries := [][2]float64{{fx, fy}, {fx, 0}, {0, fy}, {-fx, -fy}, {fx, -fy}, {-fx, fy}}
	switch {
	case fx == 0 && fy == 0:
		tries = [][2]float64{{1, 0}, {-1, 0}, {0, -1}, {0, 1}, {1, -1}, {-1, -1}, {1, 1}, {-1, 1}}
	case fy == 0:
		tries = [][2]float64{{fx, 0}, {fx, -1}, {fx, 1}, {-fx, 0}}
	case fx == 0:
		tries = [][2]float64{{0, fy}, {1, fy}, {-1, fy}, {0, -fy}}
	}
	for _, t := range tries {
		if t == [2]float64{} {
			continue
		}
		p.stand(l, t[0], t[1])
		if b := l.box(); p.free(l, b, placed) {
			return b, true
		}
	}
	return Box{}, false
}

func sign(v float64) float64 {
	switch {
	case v > 1e-9:
		return 1
	case v < -1e-9:
		return -1
	}
	return 0
}

// stand puts a label next to its mark, dx and dy each −1, 0 or 1.
func (p *plan) stand(l *label, dx, dy float64) {
	q, d := p.px[l.mark], p.radius[l.mark]+7
	if dx != 0 && dy != 0 {
		d *= 0.75
	}
	l.path, l.align = nil, sideNone
	l.at = Pt{q.X + dx*(d+l.w/2), q.Y + dy*(d+l.h/2)}
	switch {
	case dx > 0:
		l.align = sideLeft
	case dx < 0:
		l.align = sideRight
	}
}

// free says whether a box beside a mark is clear of walls, leaders, other
// labels and marks, lies within the plan's own field, and is nearer to its
// own mark than to any other.
func (p *plan) free(l *label, b Box, placed []Box) bool {
	field := Box{p.origin.X, p.origin.Y,
		p.origin.X + (p.ext.X1-p.ext.X0)*p.scale, p.origin.Y + (p.ext.Y1-p.ext.Y0)*p.scale}.grow(pad - 4)
	if b.X0 < field.X0 || b.X1 > field.X1 || b.Y0 < field.Y0 || b.Y1 > field.Y1 {
		return false
	}
	for _, o := range placed {
		if b.grow(8).Overlaps(o) {
			return false
		}
	}
	for i := range p.walls {
		if meets(p.pixel(p.walls[i].a), p.pixel(p.walls[i].b), b.grow(6)) {
			return false
		}
	}
	for i := range p.labels {
		o := &p.labels[i]
		for k := 1; k < len(o.path); k++ {
			if o != l && o.side != sideNone && meets(o.path[k-1], o.path[k], b.grow(5)) {
				return false
			}
		}
	}
	own := apart(b, p.px[l.mark])
	for i, q := range p.px {
		if i != l.mark && apart(b, q) < max(own+6, p.radius[i]+8) {
			return false
		}
	}
	return true
}

// apart is the distance of q from b, 0 inside.
func apart(b Box, q Pt) float64 {
	return math.Hypot(max(b.X0-q.X, 0, q.X-b.X1), max(b.Y0-q.Y, 0, q.Y-b.Y1))
}

// meets says whether the segment p–q has a point in b, by clipping it to each
// side of b in turn.
func meets(p, q Pt, b Box) bool {
	from, to := 0.0, 1.0
	for _, e := range [4][2]float64{
		{p.X - q.X, p.X - b.X0}, {q.X - p.X, b.X1 - p.X},
		{p.Y - q.Y, p.Y - b.Y0}, {q.Y - p.Y, b.Y1 - p.Y},
	} {
		switch {
		case e[0] == 0:
			if e[1] < 0 {
				return false
			}
		case e[0] < 0:
			from = max(from, e[1]/e[0])
		default:
			to = min(to, e[1]/e[0])
		}
	}
	return from <= to
}
