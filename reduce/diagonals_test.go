package reduce_test

import (
	"slices"
	"testing"

	"rodcall/reduce"
)

// TestDiagonalsOfLoops: of a rectangle of 3 by 4 they are 5 (Euclid's Elements, I.47, with
// the smallest whole numbers), and no other loop than one of four corners has them.
func TestDiagonalsOfLoops(t *testing.T) {
	at := func(x, y, w, d reduce.Length) reduce.Point {
		return reduce.Point{X: (x + w) * reduce.Foot, Y: (y + d) * reduce.Foot}
	}
	loop := func(first int, x reduce.Length, corners ...[2]reduce.Length) reduce.Loop {
		l := reduce.Loop{First: first}
		for _, c := range corners {
			l.Corners = append(l.Corners, at(x, 0, c[0], c[1]))
		}
		return l
	}
	o := reduce.Outline{Loops: []reduce.Loop{
		loop(1, 0, [2]reduce.Length{0, 0}, [2]reduce.Length{30, 0}, [2]reduce.Length{30, 40}, [2]reduce.Length{0, 40}),
		loop(5, 50, [2]reduce.Length{0, 0}, [2]reduce.Length{9, 0}, [2]reduce.Length{9, 12}),
		loop(8, 70, [2]reduce.Length{0, 0}, [2]reduce.Length{9, 0}, [2]reduce.Length{12, 4}, [2]reduce.Length{3, 4}),
	}}
	want := []reduce.Diagonal{
		{From: reduce.Corner(1), To: reduce.Corner(3), Length: 50 * reduce.Foot},
		{From: reduce.Corner(2), To: reduce.Corner(4), Length: 50 * reduce.Foot},
		{From: reduce.Corner(8), To: reduce.Corner(10), Length: 3855448923}, // √(12² + 4²) ft, worked out with 40 digits
		{From: reduce.Corner(9), To: reduce.Corner(11), Length: 2197944058}, // √(6² + 4²) ft, the same: out of square
	}
	if got := o.Diagonals(); !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}
