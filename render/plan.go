package render

import "math"

// margin is the white border of the page.
const margin = 20

// plan is the upper part of the page while it is being laid out.
type plan struct {
	s     *Scene
	ext   Box // metres, y up
	walls []wall
	at    []Pt      // of the marks, metres
	face  []*Pt     // where they look; nil until asked for
	near  []float64 // of each to the next, metres
	reach float64   // metres: nearer than this counts as in the way

	labels []label
	rails  [sides]rail
	px     []Pt // of the marks, pixels
	scale  float64
	origin Pt        // pixels, of the plan's upper left corner
	radius []float64 // of the marks, pixels
	height float64   // of the whole zone
}

func newPlan(s *Scene) *plan {
	p := &plan{s: s, ext: extentOf(s), walls: walls(s.Loops)}
	size := max(p.ext.X1-p.ext.X0, p.ext.Y1-p.ext.Y0)
	p.reach = size / 60
	for i := range s.Marks {
		q := metres(s.Marks[i].At)
		p.at = append(p.at, q)
	}
	p.near = nearest(p.at)
	p.face = make([]*Pt, len(p.at))
	return p
}

// looks is the direction in which a mark looks, in plan. It is worked out when
// asked for: of thousands of marks few are labelled.
func (p *plan) looks(mark int) Pt {
	if p.face[mark] == nil {
		size := max(p.ext.X1-p.ext.X0, p.ext.Y1-p.ext.Y0)
		f := face(p.at[mark], p.walls, size/1e5)
		p.face[mark] = &f
	}
	return *p.face[mark]
}

// pixel is where a point of the plan stands on the page.
func (p *plan) pixel(q Pt) Pt {
	return Pt{p.origin.X + (q.X-p.ext.X0)*p.scale, p.origin.Y + (p.ext.Y1-q.Y)*p.scale}
}

// assign gives each of the marks' labels its side. Corners look two ways:
// upright says that they rather stand in the columns left and right.
func (p *plan) assign(which []int, upright bool) {
	p.labels = p.labels[:0]
	for _, i := range which {
		l := newLabel(&p.s.Marks[i], i)
		if l.empty() {
			continue
		}
		best, f := math.Inf(1), p.looks(i)
		for s := sideTop; s < sides; s++ {
			c := burden(p.at[i], f, s, p.ext, p.walls, p.at, p.reach)
			if f.X != 0 && f.Y != 0 && s.upright() != upright {
				c += 0.04
			}
			if c < best {
				best, l.side = c, s
			}
		}
		p.labels = append(p.labels, l)
	}
}

// arrange finds the largest plan that leaves its rails room in a zone of the
// given height, the page's width wide, from top on. ok is false where there
// is none.
func (p *plan) arrange(top, zone float64) (ok bool) {
	for s := sideTop; s < sides; s++ {
		p.rails[s] = rail{side: s}
	}
	for i := range p.labels {
		l := &p.labels[i]
		l.base = p.at[l.mark].X
		if l.side.upright() {
			l.base = -p.at[l.mark].Y
		}
		if r := &p.rails[l.side]; l.side != sideNone {
			r.labels = append(r.labels, l)
		}
	}
	for s := sideTop; s < sides; s++ {
		p.rails[s].sortLabels()
		p.rails[s].deal(1)
	}
	for range 64 {
		full, fits := p.try(top, zone)
		if fits {
			return true
		}
		if full == sideNone {
			return false
		}
		p.rails[full].deal(p.rails[full].tiers + 1)
	}
	return false
}

const (
	pad       = 24 // between the plan's edge and the fans
	leastPlan = 40 // pixels: the plan's greater side is never less
)

// try lays the plan out with the tiers that the rails have now. Where it does
// not fit it names the rail that wants another tier, or none.
func (p *plan) try(top, zone float64) (full side, ok bool) {
	rails := &p.rails
	left, right := rails[sideLeft].depth(), rails[sideRight].depth()
	above, below := rails[sideTop].depth(), rails[sideBottom].depth()
	w := pageWidth - 2*margin - left - right - 2*pad
	h := zone - above - below - 2*pad
	if w < leastPlan || h < leastPlan/4 {
		return sideNone, false
	}
	pw, ph := p.ext.X1-p.ext.X0, p.ext.Y1-p.ext.Y0
	p.scale = math.Inf(1)
	if pw > 0 {
		p.scale = min(p.scale, w/pw)
	}
	if ph > 0 {
		p.scale = min(p.scale, h/ph)
	}
	if max(pw, ph)*p.scale < leastPlan {
		return sideNone, false
	}
	middle := ph * p.scale
	for _, s := range []side{sideLeft, sideRight} {
		if n := rails[s].need(); n > middle+2*pad {
			middle = n - 2*pad
		}
	}
	for _, s := range []side{sideTop, sideBottom} {
		if rails[s].need() > pageWidth-2*margin {
			return s, false
		}
	}
	if middle > h {
		if a, b := rails[sideLeft].need(), rails[sideRight].need(); a > b {
			return sideLeft, false
		}
		return sideRight, false
	}
	p.height = above + below + 2*pad + middle
	p.origin = Pt{
		margin + left + pad + (w-pw*p.scale)/2,
		top + above + pad + (middle-ph*p.scale)/2,
	}
	p.setMarks()
	p.lead()
	upper, lower := top+above, top+above+2*pad+middle
	for s := sideTop; s < sides; s++ {
		rails[s].sortLabels()
		rails[s].deal(rails[s].tiers)
		from, to, edge := float64(margin), float64(pageWidth-margin), upper
		switch s {
		case sideBottom:
			edge = lower
		case sideLeft:
			from, to, edge = upper, lower, p.origin.X-pad
		case sideRight:
			from, to, edge = upper, lower, p.origin.X+pw*p.scale+pad
		case sideTop, sideNone:
		}
		if !rails[s].place(from, to, edge, p.px) {
			return s, false
		}
	}
	return sideNone, true
}

// lead sets where each leader would like to run: straight out from its mark,
// or, where its own wall runs that way, along the wall on the side to which it
// looks, the ones from farther in outside the others.
func (p *plan) lead() {
	for i := range p.labels {
		l := &p.labels[i]
		q, f := p.px[l.mark], p.looks(l.mark)
		out := f.Y
		l.base = q.X
		aside := sign(f.X)
		if l.side.upright() {
			out, l.base, aside = f.X, q.Y, -sign(f.Y)
		}
		if aside == 0 || out != 0 || l.side == sideNone {
			continue
		}
		rank := 0
		for k := range p.labels {
			o := &p.labels[k]
			same := p.px[o.mark].X == q.X
			if l.side.upright() {
				same = p.px[o.mark].Y == q.Y
			}
			if k != i && o.side == l.side && same && p.way(o) < p.way(l) {
				rank++
			}
		}
		l.base += aside * (p.radius[l.mark] + 6 + laneGap*float64(rank))
	}
}

// draw puts walls, leaders, marks and labels on the page.
func (p *plan) draw(page *Page) {
	for _, ring := range p.s.Loops {
		var path []Pt
		for _, c := range ring.Corners {
			path = append(path, p.pixel(metres(c)))
		}
		if len(path) > 1 {
			page.ring(RoleWall, InkWall, 5, 0, "", path)
		}
	}
	for i := range p.labels {
		l := &p.labels[i]
		if len(l.path) > 1 {
			page.stroke(RoleLeader, InkLine, 1.5, p.s.Marks[l.mark].Name, l.path...)
		}
	}
	for i := range p.s.Marks {
		shape(page, RoleMark, p.s.Marks[i].Status, p.px[i], p.radius[i], p.s.Marks[i].Name)
	}
	for i := range p.labels {
		p.labels[i].draw(page, &p.s.Marks[p.labels[i].mark])
	}
}
