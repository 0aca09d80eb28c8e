package render

import (
	"math"

	"rodcall/reduce"
)

// wall is one straight wall in plan, in metres, y up, with its normal to the
// outside of its loop.
type wall struct {
	a, b   Pt
	nx, ny float64
	loop   int // in Scene.Loops
}

// metres is a point of the plan as floats.
func metres(p reduce.Point) Pt {
	return Pt{float64(p.X) / float64(reduce.Metre), float64(p.Y) / float64(reduce.Metre)}
}

func walls(loops []Ring) []wall {
	var out []wall
	for k, ring := range loops {
		n, area := len(ring.Corners), 0.0
		for i := range ring.Corners {
			a, b := metres(ring.Corners[i]), metres(ring.Corners[(i+1)%n])
			area += a.X*b.Y - b.X*a.Y
		}
		turn := 1.0
		if area < 0 {
			turn = -1
		}
		for i := range ring.Corners {
			a, b := metres(ring.Corners[i]), metres(ring.Corners[(i+1)%n])
			d := math.Hypot(b.X-a.X, b.Y-a.Y)
			if d == 0 {
				continue
			}
			out = append(out, wall{a, b, turn * (b.Y - a.Y) / d, turn * (a.X - b.X) / d, k})
		}
	}
	return out
}

// distance is how far q lies from the wall.
func (w *wall) distance(q Pt) float64 {
	dx, dy := w.b.X-w.a.X, w.b.Y-w.a.Y
	t := ((q.X-w.a.X)*dx + (q.Y-w.a.Y)*dy) / (dx*dx + dy*dy)
	t = min(max(t, 0), 1)
	return math.Hypot(w.a.X+t*dx-q.X, w.a.Y+t*dy-q.Y)
}

// direction is a side as a step in plan, y up.
func (s side) direction() (dx, dy float64) {
	switch s {
	case sideTop:
		return 0, 1
	case sideBottom:
		return 0, -1
	case sideLeft:
		return -1, 0
	case sideRight:
		return 1, 0
	case sideNone:
	}
	return 0, 0
}

// aslant is how far off an axis, as a slope, a wall still counts as running along
// it: walls with angles are moved by what they did not close by.
const aslant = 0.02

// face is the direction in which a mark looks: the sum of the normals of the
// walls on which it stands, {0, 0} away from walls.
func face(q Pt, ws []wall, near float64) (f Pt) {
	for i := range ws {
		if ws[i].distance(q) <= near {
			f.X += ws[i].nx
			f.Y += ws[i].ny
		}
	}
	switch x, y := math.Abs(f.X), math.Abs(f.Y); {
	case x < aslant*y:
		f.X = 0
	case y < aslant*x:
		f.Y = 0
	}
	return f
}

// extentOf is the box round the plan in metres, y up; never without size.
func extentOf(s *Scene) Box {
	var all []Pt
	for _, r := range s.Loops {
		for _, c := range r.Corners {
			all = append(all, metres(c))
		}
	}
	for _, m := range s.Marks {
		all = append(all, metres(m.At))
	}
	if len(all) == 0 {
		return Box{0, 0, 1, 1}
	}
	b := bounds(all, 0)
	if b.X1-b.X0 < 0.001 && b.Y1-b.Y0 < 0.001 {
		b = b.grow(0.5)
	}
	return b
}

// burden is what it costs to lead a mark's label straight out to a side: the
// way in units of the plan's greater side, more for each wall and mark in the
// way and for looking elsewhere.
func burden(q, f Pt, s side, ext Box, ws []wall, marks []Pt, reach float64) float64 {
	size := max(ext.X1-ext.X0, ext.Y1-ext.Y0)
	dx, dy := s.direction()
	end := Pt{q.X, q.Y}
	switch s {
	case sideTop:
		end.Y = ext.Y1
	case sideBottom:
		end.Y = ext.Y0
	case sideLeft:
		end.X = ext.X0
	case sideRight:
		end.X = ext.X1
	case sideNone:
	}
	way := math.Abs(end.X-q.X) + math.Abs(end.Y-q.Y)
	cost := way / size
	looks := f.X*dx + f.Y*dy
	switch {
	case looks < 0:
		cost += 0.3
	case looks == 0:
		cost += 0.1
	}
	ray := bounds([]Pt{q, end}, 0)
	for i := range ws {
		w := bounds([]Pt{ws[i].a, ws[i].b}, 0)
		if math.Abs(ws[i].nx*dx+ws[i].ny*dy) < aslant || ws[i].distance(q) <= reach/10 {
			continue // along it, or its own
		}
		if w.grow(reach / 10).Overlaps(ray.grow(reach / 10)) {
			cost += 0.25
		}
	}
	ray = ray.grow(reach)
	for _, m := range marks {
		if m != q && m.X > ray.X0 && m.X < ray.X1 && m.Y > ray.Y0 && m.Y < ray.Y1 {
			cost += 0.05
		}
	}
	return cost
}
