package render

import (
	"math"
	"sort"
)

// longWay is the way across the plan, in pixels, from which a label rather
// stands beside its mark than on a rail.
const longWay = 80

// innerWay is the way from which it stands even behind its wall.
const innerWay = 150

// besides moves labels from rails to places beside their marks where they
// have room: of piers, of walls that two loops share, and of marks a long way
// in from the plan's edge. Each label that turns out to have none goes back to
// a rail for good, and the plan is arranged again without it; so this ends, and
// what it leaves is free. ok is false where the rails do not fit, as it was before.
func (p *plan) besides(top, zone float64) (ok bool) {
	if !p.arrange(top, zone) {
		return false
	}
	any, inOrder := false, make([]*label, 0, len(p.labels))
	homes := make([]side, len(p.labels))
	for i := range p.labels {
		l := &p.labels[i]
		homes[i] = l.home
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
			// On other rails, in another order, they may need more room.
			for i := range p.labels {
				l := &p.labels[i]
				l.home, l.side = homes[i], homes[i]
				l.shape(false)
			}
			return p.arrange(top, zone)
		}
		out, taken := p.crowdedOut(inOrder)
		out, taken = p.likewise(out, taken)
		for _, l := range out {
			p.wayOut(l, taken)
			l.side, any = l.home, true
			l.shape(false)
		}
		inOrder = inOrder[:0]
		for i := range taken {
			inOrder = append(inOrder, taken[i].label)
		}
	}
	return true
}

// likewise leaves out, too, the labels of a wall near the plan's edge of which
// one is left out: on their rail they stand in a row. It does not where their
// leaders would run over labels that stay.
func (p *plan) likewise(out []*label, taken []stance) ([]*label, []stance) {
	row := func(l *label) bool {
		f := p.looks(l.mark)
		dx, dy := l.home.direction()
		return f.X*dx+f.Y*dy > 0 && f.X*dy == 0 && f.Y*dx == 0 && p.way(l) < innerWay
	}
	for _, l := range out {
		if !row(l) {
			continue
		}
		var with, kept []stance
		for _, c := range taken {
			o := c.label
			if o.home == l.home && row(o) && math.Abs(p.way(o)-p.way(l)) < 1 {
				with = append(with, c)
			} else {
				kept = append(kept, c)
			}
		}
		over := 0
		for i := range with {
			over += p.runsOver(with[i].label, l.home, kept)
		}
		if over == 0 {
			for i := range with {
				out = append(out, with[i].label)
			}
			taken = kept
		}
	}
	return out, taken
}

// runsOver counts the labels over which, or over whose marks, another's leader
// straight out to a side would run.
func (p *plan) runsOver(l *label, s side, taken []stance) (n int) {
	q := p.px[l.mark]
	dx, dy := s.direction()
	ray := []Pt{q, {q.X + 2*pageWidth*dx, q.Y - 2*maxHeight*dy}}
	for i := range taken {
		m := taken[i].label.mark
		if taken[i].box.grow(stubClear).crossed(ray) || off(ray[0], ray[1], p.px[m]) < p.radius[m] {
			n++
		}
	}
	return n
}

// wayOut chooses the rail for a label that found no room at its mark: the one
// that is best led to past the labels that did.
func (p *plan) wayOut(l *label, taken []stance) {
	least := math.Inf(1)
	for s := sideTop; s < sides; s++ {
		c := l.cost[s] + 0.3*float64(p.runsOver(l, s, taken))
		if s == l.home {
			c -= 0.01
		}
		if c < least {
			least, l.home = c, s
		}
	}
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
	switch l.home {
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
