package render

import (
	"math"
	"slices"

	"rodcall/reduce"
)

// margin is the white border of the page.
const margin = 20

// plan is the upper part of the page while it is being laid out.
type plan struct {
	s     *Scene
	ext   Box // metres, y up
	walls []wall
	at    []Pt      // of the marks, metres
	face  []*Pt     // where they look; nil until asked for
	loop  []int     // to which they belong, -1 for none
	near  []float64 // of each to the next, metres
	spots []float64 // of each to the next at another place; nil until asked for
	pitch []float64 // of each from its neighbours on the walk, metres
	reach float64   // metres: nearer than this counts as in the way

	made   map[int]label // by mark, as fresh gives them
	labels []label
	rails  [sides]rail
	px     []Pt  // of the marks, pixels
	sorted []int // the marks from left to right
	scale  float64
	origin Pt        // pixels, of the plan's upper left corner
	radius []float64 // of the marks, pixels
	height float64   // of the whole zone
	calm   float64   // the plan's height, pixels, unless its columns are higher
}

func newPlan(s *Scene) *plan {
	p := &plan{s: s, made: map[int]label{}, ext: extentOf(s), walls: walls(s.Loops)}
	size := max(p.ext.X1-p.ext.X0, p.ext.Y1-p.ext.Y0)
	p.reach = size / 60
	for i := range s.Marks {
		q := metres(s.Marks[i].At)
		p.at, p.sorted = append(p.at, q), append(p.sorted, i)
	}
	p.near = nearest(p.at)
	p.face = make([]*Pt, len(p.at))
	p.loop, p.pitch = follow(s), pitches(p.at)
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

// fresh is the label of a mark before it has a place, with what it costs to
// lead it to each side.
func (p *plan) fresh(mark int) label {
	l, known := p.made[mark]
	if !known {
		l = newLabel(&p.s.Marks[mark], mark)
		if !l.empty() {
			f := p.looks(mark)
			for s := sideTop; s < sides; s++ {
				l.cost[s] = burden(p.at[mark], f, s, p.ext, p.walls, p.at, p.reach)
			}
		}
		p.made[mark] = l
	}
	return l
}

// assign gives each of the marks' labels its side. Corners look two ways:
// upright says that they rather stand in the columns left and right.
func (p *plan) assign(which []int, upright bool) {
	p.labels = p.labels[:0]
	for _, i := range which {
		l := p.fresh(i)
		if l.empty() {
			continue
		}
		best, f := math.Inf(1), p.looks(i)
		for s := sideTop; s < sides; s++ {
			if f.X != 0 && f.Y != 0 && s.upright() != upright {
				l.cost[s] += 0.04
			}
			if c := l.cost[s]; c < best {
				best, l.side = c, s
			}
		}
		l.home = l.side
		p.labels = append(p.labels, l)
	}
}

// relieve moves some labels from the deepest rail to those sides that cost
// them least more.
func (p *plan) relieve() {
	deepest := sideTop
	for s := sideTop; s < sides; s++ {
		if p.rails[s].depth() > p.rails[deepest].depth() {
			deepest = s
		}
	}
	for range 1 + len(p.rails[deepest].labels)/12 {
		var which *label
		to, least := sideNone, math.Inf(1)
		for i := range p.labels {
			l := &p.labels[i]
			if l.home != deepest {
				continue
			}
			for s := sideTop; s < sides; s++ {
				more := l.cost[s] - l.cost[l.home] + 0.3*float64(p.rails[s].tiers)
				if s != deepest && more < least {
					which, to, least = l, s, more
				}
			}
		}
		if which != nil {
			which.home = to
		}
	}
	for i := range p.labels {
		p.labels[i].side = p.labels[i].home
	}
}

// worth is how good a layout is: a large plan, and few leaders that run a long
// way across it or stray.
func (p *plan) worth() float64 {
	w := p.scale
	for i := range p.labels {
		l := &p.labels[i]
		if l.side == sideNone {
			continue
		}
		if p.way(l) > longWay {
			w *= 0.99 // as if the plan were that much smaller
		}
		if p.strays(l) {
			w *= 0.99
		}
	}
	return w
}

// fit assigns and arranges the labels of some marks, in the way that leaves
// the plan largest. ok is false where they do not fit in any.
func (p *plan) fit(which []int, top, zone float64) (ok bool) {
	var columns plan // with corners in the columns left and right
	fits, best := false, 0.0
	for _, upright := range []bool{true, false} {
		p.assign(which, upright)
		switch {
		case !p.besides(top, zone):
		case upright:
			columns, fits, best = *p, true, 1.05*p.worth() // columns are read more easily
			columns.labels, columns.px, columns.radius = slices.Clone(p.labels), slices.Clone(p.px), slices.Clone(p.radius)
		case p.worth() > best:
			return true
		}
	}
	if fits {
		*p = columns
		return true
	}
	p.assign(which, true)
	for range p.labels {
		p.relieve()
		if p.besides(top, zone) {
			return true
		}
	}
	return false
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
	best, least := 0, math.MaxInt
	for plain := 1; plain <= mostPlain && least > 0; plain++ {
		if !p.stack(top, zone, plain) {
			break
		}
		if n := p.strayed(); n < least {
			best, least = plain, n
		}
	}
	return best > 0 && (least == 0 || p.stack(top, zone, best))
}

// mostPlain is up to how many tiers rows may have only so that their leaders
// end near their marks. Columns take width from the plan, and get none for that.
const mostPlain = 4

// stack deals the rails' labels into as few tiers as they fit in; rows into as
// many more, up to plain, as bring every leader to an end at which no mark of
// another label is nearer than its own.
func (p *plan) stack(top, zone float64, plain int) (ok bool) {
	for s := sideTop; s < sides; s++ {
		p.rails[s].sortLabels()
		p.rails[s].reserve = 0
		p.rails[s].deal(1)
	}
	for range 100 {
		full, fits := p.try(top, zone, plain)
		if fits {
			return true
		}
		switch full {
		case sideNone:
			return false
		case sides: // room was made: the same again
		default:
			p.rails[full].reserve = 0
			p.rails[full].deal(p.rails[full].tiers + 1)
		}
	}
	return false
}

const (
	pad        = 24  // between the plan's edge and the fans
	leastPlan  = 40  // pixels: the plan's greater side is never less
	calmHeight = 900 // pixels: the plan is higher only where its columns are
	paperPlan  = 600 // likewise on paper, where words stand under it
)

// try lays the plan out with the tiers that the rails have now. Where it does
// not fit it names the rail that wants another tier, or none. It names sides
// where a rail turned out deeper, once its labels were in order, than the room
// that was kept for it.
func (p *plan) try(top, zone float64, plain int) (full side, ok bool) {
	rails := &p.rails
	for s := sideTop; s < sides; s++ {
		rails[s].reserve = max(rails[s].reserve, rails[s].depth())
	}
	left, right := rails[sideLeft].reserve, rails[sideRight].reserve
	above, below := rails[sideTop].reserve, rails[sideBottom].reserve
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
		high := max(p.calm, rails[sideLeft].need(), rails[sideRight].need())
		p.scale = min(p.scale, min(h, high)/ph)
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
	p.dodge()
	upper, lower := top+above, top+above+2*pad+middle
	for s := sideTop; s < sides; s++ {
		rails[s].sortLabels()
		rails[s].deal(rails[s].tiers)
		if rails[s].depth() > rails[s].reserve {
			return sides, false
		}
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
		if r := &rails[s]; !s.upright() && r.tiers < plain && slices.ContainsFunc(r.labels, p.strays) {
			return s, false
		}
	}
	return sideNone, true
}

// strays says whether a label's leader ends nearer to the mark of another label
// than to its own.
func (p *plan) strays(l *label) bool {
	end, own := l.path[len(l.path)-1], p.px[l.mark]
	most := math.Hypot(end.X-own.X, end.Y-own.Y) - 1
	return slices.ContainsFunc(p.labels, func(o label) bool {
		return math.Hypot(end.X-p.px[o.mark].X, end.Y-p.px[o.mark].Y) < most
	})
}

// strayed counts the labels on rails whose leaders stray.
func (p *plan) strayed() (n int) {
	for s := sideTop; s < sides; s++ {
		for _, l := range p.rails[s].labels {
			if p.strays(l) {
				n++
			}
		}
	}
	return n
}

// lead sets where each leader would like to run: straight out from its mark,
// or, where its own wall runs that way, along the wall on the side to which it
// looks, the ones from farther in outside the others.
func (p *plan) lead() {
	for i := range p.labels {
		l := &p.labels[i]
		q, f := p.px[l.mark], p.looks(l.mark)
		l.base = q.X
		aside := sign(f.X)
		if l.side.upright() {
			l.base, aside = q.Y, -sign(f.Y)
		}
		if aside == 0 || l.side == sideNone || !p.wallRuns(l.mark, l.side) {
			continue
		}
		rank := 0
		for k := range p.labels {
			o := &p.labels[k]
			same := math.Abs(p.px[o.mark].X-q.X) < 1
			if l.side.upright() {
				same = math.Abs(p.px[o.mark].Y-q.Y) < 1
			}
			if k != i && o.side == l.side && same && p.way(o) < p.way(l) && p.wallRuns(o.mark, o.side) {
				rank++
			}
		}
		l.base += aside * (p.radius[l.mark] + 6 + laneGap*float64(rank))
	}
}

// wallRuns says whether a wall on which the mark stands runs from it towards
// a side.
func (p *plan) wallRuns(mark int, s side) bool {
	q := p.at[mark]
	near := max(p.ext.X1-p.ext.X0, p.ext.Y1-p.ext.Y0) * together
	dx, dy := s.direction()
	for i := range p.walls {
		w := &p.walls[i]
		if w.distance(q) > near {
			continue
		}
		for _, e := range []Pt{w.a, w.b} {
			far := (e.X-q.X)*dx + (e.Y-q.Y)*dy
			if far > near && math.Abs((e.X-q.X)*dy)+math.Abs((e.Y-q.Y)*dx) <= near+aslant*far {
				return true
			}
		}
	}
	return false
}

const wallWidth, hollowWidth, leaderWidth = 8, 13, 3.5

// line is where walls stand on the page, nil where they have no length.
func (p *plan) line(corners []reduce.Point) (path []Pt) {
	long := false
	for _, c := range corners {
		path = append(path, p.pixel(metres(c)))
		long = long || c != corners[0]
	}
	if !long {
		return nil
	}
	return path
}

// draw puts walls, leaders, marks and labels on the page.
func (p *plan) draw(page *Page) {
	for _, ring := range p.s.Loops {
		if path := p.line(ring.Corners); path != nil {
			page.ring(RoleWall, InkWall, wallWidth, 0, "", path)
		}
	}
	for _, other := range p.s.Other {
		if path := p.line(other); path != nil {
			page.stroke(RoleWall, InkWall, hollowWidth, "", path...)
			page.stroke(RoleWall, InkPaper, hollowWidth-wallWidth, "", path...)
		}
	}
	for i := range p.labels {
		l := &p.labels[i]
		if len(l.path) > 1 {
			page.stroke(RoleLeader, InkLine, leaderWidth, p.s.Marks[l.mark].Name, l.path...)
		}
	}
	for i := range p.s.Marks {
		shape(page, RoleMark, p.s.Marks[i].Status, p.px[i], p.radius[i], p.s.Marks[i].Name)
	}
	for i := range p.labels {
		p.labels[i].draw(page, &p.s.Marks[p.labels[i].mark])
	}
}
