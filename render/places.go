package render

import (
	"math"
	"slices"
)

// A label beside its mark touches it, or hangs on a straight stub.
const (
	touch     = 7  // from the mark
	rowOf     = 68 // pixels: marks nearer than this are labelled in one line each
	besideGap = 8  // between labels
	stubClear = 5  // from a stub or leader to labels and marks
	wallClear = 9  // from walls to labels
)

// How far from its mark's rim a label may hang: along its lines, up and down,
// and across. 0 is without a stub.
var (
	stubsAlong  = [...]float64{0, 18, 10, 84, 150, 230}
	stubsUp     = [...]float64{0, 14, 46, 80, 114, 148}
	stubsAcross = [...]float64{0, 14, 24, 36, 52}
	slideNone   = [...]float64{0}
	slideAny    = [...]float64{0, 1, -1}
)

// place is one way to stand a label at its mark: the direction, each −1, 0 or
// 1 on the page, how far off, and whether in one line.
type place struct {
	dx, dy float64
	away   float64 // from the mark's rim by a stub; 0 is beside it
	slide  float64 // −1 or 1 where the stub ends at a label's end, not its middle
	flat   bool
}

// toward lists the directions to try for a mark's label, best first: where its
// wall looks and then the others, but on a wall of two loops only the inside
// of its own.
func (p *plan) toward(l *label) [][2]float64 {
	mark := l.mark
	if in, shared := p.inside(mark); shared {
		dx, dy := sign(in.X), -sign(in.Y)
		if dx != 0 && dy != 0 {
			return [][2]float64{{dx, dy}, {dx, 0}, {0, dy}}
		}
		return [][2]float64{{dx, dy}}
	}
	f := p.looks(mark)
	fx, fy := sign(f.X), -sign(f.Y) // on the page y runs down
	switch {
	case fx == 0 && fy == 0:
		return [][2]float64{{1, 0}, {-1, 0}, {0, -1}, {0, 1}, {1, -1}, {-1, -1}, {1, 1}, {-1, 1}}
	case fy == 0 && p.way(l) < innerWay:
		return [][2]float64{{fx, 0}, {fx, -1}, {fx, 1}}
	case fy == 0:
		return [][2]float64{{fx, 0}, {fx, -1}, {fx, 1}, {-fx, 0}}
	case fx == 0 && p.way(l) < innerWay:
		return [][2]float64{{0, fy}, {1, fy}, {-1, fy}}
	case fx == 0:
		return [][2]float64{{0, fy}, {1, fy}, {-1, fy}, {0, -fy}}
	}
	return [][2]float64{{fx, fy}, {fx, 0}, {0, fy}, {-fx, -fy}, {fx, -fy}, {-fx, fy}}
}

// places lists where a label may stand at its mark, best first.
func (p *plan) places(l *label) []place {
	out := make([]place, 0, 64)
	crowded := p.pitch[l.mark]*p.scale < rowOf
	for _, d := range p.toward(l) {
		dx, dy := d[0], d[1]
		shapes := []bool{false, true}
		if crowded && dy == 0 {
			shapes = []bool{true, false}
		}
		stubs := stubsUp[:]
		switch {
		case p.s.Marks[l.mark].Pier:
			stubs = stubsUp[:1]
		case dx != 0 && dy != 0 && !p.s.Marks[l.mark].Corner:
			stubs = stubsAcross[:1]
		case dx != 0 && dy != 0:
			stubs = stubsAcross[:]
		case dy == 0:
			stubs = stubsAlong[:]
		}
		for _, away := range stubs {
			slides := slideNone[:]
			if away > 0 && (dx == 0 || dy == 0) {
				slides = slideAny[:]
			}
			for _, flat := range shapes {
				for _, slide := range slides {
					out = append(out, place{dx, dy, away, slide, flat})
				}
			}
		}
	}
	return out
}

// stance is a label standing at its mark: where, and its stub.
type stance struct {
	label  *label
	flat   bool
	across bool // from its mark
	at     Pt
	box    Box
	align  side
	ends   [2]Pt // of its stub, if it has one
	hung   bool  // on a stub
}

// stand is how a label stands at a place by its mark.
func (p *plan) stand(l *label, t place) stance {
	l.shape(t.flat)
	q, r := p.px[l.mark], p.radius[l.mark]
	d := r + max(touch, t.away)
	across := t.dx != 0 && t.dy != 0
	if across {
		d *= 0.75
	}
	c := stance{label: l, flat: t.flat, across: across, at: Pt{q.X + t.dx*(d+l.w/2), q.Y + t.dy*(d+l.h/2)}}
	switch {
	case t.dx > 0 || t.dx == 0 && t.slide > 0:
		c.align = sideLeft
	case t.dx < 0 || t.slide < 0 && t.dx == 0:
		c.align = sideRight
	}
	switch {
	case t.dy == 0:
		c.at.Y += t.slide * max(0, l.h/2-overhang+4)
	case t.dx == 0:
		c.at.X += t.slide * max(0, l.w/2-overhang)
	}
	c.at.Y = math.Round(c.at.Y-l.h/2) + l.h/2 // its lines share no row of pixels
	if t.away > 0 {
		from, to := r*1.25, d-4
		if across {
			from *= 0.75
		}
		c.hung, c.ends = true, [2]Pt{{q.X + t.dx*from, q.Y + t.dy*from}, {q.X + t.dx*to, q.Y + t.dy*to}}
	}
	c.box = Box{c.at.X - l.w/2, c.at.Y - l.h/2, c.at.X + l.w/2, c.at.Y + l.h/2}
	return c
}

// stub is the path of its stub, empty without one.
func (c *stance) stub() []Pt {
	if !c.hung {
		return nil
	}
	return c.ends[:]
}

// take makes the label stand so.
func (c *stance) take() {
	l := c.label
	l.shape(c.flat)
	l.at, l.align, l.path = c.at, c.align, slices.Clone(c.stub())
}

// beside says whether two labels at their marks leave each other room.
func (c *stance) beside(o *stance) bool {
	return !c.box.grow(besideGap).Overlaps(o.box) && !c.box.grow(stubClear).crossed(o.stub()) &&
		!o.box.grow(stubClear).crossed(c.stub()) && !meet(c.stub(), o.stub())
}
