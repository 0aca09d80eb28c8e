package reduce_test

import (
	"testing"

	"rodcall/reduce"
)

// BenchmarkAdjust reduces one walk of 34 stations with one rod, and the same
// walked twice with two.
func BenchmarkAdjust(b *testing.B) {
	o := withLoop(b, grid(), "", reduce.Point{}, reduce.Rectangle(40*reduce.Foot, 28*reduce.Foot))
	rods := []reduce.Rod{{ID: 1, Kind: reduce.Direct}, {ID: 2, Kind: reduce.Standard}}
	var one, two []reduce.Observation
	for i, s := range o.Stations() {
		v := reduce.Length(i%7) * reduce.Inch / 16
		one = append(one, reduce.Observation{Rod: 1, Station: s, Value: v})
		two = append(two, reduce.Observation{Rod: 2, Station: s, Value: reduce.Metre - v + reduce.Length(i%3)*reduce.Millimetre})
	}
	for name, obs := range map[string][]reduce.Observation{"one": one, "two": append(one, two...)} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				reduce.Adjust(rods, obs, reduce.Corner(1))
			}
		})
	}
}
