package reduce_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"rodcall/reduce"
)

// TestExpectIsTheBestLinearGuess holds Expect against the same guess by the
// covariances of all heights, solved by gonum: ordinary kriging, with the wall
// above an unknown level (G. Matheron 1963; from memory).
func TestExpectIsTheBestLinearGuess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := func(name string, least int) []reduce.Neighbour {
			out := make([]reduce.Neighbour, rapid.IntRange(least, 4).Draw(t, name))
			at := reduce.Length(0)
			for i := range out {
				at += reduce.Length(rapid.IntRange(1, 240).Draw(t, "gap")) * reduce.Inch
				out[i] = reduce.Neighbour{Along: at, Height: reduce.Length(rapid.IntRange(-64, 64).Draw(t, "height")) * reduce.Inch / 32}
			}
			return out
		}
		before := list("before", 0)
		after := list("after", 1)
		noise := reduce.Length(rapid.IntRange(1, 3000).Draw(t, "noise")) * reduce.Micrometre
		got, ok := reduce.Expect(before, after, noise)
		if !ok {
			t.Fatal("nothing expected")
		}
		var at, heights []float64
		for _, n := range before {
			at, heights = append(at, -float64(n.Along)), append(heights, float64(n.Height))
		}
		for _, n := range after {
			at, heights = append(at, float64(n.Along)), append(heights, float64(n.Height))
		}
		unit := float64(reduce.Inch) / 32
		// In units of 1/32 in; the last row says that the weights add up to 1.
		n := len(at)
		k, r := mat.NewDense(n+1, n+1, nil), mat.NewVecDense(n+1, nil)
		stray := func(d float64) float64 { return -4 * math.Abs(d) / float64(4*reduce.Foot) / 2 }
		for i := range n {
			for j := range n {
				k.Set(i, j, stray(at[i]-at[j]))
			}
			k.Set(i, i, 1+math.Pow(float64(noise)/unit, 2))
			k.Set(i, n, 1)
			k.Set(n, i, 1)
			r.SetVec(i, stray(at[i]))
		}
		r.SetVec(n, 1)
		var w mat.VecDense
		if err := w.SolveVec(k, r); err != nil {
			t.Fatal(err)
		}
		want := 0.0
		for i := range n {
			want += w.AtVec(i) * heights[i]
		}
		if math.Abs(float64(got)-want) > float64(reduce.Micrometre) {
			t.Fatalf("%v before, %v after: %v, want %v", before, after, float64(got), want)
		}
	})
}

// TestExpectOfNothing: without neighbours nothing is expected.
func TestExpectOfNothing(t *testing.T) {
	if h, ok := reduce.Expect(nil, nil, reduce.Inch/64); ok || h != 0 {
		t.Errorf("%v, %v", h, ok)
	}
}
