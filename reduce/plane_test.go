package reduce_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

// tieAt is a tie at so many feet.
func tieAt(x, y int, amount reduce.Length) reduce.Tie {
	return reduce.Tie{At: reduce.Point{X: reduce.Length(x) * reduce.Foot, Y: reduce.Length(y) * reduce.Foot}, Amount: amount}
}

// TestPlaneExact: ties made from a plane give it back.
func TestPlaneExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		slope := rapid.Float64Range(-0.01, 0.01)
		a, b := slope.Draw(t, "a"), slope.Draw(t, "b")
		coord := rapid.IntRange(-100, 100)
		var ties []reduce.Tie
		for range rapid.IntRange(3, 12).Draw(t, "n") {
			x, y := coord.Draw(t, "x"), coord.Draw(t, "y")
			h := 5 + a*float64(x) + b*float64(y)
			ties = append(ties, tieAt(x, y, reduce.Length(math.Round(h*float64(reduce.Foot)))))
		}
		p, ok := reduce.PlaneThrough(ties)
		if !ok {
			t.Skip("in a line")
		}
		// A nanometre's rounding over at least a twentieth of a foot.
		if math.Abs(float64(p.X)-a) > 1e-6 || math.Abs(float64(p.Y)-b) > 1e-6 {
			t.Fatalf("slopes %v %v, want %v %v", p.X, p.Y, a, b)
		}
		for _, tie := range ties {
			if d := (p.At(tie.At) - tie.Amount).Abs(); d > 100*reduce.Nanometre {
				t.Fatalf("%v off the plane at %v", d, tie.At)
			}
		}
	})
}

// TestPlaneNeedsThreeOffALine refuses what a plane cannot be laid through.
func TestPlaneNeedsThreeOffALine(t *testing.T) {
	for name, ties := range map[string][]reduce.Tie{
		"none":      nil,
		"two":       {tieAt(0, 0, 0), tieAt(40, 0, 0)},
		"one spot":  {tieAt(4, 4, 0), tieAt(4, 4, 1), tieAt(4, 4, 2)},
		"a line":    {tieAt(0, 0, 0), tieAt(10, 10, 0), tieAt(40, 40, 0)},
		"nearly so": {tieAt(0, 0, 0), tieAt(20, 1, 0), tieAt(40, 0, 0)},
	} {
		if p, ok := reduce.PlaneThrough(ties); ok {
			t.Errorf("%s: %+v", name, p)
		}
		if _, ok := reduce.TiltOf(ties, reduce.Inch/32); ok {
			t.Errorf("%s: a tilt", name)
		}
	}
}

// TestTiltRates: on 4,000 made bumps with three to six ties, the slope lies
// within its two-dimensional 95 % region in 94 to 96 %, a plane that only sank
// is called tilted in at most 1.5 %, and one that tipped by ten standard
// deviations of a reading over the house nearly always is.
func TestTiltRates(t *testing.T) {
	const cases = 4000
	r := rand.New(rand.NewPCG(11, 1))
	inside, called, found, all := 0, 0, 0, 0
	for all < cases {
		noise := float64(reduce.Inch) / 32
		var level, tipped []reduce.Tie
		tip := 10 * noise / (40 * float64(reduce.Foot))
		for range 3 + r.IntN(4) {
			x, y := r.IntN(41), r.IntN(29)
			d := 4*noise + noise*(r.NormFloat64()-r.NormFloat64())
			level = append(level, tieAt(x, y, reduce.Length(d)))
			tipped = append(tipped, tieAt(x, y, reduce.Length(d+tip*float64(x)*float64(reduce.Foot))))
		}
		a, ok := reduce.TiltOf(level, reduce.Inch/32)
		if !ok {
			continue
		}
		all++
		b, _ := reduce.TiltOf(tipped, reduce.Inch/32)
		off := b.Plane
		off.X -= reduce.Gradient(tip)
		if off.Chance(reduce.Length(math.Round(math.Sqrt2*noise))) > 0.05 {
			inside++
		}
		if a.Tilted {
			called++
		}
		// Only where the ties are spread enough to show it.
		if b.Tilted || b.Deviation > reduce.Gradient(tip/4.5) {
			found++
		}
	}
	in, false1, seen := 100*float64(inside)/cases, 100*float64(called)/cases, 100*float64(found)/cases
	t.Logf("slope inside its 95 %% region %.1f %%; level called tilted %.2f %%; tipped found %.1f %%", in, false1, seen)
	if in < 94 || in > 96 || false1 > 1.5 || seen < 95 {
		t.Error("out of limits")
	}
}
