package reduce_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"rodcall/reduce"
)

// madeSlab is the stations of a 40 × 28 ft rectangle every 4 ft, with waves and
// a settled side of an amplitude, and readings of normal noise, sloped by fall
// over 40 ft towards c2. Amounts in inches.
func madeSlab(r *rand.Rand, wave, noise, fall float64) []reduce.Tie {
	wx, wy, px, py := 1+2*r.Float64(), 1+2*r.Float64(), 7*r.Float64(), 7*r.Float64()
	side := wave * (2*r.Float64() - 1)
	var out []reduce.Tie
	for s := 0; s < 136; s += 4 {
		x, y := s, 0
		switch {
		case s >= 108:
			x, y = 0, 136-s
		case s >= 68:
			x, y = 108-s, 28
		case s >= 40:
			x, y = 40, s-40
		}
		h := wave*(math.Sin(wx*float64(x)/10+px)+math.Sin(wy*float64(y)/10+py))/2 + side*float64(y)/28
		h += noise*r.NormFloat64() - fall*float64(x)/40
		out = append(out, tieAt(x, y, reduce.Length(math.Round(h*float64(reduce.Inch)))))
	}
	return out
}

var slabCorners = []reduce.NamedPoint{
	{Station: reduce.Corner(1)}, {Station: reduce.Corner(2), At: tieAt(40, 0, 0).At},
	{Station: reduce.Corner(3), At: tieAt(40, 28, 0).At}, {Station: reduce.Corner(4), At: tieAt(0, 28, 0).At},
}

// TestGradeDialledExact: a fall of 1/4 in over 40 ft towards the third corner.
func TestGradeDialledExact(t *testing.T) {
	var ties []reduce.Tie
	for _, p := range [][2]int{{0, 0}, {20, 0}, {40, 0}, {40, 20}, {40, 40}, {20, 40}, {0, 40}, {0, 20}} {
		// Over 40 ft along x and 40 ft along y, a third corner lower by 1/4 in in all.
		ties = append(ties, tieAt(p[0], p[1], -reduce.Inch/320*reduce.Length(p[0]+p[1])))
	}
	corners := []reduce.NamedPoint{
		{Station: reduce.Corner(1)}, {Station: reduce.Corner(2), At: tieAt(40, 0, 0).At},
		{Station: reduce.Corner(3), At: tieAt(40, 40, 0).At}, {Station: reduce.Corner(4), At: tieAt(0, 40, 0).At},
	}
	d, ok := reduce.GradeDialled(ties, corners, reduce.Inch/32)
	if !ok || d.Towards != reduce.Corner(3) || (d.Fall-reduce.Inch/4).Abs() > 10 ||
		math.Abs(d.Run.Decimal(reduce.Foot).InexactFloat64()-40*math.Sqrt2) > 1e-6 || d.Share < 0.999 {
		t.Errorf("%v: fall %v over %v towards %v, share %v", ok, d.Fall, d.Run, d.Towards, d.Share)
	}
	if _, ok := reduce.GradeDialled(ties[:5], corners, reduce.Inch/32); ok {
		t.Error("asked after five stations")
	}
	for i := range ties {
		ties[i].Amount = 0
	}
	if _, ok := reduce.GradeDialled(ties, corners, reduce.Inch/32); ok {
		t.Error("asked of a level")
	}
}

// TestGradeDialledRates: how often it asks of slabs without a grade, and of
// slabs with one, by the waves of the slab (settlement of one side included,
// which is a slope of its own).
func TestGradeDialledRates(t *testing.T) {
	const cases = 1000
	for _, c := range []struct{ wave, fall, least, most float64 }{
		{0, 0, 0, 1}, {1.0 / 8, 0, 0, 2}, {1.0 / 4, 0, 0, 3},
		{0, 1.0 / 4, 99, 100}, {1.0 / 8, 1.0 / 4, 20, 100}, {1.0 / 8, 1.0 / 2, 85, 100}, {1.0 / 4, 1, 85, 100},
	} {
		r := rand.New(rand.NewPCG(8, 8))
		asked, right := 0, 0
		for range cases {
			d, ok := reduce.GradeDialled(madeSlab(r, c.wave, 1.0/32, c.fall), slabCorners, reduce.Inch/32)
			if ok {
				asked++
				if d.Towards == reduce.Corner(2) || d.Towards == reduce.Corner(3) {
					right++
				}
			}
		}
		rate := 100 * float64(asked) / cases
		t.Logf("waves %.3f in, fall %.2f in over 40 ft: asks in %5.1f %%, towards the right side %d of %d",
			c.wave, c.fall, rate, right, asked)
		if rate < c.least || rate > c.most {
			t.Errorf("out of limits %v to %v", c.least, c.most)
		}
		if c.fall > 0 && right != asked {
			t.Error("a wrong direction")
		}
	}
}
