package reduce

import (
	"math/big"

	"github.com/shopspring/decimal"
)

// Gap is the height of the gap between concrete and plate at a place along a
// wall. One below 0 is concrete that stands above the plate's line.
type Gap struct{ Along, Height Length }

// What grout is reckoned with where nothing else was said.
const (
	// DefaultGroutWaste is how many in 100 more is mixed than the gap holds
	// (common practice, no source).
	DefaultGroutWaste = 10
	// DefaultBag is what a 50 lb bag of non-shrink grout makes, in millilitres:
	// 0.4 ft³ (from memory of labels on bags; what counts is the bag at hand).
	DefaultBag = 11_327
	// DefaultBagMetric is the same of a 25 kg bag: 12 l (from memory of labels
	// on bags).
	DefaultBagMetric = 12_000
)

// DefaultPlateWidth is the width of plate that a job in a unit plans with where
// it was told of none: 5 1/2 in, a 2x6 as sold dressed, or 140 mm (common
// practice, no source).
func DefaultPlateWidth(u Unit) Length {
	if u == UnitMillimetre {
		return 140 * Millimetre
	}
	return 11 * Inch / 2
}

// GroutVolume is what fills the gap under one straight run of plate, in cubic
// millimetres: the integral of the gap along the run, which is straight from
// place to place, times the plate's width. Places rise along the wall; where the
// concrete stands above the line there is nothing to fill. Trapezoids are exact
// for such a gap; where one runs out between two places, which leaves a triangle,
// its area is cut off at 1e-9 square nanometres.
func GroutVolume(width Length, run []Gap) decimal.Decimal {
	sum := new(big.Int) // twice the area, in square nanometres, times 1e9
	nine := big.NewInt(1_000_000_000)
	for i := 1; i < len(run); i++ {
		a, b := max(run[i-1].Height, 0), max(run[i].Height, 0)
		twice := big.NewInt(int64(a + b))
		twice.Mul(twice, big.NewInt(int64(run[i].Along-run[i-1].Along)))
		twice.Mul(twice, nine)
		if over := min(run[i-1].Height, run[i].Height); over < 0 && a+b > 0 {
			// The line runs out after (a+b)/(a+b+below) of the way.
			twice.Mul(twice, big.NewInt(int64(a+b)))
			twice.Quo(twice, big.NewInt(int64(a+b-over)))
		}
		sum.Add(sum, twice)
	}
	sum.Mul(sum, big.NewInt(int64(width)))
	// Half of it, in cubic millimetres of 1e18 cubic nanometres each.
	return decimal.NewFromBigInt(sum.Mul(sum, big.NewInt(5)), -1-9-18)
}

// runs lists the gap under one piece of plate, as far as its spots are read
// without one missing between them.
func (p *platePlanner) runs(spots []wallSpot) {
	var run []Gap
	for i, s := range spots {
		t := p.spot(s)
		if t.Read {
			run = append(run, Gap{s.along, t.Amount()})
		}
		if len(run) > 0 && (!t.Read || i == len(spots)-1) {
			p.plan.Runs = append(p.plan.Runs, run)
			run = nil
		}
	}
}

// GroutBags is how many bags are mixed for a volume in cubic millimetres, with
// waste in 100 more, of bags that make so many millilitres each (over 0). It is
// rounded up.
func GroutBags(volume decimal.Decimal, waste, bag int64) int64 {
	mixed := volume.Mul(decimal.NewFromInt(100 + waste))
	bags, rest := mixed.QuoRem(decimal.NewFromInt(bag).Mul(decimal.NewFromInt(100_000)), 0)
	if rest.IsPositive() {
		return bags.IntPart() + 1
	}
	return bags.IntPart()
}
