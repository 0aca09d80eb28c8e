package reduce

import "math"

// Quantiles of the normal distribution: within twoSided standard
// uncertainties either way lie 95 in 100, below oneSided 95 in 100.
const (
	twoSided = 1.959963984540054
	oneSided = 1.6448536269514722
)

// Uncertainty is a standard uncertainty (one standard deviation).
type Uncertainty Length

// Band is the half width of the interval that holds the true value 95 times
// in 100: 1.96 standard uncertainties.
func (u Uncertainty) Band() Length { return Length(math.Round(twoSided * float64(u))) }

// Guard is the guard band, 1.645 standard uncertainties: a true value at a
// limit is measured beyond the limit by more than that 5 times in 100.
func (u Uncertainty) Guard() Length { return Length(math.Ceil(oneSided * float64(u))) }

// Decide gives the verdict on a measured deviation (+ is high) by a guard band
// on both sides of the tolerance, after ISO 14253-1 and JCGM 106:2012, 8.3
// (both from memory), each with 95 in 100 one-sided:
//
//   - on where |deviation| + guard ≤ tolerance: a station exactly at the
//     tolerance is called on at most 5 times in 100;
//   - lower or raise where |deviation| − guard > tolerance: a station exactly
//     at the tolerance is sent to be moved at most 5 times in 100;
//   - else unsure.
//
// The figures are those of normal errors. Where readings are nearly as coarse
// as the tolerance (0.01 ft against 1/8 in) about 6 in 100 were measured.
func Decide(deviation, tolerance Length, u Uncertainty) Verdict {
	g := u.Guard()
	switch {
	case deviation.Abs()+g <= tolerance:
		return On
	case deviation.Abs()-g <= tolerance:
		return Unsure
	case deviation > 0:
		return Lower
	}
	return Raise
}
