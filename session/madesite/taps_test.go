package madesite_test

import (
	"testing"

	"rodcall/reduce"
	"rodcall/session/madesite"
)

// tapKind is a row of the table of taps: who reads what.
type tapKind struct {
	name   string
	sites  int
	unit   reduce.Unit
	rod    reduce.RodKind
	rough  int  // times the unevenness of the parameters
	setUps int  // the laser is moved between
	step   bool // a third of the walls is designed lower
	rounds int  // 0: the walk of the concrete alone
}

// tapKinds are the foundations on which taps are counted, and seed 71 is theirs.
// They were settled, and counted with the keyboard as it was then, before any
// value on it was predicted.
var tapKinds = []tapKind{
	{"inches, direct", 300, reduce.UnitInch, reduce.Direct, 1, 1, false, 0},
	{"unevenness x 2", 100, reduce.UnitInch, reduce.Direct, 2, 1, false, 0},
	{"two set-ups", 100, reduce.UnitInch, reduce.Direct, 1, 2, false, 0},
	{"a step in the design", 150, reduce.UnitInch, reduce.Direct, 1, 1, true, 0},
	{"feet, direct", 75, reduce.UnitFoot, reduce.Direct, 1, 1, false, 0},
	{"millimetres, direct", 75, reduce.UnitMillimetre, reduce.Direct, 1, 1, false, 0},
	{"inches, standard", 100, reduce.UnitInch, reduce.Standard, 1, 1, false, 0},
	{"feet, standard", 50, reduce.UnitFoot, reduce.Standard, 1, 1, false, 0},
	{"millimetres, standard", 50, reduce.UnitMillimetre, reduce.Standard, 1, 1, false, 0},
	{"rounds, direct", 60, reduce.UnitInch, reduce.Direct, 1, 1, false, 3},
	{"rounds, standard", 40, reduce.UnitMillimetre, reduce.Standard, 1, 1, false, 3},
}

// stepBy is how much lower the designed part is.
const stepBy = 8 * reduce.Inch

// tapped plays the i-th site of a row.
func tapped(t testing.TB, k tapKind, i int) madesite.Played {
	t.Helper()
	p := madesite.Default(k.unit, k.unit.Finest()).Careful().Rougher(k.rough)
	p.Budget.Resolution = k.unit.Finest()
	plan := plans[k.unit][i%2]
	o, err := reduce.Outline{Grid: reduce.GridFor(k.unit)}.WithLoop("", reduce.Point{}, reduce.Rectangle(plan.wide, plan.deep))
	if err != nil {
		t.Fatal(err)
	}
	s := madesite.New(seedOf(71, i), o, p.Ground)
	how := madesite.Play{
		Unit: k.unit, Lang: []string{"en", "es"}[i/2%2], Outline: plan.sent, Rounds: k.rounds, Tapping: true,
	}
	for range k.setUps {
		how.Kinds = append(how.Kinds, k.rod)
	}
	if k.step {
		// What was poured lower is off its drawing as one part of a pour is off another.
		by := float64(stepBy) + float64(p.Ground.Step)*madesite.NewChance(seedOf(71, i), 1<<42).Normal()
		how.Design = []string{map[string]string{"en": "step c2 c4 8 in lower", "es": "escalon c2 c4 8 in mas bajo"}[how.Lang]}
		for _, st := range o.Stations() {
			if h, _ := s.Truth(st); reduce.Compare(st, reduce.Corner(2)) >= 0 && reduce.Compare(st, reduce.Corner(4)) <= 0 {
				s.Move(st, h-by)
			}
		}
	}
	played, err := s.Play(how, p)
	if err != nil {
		t.Fatalf("%s, site %d: %v", k.name, i, err)
	}
	return played
}

// tapCount counts readings by what they took.
type tapCount struct {
	readings, taps, typed, typedNear int
	by                               [5]int // so many taps, the last: more
}

// count takes in one reading. What was typed is no tap in the mean, and with what
// took more than three in the share that took at most three.
func (c *tapCount) count(t madesite.Taps) {
	c.readings++
	if t.Taps > 0 {
		c.taps += t.Taps
		c.by[min(t.Taps, len(c.by))-1]++
		return
	}
	c.typed++
	if t.Near >= 0 && t.Near <= 2*reduce.Inch {
		c.typedNear++
	}
}

func (c *tapCount) add(d tapCount) {
	c.readings, c.taps, c.typed, c.typedNear = c.readings+d.readings, c.taps+d.taps, c.typed+d.typed, c.typedNear+d.typedNear
	for i := range c.by {
		c.by[i] += d.by[i]
	}
}

func (c *tapCount) share(n int) float64 { return 100 * float64(n) / float64(max(c.readings, 1)) }

// mean is how many taps a reading took that was sent by taps.
func (c *tapCount) mean() float64 { return float64(c.taps) / float64(max(c.readings-c.typed, 1)) }

// few is the share of readings that took at most three taps.
func (c *tapCount) few() float64 { return c.share(c.by[0] + c.by[1] + c.by[2]) }

// TestTaps is the table of taps: on made sites, played through session.Hear, how
// many taps it takes to send what the rod shows, rounded to the job's finest
// amount, by the keys that stand under the question. It is the very first walk
// of a foundation on which nobody misreads; every reading counts, the
// benchmark's too.
func TestTaps(t *testing.T) {
	counts, sites := make([]tapCount, len(tapKinds)), make([]int, len(tapKinds))
	t.Run("kinds", func(t *testing.T) {
		for n, k := range tapKinds {
			t.Run(k.name, func(t *testing.T) {
				t.Parallel()
				sites[n] = k.sites
				if testing.Short() {
					sites[n] = max(k.sites/10, 4)
				}
				for i := range sites[n] {
					for _, taps := range tapped(t, k, i).Taps {
						counts[n].count(taps)
					}
				}
			})
		}
	})
	t.Logf("%-22s %5s %8s %6s %7s %7s %7s %7s %7s %7s", "seed 71", "sites", "readings", "mean", "1 tap %", "2 %", "3 %", "more %", "typed %", "(near)")
	log := func(name string, sites int, c tapCount) {
		t.Logf("%-22s %5d %8d %6.3f %7.2f %7.2f %7.2f %7.2f %7.2f %7d", name, sites, c.readings, c.mean(),
			c.share(c.by[0]), c.share(c.by[1]), c.share(c.by[2]), c.share(c.by[3]+c.by[4]), c.share(c.typed), c.typedNear)
	}
	var all tapCount
	played := 0
	for n, k := range tapKinds {
		log(k.name, sites[n], counts[n])
		all.add(counts[n])
		played += sites[n]
	}
	log("all", played, all)
	if !testing.Short() && played < 1000 {
		t.Errorf("%d sites are too few", played)
	}
	if all.mean() > 1.2 || all.few() < 99 {
		t.Errorf("%.3f taps a reading, %.2f %% with at most three", all.mean(), all.few())
	}
	deskModel(t, counts[0].mean()) // of the walks that are most like it: inches, a direct rod
	for n, c := range counts {
		if c.few() < 99 || c.typedNear > 0 {
			t.Errorf("%s: %.2f %% with at most three taps, %d typed that are near what is on the keys", tapKinds[n].name, c.few(), c.typedNear)
		}
	}
}
