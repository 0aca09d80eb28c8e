package render

// clear takes away labels, the least first, until none lies on another, on a
// wall, on a mark or on a leader, and none leaves the page. Where marks do not
// crowd past all measure none has to go.
func (p *plan) clear(top, bottom float64) {
	page := Box{0, top, pageWidth, bottom}
	kept := p.labels[:0]
	for _, l := range p.labels {
		if p.onPlan(&l) || !within(l.box(), page) || len(l.path) > 0 && !within(bounds(l.path, leaderWidth), page) {
			continue
		}
		ok := !l.under(l.path)
		for i := range kept {
			k := &kept[i]
			ok = ok && !l.box().Overlaps(k.box()) && !l.under(k.path) && !k.under(l.path)
		}
		if ok {
			kept = append(kept, l)
		}
	}
	p.labels = kept
}

// onPlan says whether a label lies on a wall or a mark.
func (p *plan) onPlan(l *label) bool {
	b := l.box()
	for i := range p.walls {
		if meets(p.pixel(p.walls[i].a), p.pixel(p.walls[i].b), b.grow(wallWidth/2)) {
			return true
		}
	}
	for _, other := range p.s.Other {
		if b.grow(hollowWidth / 2.0).crossed(p.line(other)) {
			return true
		}
	}
	for i, q := range p.px {
		if b.Overlaps(bounds([]Pt{q}, 2*p.radius[i])) {
			return true
		}
	}
	return false
}

// under says whether a leader runs under the label.
func (l *label) under(path []Pt) bool {
	b := l.box().grow(leaderWidth / 2)
	for i := 1; i < len(path); i++ {
		if meets(path[i-1], path[i], b) {
			return true
		}
	}
	return false
}

// within says whether b lies in c.
func within(b, c Box) bool {
	return b.X0 >= c.X0 && b.X1 <= c.X1 && b.Y0 >= c.Y0 && b.Y1 <= c.Y1
}
