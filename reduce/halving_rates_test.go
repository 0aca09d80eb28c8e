package reduce_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

// traps by name; each makes one site from its random source.
var traps = []struct {
	name    string
	checked []int
	make    func(r *rand.Rand, low, high float64) *trap
}{
	{"pure step", []int{1}, func(r *rand.Rand, low, high float64) *trap {
		t := newTrap(r)
		at := r.IntN(t.n)
		step := one(t.jump(low, high), at)
		t.beam, t.places = func(k, _, _ int) float64 { return step(k) }, []int{at}
		return t
	}},
	{"tilt as well", []int{1}, func(r *rand.Rand, low, high float64) *trap {
		t := newTrap(r)
		at, j := r.IntN(t.n), t.jump(low, high)
		// The plane tips by up to the jump in 20 ft, either way in x and y.
		a, b := j*(2*r.Float64()-1)/20, j*(2*r.Float64()-1)/20
		t.beam = func(k, s, _ int) float64 {
			if k <= at {
				return 0
			}
			return j + a*t.x[s] + b*t.y[s]
		}
		t.places = []int{at}
		return t
	}},
	{"second bump", []int{1}, func(r *rand.Rand, low, high float64) *trap {
		t := newTrap(r)
		a, b := r.IntN(t.n), r.IntN(t.n)
		one, two := one(t.jump(low, high), a), one(t.jump(low, high), b)
		t.beam, t.places = func(k, _, _ int) float64 { return one(k) + two(k) }, []int{a, b}
		return t
	}},
	{"sinking leg", []int{1}, func(r *rand.Rand, low, high float64) *trap {
		t := newTrap(r)
		j := t.jump(low, high)
		from := r.IntN(t.n / 2)
		to := from + t.n/3 + r.IntN(t.n-from)
		t.beam = func(k, _, _ int) float64 {
			return j * min(1, max(0, float64(k-from)/float64(to-from))) / min(1, float64(t.n-from)/float64(to-from))
		}
		return t
	}},
	{"slipped receiver, two rods", []int{1, 2}, slipped},
	{"slipped receiver, one checked", []int{1}, slipped},
	{"receiver slips after the bump", []int{1}, func(r *rand.Rand, low, high float64) *trap {
		t := newTrap(r)
		at := r.IntN(t.n)
		step, slip, shots := one(t.jump(low, high), at), t.jump(low, high), 0
		since := 1 + r.IntN(4)
		t.beam = func(k, s, _ int) float64 {
			if k == t.n {
				if shots++; shots > since {
					return step(k) + slip
				}
			}
			return step(k)
		}
		t.places = []int{at}
		return t
	}},
	{"station shimmed since", []int{1}, func(r *rand.Rand, low, high float64) *trap {
		t := newTrap(r)
		at := r.IntN(t.n)
		step := one(t.jump(low, high), at)
		// A third of the stations, but not the benchmark, raised by 1/16 to 1/2.
		shim := make([]float64, t.n)
		for i := 1; i < t.n; i++ {
			if r.IntN(3) == 0 {
				shim[i] = float64(1+r.IntN(8)) / 16
			}
		}
		t.beam = func(k, s, _ int) float64 {
			if k == t.n {
				return step(k) + shim[s]
			}
			return step(k)
		}
		t.places = []int{at}
		return t
	}},
	{"check shot misread", []int{1}, func(r *rand.Rand, low, high float64) *trap {
		t := newTrap(r)
		j, first := t.jump(low, high), true
		t.beam = func(k, _, _ int) float64 {
			if k == t.n && first {
				first = false
				return j
			}
			return 0
		}
		return t
	}},
}

// slipped is a receiver that slips on rod 1 while rod 2 reads every other
// station: the laser stands.
func slipped(r *rand.Rand, low, high float64) *trap {
	t := newTrap(r)
	for k := range t.owner {
		t.owner[k] = 1 + k%2
	}
	at := r.IntN(t.n)
	step := one(t.jump(low, high), at)
	t.beam = func(k, _, rod int) float64 {
		if rod == 2 {
			return 0
		}
		return step(k)
	}
	t.places = []int{at - at%2}
	return t
}

// TestTrapRates plays each trap on 2,000 made sites a size of jump, with normal
// noise, and logs how often a search claims a place, and how often one at which
// nothing happened. The limits are the rates measured, rounded up; near four
// times the noise a search that will not be wrong has to stop often.
func TestTrapRates(t *testing.T) {
	const cases = 2000
	for _, size := range []struct{ low, high, wrong, found float64 }{
		{4, 8, 8, 55}, {8, 12, 6, 80}, {12, 24, 3, 80},
	} {
		for i, trap := range traps {
			r := rand.New(rand.NewPCG(5, uint64(i)))
			found, wrong := 0, 0
			for range cases {
				p := trap.make(r, size.low, size.high)
				f, shots := p.play(t, trap.checked...)
				if shots > reduce.Bound(p.n) {
					t.Fatalf("%s: %d re-shots of %d readings", trap.name, shots, p.n)
				}
				if f.State == reduce.Found {
					found++
					if !slices.Contains(p.places, f.After) {
						wrong++
					}
				}
			}
			claimed, off := 100*float64(found)/cases, 100*float64(wrong)/cases
			t.Logf("%-30s jump %2.0f to %2.0f times the noise: claims %5.1f %%, wrong %5.2f %%",
				trap.name, size.low, size.high, claimed, off)
			if off > size.wrong {
				t.Errorf("%s: %.2f %% wrong, limit %.0f", trap.name, off, size.wrong)
			}
			if trap.name == "pure step" && claimed < size.found {
				t.Errorf("pure step: %.1f %% found, limit %.0f", claimed, size.found)
			}
		}
	}
}

// TestTwoBumpsWithoutNoise: of two clear bumps a search names one or stops; it
// never names a place between or beside them.
func TestTwoBumpsWithoutNoise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 80).Draw(t, "n")
		a, b := rapid.IntRange(0, n-1).Draw(t, "a"), rapid.IntRange(0, n-1).Draw(t, "b")
		size := rapid.OneOf(rapid.IntRange(9, 60), rapid.IntRange(-60, -9))
		j, k := reduce.Length(size.Draw(t, "j"))*reduce.Inch/32, reduce.Length(size.Draw(t, "k"))*reduce.Inch/32
		if (j + k).Abs() < 9*reduce.Inch/32 {
			t.Skip("the check shot would agree")
		}
		p := newPureStep(reduce.Rod{ID: 1, Kind: reduce.Standard}, n, a, j)
		for i := b + 1; i < n; i++ {
			p.readings[i].Value -= k
		}
		h, err := reduce.NewHalving([]reduce.Rod{p.rod}, p.readings, []reduce.Observation{p.read(0, j+k)}, reduce.Inch/32)
		if err != nil {
			t.Fatal(err)
		}
		f, _ := search(t, h, func(i int) reduce.Observation { return p.read(i, j+k) })
		if f.State == reduce.Found && f.After != a && f.After != b {
			t.Fatalf("bumps after %d and %d, claimed %d", a, b, f.After)
		}
	})
}
