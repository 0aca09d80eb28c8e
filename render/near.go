package render

import "math"

func sign(v float64) float64 {
	switch {
	case v > 1e-9:
		return 1
	case v < -1e-9:
		return -1
	}
	return 0
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
	dx, dy := b.X-a.X, b.Y-a.Y
	t := min(max(((q.X-a.X)*dx+(q.Y-a.Y)*dy)/(dx*dx+dy*dy), 0), 1)
	x, y := a.X+t*dx-q.X, a.Y+t*dy-q.Y
	return math.Sqrt(x*x + y*y)
}

// apart is the distance of q from b, 0 inside.
func apart(b Box, q Pt) float64 {
	dx, dy := max(b.X0-q.X, 0, q.X-b.X1), max(b.Y0-q.Y, 0, q.Y-b.Y1)
	return math.Sqrt(dx*dx + dy*dy)
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
