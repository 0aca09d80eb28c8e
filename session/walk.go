package session

import (
	"slices"

	"rodcall/reduce"
)

// walk is the order in which stations are asked for.
type walk struct {
	job      *Job
	read     map[reduce.Station]bool
	backward bool
	skipped  []reduce.Station
}

// order lists the stations of the outline in the direction of the walk.
func (w *walk) order() []reduce.Station {
	all := w.job.asked()
	if w.backward {
		all = slices.Clone(all)
		slices.Reverse(all)
	}
	return all
}

// compare orders two stations in the direction of the walk.
func (w *walk) compare(a, b reduce.Station) int {
	if w.backward {
		return reduce.Compare(b, a)
	}
	return reduce.Compare(a, b)
}

// next is the station to ask for once after was read: the first unread one
// behind it, round to where the walk began; then those that were skipped. A
// free walk goes on along its wall, mark by mark. The zero station asks for
// the first of all.
func (w *walk) next(after reduce.Station) (reduce.Station, bool) {
	if w.job.free() {
		return w.freeNext(after), true
	}
	order := w.order()
	from := 0
	if !after.IsZero() {
		// Behind one height of a spot comes the other, where that is unread.
		from, _ = slices.BinarySearchFunc(order, after.At(0), w.compare)
	}
	for _, again := range []bool{false, true} {
		for i := range order {
			s := order[(from+i)%len(order)]
			if s != after && !w.read[s] && !slices.Contains(w.job.NoBeam, s) &&
				slices.Contains(w.skipped, s) == again {
				return s, true
			}
		}
	}
	// The one just skipped may be all that is left.
	if !after.IsZero() && slices.Contains(order, after) && !w.read[after] && !slices.Contains(w.job.NoBeam, after) {
		return after, true
	}
	return reduce.Station{}, false
}

func (w *walk) freeNext(after reduce.Station) reduce.Station {
	switch after.Kind {
	case reduce.Wall:
		step := w.job.Outline.Grid.Spacing
		return reduce.Along(after.Number, after.Past-after.Past%step+step)
	case reduce.Pier:
		return reduce.PierNumber(after.Number + 1)
	case reduce.Benchmark, reduce.Turning:
	}
	return reduce.Corner(1)
}

// passed lists, at a corner, the stations that were walked past unread: those
// on the wall that ends here, and further back as far as nothing is read. It
// is empty where the walk has not come along that wall.
func (w *walk) passed(corner reduce.Station) []reduce.Station {
	if !corner.IsCorner() || w.job.Outline.Empty() {
		return nil
	}
	corner = corner.At(0)
	loop := w.loopOf(corner)
	at := slices.Index(loop, corner)
	if at < 0 {
		return nil
	}
	var out []reduce.Station
	wallDone, cameBy := false, false
	for i := 1; i < len(loop); i++ {
		s := loop[(at-i+len(loop))%len(loop)]
		if last := loop[(at-1+len(loop))%len(loop)]; w.job.Round > 1 && s.Number != last.Number {
			break // a further round has few stations: only the wall that ends here
		}
		if w.read[s] {
			cameBy = true
			if wallDone {
				break
			}
		} else if !slices.Contains(w.job.NoBeam, s) {
			out = append(out, s)
		}
		if s.IsCorner() {
			wallDone = true
			if cameBy {
				break
			}
		}
	}
	if !cameBy {
		return nil
	}
	slices.Reverse(out)
	return out
}

// loopOf lists the stations of a corner's own loop in walking direction.
func (w *walk) loopOf(corner reduce.Station) []reduce.Station {
	_, name, _ := w.job.Outline.Position(corner)
	var out []reduce.Station
	for _, s := range w.order() {
		if _, n, ok := w.job.Outline.Position(s); ok && n == name && s.Kind == reduce.Wall {
			out = append(out, s)
		}
	}
	return out
}
