package reduce

import (
	"errors"
	"math"
)

// Grade is a slope as crews say it: so much in so far.
type Grade struct{ Rise, Run Length }

// slope is the grade as a plain number, 0 where nothing was said.
func (g Grade) slope() float64 {
	if g.Run == 0 {
		return 0
	}
	return float64(g.Rise) / float64(g.Run)
}

// Budget is what a reading may be off by. All but Resolution are limits that
// hold 95 times in 100, either way (±1.96 standard uncertainties of a normal
// error), as makers and crews state them.
type Budget struct {
	// Tilt of the beam along each of two axes. It is one error for all
	// readings of a set-up, so it grows with the distance from the station that
	// heights are taken from and does not average out within the set-up.
	Tilt Grade
	// Cone is how far the beam rises or dips with the distance from the laser;
	// one error for all set-ups, for it belongs to the instrument. It needs the
	// laser's place.
	Cone Grade
	// Receiver is how well it finds the middle of the beam.
	Receiver Length
	// RodLean in degrees out of plumb; a standard rod's reading R is then too
	// long by up to R·(1 − cos RodLean). Direct rods have none.
	RodLean float64
	// Resolution is the whole step between two readings that can be told
	// apart; the error is even within half a step either way, its standard
	// uncertainty step/√12 (JCGM 100:2008, F.2.2.1; from memory).
	Resolution Length
}

// DefaultBudget is the budget of a crew with a rotating laser, who read in the
// unit to finest. Its figures are common practice, without a source: beam
// 1/16 in at 100 ft (10.743″ of arc) along each axis, cone half of that,
// receiver 1/32 in (its fine setting), rod within 1° of plumb (0.0091 in at a
// reading of 5 ft). In inches a reading is told to half the finest amount, for
// crews say "heavy" and "shy"; in feet and millimetres to the finest.
func DefaultBudget(u Unit, finest Length) Budget {
	if u == UnitInch {
		finest /= 2
	}
	return Budget{
		Tilt: Grade{Inch / 16, 100 * Foot}, Cone: Grade{Inch / 32, 100 * Foot},
		Receiver: Inch / 32, RodLean: 1, Resolution: finest,
	}
}

// ErrBudget refuses a budget with a negative part, or one in which a reading
// has no error at all.
var ErrBudget = errors.New("no usable error budget")

// check finds what makes a budget useless.
func (b Budget) check() error {
	bad := b.Tilt.Rise < 0 || b.Tilt.Run < 0 || b.Cone.Rise < 0 || b.Cone.Run < 0 ||
		b.Receiver < 0 || b.Resolution < 0 || !(b.RodLean >= 0 && b.RodLean < 90) ||
		b.Receiver == 0 && b.Resolution == 0
	if bad {
		return ErrBudget
	}
	return nil
}

// tilt and cone are standard uncertainties, in nanometres per metre.
func (b Budget) tilt() float64 { return b.Tilt.slope() * float64(Metre) / twoSided }
func (b Budget) cone() float64 { return b.Cone.slope() * float64(Metre) / twoSided }

// Noise is the variance, in square nanometres, of the errors that each reading
// has for itself: receiver, resolution and, on a standard rod, lean.
func (b Budget) noise(kind RodKind, reading Length) float64 {
	r := float64(b.Receiver) / twoSided
	s := float64(b.Resolution)
	v := r*r + s*s/12
	if kind == Standard {
		l := float64(reading) * (1 - math.Cos(b.RodLean*math.Pi/180)) / twoSided
		v += l * l
	}
	return v
}

// Noise is the standard uncertainty of one reading by itself.
func (b Budget) Noise(kind RodKind, reading Length) Uncertainty {
	return Uncertainty(math.Round(math.Sqrt(b.noise(kind, reading))))
}
