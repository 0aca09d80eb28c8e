package session

import (
	"slices"

	"rodcall/reduce"
)

// beside lists the stations of s's own loop of walls before and behind it in the
// direction of the walk, the nearest first, each with its distance. Round a loop
// all stand on both sides. In a free walk, which has no lengths of walls, the
// stations read stand in a row, a mark apart.
func (w *walk) beside(s reduce.Station) (before, after []reduce.Neighbour) {
	o := w.job.Outline
	if o.Empty() {
		var row []reduce.Station
		for k := range w.read {
			if k.Kind == reduce.Wall && k != s {
				row = append(row, k)
			}
		}
		slices.SortFunc(row, w.compare)
		at, _ := slices.BinarySearchFunc(row, s, w.compare)
		for i, k := range row {
			if i < at {
				before = append(before, reduce.Neighbour{Station: k, Along: reduce.Length(at-i) * o.Grid.Spacing})
			} else {
				after = append(after, reduce.Neighbour{Station: k, Along: reduce.Length(i-at+1) * o.Grid.Spacing})
			}
		}
		slices.Reverse(before)
		return before, after
	}
	i := slices.IndexFunc(o.Loops, func(l reduce.Loop) bool { return s.Number >= l.First && s.Number < l.First+len(l.Corners) })
	if i < 0 {
		return nil, nil
	}
	l := o.Loops[i]
	starts, round := make([]reduce.Length, len(l.Corners)), reduce.Length(0)
	for i := range l.Corners {
		wall, _ := o.WallLength(l.First + i)
		starts[i] = round
		round += wall
	}
	s = s.At(0)
	along := func(k reduce.Station) reduce.Length { return starts[k.Number-l.First] + k.Past }
	all := w.job.stations()
	from, _ := slices.BinarySearchFunc(all, reduce.Corner(l.First), reduce.Compare)
	to, _ := slices.BinarySearchFunc(all, reduce.Corner(l.First+len(l.Corners)), reduce.Compare)
	at, on := slices.BinarySearchFunc(all[from:to], s, reduce.Compare)
	behind := from + at
	if on {
		behind++
	}
	before, after = make([]reduce.Neighbour, 0, len(w.read)), make([]reduce.Neighbour, 0, len(w.read))
	for n := range to - behind + at {
		k := from + n - (to - behind)
		if n < to-behind {
			k = behind + n
		}
		if k := all[k]; w.read[k] {
			d := ((along(k)-along(s))%round + round) % round
			after = append(after, reduce.Neighbour{Station: k, Along: d})
			before = append(before, reduce.Neighbour{Station: k, Along: round - d})
		}
	}
	slices.Reverse(before)
	if w.backward {
		before, after = after, before
	}
	return before, after
}

// latest is the height of a station less its design, by the newest rod that read
// it.
func (j *Job) latest(s reduce.Station) (reduce.Length, bool) {
	read := j.readNow()
	s = j.holderOf(s, func(k reduce.Station) bool { return read[k] })
	for _, rod := range slices.Backward(j.Rods) {
		if r, ok := j.live(slot{j.Round, rod.ID, s, false}); ok {
			if e, tied := j.sight(rod.ID, r.Value, s); tied {
				return e - j.design.At(s), true
			}
		}
	}
	return 0, false
}

// withHeights gives a list of stations their heights, and leaves out those
// without one; no more than a doubt looks at.
func (j *Job) withHeights(list []reduce.Neighbour) []reduce.Neighbour {
	out := make([]reduce.Neighbour, 0, min(len(list), doubtReach))
	for _, n := range list {
		if len(out) == doubtReach {
			break
		}
		if e, ok := j.latest(n.Station); ok {
			n.Height = e
			out = append(out, n)
		}
	}
	return out
}
