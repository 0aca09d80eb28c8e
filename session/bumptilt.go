package session

import (
	"fmt"
	"slices"

	"rodcall/reduce"
)

// ties are the stations that a rod read before a bump and again after it, with
// their apparent rises where their places are known.
func (h *hearing) ties(b SetupSplit) (stations []reduce.Station, placed []reduce.Tie) {
	for _, k := range slices.Backward(h.job.shotsIn(b.New)) {
		i := slices.IndexFunc(b.Rods, func(r RodSplit) bool { return r.To == k.Rod })
		if i < 0 || slices.Contains(stations, k.Station) {
			continue
		}
		old, ok := h.before(b.Rods[i].From, k.Station)
		if !ok {
			continue
		}
		rise := k.Value - old.Value
		if rod, ok := h.job.rod(k.Rod); ok && !rod.Rises() {
			rise = -rise
		}
		stations = append(stations, k.Station)
		if at, _, ok := h.job.Outline.Position(k.Station); ok {
			placed = append(placed, reduce.Tie{At: at, Amount: rise})
		}
	}
	slices.SortFunc(stations, reduce.Compare)
	return stations, placed
}

// before is what a rod last showed at a station.
func (h *hearing) before(rod int, s reduce.Station) (Reading, bool) {
	if r, ok := h.job.live(slot{h.job.Round, rod, s, false}); ok {
		return r, true
	}
	return h.job.live(slot{h.job.Round, rod, s, true})
}

// remarkTilt says, once there are three ties that do not lie in a line, whether
// a bump tilted the beam's plane.
func (h *hearing) remarkTilt(rod Rod, s reduce.Station) {
	n := len(h.job.Splits)
	if n == 0 || h.job.Splits[n-1].New != h.job.setup() {
		return
	}
	b := h.job.Splits[n-1].SetupSplit
	if !slices.ContainsFunc(b.Rods, func(r RodSplit) bool {
		_, tie := h.before(r.From, s)
		return tie && (r.To == rod.ID || r.From == rod.ID)
	}) {
		return
	}
	_, placed := h.ties(b)
	t, ok := reduce.TiltOf(placed, h.readingNoise(rod))
	if !ok {
		return
	}
	key := Key("bump.flat")
	if t.Tilted {
		key = "bump.tilted"
	}
	if h.once(fmt.Sprintf("%s.%s.%d", key, h.job.ID, b.New)) {
		h.remarks = append(h.remarks, h.say(key))
	}
}

// tiltTies are stations, read before a bump, that would show with those shot
// again whether the beam's plane tilted: the farthest from the ties and from
// each other. It is empty where they show that already, or no three can.
func (h *hearing) tiltTies(b SetupSplit, rod Rod) []reduce.Station {
	_, placed := h.ties(b)
	if _, ok := reduce.TiltOf(placed, h.readingNoise(rod)); ok {
		return nil
	}
	var more []reduce.Station
	for range 3 {
		best, far := reduce.Station{}, 0.0
		for _, k := range h.job.shotsIn(b.Setup) {
			at, _, ok := h.job.Outline.Position(k.Station)
			if !ok || !slices.ContainsFunc(b.Rods, func(r RodSplit) bool { return r.From == k.Rod }) {
				continue
			}
			if d := offLine(at, placed); d > far {
				best, far = k.Station, d
			}
		}
		if best.IsZero() {
			return nil
		}
		at, _, _ := h.job.Outline.Position(best)
		more, placed = append(more, best), append(placed, reduce.Tie{At: at})
		if _, ok := reduce.PlaneThrough(placed); ok {
			return more
		}
	}
	return nil
}

// offLine is how far a point is from all of some ties: the least distance from
// a line through two of them, or from the nearest; squared where it is a
// distance, for it only ranks.
func offLine(p reduce.Point, ties []reduce.Tie) float64 {
	if len(ties) == 0 {
		return 1 + float64(p.X)*float64(p.X) + float64(p.Y)*float64(p.Y)
	}
	a := ties[0].At
	ax, ay := float64(p.X-a.X), float64(p.Y-a.Y)
	if len(ties) == 1 {
		return ax*ax + ay*ay
	}
	b := ties[len(ties)-1].At
	cross := ax*float64(b.Y-a.Y) - ay*float64(b.X-a.X)
	return cross * cross
}

// readingNoise is the standard deviation of one reading on a rod, at zero: the
// lean of a standard rod adds nothing that differs between ties.
func (h *hearing) readingNoise(rod Rod) reduce.Length {
	return reduce.Length(h.job.ErrorBudget().Noise(rod.Kind, 0))
}
