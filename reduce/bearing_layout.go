package reduce

import "slices"

// bearing is a place along a wall at which the plate is to bear.
type bearing struct {
	along Length
	kinds BearingKind
}

// bearingList is places along a wall, rising, all of one kind.
type bearingList struct {
	kind BearingKind
	at   []Length
}

// layOut lays out the points of a plate that reaches from one place along a wall
// to another: its ends, then every list in turn. A place nearer than merge to a
// point that is there already is no point of its own: that one gets its kind. So
// no two points are nearer than that, but for the ends of a very short plate.
func layOut(from, to, merge Length, lists []bearingList) []bearing {
	points := []bearing{{from, BearEnd}}
	if to > from {
		points = append(points, bearing{to, BearEnd})
	}
	for _, l := range lists {
		i, _ := slices.BinarySearch(l.at, from)
		j, _ := slices.BinarySearch(l.at, to+1)
		points = weave(points, bearingList{l.kind, l.at[i:j]}, merge)
	}
	return points
}

// weave puts the places of a list, none before the first point, among points.
func weave(points []bearing, list bearingList, merge Length) []bearing {
	out := make([]bearing, 0, len(points)+len(list.at))
	i := 0
	for _, at := range list.at {
		for i < len(points) && points[i].along <= at {
			out = append(out, points[i])
			i++
		}
		near, distance := &out[len(out)-1], at-out[len(out)-1].along
		if i < len(points) && points[i].along-at < distance {
			near, distance = &points[i], points[i].along-at
		}
		if distance == 0 || distance < merge {
			near.kinds |= list.kind
		} else {
			out = append(out, bearing{at, list.kind})
		}
	}
	return append(out, points[i:]...)
}

// beside are the places either side of others, rising.
func beside(places []Length, by Length) []Length {
	out := make([]Length, 0, 2*len(places))
	for _, at := range places {
		out = append(out, at-by, at+by)
	}
	slices.Sort(out)
	return out
}

// joists are the places of joists along a wall, from its start.
func joists(wall, spacing Length) []Length {
	if spacing <= 0 {
		return nil
	}
	out := make([]Length, 0, wall/spacing+1)
	for at := Length(0); at <= wall; at += spacing {
		out = append(out, at)
	}
	return out
}
