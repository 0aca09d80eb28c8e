package render

import "rodcall/reduce"

// follow tells which loop each mark belongs to, by following the walk: a
// corner's mark stands on its ring's next corner or begins another ring, and
// what comes after it stands on the wall from there. -1 is none.
func follow(s *Scene) []int {
	out := make([]int, len(s.Marks))
	loop, next := -1, 0
	for i := range s.Marks {
		m := &s.Marks[i]
		switch {
		case m.Pier:
			out[i] = -1
			continue
		case m.Corner && loop >= 0 && next < len(s.Loops[loop].Corners) && s.Loops[loop].Corners[next] == m.At:
			next++
		case m.Corner:
			loop, next = begins(s.Loops, loop, m.At), 1
		}
		out[i] = loop
	}
	return out
}

// begins is the ring whose first corner is at q, rather one after the last.
func begins(loops []Ring, last int, q reduce.Point) int {
	for k := range loops {
		i := (last + 1 + k) % len(loops)
		if c := loops[i].Corners; len(c) > 0 && c[0] == q {
			return i
		}
	}
	return -1
}

// inside is the direction, in plan, from a mark to the inside of its own loop,
// and says whether it stands on a wall of another loop as well. It is {0, 0}
// where no loop is known.
func (p *plan) inside(mark int) (in Pt, shared bool) {
	loop := p.loop[mark]
	if loop < 0 {
		return in, false
	}
	near := max(p.ext.X1-p.ext.X0, p.ext.Y1-p.ext.Y0) * together
	for i := range p.walls {
		w := &p.walls[i]
		switch {
		case w.distance(p.at[mark]) > near:
		case w.loop == loop:
			in.X -= w.nx
			in.Y -= w.ny
		default:
			shared = true
		}
	}
	if in == (Pt{}) {
		return in, false
	}
	return in, shared
}
