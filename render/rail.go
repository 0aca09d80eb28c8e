package render

import "sort"

// side is the rail that a label stands on.
type side uint8

const (
	sideNone side = iota // beside its mark
	sideTop
	sideBottom
	sideLeft
	sideRight
)

// sides counts the sides, sideNone too.
const sides = 5

func (s side) upright() bool { return s == sideLeft || s == sideRight }

// Room round labels and leaders, in pixels.
const (
	rowGap    = 10 // between the tiers of a rail
	labelGap  = 14 // between labels of a row
	columnGap = 8  // between labels of a column
	slot      = 7  // from a label to a leader that passes it
	overhang  = 12 // from a leader to the near end of its flag
	leastFan  = 26 // between the plan's edge and the first tier
	laneGap   = 7  // between leaders
)

// rail is the labels on one side, in the order of their marks along it.
type rail struct {
	side   side
	labels []*label
	tiers  int
	deep   []float64 // of each tier
	// reserve is the depth that the plan keeps free for it.
	reserve float64
}

// span is what a label takes up along the rail, before and after its leader.
// In one or two tiers the leader meets its middle. In more, each stands like a
// flag on its leader, so that the leaders of farther tiers pass close by.
func (r *rail) span(l *label) (before, after float64) {
	w := l.w
	if r.side.upright() {
		w = l.h
	}
	if r.tiers <= 2 {
		return w / 2, w / 2
	}
	after = min(overhang, w/2)
	return w - after, after
}

// deal shares the labels out among tiers, in turns, and measures the tiers.
func (r *rail) deal(tiers int) {
	r.tiers, r.deep = tiers, make([]float64, tiers)
	for i, l := range r.labels {
		l.tier = i % tiers
		d := l.h
		if r.side.upright() {
			d = l.w
		}
		r.deep[l.tier] = max(r.deep[l.tier], d)
	}
}

// fan is the room in which leaders spread from their lanes to their labels.
func (r *rail) fan() float64 { return leastFan + 9*float64(min(max(r.tiers-2, 0), 4)) }

// depth is what the rail takes up outside the plan.
func (r *rail) depth() float64 {
	if len(r.labels) == 0 {
		return 0
	}
	d := r.fan()
	for _, t := range r.deep {
		d += t + rowGap
	}
	return d
}

// gaps are the demands between labels: neighbours in a tier keep apart, and a
// leader keeps clear of the labels of all tiers that it passes.
func (r *rail) gaps() [][]gap {
	g := make([][]gap, len(r.labels))
	between := float64(labelGap)
	if r.side.upright() {
		between = columnGap
	}
	for j, b := range r.labels {
		for i := j - 1; i >= 0 && i >= j-r.tiers; i-- {
			a := r.labels[i]
			_, after := r.span(a)
			before, _ := r.span(b)
			d := 0.0
			switch {
			case a.tier == b.tier:
				d = after + before + between
			case a.tier < b.tier:
				d = after + slot
			default:
				d = before + slot
			}
			g[j] = append(g[j], gap{i, d})
		}
	}
	return g
}

// need is the least length of rail on which the labels stand.
func (r *rail) need() float64 {
	n := len(r.labels)
	if n == 0 {
		return 0
	}
	first, end := make([]float64, n), 0.0
	g := r.gaps()
	for j, l := range r.labels {
		before, after := r.span(l)
		first[j] = before
		for _, q := range g[j] {
			first[j] = max(first[j], first[q.from]+q.d)
		}
		end = max(end, first[j]+after)
	}
	return end
}

// sortLabels orders by place along the rail.
func (r *rail) sortLabels() {
	sort.SliceStable(r.labels, func(i, j int) bool { return r.labels[i].base < r.labels[j].base })
}

// place stands the labels between from and to along the rail, tier by tier
// outwards from edge, and lays their leaders. ok is false where they do not
// fit.
func (r *rail) place(from, to, edge float64, marks []Pt) bool {
	n := len(r.labels)
	want, lo, hi := make([]float64, n), make([]float64, n), make([]float64, n)
	lanes := make([][]gap, n)
	for i, l := range r.labels {
		want[i], lo[i], hi[i] = l.base, -1e9, 1e9
		if i > 0 {
			lanes[i] = []gap{{i - 1, laneGap}}
		}
	}
	lane, _ := spread(want, lo, hi, lanes)
	for i, l := range r.labels {
		l.lane = lane[i]
		before, after := r.span(l)
		lo[i], hi[i] = from+before, to-after
	}
	x, ok := spread(lane, lo, hi, r.gaps())
	if !ok {
		return false
	}
	out := make([]float64, r.tiers) // from edge to the near side of each tier
	for t := range out {
		out[t] = r.fan()
		if t > 0 {
			out[t] = out[t-1] + r.deep[t-1] + rowGap
		}
	}
	for i, l := range r.labels {
		m := marks[l.mark]
		near := out[l.tier]
		dir := 1.0
		if r.side == sideTop || r.side == sideLeft {
			dir = -1
		}
		before, after := r.span(l)
		mid := x[i] + (after-before)/2
		l.align = sideNone
		if r.side.upright() {
			l.align = sideRight
			if r.side == sideRight {
				l.align = sideLeft
			}
			l.at = Pt{edge + dir*(near+l.w/2), mid}
			l.path = tidy(m, Pt{m.X, l.lane}, Pt{edge, l.lane}, Pt{edge + dir*(r.fan()-6), x[i]}, Pt{edge + dir*(near-4), x[i]})
		} else {
			l.at = Pt{mid, edge + dir*(near+l.h/2)}
			l.path = tidy(m, Pt{l.lane, m.Y}, Pt{l.lane, edge}, Pt{x[i], edge + dir*(r.fan()-6)}, Pt{x[i], edge + dir*(near-4)})
		}
	}
	return true
}

// tidy drops the points of a line at which it does not bend.
func tidy(path ...Pt) []Pt {
	out := path[:1]
	for i := 1; i < len(path); i++ {
		a, b := out[len(out)-1], path[i]
		if a == b {
			continue
		}
		if i+1 < len(path) {
			c := path[i+1]
			if a.X == b.X && b.X == c.X || a.Y == b.Y && b.Y == c.Y {
				continue
			}
		}
		out = append(out, b)
	}
	return out
}
