package session

import (
	"math"
	"slices"

	"rodcall/reduce"
)

// Section is the stations whose design comes of one step or fall, or of none:
// they are to be level with each other once their design is taken off.
type Section struct {
	Part   int // of the job's Design; −1: of none
	Read   int
	Extent reduce.Extent // of elevation less design
}

// StepView is a step between two sections as it was measured.
type StepView struct {
	reduce.DesignStep
	// A and B are the nearest stations read on either side, in walking order;
	// zero where a side has none.
	A, B reduce.Station
	Rise reduce.Length  // by design, from A's side to B's
	Off  *reduce.Length // by how much more B stands above A; nil where it is not measured
	// Verdict on Off against the tolerance of a step: on, unsure, or lower (it is
	// off by more); "" where it is not measured.
	Verdict reduce.Verdict
}

// StepTolerance is how far the difference of two sections may be off its design:
// the sill's own tolerance (ours) unless the crew set it.
func (s *Settings) StepTolerance() reduce.Length {
	if f, ok := s.figure(FigureStepTolerance); ok {
		return f.Length
	}
	return s.Tolerance
}

// parts are the job's steps and falls that count, as the design numbers them.
func (j *Job) parts() []DesignSet {
	return slices.DeleteFunc(slices.Clone(j.Design), func(b DesignSet) bool { return reduce.CheckDesign(j.Outline, j.part(b)) != nil })
}

// sections groups spots by what their design comes of, in the order in which the
// walk meets them. It is nil where there is one section only.
func (j *Job) sections(spots []reduce.Spot) []Section {
	if j.design == nil {
		return nil
	}
	of := map[int][]reduce.Spot{}
	var order []int
	for _, s := range spots {
		part := j.design.Part(s.Station)
		if len(of[part]) == 0 {
			order = append(order, part)
		}
		of[part] = append(of[part], s)
	}
	var out []Section
	for _, part := range order {
		if e, ok := reduce.Extremes(of[part]); ok {
			out = append(out, Section{part, len(of[part]), e})
		}
	}
	if len(out) < 2 {
		return nil
	}
	return out
}

// measured says how each step came out, by the nearest stations read on either
// side of it. spots stand in walking order.
func (v *View) measured(spots []reduce.Spot) []StepView {
	j := v.Job
	var out []StepView
	walls := map[string][]reduce.Spot{} // of each loop, walking order
	for _, s := range spots {
		if _, loop, ok := j.Outline.Position(s.Station); s.Station.Kind == reduce.Wall && (ok || j.Outline.Empty()) {
			walls[loop] = append(walls[loop], s)
		}
	}
	for _, step := range j.design.Steps() {
		_, loop, _ := j.Outline.Position(step.At)
		s := StepView{DesignStep: step, Rise: step.After - step.Before}
		before, after := step.Before, step.After
		if s.Rise == 0 { // a spot by itself
			after, s.Rise = step.On, step.On-step.Before
		}
		a, okA := j.side(walls[loop], step.At, before, -1)
		b, okB := j.side(walls[loop], step.At, after, 1)
		if okA && okB {
			off := b.Height - a.Height
			s.A, s.B, s.Off = a.Station, b.Station, &off
			u, _ := v.Difference(a.Station, b.Station)
			s.Verdict = reduce.Decide(off.Abs(), j.StepTolerance(), u)
		}
		out = append(out, s)
	}
	return out
}

// side is the station read nearest to a step on one side of it, where the design
// is the level given: a height at the spot itself, or one along the wall with
// no further step between. way is −1 for before it in walking order.
func (j *Job) side(wall []reduce.Spot, at reduce.Station, level reduce.Length, way int) (reduce.Spot, bool) {
	var from reduce.Station
	for _, h := range []reduce.Half{reduce.Top, reduce.Bottom, 0} {
		if k := at.At(h); j.design.At(k) == level {
			if i := slices.IndexFunc(wall, func(s reduce.Spot) bool { return s.Station == k }); i >= 0 {
				return wall[i], true
			}
			from = k
		}
	}
	if from.IsZero() || len(wall) == 0 {
		return reduce.Spot{}, false
	}
	i, _ := slices.BinarySearchFunc(wall, at, func(s reduce.Spot, k reduce.Station) int { return reduce.Compare(s.Station.At(0), k) })
	if way < 0 {
		i--
	} else {
		for i < len(wall) && wall[i].Station.At(0) == at {
			i++
		}
	}
	n := len(wall)
	if j.Outline.Empty() && (i < 0 || i >= n) {
		return reduce.Spot{}, false
	}
	s := wall[(i+n)%n]
	a, b := s.Station, from
	if way > 0 {
		a, b = from, s.Station
	}
	if s.Station.At(0) == at || !j.near(s.Station, at) || j.design.Stepped(a, b) {
		return reduce.Spot{}, false
	}
	return s, true
}

// near says whether two stations stand at most two marks apart, straight: a step
// is measured no farther off.
func (j *Job) near(a, b reduce.Station) bool {
	reach := 2 * j.Outline.Grid.Spacing
	p, _, ok1 := j.Outline.Position(a)
	q, _, ok2 := j.Outline.Position(b)
	if !ok1 || !ok2 {
		return a.Number == b.Number && (a.Past-b.Past).Abs() <= reach
	}
	x, y := float64(p.X-q.X), float64(p.Y-q.Y)
	return math.Hypot(x, y) <= float64(reach)
}
