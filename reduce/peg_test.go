package reduce_test

import (
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

// TestPublishedTwoPeg checks the published two-peg tests.
func TestPublishedTwoPeg(t *testing.T) {
	for i, row := range checks(t, "two-peg.tsv", 2, 12) {
		m := func(k int) reduce.Length {
			if row[k] == "-" {
				return 0
			}
			return length(t, row[k], reduce.Metre)
		}
		got := reduce.TwoPeg(reduce.PegSetUp{A: m(0), B: m(1), DistanceA: m(2), DistanceB: m(3)},
			reduce.PegSetUp{A: m(4), B: m(5), DistanceA: m(6), DistanceB: m(7)})
		if got.Error != m(9) {
			t.Errorf("%d: error %v, want %v", i+1, got.Error, m(9))
		}
		if got.Known != (row[10] != "-") {
			t.Errorf("%d: collimation known: %v", i+1, got.Known)
		}
		if row[10] == "-" {
			continue
		}
		if a, b := got.Correct(m(4), m(6)), got.Correct(m(5), m(7)); a != m(10) || b != m(11) {
			t.Errorf("%d: corrected %v and %v, want %v and %v", i+1, a, b, m(10), m(11))
		}
	}
}

// TestPublishedCollimation checks a published correction of one reading.
func TestPublishedCollimation(t *testing.T) {
	for _, row := range checks(t, "collimation.tsv", 1, 5) {
		c, err := strconv.ParseFloat(row[0], 64)
		if err != nil {
			t.Fatal(err)
		}
		test := reduce.PegTest{Collimation: reduce.Gradient(c), Known: true}
		d, thousandth := length(t, row[1], reduce.Foot), reduce.Foot/1000
		if got := test.Collimation.At(d).RoundTo(thousandth); got != length(t, row[2], reduce.Foot) {
			t.Errorf("over %s ft: %v", row[1], got)
		}
		if got := test.Correct(length(t, row[3], reduce.Foot), d).RoundTo(thousandth); got != length(t, row[4], reduce.Foot) {
			t.Errorf("corrected %v, want %s ft", got, row[4])
		}
	}
}

// TestCurvatureIsSmall checks the table, and that at the distances of a
// foundation nothing need be done about it.
func TestCurvatureIsSmall(t *testing.T) {
	for _, row := range checks(t, "curvature.tsv", 5, 2) {
		got, want := reduce.Curvature(length(t, row[0], reduce.Foot)), length(t, row[1], reduce.Inch)
		// The two textbook constants agree to a quarter of a per cent.
		if (got - want).Abs() > want/200+reduce.Inch/200000 {
			t.Errorf("%s ft: %v, want %v", row[0], got, want)
		}
	}
	if got := reduce.Curvature(300 * reduce.Foot); got >= 3*reduce.Inch/100 {
		t.Errorf("at 300 ft: %v", got)
	}
}

// TestTwoPegOfMadeLasers: a cone is found whatever the pegs' heights; the tilt
// of the plane along the line does not show, as long as the laser faces the
// same way; and a laser in order reads e on the far peg from near A.
func TestTwoPegOfMadeLasers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		amount := rapid.IntRange(-2000, 2000)
		drop := reduce.Length(amount.Draw(t, "drop")) * reduce.Millimetre
		cone, tilt := float64(amount.Draw(t, "cone"))*1e-7, float64(amount.Draw(t, "tilt"))*1e-7
		apart := reduce.Length(rapid.IntRange(20, 120).Draw(t, "apart")) * reduce.Metre
		near := reduce.Length(rapid.IntRange(1, 9).Draw(t, "near")) * reduce.Metre
		shoot := func(laser, height reduce.Length) reduce.PegSetUp {
			read := func(at, peg reduce.Length) (reading, distance reduce.Length) {
				distance = (at - laser).Abs()
				return height - peg + reduce.Length(math.Round(cone*float64(distance)+tilt*float64(at-laser))), distance
			}
			var s reduce.PegSetUp
			s.A, s.DistanceA = read(0, 0)
			s.B, s.DistanceB = read(apart, drop)
			return s
		}
		midway, end := shoot(apart/2, 1500*reduce.Millimetre), shoot(near, 1700*reduce.Millimetre)
		got := reduce.TwoPeg(midway, end)
		if !got.Known || math.Abs(float64(got.Collimation)-cone) > 1e-9 {
			t.Fatalf("collimation %v, want %v", got.Collimation, cone)
		}
		e := reduce.CorrectFar(midway.A, midway.B, end.A)
		if d := end.B - e + got.Error; d != 0 {
			t.Fatalf("far reading %v, e %v, error %v", end.B, e, got.Error)
		}
	})
}
