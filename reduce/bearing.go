package reduce

import "slices"

// BearingKind says what makes a spot of the plate bear; one spot may have several.
type BearingKind uint8

// The kinds.
const (
	BearEnd    BearingKind = 1 << iota // an end of a plate: a corner, or one side of a step
	BearSplice                         // beside a splice of the plate
	BearBolt                           // beside an anchor bolt
	BearPost                           // under a post
	BearJoist                          // under a joist or a stud
	BearAlone                          // a pier, or a spot of a walk without an outline
	BearSpot                           // a spot of the walk: its amount is measured, not reckoned
)

// BearingPoint is a spot at which the plate is to bear.
type BearingPoint struct {
	// Station is its name: the spot of the walk that it stands on (with its half
	// where a step is), or where it stands between two, c1+1.3333.
	Station  Station
	Kinds    BearingKind
	Known    bool   // what follows is known
	Concrete Length // the concrete's deviation, + is high: read, or on the straight line between two read spots
	Target   Length // the plate's underside above the level to build to
	Amount   Length // Target − Concrete: shims; negative: to be taken out of those there, and beyond Loose to be ground off
	Loose    Length // how much of Concrete is shims that may be taken out again
	Engineer bool   // Amount is over the greatest gap: no work for a shim
	// Unread is the nearest spot that is to be read before the amount is known.
	// It is zero where the amount is known, and where none of this helps: a step
	// stands somewhere between the spots on either side.
	Unread Station
}

// point makes a bearing point of a spot.
func (p *platePlanner) point(at Station, kinds BearingKind, s SpotTarget) BearingPoint {
	b := BearingPoint{Station: at, Kinds: kinds}
	if !s.Read {
		b.Unread = s.Station
		return b
	}
	b.Known, b.Concrete, b.Target, b.Amount, b.Loose = true, s.Deviation, s.Target, s.Amount(), s.Loose
	b.Engineer = b.Amount > p.opt.Gap
	return b
}

// bearings lays out the bearing points of every wall and finds what lies under
// them.
func (p *platePlanner) bearings(walls []plateWall) {
	bolts, posts, splices := p.byWall(p.opt.Bolts), p.byWall(p.opt.Posts), p.byWall(p.opt.Splices)
	for _, w := range walls {
		bear := []bearingList{
			{BearSplice, beside(splices[w.number], p.opt.Beside)},
			{BearPost, posts[w.number]},
			{BearBolt, beside(bolts[w.number], p.opt.Beside)},
			{BearJoist, joists(w.length, p.opt.Spacing)},
		}
		if p.opt.Spots {
			spots := bearingList{kind: BearSpot}
			for _, s := range w.spots {
				spots.at = append(spots.at, s.along)
			}
			bear = slices.Insert(bear, 0, spots)
		}
		for _, spots := range w.stretches() {
			from, to := Length(0), w.length
			if len(spots) > 0 && spots[0].index != w.spots[0].index {
				from = spots[0].along
			}
			if len(spots) > 0 && spots[len(spots)-1].index != w.spots[len(w.spots)-1].index {
				to = spots[len(spots)-1].along
			}
			k := 0 // the first spot that is not before the point
			for _, b := range layOut(from, to, p.opt.Merge, bear) {
				for k < len(spots) && spots[k].along < b.along {
					k++
				}
				// A corner is a point of the wall that begins there, unless a step
				// gives this one an end of its own.
				if b.along < w.length || w.ownEnd {
					p.plan.Points = append(p.plan.Points, p.under(w, spots, k, b))
				}
			}
		}
	}
}

// byWall sorts spots of walls by the wall that they stand on.
func (p *platePlanner) byWall(list []Station) map[int][]Length {
	out := map[int][]Length{}
	for _, s := range list {
		if _, _, ok := p.outline.Position(s); ok && s.Kind == Wall {
			out[s.Number] = append(out[s.Number], s.Past)
		}
	}
	for _, l := range out {
		slices.Sort(l)
	}
	return out
}

// stretches are the spots of a wall between places where a step leaves two
// heights; all of them where none does.
func (w plateWall) stretches() (out [][]wallSpot) {
	from := 0
	for k := 1; k < len(w.spots); k++ {
		if w.spots[k].along == w.spots[k-1].along {
			out = append(out, w.spots[from:k])
			from = k
		}
	}
	return append(out, w.spots[from:])
}

// under is the bearing point b of a stretch whose spots from k on are not before
// it.
func (p *platePlanner) under(w plateWall, spots []wallSpot, k int, b bearing) BearingPoint {
	if k < len(spots) && spots[k].along == b.along {
		s := *p.spot(spots[k])
		return p.point(s.Station, b.kinds, s)
	}
	out := BearingPoint{Station: Along(w.number, b.along), Kinds: b.kinds}
	if k == 0 || k == len(spots) {
		return out
	}
	before, after := p.spot(spots[k-1]), p.spot(spots[k])
	switch {
	case p.step(spots[k-1], spots[k]):
	case !before.Read:
		out.Unread = before.Station
	case !after.Read:
		out.Unread = after.Station
	default:
		// Both go by the same shares, so the plate is nowhere below the concrete
		// between two spots where it is not below it.
		x, y := b.along-spots[k-1].along, spots[k].along-b.along
		between := *before
		between.Deviation = straight(x, y, before.Deviation, after.Deviation)
		between.Target = straight(x, y, before.Target, after.Target)
		between.Loose = straight(x, y, before.Loose, after.Loose)
		return p.point(out.Station, b.kinds, between)
	}
	return out
}
