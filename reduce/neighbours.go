package reduce

import (
	"cmp"
	"math"
	"slices"
)

// Neighbour is a station on a walk along the walls, with what was read there.
type Neighbour struct {
	Station Station
	Along   Length // where it stands along the walk, rising
	Height  Length // elevation less design, above any one zero
}

// Limits of an unlikely reading, settled on made walls.
const (
	// unlikelyFactor is in medians of what the other stations are off their own
	// neighbours; unlikelyNoise in standard deviations of a reading, for a wall
	// so true that its stations are off by nothing.
	unlikelyFactor = 5.0
	unlikelyNoise  = 4.0
	// unlikelyOthers is the fewest other stations that show a scatter. With few
	// the median is uncertain itself: the factor is larger by fewOthers / n.
	unlikelyOthers = 5
	fewOthers      = 5.0
)

// Doubt is a reading that its neighbours make unlikely.
type Doubt struct {
	Off   Length // the height above what the neighbours lead to expect
	Limit Length // |Off| beyond which a reading is asked back
	// Scatter is the standard deviation that this foundation shows, as the
	// median of what the other stations are off over 0.6745.
	Scatter Length
}

// Reading is what a rod would have shown for the height expected.
func (d Doubt) Reading(rod Rod, value Length) Length {
	if rod.Rises() {
		return value - d.Off
	}
	return value + d.Off
}

// Calm says that a reading lies so near its nearest neighbours that Unlikely
// would not doubt it, whatever the scatter of the others: walk need hold no
// more than the nearest three on each side of station i.
func Calm(walk []Neighbour, i int, noise Length) bool {
	if i < 0 || i >= len(walk) {
		return false
	}
	off, ok := offNeighbours(walk, i, i == len(walk)-1)
	return ok && float64(off.Abs()) <= unlikelyNoise*float64(noise)
}

// Unlikely judges station i of a walk by its neighbours. The last of a walk is
// judged by those before it, any other by two on each side. What is off is
// measured from whichever of two expectations lies nearer, so that one bad
// neighbour or a true step in the concrete does not cast doubt on the next
// station: the station beside it (between two: the straight line between
// them), and the median of the nearest three (between: four).
//
// The limit follows the scatter that this foundation shows: a multiple of the
// median of what its other stations are off in the same way. noise is the
// standard deviation of one reading. Stations in confirmed were asked about
// already. The work grows with the walk: of a long one its last fifty or so
// stations are enough. ok is false for those, for a likely reading, and while too few
// stations are read to tell: eight before the last one, or ten in all.
func Unlikely(walk []Neighbour, i int, noise Length, confirmed map[Station]bool) (d Doubt, ok bool) {
	if i < 0 || i >= len(walk) {
		return Doubt{}, false
	}
	last := i == len(walk)-1
	off, ok := offNeighbours(walk, i, last)
	if !ok || noise <= 0 {
		return Doubt{}, false
	}
	var others []Length
	for j := range walk {
		if j == i {
			continue
		}
		if o, ok := offNeighbours(walk, j, last); ok {
			others = append(others, o.Abs())
		}
	}
	if len(others) < unlikelyOthers {
		return Doubt{}, false
	}
	slices.Sort(others)
	middle := float64(others[(len(others)-1)/2]+others[len(others)/2]) / 2
	factor := unlikelyFactor * (1 + fewOthers/float64(len(others)))
	d.Off = off
	d.Scatter = Length(math.Round(middle / 0.6745))
	d.Limit = Length(math.Round(max(factor*middle, unlikelyNoise*float64(noise))))
	return d, off.Abs() > d.Limit && !confirmed[walk[i].Station]
}

// offNeighbours is by how much a station is off what its neighbours lead to
// expect; ok is false where it has too few: three before, or two on each side.
func offNeighbours(walk []Neighbour, i int, last bool) (off Length, ok bool) {
	h := func(j int) Length { return walk[j].Height }
	var near, middle Length
	switch {
	case last && i >= 3:
		near = h(i - 1)
		three := []Length{h(i - 1), h(i - 2), h(i - 3)}
		slices.Sort(three)
		middle = three[1]
	case !last && i >= 2 && i+2 < len(walk):
		a, b := walk[i-1], walk[i+1]
		near = (a.Height + b.Height) / 2
		if run := b.Along - a.Along; run > 0 {
			share := float64(walk[i].Along-a.Along) / float64(run)
			near = a.Height + Length(math.Round(share*float64(b.Height-a.Height)))
		}
		four := []Length{h(i - 2), h(i - 1), h(i + 1), h(i + 2)}
		slices.Sort(four)
		middle = (four[1] + four[2]) / 2
	default:
		return 0, false
	}
	return slices.MinFunc([]Length{h(i) - near, h(i) - middle}, func(a, b Length) int {
		return cmp.Compare(a.Abs(), b.Abs())
	}), true
}
