package render

import (
	"math"
	"sort"
)

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
	any, inOrder := false, make([]*label, 0, len(p.labels))
	for i := range p.labels {
		l := &p.labels[i]
		if p.aside(l) {
			l.side, any = sideNone, true
			inOrder = append(inOrder, l)
		}
	}
	sort.SliceStable(inOrder, func(i, j int) bool { // corners choose first
		a, b := inOrder[i].mark, inOrder[j].mark
		if c := p.s.Marks[a].Corner; c != p.s.Marks[b].Corner {
			return c
		}
		return a < b
	})
	for any {
		any = false
		if !p.arrange(top, zone) {
			// Fewer labels never need more room, but their order may.
			for i := range p.labels {
				p.labels[i].side = p.labels[i].home
			}
			return p.arrange(top, zone)
		}
		var placed []*label
		for _, l := range inOrder {
			switch {
			case l.side != sideNone:
			case p.standBeside(l, placed):
				placed = append(placed, l)
			default:
				l.side, any = l.home, true
			}
		}
	}
	return true
}

// aside says whether a label rather stands beside its mark.
func (p *plan) aside(l *label) bool {
	if p.s.Marks[l.mark].Pier || p.way(l) > longWay {
		return true
	}
	_, shared := p.inside(l.mark)
	return shared && !p.s.Marks[l.mark].Corner
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

// standBeside looks for a free place at the label's mark.
func (p *plan) standBeside(l *label, placed []*label) bool {
	for _, t := range p.places(l) {
		p.stand(l, t)
		if p.free(l, placed) {
			return true
		}
	}
	l.shape(false)
	return false
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

// free says whether a label at its mark, and its stub, are clear of walls,
// leaders, other labels and marks and lie within the plan's own field, and
// whether nobody would take the label for another mark's: without a stub it
// must be nearer to its own.
func (p *plan) free(l *label, placed []*label) bool {
	b := l.box()
	field := Box{p.origin.X, p.origin.Y,
		p.origin.X + (p.ext.X1-p.ext.X0)*p.scale, p.origin.Y + (p.ext.Y1-p.ext.Y0)*p.scale}.grow(pad - 4)
	if !within(b, field) {
		return false
	}
	for _, o := range placed {
		if b.grow(besideGap).Overlaps(o.box()) || b.grow(stubClear).crossed(o.path) || o.box().grow(stubClear).crossed(l.path) || meet(l.path, o.path) {
			return false
		}
	}
	for i := range p.walls {
		from, to := p.pixel(p.walls[i].a), p.pixel(p.walls[i].b)
		if meets(from, to, b.grow(wallClear)) || len(l.path) > 0 && meets(from, to, bounds(l.path, leaderWidth)) {
			return false
		}
	}
	for i := range p.labels {
		o := &p.labels[i]
		if o != l && o.side != sideNone && (b.grow(stubClear).crossed(o.path) || meet(l.path, o.path)) {
			return false
		}
	}
	own := apart(b, p.px[l.mark]) + 6
	if len(l.path) > 0 {
		own = 0
	}
	for i, q := range p.px {
		if i == l.mark {
			continue
		}
		if apart(b, q) < max(own, p.radius[i]+8) || len(l.path) > 0 && apart(bounds(l.path, 0), q) < p.radius[i]+stubClear {
			return false
		}
	}
	return true
}

// crossed says whether a path has a point in b.
func (b Box) crossed(path []Pt) bool {
	for i := 1; i < len(path); i++ {
		if meets(path[i-1], path[i], b) {
			return true
		}
	}
	return false
}

// meet says whether a stub, which runs straight along the page, comes near a
// path.
func meet(stub, path []Pt) bool {
	return len(stub) > 0 && bounds(stub, 2*stubClear).crossed(path)
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
