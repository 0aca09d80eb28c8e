package session

import (
	"slices"

	"rodcall/reduce"
)

// beside lists the stations read of s's own loop of walls before and behind it in
// the direction of the walk, the nearest first, each with its distance, and at
// most so many a side. Round a loop, whose length is round, all stand on both
// sides. In a free walk, which has no lengths of walls, the stations stand in a
// row, a mark apart, and round is 0.
func (w *walk) beside(s reduce.Station, most int) (before, after []reduce.Neighbour, round reduce.Length) {
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
		return before[:min(len(before), most)], after[:min(len(after), most)], 0
	}
	i := slices.IndexFunc(o.Loops, func(l reduce.Loop) bool { return s.Number >= l.First && s.Number < l.First+len(l.Corners) })
	if i < 0 {
		return nil, nil, 0
	}
	l := o.Loops[i]
	starts := make([]reduce.Length, len(l.Corners))
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
	others := to - behind + at
	other := func(n int) reduce.Station { // the n-th behind s
		if n < to-behind {
			return all[behind+n]
		}
		return all[from+n-(to-behind)]
	}
	room := min(most, len(w.read))
	before, after = make([]reduce.Neighbour, 0, room), make([]reduce.Neighbour, 0, room)
	for n := 0; n < others && len(after) < most; n++ {
		if k := other(n); w.read[k] {
			after = append(after, reduce.Neighbour{Station: k, Along: ((along(k)-along(s))%round + round) % round})
		}
	}
	for n := others - 1; n >= 0 && len(before) < most; n-- {
		if k := other(n); w.read[k] {
			before = append(before, reduce.Neighbour{Station: k, Along: round - ((along(k)-along(s))%round+round)%round})
		}
	}
	if w.backward {
		before, after = after, before
	}
	return before, after, round
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
