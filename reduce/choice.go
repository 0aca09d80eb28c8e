package reduce

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
	"sort"

	"github.com/shopspring/decimal"
)

// DefaultGrindRatio: a length of concrete ground off is the work of four such
// lengths of shims (common practice, no source).
const DefaultGrindRatio = 400

// LevelRules are what levels to build to are weighed by. The zero value has no
// tolerance, allows no grinding and any shim, and counts grinding as no work.
type LevelRules struct {
	Tolerance Length // a spot within it either way stays as it is; 0 for none
	Grind     Length // the most that may be taken off a spot; 0 for nothing
	Shim      Length // the most that may be put under at a spot; 0 for no limit
	Ratio     int64  // what grinding costs against shimming, length for length, in hundredths (≥ 0)
}

// up and down are how far a spot may lie under the level and above it.
func (r LevelRules) up() Length   { return max(r.Tolerance, r.Shim) }
func (r LevelRules) down() Length { return max(r.Tolerance, r.Grind) }

// LevelWork is what one side of a level asks for: raising, or lowering.
type LevelWork struct {
	Spots int    // spots to move
	Total Length // of all their moves
	Most  Length // the largest move; 0 where there is none
	At    Spot   // where that is, the first in walking order among equals
	Over  Length // how much Most is beyond what the rules allow; 0 where they allow it
	Past  int    // spots whose move is beyond it
}

// LevelChoice is a level to build to and what it costs. A spot outside the
// tolerance is moved to the level itself, not just to the edge of the
// tolerance: who sets a shim sets it right.
type LevelChoice struct {
	Choice  DatumChoice
	Level   Length  // above the reference
	Station Station // that gives the level; zero where it is a height or was searched for
	Raise   LevelWork
	Lower   LevelWork
	// Cost is the work, counted as a length of shims in nanometres: all that
	// is raised, and the ratio times all that is lowered. It is exact.
	Cost decimal.Decimal
}

// Work is the cost rounded to a whole nanometre.
func (c LevelChoice) Work() Length { return Length(c.Cost.Round(0).IntPart()) }

// Touched is how many spots have to be moved.
func (c LevelChoice) Touched() int { return c.Raise.Spots + c.Lower.Spots }

// Obeys says that no move is beyond the rules. For DatumFewest and DatumLeast
// it is false only where no level at all obeys them.
func (c LevelChoice) Obeys() bool { return c.Raise.Past+c.Lower.Past == 0 }

// Tops are spots, ready to be weighed against any level. Making them takes
// n log n steps, weighing a level log n.
type Tops struct {
	spots   []Spot
	heights []Length // lowest first
	below   []Length // below[i] is the sum of the lowest i heights, less i times the lowest
	Extent
}

// NewTops readies spots; ok is false where there are none.
func NewTops(spots []Spot) (t Tops, ok bool) {
	if t.Extent, ok = Extremes(spots); !ok {
		return Tops{}, false
	}
	t.spots = spots
	t.heights = make([]Length, 0, len(spots))
	for _, s := range spots {
		t.heights = append(t.heights, s.Height)
	}
	slices.Sort(t.heights)
	t.below = make([]Length, 1, len(spots)+1)
	for i, h := range t.heights {
		t.below = append(t.below, t.below[i]+h-t.heights[0])
	}
	return t, true
}

// sum adds up the heights from the i-th lowest to before the j-th, each less
// level.
func (t *Tops) sum(i, j int, level Length) Length {
	return t.below[j] - t.below[i] - Length(j-i)*(level-t.heights[0])
}

// At weighs a level. Choice and Station are left for who chose it.
func (t *Tops) At(level Length, rules LevelRules) LevelChoice {
	under, over := t.outside(level, rules.Tolerance)
	c := LevelChoice{Level: level,
		Raise: LevelWork{Spots: under, Total: -t.sum(0, under, level)},
		Lower: LevelWork{Spots: len(t.heights) - over, Total: t.sum(over, len(t.heights), level)},
	}
	if c.Raise.Spots > 0 {
		c.Raise.At, c.Raise.Most = t.Low, level-t.Low.Height
		if rules.Shim > 0 {
			past, _ := t.outside(level, rules.up())
			c.Raise.Over, c.Raise.Past = max(0, c.Raise.Most-rules.Shim), past
		}
	}
	if c.Lower.Spots > 0 {
		c.Lower.At, c.Lower.Most = t.High, t.High.Height-level
		_, past := t.outside(level, rules.down())
		c.Lower.Over, c.Lower.Past = max(0, c.Lower.Most-rules.Grind), len(t.heights)-past
	}
	c.Cost = decimal.NewFromInt(int64(c.Raise.Total)).
		Add(decimal.New(rules.Ratio, -2).Mul(decimal.NewFromInt(int64(c.Lower.Total))))
	return c
}

// outside counts the heights more than reach under the level, and those that
// are not more than reach above it.
func (t *Tops) outside(level, reach Length) (under, over int) {
	under = sort.Search(len(t.heights), func(i int) bool { return t.heights[i] >= level-reach })
	over = sort.Search(len(t.heights), func(i int) bool { return t.heights[i] > level+reach })
	return under, over
}

// Obeying is the lowest and the highest level at which no move is beyond the
// rules; from is over to where there is none. Without a limit on shims to is as
// high as may be.
func (t *Tops) Obeying(rules LevelRules) (from, to Length) {
	from, to = t.High.Height-rules.down(), math.MaxInt64
	if rules.Shim > 0 {
		to = t.Low.Height + rules.up()
	}
	return from, to
}

// search finds the level of fewest spots touched, then of least cost
// (DatumFewest), or of least cost, then of fewest spots (DatumLeast), among
// those that obey the rules; where none does, the one half-way between the
// lowest that the high spot allows and the highest that the low spot allows, so
// that neither limit is passed by more than it must be. Of levels that are
// still equal it is the nearest to the high spot, and of two such the higher.
//
// The cost and the count change their run only where a spot comes within the
// tolerance or leaves it: at its height ± the tolerance. Between two such
// levels the cost is a straight line and the count does not change; at one of
// them, where spots within the tolerance are not touched, both are at most what
// they are close by on either side. So no level is better than the best of
// these and the ends of what obeys; the high spot's own is tried too, for the
// ties. Without a tolerance this finds the weighted quantile that is known to
// have the least cost.
func (t *Tops) search(choice DatumChoice, rules LevelRules) LevelChoice {
	from, to := t.Obeying(rules)
	to = min(to, t.High.Height+rules.Tolerance) // higher is only more work
	var levels []Length
	if from > to {
		levels = []Length{to + (from-to+1)/2}
	} else {
		levels = append(make([]Length, 0, 2*len(t.heights)+3), from, to, t.High.Height)
		for _, h := range t.heights {
			levels = append(levels, h-rules.Tolerance, h+rules.Tolerance)
		}
		levels = slices.DeleteFunc(levels, func(l Length) bool { return l < from || l > to })
	}
	best, lightest := Length(0), weight{}
	for i, l := range levels {
		w := t.weigh(l, rules)
		by := cmp.Or(w.compareCost(lightest), cmp.Compare(w.touched, lightest.touched))
		if choice == DatumFewest {
			by = cmp.Or(cmp.Compare(w.touched, lightest.touched), w.compareCost(lightest))
		}
		by = cmp.Or(by, cmp.Compare((l-t.High.Height).Abs(), (best-t.High.Height).Abs()), cmp.Compare(best, l))
		if i == 0 || by < 0 {
			best, lightest = l, w
		}
	}
	c := t.At(best, rules)
	c.Choice = choice
	return c
}

// weight is what a level is compared by. The cost in hundredths of a nanometre
// may go beyond 64 bits.
type weight struct {
	touched         int
	costHi, costLow uint64
}

func (w weight) compareCost(x weight) int {
	return cmp.Or(cmp.Compare(w.costHi, x.costHi), cmp.Compare(w.costLow, x.costLow))
}

func (t *Tops) weigh(level Length, rules LevelRules) weight {
	under, over := t.outside(level, rules.Tolerance)
	n := len(t.heights)
	hi, low := bits.Mul64(100, uint64(-t.sum(0, under, level)))
	hi2, low2 := bits.Mul64(uint64(rules.Ratio), uint64(t.sum(over, n, level)))
	sum, carry := bits.Add64(low, low2, 0)
	return weight{under + n - over, hi + hi2 + carry, sum}
}

// LevelChoices lays the levels side by side that can be built to: of the first
// station, of the high spot, of the named station and the fixed height where
// there are such, the one that touches the fewest spots and the one of least
// work, in this order. A station without a height gives none; no spots give
// none at all.
func LevelChoices(spots []Spot, first, named Station, fixed *Length, rules LevelRules) []LevelChoice {
	t, ok := NewTops(spots)
	if !ok {
		return nil
	}
	var out []LevelChoice
	offer := func(choice DatumChoice, level Length) {
		l, at, ok := Level(choice, spots, first, named, level, rules)
		if !ok {
			return
		}
		c := t.At(l, rules)
		c.Choice, c.Station = choice, at
		out = append(out, c)
	}
	offer(DatumFirst, 0)
	offer(DatumHigh, 0)
	if !named.IsZero() {
		offer(DatumStation, 0)
	}
	if fixed != nil {
		offer(DatumFixed, *fixed)
	}
	return append(out, t.search(DatumFewest, rules), t.search(DatumLeast, rules))
}
