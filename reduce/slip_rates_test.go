package reduce_test

import (
	"math/rand/v2"
	"testing"

	"rodcall/reduce"
)

// misread makes a slip of a kind of a true reading; ok is false where this
// reading cannot be got wrong so, or hardly.
func misread(r *rand.Rand, kind reduce.SlipKind, rod reduce.RodKind, v reduce.Length) (reduce.Length, bool) {
	sign := reduce.Length(1 - 2*r.IntN(2))
	was := v
	switch kind {
	case reduce.OtherSign:
		v = -v
	case reduce.WholeUnit:
		v += sign * reduce.Inch
	case reduce.WholeFoot:
		v += sign * reduce.Foot
	case reduce.TurnedRound:
		// Inches and numerator of the eighths: 1 3/8 and 3 1/8.
		whole, num := v/reduce.Inch%12, v%reduce.Inch/(reduce.Inch/8)
		if v < 0 || v%(reduce.Inch/8) != 0 || whole%2 == 0 || num%2 == 0 || whole > 7 {
			return 0, false
		}
		v += (num-whole)*reduce.Inch + (whole-num)*(reduce.Inch/8)
	case reduce.SkippedOne, reduce.SwappedTwo:
		return 0, false // made by the walk, not by the reading
	}
	return v, v != was && rod.Reaches(v) && (rod == reduce.Standard || kind != reduce.WholeFoot)
}

// TestSlipRates measures, for each slip on each rod and each scatter, how many
// are asked back when just read, and of those how often the true reading is
// the first candidate and how often among the candidates. Only the very reading
// counts as true, to the sixteenth.
func TestSlipRates(t *testing.T) {
	const cases = 400
	for _, rod := range []reduce.Rod{{ID: 1, Kind: reduce.Direct}, {ID: 1, Kind: reduce.Standard}} {
		for _, kind := range []reduce.SlipKind{reduce.OtherSign, reduce.WholeUnit, reduce.WholeFoot, reduce.TurnedRound, reduce.SkippedOne} {
			if kind == reduce.OtherSign && rod.Kind != reduce.Direct || kind == reduce.WholeFoot && rod.Kind != reduce.Standard {
				continue
			}
			for _, scatter := range wallScatters[:3] {
				r := rand.New(rand.NewPCG(31, uint64(kind)))
				made, asked, first, listed := 0, 0, 0, 0
				for tries := 0; made < cases && tries < 100*cases; tries++ {
					c, ok := madeSlip(r, rod, kind, scatter)
					if !ok {
						continue
					}
					made++
					d, doubt := reduce.Unlikely(c.walk, len(c.walk)-1, walkNoise, nil)
					if !doubt {
						continue
					}
					asked++
					s := reduce.Suspect{
						Rod: rod, Unit: reduce.UnitInch, Finest: reduce.Inch / 16, Value: c.read, Limit: d.Limit, Scatter: d.Scatter,
						Expected: d.Reading(rod, c.read),
					}
					if kind == reduce.SkippedOne {
						s.Next, s.NextExpected = reduce.Corner(99), s.Expected+c.step
					}
					for i, slip := range s.Slips() {
						if slip.Value != c.truth || slip.Kind == reduce.SkippedOne != (kind == reduce.SkippedOne) {
							continue
						}
						listed++
						if i == 0 {
							first++
						}
						break
					}
				}
				share := func(n, of int) float64 { return 100 * float64(n) / float64(max(of, 1)) }
				t.Logf("%-8v %-12v scatter %.3f in: %d made, asked back %3.0f %%, true reading first %3.0f %%, among the candidates %3.0f %%",
					rod.Kind, kind, scatter, made, share(asked, made), share(first, asked), share(listed, asked))
				if made < cases || scatter <= 1.0/16 && share(listed, asked) < 85 {
					t.Error("out of limits")
				}
			}
		}
	}
}

// slipped reading at the end of a made walk.
type slipCase struct {
	walk              []reduce.Neighbour
	read, truth, step reduce.Length
}

// madeSlip is a walk that ends with a slip. The beam stands 1 to 4 in above
// the direct rod's zero or 40 to 70 in above the standard rod's foot.
func madeSlip(r *rand.Rand, rod reduce.Rod, kind reduce.SlipKind, scatter float64) (c slipCase, ok bool) {
	walk := madeWalk(r, scatter)
	c.walk = walk[:9+r.IntN(len(walk)-9)]
	last := &c.walk[len(c.walk)-1]
	if rod.Kind == reduce.Direct {
		c.truth = inches(1+3*r.Float64()) + last.Height
	} else {
		c.truth = inches(40+30*r.Float64()) - last.Height
	}
	if kind == reduce.SkippedOne {
		// The next station is designed 2 to 9 in lower, and was read instead.
		c.step = inches(2 + 7*r.Float64())
		if rod.Rises() {
			c.step = -c.step
		}
		c.read, c.truth = c.truth+c.step, c.truth+c.step
		last.Height -= c.step.Abs()
		return c, rod.Kind.Reaches(c.read)
	}
	c.read, ok = misread(r, kind, rod.Kind, c.truth)
	if rod.Rises() {
		last.Height += c.read - c.truth
	} else {
		last.Height -= c.read - c.truth
	}
	return c, ok
}
