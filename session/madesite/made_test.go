package madesite_test

import (
	"math"
	"testing"

	"rodcall/reduce"
	"rodcall/session/madesite"
)

const sixteenth = reduce.Inch / 16

func house(t testing.TB) reduce.Outline {
	t.Helper()
	o, err := reduce.Outline{Grid: reduce.GridFor(reduce.UnitInch)}.WithLoop("", reduce.Point{}, reduce.Rectangle(40*reduce.Foot, 28*reduce.Foot))
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// TestSameSeedSameSite: a site is its seed's and nothing else's.
func TestSameSeedSameSite(t *testing.T) {
	p := madesite.Default(reduce.UnitInch, sixteenth)
	a, b, c := madesite.New(7, house(t), p.Ground), madesite.New(7, house(t), p.Ground), madesite.New(8, house(t), p.Ground)
	differs := 0
	for _, st := range a.Stations() {
		x, ok := a.Truth(st)
		y, _ := b.Truth(st)
		z, _ := c.Truth(st)
		if !ok || x != y {
			t.Errorf("%s: %v and %v from one seed", st.Name(reduce.Foot), x, y)
		}
		if x != z {
			differs++
		}
	}
	if differs < 30 {
		t.Errorf("another seed differs at %d stations only", differs)
	}
	if h, _ := a.Truth(reduce.Corner(1)); h != 0 {
		t.Errorf("c1 at %v, want 0", h)
	}
}

// TestSplitMix64 compares with the first numbers of seed 1234567 as published
// with several implementations of the generator (from memory).
func TestSplitMix64(t *testing.T) {
	c := madesite.Chance(1234567)
	for i, want := range []uint64{6457827717110365317, 3203168211198807973, 9817491932198370423} {
		if got := c.Next(); got != want {
			t.Errorf("number %d: %d, want %d", i, got, want)
		}
	}
}

// TestNormal: mean 0, standard deviation 1, 95 in 100 within 1.96.
func TestNormal(t *testing.T) {
	c := madesite.NewChance(3, 3)
	const n = 200_000
	sum, squares, within := 0.0, 0.0, 0
	for range n {
		x := c.Normal()
		sum, squares = sum+x, squares+x*x
		if math.Abs(x) <= 1.96 {
			within++
		}
	}
	if m, v, w := sum/n, squares/n, float64(within)/n; math.Abs(m) > 0.01 || math.Abs(v-1) > 0.015 || math.Abs(w-0.95) > 0.002 {
		t.Errorf("mean %v, variance %v, within 1.96: %v", m, v, w)
	}
}

// TestReadingsMeanTheTruth: with a perfect laser and perfect readers, each
// kind of rod, flipped or not, gives back the site.
func TestReadingsMeanTheTruth(t *testing.T) {
	p := madesite.Default(reduce.UnitInch, sixteenth)
	p.Error, p.Flipped = 0, 0.5
	p.Budget.Resolution = 1
	for seed := range uint64(40) {
		s := madesite.New(seed, house(t), p.Ground)
		survey, ok := s.Read(reduce.UnitInch, p)
		if !ok {
			t.Fatalf("seed %d: out of reach", seed)
		}
		got, err := reduce.Solve(survey)
		if err != nil {
			t.Fatal(err)
		}
		for _, st := range s.Stations() {
			want, _ := s.Truth(st)
			if d := float64(got.Elevations[st]) - want; math.Abs(d) > float64(reduce.Micrometre) {
				t.Fatalf("seed %d, %s: off by %v nm", seed, st.Name(reduce.Foot), d)
			}
		}
	}
}

// TestSinkSigns: a laser that sinks 1/4 makes later direct readings 1/4 higher
// and standard ones 1/4 smaller.
func TestSinkSigns(t *testing.T) {
	p := madesite.Default(reduce.UnitInch, sixteenth)
	p.Error = 0
	p.Budget.Resolution = 1
	s := madesite.New(1, house(t), p.Ground)
	for kind, want := range map[reduce.RodKind]reduce.Length{reduce.Direct: reduce.Inch / 4, reduce.Standard: -reduce.Inch / 4} {
		l := s.SetUp(1, p)
		l.Bumps = []madesite.Bump{{After: 0, Rise: -float64(reduce.Inch) / 4}}
		crew := s.NewCrew(1, kind, reduce.UnitInch, l, p)
		first, _ := crew.See(reduce.Corner(1))
		later, _ := crew.See(reduce.Corner(1))
		if d := (later - first - want).Abs(); d > 2 {
			t.Errorf("%v: changed by %v, want %v", kind, later-first, want)
		}
	}
}
