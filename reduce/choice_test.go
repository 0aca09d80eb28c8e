package reduce_test

import (
	"cmp"
	"slices"
	"testing"

	"github.com/shopspring/decimal"
	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"

	"rodcall/reduce"
)

// anySpots are up to a dozen spots, at heights of few nanometres so that every
// level there is can be tried.
func anySpots(r *rapid.T) []reduce.Spot {
	var spots []reduce.Spot
	for i := range rapid.IntRange(1, 12).Draw(r, "spots") {
		h := rapid.IntRange(-20, 20).Draw(r, "height")
		spots = append(spots, reduce.Spot{Station: reduce.Corner(i + 1), Height: reduce.Length(h)})
	}
	return spots
}

func anyRules(r *rapid.T) reduce.LevelRules {
	return reduce.LevelRules{
		Tolerance: reduce.Length(rapid.IntRange(0, 8).Draw(r, "tolerance")),
		Grind:     reduce.Length(rapid.SampledFrom([]int{0, 0, 1, 3, 6, 100}).Draw(r, "grind")),
		Shim:      reduce.Length(rapid.SampledFrom([]int{0, 0, 1, 5, 12, 100}).Draw(r, "shim")),
		Ratio:     int64(rapid.SampledFrom([]int{0, 25, 99, 100, 101, 150, 300, 400, 1234}).Draw(r, "ratio")),
	}
}

// counted is a level weighed spot by spot.
type counted struct {
	raise, lower         int // spots
	up, down             reduce.Length
	mostUp, mostDown     reduce.Length
	shimPast, grindPast  int
	hundredths, distance int64
}

func count(spots []reduce.Spot, level reduce.Length, rules reduce.LevelRules) counted {
	var c counted
	high := spots[0].Height
	for _, s := range spots {
		high = max(high, s.Height)
		d := s.Height - level
		switch {
		case d.Abs() <= rules.Tolerance:
		case d < 0:
			c.raise++
			c.up -= d
			c.mostUp = max(c.mostUp, -d)
			if rules.Shim > 0 && -d > rules.Shim {
				c.shimPast++
			}
		default:
			c.lower++
			c.down += d
			c.mostDown = max(c.mostDown, d)
			if d > rules.Grind {
				c.grindPast++
			}
		}
	}
	c.hundredths = 100*int64(c.up) + rules.Ratio*int64(c.down)
	c.distance = int64((level - high).Abs())
	return c
}

// TestChosenLevels: each choice is weighed as spot by spot, and the level of
// fewest spots and that of least work are those that trying every nanometre
// finds, ties and all.
func TestChosenLevels(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		spots, rules := anySpots(r), anyRules(r)
		fixed := reduce.Length(rapid.IntRange(-30, 30).Draw(r, "fixed"))
		choices := reduce.LevelChoices(spots, reduce.Corner(1), spots[len(spots)-1].Station, &fixed, rules)
		var kinds []reduce.DatumChoice
		for _, c := range choices {
			kinds = append(kinds, c.Choice)
			n := count(spots, c.Level, rules)
			if c.Raise.Spots != n.raise || c.Lower.Spots != n.lower || c.Raise.Total != n.up || c.Lower.Total != n.down ||
				c.Raise.Most != n.mostUp || c.Lower.Most != n.mostDown || c.Touched() != n.raise+n.lower {
				r.Fatalf("%s: %+v, counted %+v", c.Choice, c, n)
			}
			if !c.Cost.Mul(decimal.NewFromInt(100)).Equal(decimal.NewFromInt(n.hundredths)) {
				r.Fatalf("%s costs %s, counted %d hundredths", c.Choice, c.Cost, n.hundredths)
			}
			if c.Raise.Past != n.shimPast || c.Lower.Past != n.grindPast || c.Obeys() != (n.shimPast+n.grindPast == 0) {
				r.Fatalf("%s passes the limits at %d and %d spots, counted %+v", c.Choice, c.Raise.Past, c.Lower.Past, n)
			}
			if (c.Raise.Over > 0) != (c.Raise.Past > 0) || (c.Lower.Over > 0) != (c.Lower.Past > 0) ||
				c.Raise.Over > 0 && c.Raise.Over != n.mostUp-rules.Shim || c.Lower.Over > 0 && c.Lower.Over != n.mostDown-rules.Grind {
				r.Fatalf("%s is over the limits by %v and %v, counted %+v", c.Choice, c.Raise.Over, c.Lower.Over, n)
			}
			if c.Raise.Spots > 0 && c.Level-c.Raise.At.Height != n.mostUp || c.Lower.Spots > 0 && c.Lower.At.Height-c.Level != n.mostDown {
				r.Fatalf("%s: the largest moves are put at %v and %v", c.Choice, c.Raise.At, c.Lower.At)
			}
		}
		if !slices.Equal(kinds, []reduce.DatumChoice{reduce.DatumFirst, reduce.DatumHigh, reduce.DatumStation, reduce.DatumFixed, reduce.DatumFewest, reduce.DatumLeast}) {
			r.Fatalf("choices %v", kinds)
		}

		var obeying []reduce.Length
		for l := reduce.Length(-60); l <= 60; l++ {
			if n := count(spots, l, rules); n.shimPast+n.grindPast == 0 {
				obeying = append(obeying, l)
			}
		}
		fewest, least := choices[4], choices[5]
		if len(obeying) == 0 {
			if fewest.Obeys() || least.Obeys() || fewest.Level != least.Level {
				r.Fatalf("no level obeys, but %+v and %+v", fewest, least)
			}
			return
		}
		best := func(spotsFirst bool) reduce.Length {
			return slices.MinFunc(obeying, func(a, b reduce.Length) int {
				p, q := count(spots, a, rules), count(spots, b, rules)
				touched, cost := cmp.Compare(p.raise+p.lower, q.raise+q.lower), cmp.Compare(p.hundredths, q.hundredths)
				if spotsFirst {
					return cmp.Or(touched, cost, cmp.Compare(p.distance, q.distance), cmp.Compare(b, a))
				}
				return cmp.Or(cost, touched, cmp.Compare(p.distance, q.distance), cmp.Compare(b, a))
			})
		}
		if want := best(true); fewest.Level != want {
			r.Fatalf("fewest at %d, tried: %d", fewest.Level, want)
		}
		if want := best(false); least.Level != want {
			r.Fatalf("least at %d, tried: %d", least.Level, want)
		}
	})
}

// TestLeastWorkIsAQuantile: without tolerance and limits the least work is at
// the quantile r/(1+r) of the heights (the minimiser of the pinball loss;
// Koenker and Bassett, Regression quantiles, 1978: from memory), which gonum
// finds.
func TestLeastWorkIsAQuantile(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		spots := anySpots(r)
		rules := reduce.LevelRules{Grind: 1000, Ratio: int64(rapid.IntRange(1, 2000).Draw(r, "ratio"))}
		var heights []float64
		for _, s := range spots {
			heights = append(heights, float64(s.Height))
		}
		slices.Sort(heights)
		q := stat.Quantile(float64(rules.Ratio)/float64(100+rules.Ratio), stat.Empirical, heights, nil)
		tops, _ := reduce.NewTops(spots)
		choices := reduce.LevelChoices(spots, reduce.Corner(1), reduce.Station{}, nil, rules)
		least := choices[len(choices)-1]
		if at := tops.At(reduce.Length(q), rules); !at.Cost.Equal(least.Cost) {
			r.Fatalf("least work %s at %d, at the quantile %v it is %s", least.Cost, least.Level, q, at.Cost)
		}
	})
}

// TestChosenLevelsFarApart: heights a hundred kilometres apart, the most that a
// message can bring about, and grinding at a thousand times the work are chosen
// among as small ones are.
func TestChosenLevelsFarApart(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		spots, rules := anySpots(r), anyRules(r)
		rules.Ratio = int64(rapid.IntRange(1, 1_000_000).Draw(r, "much"))
		near := reduce.LevelChoices(spots, reduce.Corner(1), reduce.Station{}, nil, rules)
		const times = reduce.MaxLength / 20
		for i := range spots {
			spots[i].Height *= times
		}
		rules.Tolerance, rules.Grind, rules.Shim = rules.Tolerance*times, rules.Grind*times, rules.Shim*times
		for i, c := range reduce.LevelChoices(spots, reduce.Corner(1), reduce.Station{}, nil, rules) {
			if near[i].Obeys() && c.Level != near[i].Level*times {
				r.Fatalf("%s at %d, of small heights at %d", c.Choice, c.Level, near[i].Level)
			}
		}
	})
}

// TestNoLevelObeys: with 1/2 in of shims and no grinding, tops 1 in apart
// cannot be brought level; the level offered passes both limits alike.
func TestNoLevelObeys(t *testing.T) {
	spots := []reduce.Spot{{Station: reduce.Corner(1)}, {Station: reduce.Corner(2), Height: reduce.Inch}}
	rules := reduce.LevelRules{Shim: reduce.Inch / 2, Ratio: reduce.DefaultGrindRatio}
	for _, c := range reduce.LevelChoices(spots, reduce.Corner(1), reduce.Station{}, nil, rules)[2:] {
		if c.Obeys() || c.Level != 3*reduce.Inch/4 || c.Raise.Over != reduce.Inch/4 || c.Lower.Over != reduce.Inch/4 {
			t.Errorf("%s: %+v", c.Choice, c)
		}
	}
}

// TestLevelAgrees: a datum that is derived again is the choice as it was
// offered.
func TestLevelAgrees(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		spots, rules := anySpots(r), anyRules(r)
		for _, c := range reduce.LevelChoices(spots, reduce.Corner(1), reduce.Corner(2), nil, rules) {
			level, at, ok := reduce.Level(c.Choice, spots, reduce.Corner(1), reduce.Corner(2), 0, rules)
			if !ok || level != c.Level || at != c.Station {
				r.Fatalf("%s: %v of %v, offered %v of %v", c.Choice, level, at, c.Level, c.Station)
			}
		}
	})
	if got := reduce.LevelChoices(nil, reduce.Corner(1), reduce.Station{}, new(reduce.Length), reduce.LevelRules{}); got != nil {
		t.Errorf("without spots there are choices: %v", got)
	}
	if _, _, ok := reduce.Level(reduce.DatumLeast, nil, reduce.Corner(1), reduce.Station{}, 0, reduce.LevelRules{}); ok {
		t.Error("without spots there is a level of least work")
	}
}

// BenchmarkLevelChoices weighs the choices of 500 and of 5,000 stations.
func BenchmarkLevelChoices(b *testing.B) {
	for _, n := range []int{500, 5000} {
		b.Run(decimal.NewFromInt(int64(n)).String(), func(b *testing.B) {
			var spots []reduce.Spot
			for i := range n {
				spots = append(spots, reduce.Spot{Station: reduce.Corner(i + 1), Height: reduce.Length(i*7919%1601) * reduce.Inch / 1024})
			}
			rules := reduce.LevelRules{Tolerance: reduce.Inch / 8, Grind: reduce.Inch / 4, Ratio: reduce.DefaultGrindRatio}
			for b.Loop() {
				reduce.LevelChoices(spots, reduce.Corner(1), reduce.Station{}, nil, rules)
			}
		})
	}
}
