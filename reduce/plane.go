package reduce

import "math"

// Gradient is a rise per length, without a unit; + is up.
type Gradient float64

// At is the rise over a distance, to the nearest nanometre.
func (s Gradient) At(distance Length) Length {
	return Length(math.Round(float64(s) * float64(distance)))
}

// Tie is a spot's place in plan and an amount there: a difference of two
// readings, or a height.
type Tie struct {
	At     Point
	Amount Length
}

// Plane is the plane amount = Middle + X·(x − Centre.X) + Y·(y − Centre.Y)
// through ties, by least squares.
type Plane struct {
	Centre Point  // the mean of the ties
	Middle Length // the amount there
	X, Y   Gradient
	// Freedom is the number of ties beyond three, and Scatter the root mean
	// square of what the ties are off the plane over them; 0 without any.
	Freedom int
	Scatter Length
	// XX, XY and YY are the variances and the covariance of the slopes for ties
	// of unit variance, in 1/nm².
	XX, XY, YY float64
	sum        float64 // of squares off the plane, nm²
	level      float64 // of squares off the mean, nm²
}

// PlaneThrough fits a plane. ok is false for under three ties, or where they
// lie in a line or nearly so: narrower than a twentieth of their length.
func PlaneThrough(ties []Tie) (p Plane, ok bool) {
	n := float64(len(ties))
	if n < 3 {
		return Plane{}, false
	}
	var cx, cy, m float64
	for _, t := range ties {
		cx, cy, m = cx+float64(t.At.X)/n, cy+float64(t.At.Y)/n, m+float64(t.Amount)/n
	}
	var xx, xy, yy, xa, ya float64
	for _, t := range ties {
		x, y, a := float64(t.At.X)-cx, float64(t.At.Y)-cy, float64(t.Amount)-m
		xx, xy, yy, xa, ya = xx+x*x, xy+x*y, yy+y*y, xa+x*a, ya+y*a
		p.level += a * a
	}
	// The smaller and the larger eigenvalue are the squared half-widths.
	half, root := (xx+yy)/2, math.Hypot((xx-yy)/2, xy)
	if half-root <= (half+root)/400 {
		return Plane{}, false
	}
	det := xx*yy - xy*xy
	p.X, p.Y = Gradient((xa*yy-ya*xy)/det), Gradient((ya*xx-xa*xy)/det)
	p.XX, p.XY, p.YY = yy/det, -xy/det, xx/det
	p.Centre = Point{Length(math.Round(cx)), Length(math.Round(cy))}
	p.Middle = Length(math.Round(m))
	for _, t := range ties {
		v := float64(t.Amount) - m - float64(p.X)*(float64(t.At.X)-cx) - float64(p.Y)*(float64(t.At.Y)-cy)
		p.sum += v * v
	}
	if p.Freedom = len(ties) - 3; p.Freedom > 0 {
		p.Scatter = Length(math.Round(math.Sqrt(p.sum / float64(p.Freedom))))
	}
	return p, true
}

// At is the plane's amount at a spot.
func (p Plane) At(q Point) Length {
	return p.Middle + p.X.At(q.X-p.Centre.X) + p.Y.At(q.Y-p.Centre.Y)
}

// Steepest is the slope straight up the plane.
func (p Plane) Steepest() Gradient { return Gradient(math.Hypot(float64(p.X), float64(p.Y))) }

// Deviations are the standard deviations of the slopes along x, along y and
// straight up, for ties of a standard deviation.
func (p Plane) Deviations(tie Length) (x, y, steepest Gradient) {
	s := float64(tie)
	up := p.XX + p.YY
	if g := float64(p.Steepest()); g > 0 {
		a, b := float64(p.X)/g, float64(p.Y)/g
		up = a*a*p.XX + 2*a*b*p.XY + b*b*p.YY
	}
	return Gradient(s * math.Sqrt(p.XX)), Gradient(s * math.Sqrt(p.YY)), Gradient(s * math.Sqrt(up))
}

// Chance is how likely a level plane would show slopes as large as these by
// the noise of its ties alone, given their standard deviation. The squared
// slopes over their covariance are chi-squared with two degrees of freedom,
// whose upper tail is exp(−χ²/2).
func (p Plane) Chance(tie Length) float64 {
	det := p.XX*p.YY - p.XY*p.XY
	x, y, s := float64(p.X), float64(p.Y), float64(tie)
	chi := (x*x*p.YY - 2*x*y*p.XY + y*y*p.XX) / (det * s * s)
	return math.Exp(-chi / 2)
}

// Tilt is what the ties of a split set-up say about its bump.
type Tilt struct {
	Plane
	// Deviation is the standard deviation of the steepest slope.
	Deviation Gradient
	// Chance is how likely the slopes came of noise alone.
	Chance float64
	// Tilted: by noise alone under one in a hundred.
	Tilted bool
}

// TiltOf fits a plane to the apparent rises, from before to after a bump, of
// stations read in both; noise is the standard deviation of one reading. ok is
// false without three ties that do not lie in a line. With just three the
// noise given is all that tells a tilt from chance.
func TiltOf(ties []Tie, noise Length) (t Tilt, ok bool) {
	if t.Plane, ok = PlaneThrough(ties); !ok || noise <= 0 {
		return Tilt{}, false
	}
	each := Length(math.Round(math.Sqrt2 * float64(noise)))
	_, _, t.Deviation = t.Deviations(each)
	t.Chance = t.Plane.Chance(each)
	t.Tilted = t.Chance < 0.01
	return t, true
}
