package reduce

import "math"

// What a wall is like before anything of it is known. Common practice, no
// source: a spot stands off its wall by 1/32 in of its own, and over 4 ft the wall
// strays by 1/16 in. Only their ratio matters, and that little: between half and
// four times the one share of variance to the other, the root mean square of what
// is off changes by less than a tenth (made sites of seed 72).
const (
	ownUnevenness = Inch / 32
	strays        = Inch / 16
	straysIn      = 4 * Foot
)

// expectReach is how many neighbours on a side are looked at: those behind weigh
// next to nothing.
const expectReach = 4

// Expect is the height to be expected at a spot between neighbours, those before
// it and those behind it, each list with the nearest first, Along its distance
// from the spot and Height as in Neighbour. noise is the standard deviation of
// one reading. ok is false without any neighbour.
//
// The wall is taken for a random walk along its length, whose variance grows in
// proportion to the distance, and each height as read for the wall there with an
// error of its own. The best linear guess then comes of one filter along each
// side and of their mean, weighed by what each knows (the two-filter smoother for
// the local level model: D. C. Fraser and J. E. Potter 1969, A. C. Harvey 1989;
// from memory, and checked in the tests against the normal equations).
func Expect(before, after []Neighbour, noise Length) (height Length, ok bool) {
	own := float64(ownUnevenness)*float64(ownUnevenness) + float64(noise)*float64(noise)
	stray := float64(strays) * float64(strays) / float64(straysIn)
	sum, weight := 0.0, 0.0
	for _, side := range [][]Neighbour{before, after} {
		if len(side) == 0 {
			continue
		}
		h, v := along(side[:min(len(side), expectReach)], own, stray)
		sum += h / v
		weight += 1 / v
	}
	if weight == 0 {
		return 0, false
	}
	return Length(math.Round(sum / weight)), true
}

// along follows one side from its farthest neighbour to the spot: the height of
// the wall there, and its variance. own is the variance of a height as read,
// stray what a nanometre of wall adds.
func along(side []Neighbour, own, stray float64) (height, variance float64) {
	last := len(side) - 1
	height, variance = float64(side[last].Height), own
	for i := last - 1; i >= 0; i-- {
		variance += stray * float64(side[i+1].Along-side[i].Along)
		share := variance / (variance + own)
		height += share * (float64(side[i].Height) - height)
		variance *= 1 - share
	}
	return height, variance + stray*float64(side[0].Along)
}
