package reduce_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

// TestMends names the wall or turn that was meant.
func TestMends(t *testing.T) {
	flip := func(legs []reduce.Leg, wall int) []reduce.Leg {
		out := slices.Clone(legs)
		out[wall-1].Turn = -out[wall-1].Turn
		return out
	}
	ell := feet(40, 14, -20, 14, 20, 28)
	for name, c := range map[string]struct {
		legs []reduce.Leg
		want []reduce.Mend
	}{
		"two feet":    {feet(40, 28, 40, 26), []reduce.Mend{{Wall: 2, Length: 26 * reduce.Foot}, {Wall: 4, Length: 28 * reduce.Foot}}},
		"both ways":   {feet(40, 28, 39, 26), nil},
		"turn":        {flip(ell, 3), []reduce.Mend{{Wall: 3, Turn: reduce.Right}}},
		"closes":      {ell, nil},
		"no gap":      {feet(10, 10, 5, -20, -5, 10), nil},
		"bay":         {angled(reduce.Foot/100, 20, 45, 14.14, 45, 13, 90, 30, 90, 20), []reduce.Mend{{Wall: 5, Length: 23 * reduce.Foot}, {Wall: 3, Length: 10 * reduce.Foot}}},
		"one turn":    {angled(reduce.Foot/100, 20, 45, 14.14, 30, 10, 90, 30, 90, 20), []reduce.Mend{{Wall: 2, Turn: 45 * reduce.Degree}}},
		"bare corner": {angled(reduce.Foot/100, 20, 90, 16, 90, 5, 53.13, 17, 90, 20), []reduce.Mend{{Wall: 2, Turn: 36_900_000}}},
	} {
		if got := reduce.Mends(c.legs); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}

// TestBrokenWalls: one length or one turn of an outline is made wrong. Where it
// does not close any more, what was wrong is among the mends, with what it was;
// and every mend makes an outline.
func TestBrokenWalls(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		step := rapid.SampledFrom([]reduce.Length{reduce.Centimetre, reduce.Foot / 100, reduce.Inch / 16}).Draw(r, "step")
		var legs []reduce.Leg
		if rapid.Bool().Draw(r, "right angles") {
			o := anyOutline(r)
			for i, a := range o.Loops[0].Corners {
				n := len(o.Loops[0].Corners)
				b, c := o.Loops[0].Corners[(i+1)%n], o.Loops[0].Corners[(i+2)%n]
				turn := reduce.Left
				if float64(b.X-a.X)*float64(c.Y-b.Y)-float64(b.Y-a.Y)*float64(c.X-b.X) < 0 {
					turn = reduce.Right
				}
				w, _ := o.WallLength(i + 1)
				legs = append(legs, reduce.Leg{Length: w, Turn: turn})
			}
		} else {
			legs = rounded(anyAngled(r), step)
		}
		broken := slices.Clone(legs)
		k := rapid.IntRange(0, len(legs)-1).Draw(r, "wall")
		meant := reduce.Mend{Wall: k + 1}
		if rapid.Bool().Draw(r, "length") || k == len(legs)-1 {
			meant.Length = legs[k].Length
			broken[k].Length += reduce.Length(rapid.IntRange(-300, 300).Draw(r, "hundredths")) * step * 10
			if broken[k].Length <= 0 {
				return
			}
		} else {
			meant.Turn = legs[k].Turn
			broken[k].Turn = rapid.SampledFrom([]reduce.Turn{-legs[k].Turn, reduce.Left, reduce.Right, 45 * reduce.Degree, 30 * reduce.Degree, -15 * reduce.Degree}).Draw(r, "turn")
		}
		mends := reduce.Mends(broken)
		for _, m := range mends {
			if _, err := reduce.Trace(m.Apply(broken)); err != nil {
				r.Fatalf("%v mended by %v: %v", broken, m, err)
			}
		}
		gap, allowed := reduce.Closing(broken)
		if gap <= allowed {
			return // it closes, or nearly
		}
		// What rounding leaves open may be taken up by the length too.
		near := func(m reduce.Mend) bool {
			return m.Wall == meant.Wall && (m.Length > 0) == (meant.Length > 0) && m.Turn == meant.Turn && (m.Length-meant.Length).Abs() <= allowed
		}
		if !slices.ContainsFunc(mends, near) {
			r.Fatalf("%v: %v, want %v among them (of %v)", broken, mends, meant, legs)
		}
	})
}

// TestInnerAngles: turns that were given as the angles between the walls.
func TestInnerAngles(t *testing.T) {
	inner := angled(reduce.Foot/100, 20, 135, 14.14, 135, 10, 90, 30, 90, 20)
	got, ok := reduce.InnerAngles(inner)
	if want := angled(reduce.Foot/100, 20, 45, 14.14, 45, 10, 90, 30, 90, 20); !ok || !slices.Equal(got, want) {
		t.Errorf("%v (%t), want %v", got, ok, want)
	}
	for _, legs := range [][]reduce.Leg{feet(40, 28, 39, 28), got, angled(0, 10, 45, 10, 45, 10, 45, 10)} {
		if other, ok := reduce.InnerAngles(legs); ok {
			t.Errorf("%v: taken as %v", legs, other)
		}
	}
}
