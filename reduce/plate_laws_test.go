package reduce_test

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"

	"rodcall/reduce"
)

// plateWall is one wall of a long rectangle with spots at any places along it,
// and options for its plate.
type plateWall struct {
	outline reduce.Outline
	length  reduce.Length
	spots   []reduce.PlateSpot // from c1 to c2, both
	opt     reduce.PlateOptions
}

// anyWall makes a wall of 3 to so many spots, in whole inches along and whole
// sixty-fourths high; within says that no spot is too high.
func anyWall(t *testing.T, r *rapid.T, most int, within bool) plateWall {
	w := plateWall{opt: reduce.PlateDefaults(reduce.UnitInch)}
	w.opt.Tolerance = reduce.Length(rapid.IntRange(0, 24).Draw(r, "tolerance")) * reduce.SixtyFourth
	w.opt.Bend = reduce.BendRate{
		Rise: reduce.Length(rapid.IntRange(0, 16).Draw(r, "rise")) * reduce.SixtyFourth,
		Span: reduce.Length(rapid.IntRange(1, 12).Draw(r, "span")) * reduce.Foot,
	}
	high := 40
	if within {
		high = int(w.opt.Tolerance / reduce.SixtyFourth)
	} else {
		w.opt.Grind = reduce.Length(rapid.IntRange(0, 32).Draw(r, "grind")) * reduce.SixtyFourth
	}
	at := reduce.Length(0)
	for i := range rapid.IntRange(3, most).Draw(r, "spots") {
		if i > 0 {
			at += reduce.Length(rapid.IntRange(2, 96).Draw(r, "apart")) * reduce.Inch
		}
		w.spots = append(w.spots, reduce.PlateSpot{
			Station: reduce.Along(1, at), Read: true,
			Deviation: reduce.Length(rapid.IntRange(-64, high).Draw(r, "deviation")) * reduce.SixtyFourth,
		})
	}
	w.length = at
	w.spots[len(w.spots)-1].Station = reduce.Corner(2)
	w.outline = withLoop(t, grid(), "", reduce.Point{}, reduce.Rectangle(at, 10*reduce.Foot))
	return w
}

func (w plateWall) along(i int) reduce.Length {
	if i == len(w.spots)-1 {
		return w.length
	}
	return w.spots[i].Station.Past
}

func (w plateWall) plan() reduce.PlatePlan {
	return reduce.PlanPlate(&w.outline, w.spots, nil, w.opt)
}

// own is what a spot asks for by itself, worked out the long way.
func (w plateWall) own(d reduce.Length) reduce.Length {
	if d < -w.opt.Tolerance {
		return 0
	}
	if d > w.opt.Tolerance {
		if d-w.opt.Grind < 0 {
			return 0
		}
		return d - w.opt.Grind
	}
	return d
}

// hollow is by how many nanometres the plate at spot j hangs below the line from
// i to k, and how many the rate allows: h is the middle of a chord c, and a
// parabola's depth goes with the product of the distances to its ends.
func (w plateWall) hollow(plan reduce.PlatePlan, i, j, k int) (depth, allowed float64) {
	p, q := float64(w.along(j)-w.along(i)), float64(w.along(k)-w.along(j))
	a, b, c := plan.Spots[i].Target, plan.Spots[j].Target, plan.Spots[k].Target
	half := float64(w.opt.Bend.Span) / 2
	return (float64(a)*q+float64(c)*p)/(p+q) - float64(b), float64(w.opt.Bend.Rise) * (p / half) * (q / half)
}

// TestPlateLine of any wall: never below what a spot asks for nor above the
// tolerance for another's sake; exact at the ends; no hollow beyond the rate
// but beside a spot too high; what is said of each spot is so.
func TestPlateLine(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		w := anyWall(t, r, 20, rapid.Bool().Draw(r, "within"))
		plan := w.plan()
		if len(plan.Spots) != len(w.spots) {
			r.Fatalf("%d spots of %d", len(plan.Spots), len(w.spots))
		}
		highest := reduce.Length(math.MinInt64)
		for _, s := range w.spots {
			highest = max(highest, min(w.own(s.Deviation), w.opt.Tolerance))
		}
		bends := map[reduce.Station]reduce.Bend{}
		for _, b := range plan.Bends {
			bends[b.Station] = b
		}
		for i, s := range plan.Spots {
			own := w.own(s.Deviation)
			if s.PlateSpot != w.spots[i] || s.Target < own || s.Target > max(own, highest) {
				r.Fatalf("%s: %v for %v, the highest is %v", s.Station.Name(reduce.Foot), s.Target, own, highest)
			}
			left := s.Deviation.Abs() <= w.opt.Tolerance
			if s.ForLine != (left && s.Target != s.Deviation) || left && s.Amount() < 0 {
				r.Fatalf("%s: %+v", s.Station.Name(reduce.Foot), s)
			}
			if s.Amount() < -w.opt.Grind || s.Amount() != s.Target-s.Deviation {
				r.Fatalf("%s: ground by %v", s.Station.Name(reduce.Foot), -s.Amount())
			}
			if i == 0 || i == len(plan.Spots)-1 {
				if s.Target != own {
					r.Fatalf("%s: an end at %v, want %v", s.Station.Name(reduce.Foot), s.Target, own)
				}
				continue
			}
			depth, allowed := w.hollow(plan, i-1, i, i+1)
			beside := plan.Spots[i-1].Target > w.opt.Tolerance || plan.Spots[i+1].Target > w.opt.Tolerance
			if depth > allowed+2 && !beside {
				r.Fatalf("%s: hangs %.1f nm, allowed %.1f", s.Station.Name(reduce.Foot), depth, allowed)
			}
			b, listed := bends[s.Station]
			over := math.Abs(depth) - allowed
			if listed && (math.Abs(float64(b.Rise)+depth) > 1 || math.Abs(float64(b.Over)-over) > 2 || over < 1) || !listed && over > 6 {
				r.Fatalf("%s: bends %.1f nm, over by %.1f; listed %t: %+v", s.Station.Name(reduce.Foot), -depth, over, listed, b)
			}
		}
	})
}

// TestNoHollowFarApart: no spot hangs between any two others, however far apart,
// deeper than the rate allows there; so none that was left alone is a hollow
// between two that were raised.
func TestNoHollowFarApart(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		w := anyWall(t, r, 14, true)
		plan := w.plan()
		for k := range plan.Spots {
			for j := range k {
				for i := range j {
					// Rounding to the nanometre adds up from spot to spot.
					if depth, allowed := w.hollow(plan, i, j, k); depth > allowed+2*float64(k-i) {
						r.Fatalf("%d to %d: %d hangs %.1f nm, allowed %.1f", i, k, j, depth, allowed)
					}
				}
			}
		}
	})
}

// TestPlateLineIsLeast: the sum of the targets is what gonum's simplex finds as
// the least, of all lines that are nowhere below what the spots ask for and
// nowhere hollower than the rate between neighbours.
func TestPlateLineIsLeast(t *testing.T) {
	raised := 0
	rapid.Check(t, func(r *rapid.T) {
		w := anyWall(t, r, 9, true)
		plan := w.plan()
		// The unknowns are x ≥ 0, by how much each spot is raised above what it
		// asks for, and the slack of each of the n−2 neighbourhoods:
		// (a q + c p)/(p+q) − b ≤ allowed.
		n := len(w.spots)
		const unit = float64(reduce.SixtyFourth)
		cost := make([]float64, n+n-2)
		a := mat.NewDense(n-2, n+n-2, nil)
		rhs := make([]float64, n-2)
		sum := 0.0
		for i, s := range w.spots {
			cost[i] = 1
			sum += float64(plan.Spots[i].Target-w.own(s.Deviation)) / unit
		}
		for i := 1; i < n-1; i++ {
			p, q := float64(w.along(i)-w.along(i-1)), float64(w.along(i+1)-w.along(i))
			_, allowed := w.hollow(plan, i-1, i, i+1)
			own := func(k int) float64 { return float64(w.own(w.spots[k].Deviation)) }
			row, b := i-1, (allowed-(own(i-1)*q+own(i+1)*p)/(p+q)+own(i))/unit
			sign := 1.0
			if b < 0 { // the simplex starts better from a right side ≥ 0
				sign = -1
			}
			a.Set(row, i-1, sign*q/(p+q))
			a.Set(row, i, -sign)
			a.Set(row, i+1, sign*p/(p+q))
			a.Set(row, n+row, sign)
			rhs[row] = sign * b
		}
		least, _, err := lp.Simplex(cost, a, rhs, 1e-10, nil)
		if err != nil {
			r.Fatalf("gonum: %v", err)
		}
		if math.Abs(least-sum) > 1e-4 {
			r.Fatalf("raised by %.6f sixty-fourths in all, the least is %.6f", sum, least)
		}
		if least > 1e-4 {
			raised++
		}
	})
	if raised < 10 && !testing.Short() { // there are fewer walls then
		t.Errorf("only %d walls had anything to raise", raised)
	}
}

// TestPlateTurnedRound: a wall walked the other way has the same plate.
func TestPlateTurnedRound(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		w := anyWall(t, r, 20, false)
		back := w
		back.spots = nil
		for i := len(w.spots) - 1; i >= 0; i-- {
			s := w.spots[i]
			s.Station = reduce.Along(1, w.length-w.along(i))
			back.spots = append(back.spots, s)
		}
		back.spots[len(back.spots)-1].Station = reduce.Corner(2)
		one, other := w.plan(), back.plan()
		slices.Reverse(other.Spots)
		slices.Reverse(other.Bends)
		for i, s := range one.Spots {
			if s.Target != other.Spots[i].Target || s.ForLine != other.Spots[i].ForLine {
				r.Fatalf("%s: %v, from the other end %v", s.Station.Name(reduce.Foot), s.Target, other.Spots[i].Target)
			}
		}
		if len(one.Bends) != len(other.Bends) {
			r.Fatalf("%d bends, from the other end %d", len(one.Bends), len(other.Bends))
		}
		for i, b := range one.Bends {
			if (b.Rise-other.Bends[i].Rise).Abs() > 1 || (b.Over-other.Bends[i].Over).Abs() > 1 {
				r.Fatalf("%+v, from the other end %+v", b, other.Bends[i])
			}
		}
	})
}

// TestPlateOnItsOwnLine: concrete that follows its own plate line needs nothing.
func TestPlateOnItsOwnLine(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		w := anyWall(t, r, 20, true)
		first := w.plan()
		for i := range w.spots {
			w.spots[i].Deviation = first.Spots[i].Target
		}
		// The targets are rounded to the nanometre, so a hollow may be that much
		// too deep.
		for i, s := range w.plan().Spots {
			if s.Amount() < 0 || s.Amount() > 2 {
				r.Fatalf("%s: raised by %v once it is on the line", w.spots[i].Station.Name(reduce.Foot), s.Amount())
			}
		}
	})
}

// TestSagOfACircle: the parabola's sag is that of a circle to first order. A
// circle through both ends of a chord c with a rise of h in the middle has a
// radius of c²/8h + h/2 (the circular segment, elementary geometry).
func TestSagOfACircle(t *testing.T) {
	for _, c := range []struct{ rise, span, p, q reduce.Length }{
		{reduce.Inch / 16, 8 * reduce.Foot, 4 * reduce.Foot, 4 * reduce.Foot},
		{reduce.Inch / 16, 8 * reduce.Foot, 2 * reduce.Foot, 6 * reduce.Foot},
		{reduce.Inch / 16, 8 * reduce.Foot, 4 * reduce.Foot, 12 * reduce.Foot},
		{reduce.Inch / 4, 4 * reduce.Foot, 1 * reduce.Foot, 3 * reduce.Foot},
		{2 * reduce.Millimetre, 3 * reduce.Metre, reduce.Metre, 5 * reduce.Metre},
	} {
		rise, span := float64(c.rise), float64(c.span)
		radius := span*span/(8*rise) + rise/2
		// How deep below its own chord p+q the circle is at p from one end.
		half := float64(c.p+c.q) / 2
		off := float64(c.p) - half
		circle := math.Sqrt(radius*radius-off*off) - math.Sqrt(radius*radius-half*half)

		o := withLoop(t, grid(), "", reduce.Point{}, reduce.Rectangle(c.p+c.q, 10*reduce.Foot))
		opt := reduce.PlateDefaults(reduce.UnitInch)
		opt.Tolerance, opt.Bend = reduce.Inch, reduce.BendRate{Rise: c.rise, Span: c.span}
		plan := reduce.PlanPlate(&o, []reduce.PlateSpot{
			{Station: reduce.Corner(1), Read: true},
			{Station: reduce.Along(1, c.p), Deviation: -reduce.Inch, Read: true},
			{Station: reduce.Corner(2), Read: true},
		}, nil, opt)
		sag := -float64(plan.Spots[1].Target)
		// To first order in rise/span: their squares differ by less than a part
		// in a thousand here.
		if math.Abs(sag/circle-1) > 1e-3 {
			t.Errorf("%+v: sags %.0f nm, a circle %.0f", c, sag, circle)
		}
	}
}
