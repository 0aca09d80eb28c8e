package render

import (
	"cmp"
	"math"
	"slices"
	"sort"
)

// longWay is the way across the plan, in pixels, from which a label rather
// stands beside its mark than on a rail.
const longWay = 80

// innerWay is the way from which it stands even behind its wall.
const innerWay = 150

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

// crowdedOut stands labels beside their marks and returns those that find no
// room, and what the others take up. It tries some orders, each time those
// first that were left over most, and leaves the labels in the one that served
// best.
func (p *plan) crowdedOut(inOrder []*label) (least []*label, taken []stance) {
	const tries = 12
	slices.SortFunc(p.sorted, func(i, j int) int { return cmp.Compare(p.px[i].X, p.px[j].X) })
	may, failed := map[*label]*choice{}, map[*label]int{}
	order := slices.Clone(inOrder)
	for _, l := range order {
		may[l] = &choice{label: l, places: p.places(l)}
	}
	for try := range tries {
		var placed []stance
		var out []*label
		for _, l := range order {
			if c := p.roomFor(may[l], placed); c != nil {
				placed = append(placed, *c)
			} else {
				out = append(out, l)
			}
		}
		if try == 0 || len(out) < len(least) {
			least, taken = out, placed
		}
		if len(out) == 0 {
			break
		}
		for _, l := range out {
			failed[l]++
		}
		slices.SortStableFunc(order, func(a, b *label) int { return failed[b] - failed[a] })
	}
	for i := range taken {
		taken[i].take()
	}
	return least, taken
}

// choice is how a label may stand at its mark, worked out as far as asked for.
type choice struct {
	label  *label
	places []place  // not looked at yet
	stands []stance // those that the plan leaves room for
}

// choose is the label's i-th way to stand, best first, or nil.
func (p *plan) choose(c *choice, i int) *stance {
	for i >= len(c.stands) {
		if len(c.places) == 0 {
			return nil
		}
		s := p.stand(c.label, c.places[0])
		c.places = c.places[1:]
		if p.free(&s) {
			c.stands = append(c.stands, s)
		}
	}
	return &c.stands[i]
}

// roomFor is a label's best way to stand that leaves the others room, or nil.
func (p *plan) roomFor(c *choice, placed []stance) *stance {
next:
	for i := 0; ; i++ {
		s := p.choose(c, i)
		if s == nil {
			return nil
		}
		for k := range placed {
			if !s.beside(&placed[k]) {
				continue next
			}
		}
		return s
	}
}

// likewise leaves out, too, the labels of a wall near the plan's edge of which
// one is left out: on their rail they stand in a row.
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
		kept := taken[:0]
		for _, c := range taken {
			o := c.label
			if o.home == l.home && row(o) && math.Abs(p.way(o)-p.way(l)) < 1 {
				out = append(out, o)
			} else {
				kept = append(kept, c)
			}
		}
		taken = kept
	}
	return out, taken
}

// wayOut chooses the rail for a label that found no room at its mark: the one
// that is best led to past the labels that did.
func (p *plan) wayOut(l *label, taken []stance) {
	least, q := math.Inf(1), p.px[l.mark]
	for s := sideTop; s < sides; s++ {
		dx, dy := s.direction()
		ray := []Pt{q, {q.X + 2*pageWidth*dx, q.Y - 2*maxHeight*dy}}
		c := l.cost[s]
		if s == l.home {
			c -= 0.01
		}
		for i := range taken {
			if taken[i].box.grow(stubClear).crossed(ray) {
				c += 0.3
			}
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
// leaders and marks and lie within the plan's own field, and whether nobody
// would take the label for another mark's: without a stub it must be nearer to
// its own.
func (p *plan) free(c *stance) bool {
	l, b := c.label, c.box
	field := Box{p.origin.X, p.origin.Y,
		p.origin.X + (p.ext.X1-p.ext.X0)*p.scale, p.origin.Y + (p.ext.Y1-p.ext.Y0)*p.scale}.grow(pad - 4)
	if !within(b, field) {
		return false
	}
	own, clear, all := apart(b, p.px[l.mark]), 8.0, b
	if own += 6; c.across {
		own *= 1.25
	}
	if len(c.stub) > 0 {
		own, clear = 0, 4
		s := bounds(c.stub, 0)
		all = Box{min(b.X0, s.X0), min(b.Y0, s.Y0), max(b.X1, s.X1), max(b.Y1, s.Y1)}
	}
	all = all.grow(mostRadius*1.25 + 16) // what is farther off does not matter
	first := sort.Search(len(p.sorted), func(i int) bool { return p.px[p.sorted[i]].X >= all.X0 })
	for _, i := range p.sorted[first:] {
		q := p.px[i]
		if q.X > all.X1 {
			break
		}
		if i == l.mark || q.Y < all.Y0 || q.Y > all.Y1 {
			continue
		}
		if apart(b, q) < max(own, p.radius[i]+clear) || len(c.stub) > 0 && off(c.stub[0], c.stub[1], q) < p.radius[i]+stubClear {
			return false
		}
	}
	for i := range p.walls {
		from, to := p.pixel(p.walls[i].a), p.pixel(p.walls[i].b)
		if meets(from, to, b.grow(wallClear)) || len(c.stub) > 0 && meets(from, to, bounds(c.stub, leaderWidth)) {
			return false
		}
	}
	for i := range p.labels {
		o := &p.labels[i]
		if o != l && o.side != sideNone && (b.grow(stubClear).crossed(o.path) || meet(c.stub, o.path)) {
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

// off is the distance of q from the segment a–b.
func off(a, b, q Pt) float64 {
	w := wall{a: a, b: b}
	return w.distance(q)
}

// apart is the distance of q from b, 0 inside.
func apart(b Box, q Pt) float64 {
	return math.Hypot(max(b.X0-q.X, 0, q.X-b.X1), max(b.Y0-q.Y, 0, q.Y-b.Y1))
}

// meets says whether the segment p–q has a point in b, by clipping it to each
// side of b in turn.
func meets(p, q Pt, b Box) bool {
	if min(p.X, q.X) > b.X1 || max(p.X, q.X) < b.X0 || min(p.Y, q.Y) > b.Y1 || max(p.Y, q.Y) < b.Y0 {
		return false
	}
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
