package reduce_test

import (
	"testing"

	"rodcall/reduce"
)

// sixteenths of an inch.
func sixteenths(n float64) reduce.Length { return reduce.Length(n * float64(reduce.Inch) / 16) }

// wallSpots are spots of the outline's stations with deviations in sixteenths;
// those after the last given are not read.
func wallSpots(o *reduce.Outline, deviations ...float64) []reduce.PlateSpot {
	var out []reduce.PlateSpot
	for i, s := range o.Stations() {
		spot := reduce.PlateSpot{Station: s}
		if i < len(deviations) {
			spot.Deviation, spot.Read = sixteenths(deviations[i]), true
		}
		out = append(out, spot)
	}
	return out
}

// TestPlateByHand plans the first wall of a 24 x 20 ft foundation, stations
// every 4 ft, tolerance 1/8 in, at most 1/16 in of hollow under 8 ft. A parabola
// that sags 1/16 in the middle of 8 ft sags four times as much, 1/4, in the
// middle of 16 ft, and 3/64 in 2 ft from an end of 8 ft: (4 h p q / c²).
func TestPlateByHand(t *testing.T) {
	o := withLoop(t, grid(), "", reduce.Point{}, reduce.Rectangle(24*reduce.Foot, 20*reduce.Foot))
	opt := reduce.PlateDefaults(reduce.UnitInch)
	for _, c := range []struct {
		name     string
		grind    float64
		concrete [7]float64 // sixteenths: c1, c1+4 … c1+20, c2
		target   [7]float64
	}{
		{"all left alone", 0, [7]float64{0, 0, -1, 0, 0, -1, -1}, [7]float64{0, 0, -1, 0, 0, -1, -1}},
		{"low ones to the level", 0, [7]float64{-3, -3, -16, -3, -3, -3, -3}, [7]float64{}},
		{"a hollow between two raised", 0, [7]float64{-3, -3, -2, -3, -3, -3, -3}, [7]float64{0, 0, -1, 0, 0, 0, 0}},
		// c1+4 to c1+20 is 16 ft: the middle may hang 1/4, 4 ft from an end 3/16.
		{"a long hollow is left alone", 0, [7]float64{-3, 0, -2, -2, -2, 0, 0}, [7]float64{0, 0, -2, -2, -2, 0, 0}},
		// 12 ft from c1+4 to c1+16: 4 h p q / c² = 4/16 · 4·8/64 = 1/8.
		{"just shallow enough", 0, [7]float64{-3, 0, -2, -2, 0, 0, 0}, [7]float64{0, 0, -2, -2, 0, 0, 0}},
		{"ends are exact", 0, [7]float64{-2, -3, -3, -3, -3, -3, -2}, [7]float64{-2, 0, 0, 0, 0, 0, -2}},
		// It counts as 1/8 high for those beside it: 4 ft on, half of that less a sag of 1/16.
		{"too high and not to be ground", 0, [7]float64{-3, -3, 4, -3, -3, -3, -3}, [7]float64{0, 0, 4, 0, 0, 0, 0}},
		{"ground to the level", 8, [7]float64{-3, -3, 4, -3, -3, -3, -3}, [7]float64{}},
		{"ground in part", 1, [7]float64{-3, -3, 4, -3, -3, -3, -3}, [7]float64{0, 0, 3, 0, 0, 0, 0}},
	} {
		opt.Grind = sixteenths(c.grind)
		plan := reduce.PlanPlate(&o, wallSpots(&o, c.concrete[:]...), nil, opt)
		for i, want := range c.target {
			if got := plan.Spots[i]; got.Target != sixteenths(want) {
				t.Errorf("%s: %s at %v mm, want %v", c.name, got.Station.Name(reduce.Foot), got.Target, sixteenths(want))
			}
		}
	}
}
