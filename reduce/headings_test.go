package reduce_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

// beam is a made laser: how its plane rises along its own axes, and its cone.
type beam struct{ mark, left, cone float64 }

// high is by how much the beam is high, facing the heading (radians from +x,
// anticlockwise), at a place relative to the laser.
func (b beam) high(heading, x, y float64) float64 {
	s, c := math.Sincos(heading)
	return b.mark*(x*c+y*s) + b.left*(-x*s+y*c) + b.cone*math.Hypot(x, y)
}

// shown is the rod's number under a beam that is high by so much, on a spot of
// a height.
func shown(rod reduce.Rod, height, high float64) reduce.Length {
	v := height - high
	if !rod.Rises() {
		v = 1.5*float64(reduce.Metre) - v
	}
	return reduce.Length(math.Round(v))
}

func drawRod(t *rapid.T) reduce.Rod {
	return reduce.Rod{ID: 1, Kind: rapid.SampledFrom([]reduce.RodKind{reduce.Direct, reduce.Standard}).Draw(t, "kind"),
		Flipped: rapid.Bool().Draw(t, "flipped")}
}

// TestFourHeadingsOfMadeLasers: the tilt of any beam comes out, and its cone
// where the level reading is known, on every rod.
func TestFourHeadingsOfMadeLasers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rod, g := drawRod(t), rapid.Float64Range(-1e-3, 1e-3)
		b := beam{g.Draw(t, "mark"), g.Draw(t, "left"), g.Draw(t, "cone")}
		d := float64(rapid.IntRange(10, 60).Draw(t, "distance")) * float64(reduce.Metre)
		height := float64(rapid.IntRange(-200, 200).Draw(t, "height")) * float64(reduce.Millimetre)
		var readings [4]reduce.Length
		for i := range readings {
			// The rod is on +x; the laser turns clockwise.
			readings[i] = shown(rod, height, b.high(-float64(i)*math.Pi/2, d, 0))
		}
		h, ok := reduce.FourHeadings(rod, readings, reduce.Length(d), reduce.Millimetre)
		if !ok || !h.Sound || h.Misfit.Abs() > 3 {
			t.Fatalf("%+v", h)
		}
		cone := h.Cone(shown(rod, height, 0))
		for name, pair := range map[string][2]float64{
			"mark": {float64(h.Mark), b.mark}, "left": {float64(h.Left), b.left}, "cone": {float64(cone), b.cone},
		} {
			if math.Abs(pair[0]-pair[1]) > 1e-9 {
				t.Fatalf("%s: %v, want %v", name, pair[0], pair[1])
			}
		}
	})
	if _, ok := reduce.FourHeadings(reduce.Rod{}, [4]reduce.Length{}, 0, reduce.Inch); ok {
		t.Error("a tilt at no distance")
	}
}

// TestFourHeadingsRates: of 4,000 level beams about one in a hundred is called
// tilted, and one in 370 unsound.
func TestFourHeadingsRates(t *testing.T) {
	const cases = 4000
	r := rand.New(rand.NewPCG(3, 3))
	tilted, unsound := 0, 0
	for range cases {
		var readings [4]reduce.Length
		for i := range readings {
			readings[i] = reduce.Length(r.NormFloat64() * float64(reduce.Millimetre))
		}
		h, _ := reduce.FourHeadings(reduce.Rod{Kind: reduce.Standard}, readings, 30*reduce.Metre, reduce.Millimetre)
		if h.Tilted() {
			tilted++
		}
		if !h.Sound {
			unsound++
		}
	}
	t.Logf("called tilted %.2f %%, unsound %.2f %%", 100*float64(tilted)/cases, 100*float64(unsound)/cases)
	if tilted < cases/200 || tilted > cases/60 || unsound > cases/100 {
		t.Error("out of limits")
	}
}

// TestHalfTurnOfMadeSites: the slab's slope and the beam's come apart on every
// rod, from any place of the laser, though it comes to stand higher.
func TestHalfTurnOfMadeSites(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rod, g := drawRod(t), rapid.Float64Range(-1e-3, 1e-3)
		b := beam{g.Draw(t, "mark"), g.Draw(t, "left"), 0}
		sx, sy := g.Draw(t, "sx"), g.Draw(t, "sy")
		coord := rapid.IntRange(0, 20)
		lx, ly := coord.Draw(t, "lx"), coord.Draw(t, "ly")
		higher := float64(rapid.IntRange(-50, 50).Draw(t, "higher")) * float64(reduce.Millimetre)
		var pairs []reduce.TurnPair
		for range rapid.IntRange(3, 6).Draw(t, "n") {
			x, y := coord.Draw(t, "x"), coord.Draw(t, "y")
			m := float64(reduce.Metre)
			px, py := float64(x)*m, float64(y)*m
			height := sx*px + sy*py
			dx, dy := float64(x-lx)*m, float64(y-ly)*m
			pairs = append(pairs, reduce.TurnPair{
				At:     reduce.Point{X: reduce.Length(px), Y: reduce.Length(py)},
				Before: shown(rod, height, b.high(0, dx, dy)),
				After:  shown(rod, height, b.high(math.Pi, dx, dy)+higher),
			})
		}
		h, ok := reduce.HalfTurned(rod, pairs, reduce.Millimetre)
		if !ok {
			t.Skip("in a line")
		}
		for name, pair := range map[string][2]float64{
			"slab x": {float64(h.SlabX), sx}, "slab y": {float64(h.SlabY), sy},
			"beam x": {float64(h.BeamX), b.mark}, "beam y": {float64(h.BeamY), b.left},
		} {
			if math.Abs(pair[0]-pair[1]) > 1e-7 {
				t.Fatalf("%s: %v, want %v", name, pair[0], pair[1])
			}
		}
	})
}
