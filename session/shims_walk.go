package session

import (
	"slices"

	"rodcall/reduce"
)

// shimStep is one stop of whoever sets shims: a station, and the bearing points
// from there to the next one.
type shimStep struct {
	at     int   // the station's place in the plan
	behind []int // of the points behind it
}

// left says that something is still to be set at a stop, of shims that are on
// hand.
func (p *ShimPlan) left(s shimStep) bool {
	return p.Points[s.at].ready() || slices.ContainsFunc(s.behind, func(i int) bool { return p.Points[i].ready() })
}

// ready says that shims are to be set at a point and on hand, or to be taken out.
func (p ShimPoint) ready() bool { return p.todo() && !p.Short }

// steps lists all stops in the direction of the walk.
func (p *ShimPlan) steps(backward bool) []shimStep {
	var out []shimStep
	if !backward {
		for i := range p.Points {
			b := &p.Points[i]
			if b.before == i {
				out = append(out, shimStep{at: i})
				continue
			}
			last := &out[len(out)-1]
			last.behind = append(last.behind, i)
		}
		return out
	}
	index := map[int]int{}
	for i := len(p.Points) - 1; i >= 0; i-- {
		at := p.Points[i].after
		k, met := index[at]
		if !met {
			k = len(out)
			index[at] = k
			out = append(out, shimStep{at: at})
		}
		if i != at {
			out[k].behind = append(out[k].behind, i)
		} else if k+1 < len(out) {
			// A loop's first corner has come up with the points that lie before it,
			// on the last wall: it is met last.
			first := out[k]
			out = append(slices.Delete(out, k, k+1), first)
		}
	}
	return out
}

// passed lists the points from a stop to the next one with something left that
// have no shims on hand.
func (p *ShimPlan) passed(stop shimStep, backward bool) []int {
	var out []int
	steps := p.steps(backward)
	from := slices.IndexFunc(steps, func(s shimStep) bool { return s.at == stop.at })
	for k := range steps {
		s := steps[(from+k)%len(steps)]
		if k > 0 && p.left(s) {
			break
		}
		for _, i := range append([]int{s.at}, s.behind...) {
			if p.Points[i].Left() && p.Points[i].Short {
				out = append(out, i)
			}
		}
	}
	return out
}

// shimming says that this person sets shims, spot by spot.
func (h *hearing) shimming() bool {
	s := h.c.Shim
	return s != nil && h.job != nil && s.Job == h.job.ID && s.Round == h.job.Round && h.c.Asked.IsZero() && h.job.Datum != nil
}

// shimAt makes a spot the one where the person is; what was skipped stays so.
func (h *hearing) shimAt(s reduce.Station) {
	next := ShimPlace{Job: h.job.ID, Round: h.job.Round, At: s}
	if h.shimming() {
		next.Skipped = h.c.Shim.Skipped
	}
	h.c.Shim = &next
}

// nextStep is the stop to be named: the first with something left, from where
// the person is on and once round; those that were skipped come last.
func (h *hearing) nextStep(p *ShimPlan) (shimStep, bool) {
	steps := p.steps(h.c.Backward)
	from := 0
	if i, ok := h.job.meant(p, h.c.Shim.At); ok {
		from = max(0, slices.IndexFunc(steps, func(s shimStep) bool { return s.at == i || slices.Contains(s.behind, i) }))
	}
	for _, skipped := range []bool{false, true} {
		for i := range steps {
			s := steps[(from+i)%len(steps)]
			if p.left(s) && slices.Contains(h.c.Shim.Skipped, p.Points[s.at].Station) == skipped {
				return s, true
			}
		}
	}
	return shimStep{}, false
}

// run lists the points from one spot to another in the direction of the walk,
// both of them, and once round their loop at most. ok is false where they are of
// two loops, or a pier and a wall.
func (p *ShimPlan) run(o *reduce.Outline, from, to int, backward bool) (out []int, ok bool) {
	a, b := p.Points[from].Station, p.Points[to].Station
	same := func(s reduce.Station) bool {
		return s.Kind == a.Kind && (s.Kind != reduce.Wall || o.Empty() || sameLoop(o, a, s))
	}
	if !same(b) {
		return nil, false
	}
	var order []int
	for _, s := range p.steps(backward) {
		order = append(append(order, s.at), s.behind...)
	}
	order = slices.DeleteFunc(order, func(i int) bool { return !same(p.Points[i].Station) })
	first, last := slices.Index(order, from), slices.Index(order, to)
	if last < first {
		return slices.Concat(order[first:], order[:last+1]), true
	}
	return order[first : last+1], true
}

// near is how far from a bearing point a spot is still meant by it.
const near = reduce.Inch

// find is the bearing point that a station means: itself, or the nearest one on
// its wall.
func (p *ShimPlan) find(s reduce.Station) (int, bool) {
	best, found := 0, false
	for i := range p.Points {
		at := p.Points[i].Station
		switch {
		case at == s:
			return i, true
		case at.Kind != reduce.Wall || s.Kind != reduce.Wall || at.Number != s.Number || s.Half != at.Half:
		case (at.Past-s.Past).Abs() <= near && (!found || (at.Past-s.Past).Abs() < (p.Points[best].Station.Past-s.Past).Abs()):
			best, found = i, true
		}
	}
	return best, found
}

// meant is the bearing point that a station means: where a step leaves two
// heights, its own half.
func (j *Job) meant(p *ShimPlan, s reduce.Station) (int, bool) {
	planned := func(s reduce.Station) bool {
		return slices.ContainsFunc(p.Points, func(b ShimPoint) bool { return b.Station == s })
	}
	if s = j.holderOf(s, planned); !planned(s) {
		s = j.spotOf(s)
	}
	return p.find(s)
}

// backToShims goes back to the shims that an undo took back, where it did.
func (h *hearing) backToShims(were []ShimsSet) {
	if !h.shimming() {
		return
	}
	for _, k := range slices.Backward(were) {
		if !slices.ContainsFunc(h.job.Shimmed, func(still ShimsSet) bool { return still.Seq == k.Seq }) {
			h.shimAt(k.Spots[0].Station)
			return
		}
	}
}
