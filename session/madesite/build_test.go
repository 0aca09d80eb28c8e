package madesite_test

import (
	"math"
	"slices"
	"testing"

	"rodcall/reduce"
	"rodcall/session"
	"rodcall/session/madesite"
)

// build plays one sill of a table: a walk of the concrete, shims as planned, the
// plate laid and tightened, and rounds until the bot lets the crew sign.
func build(t testing.TB, i int, k buildKind) (found, s *madesite.Site, played madesite.Played) {
	t.Helper()
	p := madesite.Default(k.unit, k.unit.Finest())
	if !k.misread {
		p = p.Careful()
	}
	plan := plans[k.unit][i%2]
	o, err := reduce.Outline{Grid: reduce.GridFor(k.unit)}.WithLoop("", reduce.Point{}, reduce.Rectangle(plan.wide, plan.deep))
	if err != nil {
		t.Fatal(err)
	}
	found, s = madesite.New(seedOf(45, i), o, p.Ground), madesite.New(seedOf(45, i), o, p.Ground)
	played, err = s.Play(madesite.Play{
		Kinds: []reduce.RodKind{k.rod}, Unit: k.unit, Lang: []string{"en", "es"}[i/2%2], Outline: plan.sent,
		Restarts: 0.02, Losses: 0.02, Rounds: mostRounds,
	}, p)
	if err != nil {
		t.Fatalf("%s, site %d: %v", k.name, i, err)
	}
	return found, s, played
}

// buildKind is a row of the table: what a crew builds with.
type buildKind struct {
	name    string
	unit    reduce.Unit
	rod     reduce.RodKind
	misread bool // as often as the parameters say
}

// tally counts how many of some stations are truly within the tolerance.
type tally struct{ all, within int }

func (c *tally) add(off, tolerance float64) {
	c.all++
	if off <= tolerance {
		c.within++
	}
}

func (c tally) share() float64 { return 100 * float64(c.within) / float64(max(c.all, 1)) }

// at is the value that so much of a list is not above.
func at(x []float64, share float64) float64 {
	x = slices.Clone(x)
	slices.Sort(x)
	return x[min(len(x)-1, int(share*float64(len(x))))]
}

// TestSignedOff is the table of what was signed off on made sites, played
// through session.Hear: crews walk the concrete, take its high spot as the level,
// shim as the bot plans, lay the plate, tighten it and walk what the bot asks
// for, until it lets them sign. How far the plate truly is from the level that
// it was built to is known here at every station, read on the plate or not. The
// tolerance is 1/8 in (3.175 mm) throughout. What the bot does not let them sign
// is never more than what no shim can mend.
func TestSignedOff(t *testing.T) {
	sites := 100
	if testing.Short() {
		sites = 20
	}
	for _, k := range []buildKind{
		{"inches, direct", reduce.UnitInch, reduce.Direct, false},
		{"inches, standard", reduce.UnitInch, reduce.Standard, false},
		{"millimetres", reduce.UnitMillimetre, reduce.Standard, false},
		{"inches, misread", reduce.UnitInch, reduce.Direct, true},
	} {
		t.Run(k.name, func(t *testing.T) {
			t.Parallel()
			signedOff(t, k, sites)
		})
	}
}

// mostRounds is how many walks a crew makes before it gives up.
const mostRounds = 6

func signedOff(t *testing.T, k buildKind, sites int) {
	rounds := map[int]int{}
	var worst, before, after []float64
	var all, half, on, close, unread, whole tally
	walks, shims := 0, 0
	for i := range sites {
		found, s, played := build(t, i, k)
		if !played.Signed {
			t.Logf("site %d is not signed off after %d walks: %s", i, played.Rounds, played.Refused)
			if !played.TooFar {
				t.Errorf("site %d: and no gap there is too wide to shim", i)
			}
			continue
		}
		walks, shims = walks+played.Rounds, shims+played.Sill.Shimmed()
		rounds[played.Rounds]++
		v := played.Chat.Job.View()
		level, tolerance, most := trueLevel(t, s, v), float64(v.Job.Tolerance), 0.0
		for _, st := range v.Stations {
			if st.Station.Kind != reduce.Wall {
				continue
			}
			h, _ := s.Truth(st.Station)
			off := math.Abs(h - level)
			most = max(most, off)
			all.add(off, tolerance)
			half.add(off, 1.5*tolerance)
			switch {
			case st.Deviation == nil:
				unread.add(off, tolerance)
			case st.Verdict == reduce.Unsure:
				close.add(off, tolerance)
			default:
				on.add(off, tolerance)
			}
		}
		whole.add(most, tolerance)
		worst = append(worst, most/1e6)
		before, after = append(before, worstPair(t, found)), append(after, worstPair(t, s))
	}
	signed := whole.all
	t.Logf("seed 45, 1/8 in: %d of %d sites signed off, after %.2f walks (%v), %.0f spots shimmed on each", signed, sites,
		float64(walks)/float64(signed), rounds, float64(shims)/float64(signed))
	t.Logf("truly within 1/8 in: %.1f %% of %d stations, all of them on %.0f %% of the sites; within 3/16 in: %.2f %%",
		all.share(), all.all, whole.share(), half.share())
	t.Logf("truly within 1/8 in of those called on: %.1f %% of %d; of close calls: %.1f %% of %d; of those not read on the plate: %.1f %% of %d",
		on.share(), on.all, close.share(), close.all, unread.share(), unread.all)
	t.Logf("worst station of a site, mm: median %.1f, 95 %% %.1f, most %.1f", at(worst, .5), at(worst, .95), at(worst, 1))
	t.Logf("worst pair within 20 ft, mm, as poured: median %.1f, 95 %% %.1f, most %.1f; as signed off: %.1f, %.1f, %.1f",
		at(before, .5), at(before, .95), at(before, 1), at(after, .5), at(after, .95), at(after, 1))
	if 100*signed < 90*sites || walks > 5*signed/2 {
		t.Error("too few sites are signed off, or after too many walks")
	}
	if all.share() < 94 || half.share() < 99.8 || on.share() < 99 || unread.share() < 94 {
		t.Error("too much of what was signed off is not so")
	}
	if at(after, .95) > 8 || at(after, .5) >= at(before, .5) {
		t.Error("what was signed off is not flat")
	}
}

// trueLevel is the true height of the level that a job was built to, with the
// plate on it: so much above the benchmark as the bot has it.
func trueLevel(t testing.TB, s *madesite.Site, v session.View) float64 {
	t.Helper()
	bm := reduce.BenchmarkNumber(1)
	i := slices.IndexFunc(v.Stations, func(k session.StationView) bool { return k.Station == bm })
	if v.Level == nil || i < 0 || v.Stations[i].Elevation == nil {
		t.Fatal("no level, or no benchmark")
	}
	h, _ := s.Truth(bm)
	p := madesite.Default(v.Job.Unit, v.Job.Finest)
	return h + float64(*v.Level-*v.Stations[i].Elevation+p.Plate.Nominal)
}

// worstPair is the largest true difference in height of two stations within 20
// ft, in millimetres.
func worstPair(t testing.TB, s *madesite.Site) float64 {
	t.Helper()
	var spots []reduce.Spot
	for _, st := range s.Outline.Stations() {
		h, _ := s.Truth(st)
		spots = append(spots, reduce.Spot{Station: st, Height: reduce.Length(math.Round(h))})
	}
	p, ok := reduce.WorstPair(&s.Outline, spots, reduce.PairReach)
	if !ok {
		t.Fatal("no pair")
	}
	return float64(p.Difference) / 1e6
}
