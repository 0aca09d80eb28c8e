package madesite

import (
	"math"
	"slices"

	"rodcall/reduce"
)

// Sill is a plate on a site's walls, and the shims under it. While it lies, the
// site's stations stand as high as its top does: Truth is where the rod stands.
type Sill struct {
	site  *Site
	p     Plate
	rough reduce.Length
	c     *Chance
	walls []sillWall
}

// sillWall is one wall's plate: what it can rest on from corner to corner.
// Corners are shared with the next wall.
type sillWall struct {
	number   int
	length   reduce.Length
	supports []*support // rising along the wall
	thick    float64
}

// support is a spot on which the plate can rest: the concrete, with the shims
// there.
type support struct {
	at       reduce.Station
	along    reduce.Length // from the start of the wall that is being looked at
	concrete float64
	shims    float64
}

func (s *support) top() float64 { return s.concrete + s.shims }

// NewSill is a sill whose plate is not laid yet. The concrete between stations
// runs straight from one to the next, with its roughness in each spot.
func (s *Site) NewSill(p Parameters) *Sill {
	l := &Sill{site: s, p: p.Plate, rough: p.Ground.Rough, c: NewChance(s.Seed, forSill)}
	corners := map[int]*support{}
	for _, loop := range s.Outline.Loops {
		for k := range loop.Corners {
			at := reduce.Corner(loop.First + k)
			corners[at.Number] = &support{at: at, concrete: s.truth[at]}
		}
		for k := range loop.Corners {
			n, next := loop.First+k, loop.First+(k+1)%len(loop.Corners)
			w := sillWall{number: n, thick: float64(p.Plate.Nominal) + float64(p.Plate.Thick)*l.c.Normal()}
			w.length, _ = s.Outline.WallLength(n)
			w.supports = append(w.supports, corners[n])
			for _, st := range s.Outline.Stations() {
				if st.Kind == reduce.Wall && st.Number == n && st.Past > 0 {
					w.supports = append(w.supports, &support{at: st, along: st.Past, concrete: s.truth[st]})
				}
			}
			w.supports = append(w.supports, corners[next])
			l.walls = append(l.walls, w)
			for along := p.Plate.Grain; along < w.length; along += p.Plate.Grain {
				l.support(&l.walls[len(l.walls)-1], along)
			}
		}
	}
	return l
}

// alongOf is how far along a wall a support of it stands: a corner is at both
// its ends.
func (w *sillWall) alongOf(i int) reduce.Length {
	if i > 0 && i == len(w.supports)-1 {
		return w.length
	}
	if i == 0 {
		return 0
	}
	return w.supports[i].along
}

// support is the spot so far along a wall, made where there is none yet.
func (l *Sill) support(w *sillWall, along reduce.Length) *support {
	for i := range w.supports {
		switch at := w.alongOf(i); {
		case at == along:
			return w.supports[i]
		case at > along:
			// Straight between the stations on either side; what was made before
			// is no station and does not count.
			from, to := i-1, i
			for from > 0 && !l.measured(w.supports[from].at) {
				from--
			}
			for to < len(w.supports)-1 && !l.measured(w.supports[to].at) {
				to++
			}
			a, b := w.alongOf(from), w.alongOf(to)
			u := float64(along-a) / float64(b-a)
			own := NewChance(l.site.Seed, forSill+uint64(w.number)<<8+uint64(along/reduce.Millimetre)<<24)
			s := &support{
				at: reduce.Along(w.number, along), along: along,
				concrete: (1-u)*w.supports[from].concrete + u*w.supports[to].concrete + float64(l.rough)*own.Normal(),
			}
			w.supports = slices.Insert(w.supports, i, s)
			return s
		}
	}
	return w.supports[len(w.supports)-1]
}

// measured says that the site has a height for a station.
func (l *Sill) measured(st reduce.Station) bool { _, ok := l.site.truth[st]; return ok }

// Shim sets shims of so much in all at a spot of a wall, on those that are there,
// or takes out so much, as far as there are any. ok is false off the walls.
func (l *Sill) Shim(at reduce.Station, amount reduce.Length) (ok bool) {
	for i := range l.walls {
		w := &l.walls[i]
		if at.Kind != reduce.Wall || w.number != at.Number || at.Past > w.length {
			continue
		}
		s := l.support(w, at.Past)
		s.shims = math.Max(0, s.shims+float64(amount)+float64(l.p.Set)*l.c.Normal())
		return true
	}
	return false
}

// Shimmed counts the spots that shims were set at.
func (l *Sill) Shimmed() int {
	n := 0
	seen := map[*support]bool{}
	for _, w := range l.walls {
		for _, s := range w.supports {
			if s.shims != 0 && !seen[s] {
				seen[s] = true
				n++
			}
		}
	}
	return n
}

// Lay lays the plate on what there is and tightens its bolts, or not: from now
// on the rod stands on it. A loose plate is straight from one spot to another
// that is no farther away than it bridges, wherever that is higher than what is
// between; tightening pulls it down there, by no more than Pull.
func (l *Sill) Lay(tight bool) {
	top := map[reduce.Station]float64{}
	for i := range l.walls {
		w := &l.walls[i]
		for k, s := range w.supports {
			if !l.measured(s.at) {
				continue
			}
			h := w.loose(k, l.p.Bridge)
			if tight {
				h = max(s.top(), h-float64(l.p.Pull))
			}
			h += w.thick
			if old, twice := top[s.at]; !twice || h > old {
				top[s.at] = h
			}
		}
	}
	for st, h := range top {
		l.site.Move(st, h)
	}
}

// loose is the underside of a loose plate over the k-th support.
func (w *sillWall) loose(k int, bridge reduce.Length) float64 {
	at, best := w.alongOf(k), w.supports[k].top()
	for i := k - 1; i >= 0 && at-w.alongOf(i) < bridge; i-- {
		for j := k + 1; j < len(w.supports) && w.alongOf(j)-w.alongOf(i) <= bridge; j++ {
			a, b := w.alongOf(i), w.alongOf(j)
			u := float64(at-a) / float64(b-a)
			best = math.Max(best, (1-u)*w.supports[i].top()+u*w.supports[j].top())
		}
	}
	return best
}
