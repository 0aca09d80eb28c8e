package render

// A label beside its mark touches it, or hangs on a straight stub.
const (
	touch      = 7  // from the mark
	shortStub  = 22 // from the mark to a label that others might claim
	rowOf      = 68 // pixels: marks nearer than this are labelled in one line each
	besideGap  = 8  // between labels
	stubClear  = 5  // from a stub or leader to labels and marks
	wallClear  = 6  // from walls to labels
	farStubGap = 10 // from a label to the one behind it
)

// place is one way to stand a label at its mark: the direction, each −1, 0 or
// 1 on the page, how far off, and whether in one line.
type place struct {
	dx, dy float64
	away   float64 // length of the stub; 0 is touching
	flat   bool
}

// toward lists the directions to try for a mark's label, best first: where its
// wall looks and then the others, but on a wall of two loops only its own.
func (p *plan) toward(mark int) [][2]float64 {
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
	case fy == 0:
		return [][2]float64{{fx, 0}, {fx, -1}, {fx, 1}, {-fx, 0}}
	case fx == 0:
		return [][2]float64{{0, fy}, {1, fy}, {-1, fy}, {0, -fy}}
	}
	return [][2]float64{{fx, fy}, {fx, 0}, {0, fy}, {-fx, -fy}, {fx, -fy}, {-fx, fy}}
}

// places lists where a label may stand at its mark, best first.
func (p *plan) places(l *label) []place {
	var out []place
	crowded := p.pitch[l.mark]*p.scale < rowOf
	for _, d := range p.toward(l.mark) {
		dx, dy := d[0], d[1]
		shapes := []bool{false, true}
		if crowded && dy == 0 {
			shapes = []bool{true, false}
		}
		for _, flat := range shapes {
			out = append(out, place{dx, dy, 0, flat})
		}
		if dx != 0 && dy != 0 || p.s.Marks[l.mark].Pier {
			continue
		}
		for _, flat := range shapes {
			out = append(out, place{dx, dy, shortStub, flat})
		}
		behind := float64(shortStub + emSmall + emAmount + farStubGap)
		if dy == 0 {
			behind = shortStub + 150
		}
		for _, flat := range shapes {
			out = append(out, place{dx, dy, behind, flat})
		}
	}
	return out
}

// stand puts a label at a place by its mark.
func (p *plan) stand(l *label, t place) {
	l.shape(t.flat)
	q, r := p.px[l.mark], p.radius[l.mark]
	d := max(r+touch, t.away)
	if t.dx != 0 && t.dy != 0 {
		d *= 0.75
	}
	l.path, l.align = nil, sideNone
	l.at = Pt{q.X + t.dx*(d+l.w/2), q.Y + t.dy*(d+l.h/2)}
	switch {
	case t.dx > 0:
		l.align = sideLeft
	case t.dx < 0:
		l.align = sideRight
	}
	if t.away > 0 {
		from, to := r*1.25, d-4
		l.path = []Pt{{q.X + t.dx*from, q.Y + t.dy*from}, {q.X + t.dx*to, q.Y + t.dy*to}}
	}
}
