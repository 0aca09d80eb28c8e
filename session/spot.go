package session

import (
	"math"

	"rodcall/reduce"
)

// spotReach is how near two places of a plan are one spot: places on slanted
// walls have no round coordinates, and what stands there is placed to 0.01 ft or
// a centimetre.
const spotReach = reduce.Centimetre

// oneSpot says whether two places are the same spot.
func oneSpot(a, b reduce.Point) bool {
	return (a.X-b.X).Abs() <= spotReach && (a.Y-b.Y).Abs() <= spotReach
}

// spots are named places, looked up by squares as wide as spotReach.
type spots map[reduce.Point][]namedSpot

type namedSpot struct {
	at   reduce.Point
	name string
}

func (s spots) put(at reduce.Point, name string) {
	square := reduce.Point{X: at.X / spotReach, Y: at.Y / spotReach}
	s[square] = append(s[square], namedSpot{at, name})
}

// at is the first name put at a spot.
func (s spots) at(p reduce.Point) (string, bool) {
	for x := p.X/spotReach - 1; x <= p.X/spotReach+1; x++ {
		for y := p.Y/spotReach - 1; y <= p.Y/spotReach+1; y++ {
			for _, n := range s[reduce.Point{X: x, Y: y}] {
				if oneSpot(n.at, p) {
					return n.name, true
				}
			}
		}
	}
	return "", false
}

// onWall says whether a point lies on a wall.
func onWall(plan reduce.Outline, p reduce.Point) bool {
	for _, l := range plan.Loops {
		for i, a := range l.Corners {
			b := l.Corners[(i+1)%len(l.Corners)]
			dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
			x, y := float64(p.X-a.X), float64(p.Y-a.Y)
			t := min(max((x*dx+y*dy)/(dx*dx+dy*dy), 0), 1)
			if math.Hypot(t*dx-x, t*dy-y) <= float64(spotReach) {
				return true
			}
		}
	}
	return false
}
