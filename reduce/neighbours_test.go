package reduce_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"rodcall/reduce"
)

// wallScatter is what a made foundation's tops do, in inches: neighbouring
// stations 4 ft apart wander by a share of it, long waves and a bow add to it.
// Settled before the limits were.
var wallScatters = []float64{1.0 / 32, 1.0 / 16, 1.0 / 8, 1.0 / 4}

// madeWalk is a walk of 12 to 60 stations on a foundation of a scatter: a
// wandering top, two long waves, a step of 1/4 in at a joint on one site in
// four, reading noise of 1/32 in, rounded to 1/16.
func madeWalk(r *rand.Rand, scatter float64) []reduce.Neighbour {
	n := 12 + r.IntN(49)
	joint := -1
	if r.IntN(4) == 0 {
		joint = r.IntN(n)
	}
	wave, length, phase := scatter*2*r.Float64(), 20+60*r.Float64(), 7*r.Float64()
	out := make([]reduce.Neighbour, n)
	wander := 0.0
	for i := range out {
		wander = 0.7*wander + scatter*r.NormFloat64()
		h := wander + wave*math.Sin(float64(4*i)/length*2*math.Pi+phase) + r.NormFloat64()/32
		if joint >= 0 && i >= joint {
			h += 1.0 / 4
		}
		out[i] = reduce.Neighbour{
			Station: reduce.Corner(i + 1), Along: reduce.Length(4*i) * reduce.Foot,
			Height: inches(h),
		}
	}
	return out
}

// inches rounds to 1/16 in, as read.
func inches(h float64) reduce.Length {
	return reduce.Length(math.Round(h*16)) * (reduce.Inch / 16)
}

const walkNoise = reduce.Inch / 32

// TestUnlikelyFalseAlarms reads made foundations that hold no blunder, station
// by station and then whole: at most 2 % of the readings judged are asked back,
// in each scatter and in each way of judging.
func TestUnlikelyFalseAlarms(t *testing.T) {
	for _, scatter := range wallScatters {
		r := rand.New(rand.NewPCG(21, 4))
		var judged, asked [2]int
		walks, quiet := 400, 0
		for range walks {
			walk := madeWalk(r, scatter)
			any := false
			for i := range walk {
				for mode, w := range [][]reduce.Neighbour{walk[:i+1], walk} {
					if mode == 1 && i == len(walk)-1 {
						continue
					}
					d, ok := reduce.Unlikely(w, i, walkNoise, nil)
					if d.Limit > 0 {
						judged[mode]++
					}
					if ok {
						asked[mode]++
						any = any || mode == 0
					}
				}
			}
			if !any {
				quiet++
			}
		}
		last, between := 100*float64(asked[0])/float64(judged[0]), 100*float64(asked[1])/float64(judged[1])
		t.Logf("scatter %.3f in: false alarms %.2f %% of %d just read, %.2f %% of %d between two; %d of %d walks without any",
			scatter, last, judged[0], between, judged[1], quiet, walks)
		if last > 2 || between > 2 || judged[0] < 5000 || judged[1] < 5000 {
			t.Errorf("scatter %.3f: out of limits", scatter)
		}
	}
}

// TestUnlikelyDetection is the detection curve: the share of errors of a size
// that are asked back, as soon as they are read and once the walk is done.
func TestUnlikelyDetection(t *testing.T) {
	sizes := []float64{1.0 / 8, 1.0 / 4, 3.0 / 8, 1.0 / 2, 3.0 / 4, 1, 2, 12}
	const cases = 600
	for _, scatter := range wallScatters {
		for mode, name := range []string{"just read", "between two"} {
			r := rand.New(rand.NewPCG(22, uint64(mode)))
			var row []float64
			for _, size := range sizes {
				found := 0
				for range cases {
					walk := madeWalk(r, scatter)
					i := 8 + r.IntN(len(walk)-10)
					by := inches(size)
					if r.IntN(2) == 0 {
						by = -by
					}
					walk[i].Height += by
					if mode == 0 {
						walk = walk[:i+1]
					}
					if _, ok := reduce.Unlikely(walk, i, walkNoise, nil); ok {
						found++
					}
				}
				row = append(row, 100*float64(found)/cases)
			}
			t.Logf("scatter %.3f in, %-11s: size %.3f in, found %% %.0f", scatter, name, sizes, row)
			// A whole foot is always seen, and an inch on a true foundation.
			if row[7] < 99 || scatter <= 1.0/16 && row[5] < 95 {
				t.Errorf("scatter %.3f, %s: misses plain blunders", scatter, name)
			}
		}
	}
}

// TestUnlikelyAsksOnce: what the crew confirmed is not asked again, a station
// after a confirmed step is likely, and too few readings say nothing.
func TestUnlikelyAsksOnce(t *testing.T) {
	var walk []reduce.Neighbour
	for i := range 14 {
		h := reduce.Length(i*i%3) * reduce.Inch / 16
		if i >= 10 {
			h += 3 * reduce.Inch
		}
		walk = append(walk, reduce.Neighbour{Station: reduce.Corner(i + 1), Along: reduce.Length(4*i) * reduce.Foot, Height: h})
	}
	for i := range walk {
		d, ok := reduce.Unlikely(walk[:i+1], i, walkNoise, nil)
		if ok != (i == 10) {
			t.Errorf("station %d: unlikely %v, %+v", i, ok, d)
		}
		if i < 8 && d != (reduce.Doubt{}) {
			t.Errorf("station %d: judged by too few: %+v", i, d)
		}
	}
	if _, ok := reduce.Unlikely(walk[:11], 10, walkNoise, map[reduce.Station]bool{reduce.Corner(11): true}); ok {
		t.Error("asked again")
	}
	d := reduce.Doubt{Off: reduce.Inch}
	up, down := d.Reading(reduce.Rod{Kind: reduce.Direct}, 0), d.Reading(reduce.Rod{Kind: reduce.Standard}, 5*reduce.Foot)
	if up != -reduce.Inch || down != 61*reduce.Inch {
		t.Errorf("an inch too high: expected readings %v and %v", up, down)
	}
}
