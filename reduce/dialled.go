package reduce

import "math"

// Limits of the question whether a grade is dialled in. A foundation is never
// noise alone (its waves and settlement make neighbours alike), so that a test
// that takes readings as independent cries wolf; the slope must also explain
// most of what the readings vary by.
const (
	dialledChance  = 0.001 // that level stations with independent scatter slope as much
	dialledShare   = 0.85  // of the sum of squares about a level that the slope takes away
	dialledLeast   = 6     // stations
	dialledScatter = 6.0   // standard deviations of the readings that the fall must exceed
)

// NamedPoint is a corner that a direction can be named by.
type NamedPoint struct {
	Station Station
	At      Point
}

// Dialled is a slope that all readings fit much better than a level.
type Dialled struct {
	Plane
	// Fall over Run: by how much the fitted plane falls, along its steepest
	// line, over the length of the stations in that direction.
	Fall, Run Length
	// Towards is the corner on the low side, Corner the zero Station without
	// corners.
	Towards Station
	// F is the ratio of the variance that the slope explains to the one left,
	// with 2 and Freedom degrees of freedom; Chance is how likely level
	// stations of independent scatter give as much; Share is the part of the
	// sum of squares about a level that the slope takes away.
	F, Chance, Share float64
}

// GradeDialled asks, unbidden, whether the laser's grade is dialled in: the
// deviations from design of the stations of one set-up (+ is high) fit a slope
// much better than a level. noise is the standard deviation of one reading.
// The slab may slope as much by itself: turning the laser half round tells
// (HalfTurned). ok is false where nothing need be asked.
//
// For 2 and ν degrees of freedom the upper tail of F is (1 + 2F/ν)^(−ν/2),
// which here is the ratio of the two sums of squares to the power ν/2.
func GradeDialled(stations []Tie, corners []NamedPoint, noise Length) (d Dialled, ok bool) {
	if len(stations) < dialledLeast || noise <= 0 {
		return Dialled{}, false
	}
	if d.Plane, ok = PlaneThrough(stations); !ok || d.level == 0 {
		return Dialled{}, false
	}
	nu := float64(d.Freedom)
	// Rounded readings can fit a plane exactly; they know it no better than
	// to their noise.
	left := max(d.sum, 0.01*nu*float64(noise)*float64(noise))
	d.Share = 1 - d.sum/d.level
	d.F = max(0, d.level-left) / 2 / (left / nu)
	d.Chance = math.Pow(1+2*d.F/nu, -nu/2)

	g := float64(d.Steepest())
	if g == 0 {
		return Dialled{}, false
	}
	ux, uy := -float64(d.X)/g, -float64(d.Y)/g // downhill
	along := func(p Point) float64 { return float64(p.X)*ux + float64(p.Y)*uy }
	low, high := math.Inf(1), math.Inf(-1)
	for _, s := range stations {
		low, high = min(low, along(s.At)), max(high, along(s.At))
	}
	d.Run = Length(math.Round(high - low))
	d.Fall = Gradient(g).At(d.Run)
	best := math.Inf(-1)
	for _, c := range corners {
		if a := along(c.At); a > best {
			best, d.Towards = a, c.Station
		}
	}
	return d, d.Chance < dialledChance && d.Share >= dialledShare && float64(d.Fall) > dialledScatter*float64(noise)
}
