package report

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

// TestRuledHeights: whatever was read, three to five heights, evenly spaced,
// hold 0 and all that was read, and none is finer than what the job shows.
func TestRuledHeights(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom([]reduce.Unit{reduce.UnitInch, reduce.UnitFoot, reduce.UnitMillimetre}).Draw(t, "unit")
		finest := u.Finest()
		if u == reduce.UnitInch {
			finest = reduce.Inch >> rapid.IntRange(0, 6).Draw(t, "halvings")
		}
		bound := rapid.SampledFrom([]reduce.Length{reduce.Millimetre, reduce.Foot, 25 * reduce.Foot}).Draw(t, "bound")
		low := -reduce.Length(rapid.Int64Range(0, int64(bound)).Draw(t, "low"))
		high := reduce.Length(rapid.Int64Range(0, int64(bound)).Draw(t, "high"))
		got := ruled(u, finest, low, high)
		if len(got) < 3 || len(got) > 5 {
			t.Fatalf("%d heights: %v", len(got), got)
		}
		if got[0] < high || got[len(got)-1] > low || !slices.Contains(got, 0) {
			t.Fatalf("%v does not hold %s, 0 and %s", got, low, high)
		}
		step := got[0] - got[1]
		if step < finest || step%finest != 0 {
			t.Fatalf("%v: a step of %s where the finest amount is %s", got, step, finest)
		}
		for i := range got[1:] {
			if got[i]-got[i+1] != step {
				t.Fatalf("%v is not evenly spaced", got)
			}
		}
	})
}

// TestRuledHeightsAreRound, in each unit.
func TestRuledHeightsAreRound(t *testing.T) {
	const in, ft, mm = reduce.Inch, reduce.Foot, reduce.Millimetre
	for _, c := range []struct {
		u         reduce.Unit
		low, high reduce.Length
		want      []reduce.Length
	}{
		{reduce.UnitInch, 0, 0, []reduce.Length{in / 16, 0, -in / 16}},
		{reduce.UnitInch, -in / 32, 0, []reduce.Length{in / 16, 0, -in / 16}},
		{reduce.UnitInch, -3 * in / 8, in / 8, []reduce.Length{in / 8, 0, -in / 8, -in / 4, -3 * in / 8}},
		{reduce.UnitInch, -in, 3 * in / 4, []reduce.Length{in, in / 2, 0, -in / 2, -in}},
		{reduce.UnitInch, -9 * in, in, []reduce.Length{3 * in, 0, -3 * in, -6 * in, -9 * in}},
		{reduce.UnitInch, -12 * in, in, []reduce.Length{6 * in, 0, -6 * in, -12 * in}},
		{reduce.UnitFoot, -ft / 50, ft / 20, []reduce.Length{3 * ft / 50, ft / 25, ft / 50, 0, -ft / 50}},
		{reduce.UnitMillimetre, -12 * mm, 7 * mm, []reduce.Length{10 * mm, 0, -10 * mm, -20 * mm}},
	} {
		if got := ruled(c.u, c.u.Finest(), c.low, c.high); !slices.Equal(got, c.want) {
			t.Errorf("%s, %s to %s: %v, want %v", c.u, c.low, c.high, got, c.want)
		}
	}
}
