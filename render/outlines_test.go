package render

import (
	"fmt"
	"testing"

	"rodcall/reduce"
)

// shape50 is one outline to be drawn.
type shape50 struct {
	name string
	o    reduce.Outline
}

// outlines are the plain rectangle, 53 others with right angles and some with
// others, of up to 60 stations.
func outlines(t testing.TB) []shape50 {
	var all []shape50
	add := func(name string, o reduce.Outline) {
		all = append(all, shape50{name, o})
	}
	ft := func(name string, loops ...[]float64) { add(name, outline(t, reduce.Foot, loops...)) }
	m := func(name string, loops ...[]float64) { add(name, outline(t, reduce.Metre, loops...)) }
	piers := func(name string, o reduce.Outline, at ...[2]float64) {
		var ps []reduce.Point
		for _, a := range at {
			ps = append(ps, reduce.Point{X: reduce.Length(a[0] * float64(reduce.Foot)), Y: reduce.Length(a[1] * float64(reduce.Foot))})
		}
		o, err := o.WithPiers(ps)
		if err != nil {
			t.Fatal(err)
		}
		add(name, o)
	}
	ft("plain 40x28", []float64{0, 0, 40, 28, 40, 28})

	for _, r := range [][2]float64{{24, 24}, {60, 12}, {12, 60}, {110, 4}, {4, 110}, {80, 3}, {3, 80}, {56, 56}, {20, 10}, {100, 16}, {16, 100}, {110, 1}} {
		ft(fmt.Sprintf("rectangle %gx%g", r[0], r[1]), []float64{0, 0, r[0], r[1], r[0], r[1]})
	}
	for _, r := range [][2]float64{{12, 8}, {14, 14}, {25, 4}, {4, 25}, {28, 1}} {
		m(fmt.Sprintf("metric %gx%g", r[0], r[1]), []float64{0, 0, r[0], r[1], r[0], r[1]})
	}
	ft("tiny 2x2", []float64{0, 0, 2, 2, 2, 2})
	ft("tiny 1x6", []float64{0, 0, 1, 6, 1, 6})
	ft("sliver 6x0.5", []float64{0, 0, 6, 0.5, 6, 0.5})

	ft("L", []float64{0, 0, 40, 14, -20, 14, 20, 28})
	ft("L right", []float64{0, 0, -40, -28, -20, 14, -20, -14})
	ft("L thin", []float64{0, 0, 50, 4, -46, 46, 4, 50})
	ft("L squat", []float64{0, 0, 70, 6, -60, 20, 10, 26})
	m("L metric", []float64{0, 0, 11, 5, -6, 4, 5, 9})

	ft("U", []float64{0, 0, 40, 28, 12, -16, -16, 16, 12, 28})
	ft("U deep", []float64{0, 0, 24, 40, 8, -32, -8, 32, 8, 40})
	ft("U narrow gap", []float64{0, 0, 30, 30, 13, -20, -4, 20, 13, 30})
	ft("U on its side", []float64{0, 0, 40, 10, -30, -10, 30, 10, 40, 30})
	m("U metric", []float64{0, 0, 10, 6, 3, -4, -4, 4, 3, 6})

	ft("T", []float64{0, 0, 12, -20, 16, 12, 44, 12, -16, 20})
	ft("T wide", []float64{0, 0, 8, -12, 30, 8, 68, 8, -30, 12})
	ft("Z", []float64{0, 0, 28, -16, 16, 16, 28, -16, 16, 16})
	ft("Z thin", []float64{0, 0, 30, -20, 30, 4, 34, -20, 26, 4})
	ft("plus", []float64{0, 0, 12, -12, 12, 12, -12, 12, 12, -12, 12, 12, -12, 12})
	ft("stairs", []float64{0, 0, 40, 8, -10, 8, -10, 8, -10, 8, 10, 32})
	ft("notch", []float64{0, 0, 40, 28, 18, -4, -4, 4, 18, 28})
	ft("bay", []float64{0, 0, -14, 3, 12, -3, 14, 28, 40, 28})
	ft("H", []float64{0, 0, 10, -12, -10, 12, 10, 30, 10, -12, -10, 12, 10, 30})

	ft("comb up", comb(5, 4, 4, 10)...)
	ft("comb fine", comb(6, 2, 2, 6)...)
	ft("comb long", comb(3, 6, 6, 20)...)
	ft("comb 13 teeth", comb(13, 1, 1, 3)...)

	ft("garage beside", []float64{0, 0, 40, 28, 40, 28}, []float64{40, 0, 20, 22, 20, 22})
	ft("garage apart", []float64{0, 0, 36, 24, 36, 24}, []float64{44, 2, 18, 20, 18, 20})
	ft("garage behind", []float64{0, 0, 30, 20, 30, 20}, []float64{4, 20, 20, 20, 20, 20})
	ft("loop inside", []float64{0, 0, 44, 32, 44, 32}, []float64{16, 12, 10, 8, 10, 8})
	ft("three loops", []float64{0, 0, 24, 16, 24, 16}, []float64{30, 0, 16, 16, 16, 16}, []float64{0, 22, 20, 12, 20, 12})
	m("metric garage", []float64{0, 0, 10, 7, 10, 7}, []float64{10, 0, 6, 6, 6, 6})

	piers("piers in a row", rectangle(t, 40, 28), [2]float64{10, 14}, [2]float64{20, 14}, [2]float64{30, 14})
	piers("piers in a grid", rectangle(t, 36, 28), grid(6, 4, 6, 5.6)...)
	piers("piers crowded", rectangle(t, 28, 20), grid(9, 3, 1.2, 1.2)...)
	piers("piers outside", rectangle(t, 24, 16), [2]float64{-6, 8}, [2]float64{30, 8}, [2]float64{12, 22}, [2]float64{12, -6})
	return append(all, slanted(t)...)
}

// slanted are outlines with other turns than right angles.
func slanted(t testing.TB) []shape50 {
	var all []shape50
	ft := func(name string, loops ...[]float64) {
		all = append(all, shape50{name, angledOutline(t, reduce.Foot, loops...)})
	}
	ft("bay window", []float64{0, 0, 12, -45, 5.66, 45, 8, 45, 5.66, -45, 12, 90, 28, 90, 40, 90, 28})
	ft("bay window on top", []float64{0, 0, 40, 90, 28, 90, 12, -45, 5.66, 45, 8, 45, 5.66, -45, 12, 90, 28})
	ft("cut corner", []float64{0, 0, 20, 45, 14.14, 45, 10, 90, 30, 90, 20})
	ft("wing at 30°", []float64{0, 0, 30, -30, 24, 90, 16, 90, 14.76, -60, 14.76, 90, 46, 90, 24})
	ft("hexagon", []float64{0, 0, 16, 60, 16, 60, 16, 60, 16, 60, 16, 60, 16})
	ft("octagon", []float64{0, 0, 12, 45, 12, 45, 12, 45, 12, 45, 12, 45, 12, 45, 12, 45, 12})
	ft("triangle", []float64{0, 0, 30, 120, 30, 120, 30})
	ft("lozenge", []float64{0, 0, 30, 60, 20, 120, 30, 60, 20})
	ft("two loops, one slanted", []float64{0, 0, 40, 90, 28, 90, 40, 90, 28}, []float64{46, 0, 12, 60, 12, 60, 12, 60, 12, 60, 12, 60, 12})
	all = append(all, shape50{"metric bay", angledOutline(t, reduce.Metre, []float64{0, 0, 3, -30, 2, 60, 2, -30, 3.46, 90, 7, 90, 9.92, 90, 7})})
	return all
}

// angledOutline makes an outline of loops given as a place, and walls and turns
// in degrees by turns; a turn to the right is negative.
func angledOutline(t testing.TB, unit reduce.Length, loops ...[]float64) reduce.Outline {
	t.Helper()
	u := reduce.UnitInch
	if unit == reduce.Metre {
		u = reduce.UnitMillimetre
	}
	o := reduce.Outline{Grid: reduce.GridFor(u)}
	for i, l := range loops {
		var legs []reduce.Leg
		for k := 2; k < len(l); k += 2 {
			leg := reduce.Leg{Length: (reduce.Length(l[k] * float64(unit))).RoundTo(unit / 100), Step: unit / 100}
			if k+1 < len(l) {
				leg.Turn = reduce.Turn(l[k+1] * float64(reduce.Degree))
			}
			legs = append(legs, leg)
		}
		var err error
		if o, err = o.WithLoop(fmt.Sprintf("loop %d", i+1), reduce.Point{X: reduce.Length(l[0] * float64(unit)), Y: reduce.Length(l[1] * float64(unit))}, legs); err != nil {
			t.Fatalf("loop %v: %v %v", l, err, reduce.Mends(legs))
		}
	}
	return o
}

// comb is teeth standing up from a bar, all of whole widths.
func comb(teeth int, wide, apart, high float64) [][]float64 {
	w := float64(teeth)*wide + float64(teeth-1)*apart
	l := []float64{0, 0, w, high + wide}
	for i := range teeth {
		if i == teeth-1 {
			l = append(l, wide, high+wide)
			break
		}
		l = append(l, wide, -high, -apart, high)
	}
	return [][]float64{l}
}

func grid(nx, ny int, dx, dy float64) (at [][2]float64) {
	for y := range ny {
		for x := range nx {
			at = append(at, [2]float64{dx * (float64(x) + 0.5), dy * (float64(y) + 0.5)})
		}
	}
	return at
}
