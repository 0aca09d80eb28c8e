package render

import (
	"cmp"
	"slices"
	"sort"
)

// crowdedOut stands labels beside their marks and returns those that find no
// room, and what the others take up. It tries some orders, each time those
// first that were left over most, and leaves the labels in the one that served
// best.
func (p *plan) crowdedOut(inOrder []*label) (least []*label, taken []stance) {
	const tries, vain = 12, 3
	since := 0 // the last better one
	slices.SortFunc(p.sorted, func(i, j int) int { return cmp.Compare(p.px[i].X, p.px[j].X) })
	may, failed := map[*label]*choice{}, map[*label]int{}
	order := slices.Clone(inOrder)
	for _, l := range order {
		may[l] = &choice{label: l, places: p.places(l)}
	}
	for try := range tries {
		placed := make([]stance, 0, len(order))
		var out []*label
		for _, l := range order {
			if c := p.roomFor(may[l], placed); c != nil {
				placed = append(placed, *c)
			} else {
				out = append(out, l)
			}
		}
		if try == 0 || len(out) < len(least) {
			least, taken, since = out, placed, 0
		}
		if since++; len(out) == 0 || since > vain {
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
	if c.hung {
		own, clear = 0, 4
		s := bounds(c.ends[:], 0)
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
		if apart(b, q) < max(own, p.radius[i]+clear) || b.Overlaps(bounds([]Pt{q}, 2*p.radius[i]+2)) ||
			c.hung && off(c.ends[0], c.ends[1], q) < p.radius[i]+stubClear {
			return false
		}
	}
	for i := range p.walls {
		from, to := p.pixel(p.walls[i].a), p.pixel(p.walls[i].b)
		if meets(from, to, b.grow(wallClear)) || c.hung && meets(from, to, bounds(c.ends[:], leaderWidth)) {
			return false
		}
	}
	near, stub := b.grow(stubClear), c.stub()
	for i := range p.labels {
		o := &p.labels[i]
		if o != l && o.side != sideNone && (near.crossed(o.path) || meet(stub, o.path)) {
			return false
		}
	}
	return true
}
