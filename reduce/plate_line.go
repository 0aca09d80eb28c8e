package reduce

import (
	"math/big"
	"math/bits"
)

// BendRate says how fast a plate may bend, as crews say it: a hollow of Rise
// under a straightedge of Span laid along it. Both are above 0, but that a Rise
// of 0 allows no hollow at all.
type BendRate struct{ Rise, Span Length }

// DefaultBend is 1/16 in under 8 ft (common practice, no source).
var DefaultBend = BendRate{Inch / 16, 8 * Foot}

// plateLine finds the lowest line without a hollow. A line bends at a rate of κ
// where its second derivative is κ: over a chord c a parabola of that rate sags
// κc²/8 in the middle, so κ = 8·Rise/Span², and p from one end and q from the
// other it sags κpq/2 = 4·Rise·pq/Span² (elementary geometry). Numbers are too
// long for an int64, so it works in big.Int, in numbers that it keeps.
type plateLine struct {
	rise, span2  big.Int // 4·Rise, Span²
	x, y, z, den big.Int
}

func newPlateLine(rate BendRate) *plateLine {
	if rate.Span <= 0 {
		rate = DefaultBend
	}
	l := &plateLine{}
	l.rise.SetInt64(4 * int64(rate.Rise))
	l.span2.SetInt64(int64(rate.Span))
	l.span2.Mul(&l.span2, &l.span2)
	return l
}

// raise returns the lowest heights at the spots that are nowhere below those of
// low and nowhere hollower than the rate. A line T with T″ ≤ κ is one for which
// T − κs²/2 is concave: the lowest above low is the upper concave hull of
// low − κs²/2, found by a monotone chain (A. M. Andrew, 1979; from memory),
// plus κs²/2. Spots rise along the wall. Heights are rounded to the nanometre
// and never below low.
func (l *plateLine) raise(spots []wallSpot, low func(wallSpot) Length) []Length {
	heights := make([]Length, len(spots))
	var chain []int
	for i, s := range spots {
		heights[i] = low(s)
		for n := len(chain); n > 1 && l.hollow(spots, heights, chain[n-2], chain[n-1], i); n-- {
			chain = chain[:n-1]
		}
		chain = append(chain, i)
	}
	for n := 1; n < len(chain); n++ {
		a, c := chain[n-1], chain[n]
		for i := a + 1; i < c; i++ {
			p, q := spots[i].along-spots[a].along, spots[c].along-spots[i].along
			heights[i] = l.sagging(p, q, heights[a], heights[c])
		}
	}
	return heights
}

// hollow says that spot b lies on or below the hollow that the rate allows
// between a and c.
func (l *plateLine) hollow(spots []wallSpot, heights []Length, a, b, c int) bool {
	p, q := spots[b].along-spots[a].along, spots[c].along-spots[b].along
	// (q(La−Lb) + p(Lc−Lb))·Span² ≥ 4·Rise·pq(p+q)
	l.product(&l.x, q, heights[a]-heights[b])
	l.product(&l.y, p, heights[c]-heights[b])
	l.x.Add(&l.x, &l.y).Mul(&l.x, &l.span2)
	l.product(&l.y, p, q)
	l.z.SetInt64(int64(p + q))
	l.y.Mul(&l.y, &l.z).Mul(&l.y, &l.rise)
	return l.x.Cmp(&l.y) >= 0
}

// sagging is the height p after a spot at a and q before one at c, as far below
// the straight line as the rate allows.
func (l *plateLine) sagging(p, q, a, c Length) Length {
	// ((La·q + Lc·p)·Span² − 4·Rise·pq(p+q)) / ((p+q)·Span²)
	l.product(&l.x, q, a)
	l.product(&l.y, p, c)
	l.x.Add(&l.x, &l.y).Mul(&l.x, &l.span2)
	l.den.SetInt64(int64(p + q))
	l.product(&l.y, p, q)
	l.y.Mul(&l.y, &l.den).Mul(&l.y, &l.rise)
	l.x.Sub(&l.x, &l.y)
	l.den.Mul(&l.den, &l.span2)
	return l.quotient()
}

// sag is what the rate allows p from one end of a chord and q from the other.
func (l *plateLine) sag(p, q Length) Length {
	l.product(&l.x, p, q)
	l.x.Mul(&l.x, &l.rise)
	l.den.Set(&l.span2)
	return l.quotient()
}

func (l *plateLine) product(out *big.Int, a, b Length) {
	l.z.SetInt64(int64(b))
	out.SetInt64(int64(a))
	out.Mul(out, &l.z)
}

// quotient is x / den (above 0) to the nearest nanometre, a half upwards: where x / den
// is not below a whole number, neither is the quotient.
func (l *plateLine) quotient() Length {
	// ⌊(2x + den) / 2den⌋
	l.x.Lsh(&l.x, 1).Add(&l.x, &l.den)
	l.den.Lsh(&l.den, 1)
	l.x.Div(&l.x, &l.den)
	return Length(l.x.Int64())
}

// straight is the height p after a spot at a and q before one at c on the
// straight line, to the nearest nanometre, a half upwards. p and q are not below
// 0 and not both 0.
func straight(p, q, a, c Length) Length {
	if c < a {
		a, c, p, q = c, a, q, p
	}
	// a + (c−a)·p / (p+q); the quotient is at most c − a, so it always fits.
	run := uint64(p + q)
	hi, lo := bits.Mul64(uint64(c-a), uint64(p))
	lo, carry := bits.Add64(lo, run/2, 0)
	whole, _ := bits.Div64(hi+carry, lo, run)
	return a + Length(whole)
}
