package reduce

import (
	"cmp"
	"slices"
)

// DesignPart is a step or a fall: it says how high some stations are meant to
// be.
type DesignPart struct {
	// From and To are a part's ends, of one loop or both piers: it holds for
	// both and for all between them in walking order. Of a fall they are its
	// high and its low end, on one wall.
	From, To Station
	Loop     bool   // all of From's loop; To counts for nothing
	Rise     Length // of a step: + is higher than what no part speaks of; of a fall: − for each Run from From on
	Run      Length // of a fall; 0 for a step
}

// Falls says whether p is a fall.
func (p DesignPart) Falls() bool { return p.Run > 0 }

// Over is how far a fall comes down over a distance, to a nanometre.
func (p DesignPart) Over(far Length) Length { return -share(p.Rise, far, p.Run) }

// Design says how much higher than the reference's section each station of an
// outline is meant to be. Of parts that speak of one spot the later holds; a
// fall starts from the height that the earlier ones leave its high end. The
// zero Design is level all over. A Design is immutable.
type Design struct {
	outline *Outline
	parts   []DesignPart
	anchors []Length // of each part: the height of its From
	rings   []ring   // one a loop; of a free walk one for all its walls
	piers   map[int]int
	zero    Length // the reference's height
}

// ring is a loop unrolled: the spots at which a part begins or ends, rising,
// and which part holds at each and behind it up to the next; −1 for none.
type ring struct {
	spots      []Length
	at, behind []int
	starts     []Length // of the loop's walls
	round      Length   // 0 in a free walk, which does not close
	first      int      // corner
}

// DesignStep is a spot where the design changes at once.
type DesignStep struct {
	At            Station // on a wall, no half
	Before, After Length  // the design just before the spot and just behind it in walking order
	On            Length  // the design of the spot itself: Before, After, or its own
}

// NewDesign puts parts together, in the order in which they were said. Parts
// that CheckDesign refuses count for nothing.
func NewDesign(o *Outline, parts []DesignPart, reference Station) *Design {
	d := &Design{outline: o, piers: map[int]int{}}
	for i := range o.Loops {
		d.rings = append(d.rings, newRing(o, &o.Loops[i]))
	}
	if o.Empty() {
		d.rings = []ring{{}}
	}
	for _, p := range parts {
		if CheckDesign(o, p) == nil {
			d.spots(p)
		}
	}
	for i := range d.rings {
		r := &d.rings[i]
		slices.Sort(r.spots)
		r.spots = slices.Compact(r.spots)
		r.at = slices.Repeat([]int{-1}, len(r.spots))
		r.behind = slices.Clone(r.at)
	}
	for _, p := range parts {
		if CheckDesign(o, p) == nil {
			d.put(p)
		}
	}
	d.zero = d.raw(reference)
	return d
}

func newRing(o *Outline, l *Loop) ring {
	r := ring{first: l.First}
	for i := range l.Corners {
		r.starts = append(r.starts, r.round)
		w, _ := o.WallLength(l.First + i)
		r.round += w
	}
	return r
}

// freeWall is how far apart the walls of a free walk, whose lengths nobody
// knows, stand in its one ring.
const freeWall = 2 * maxWall

// along is where a station stands in its ring.
func (r *ring) along(s Station) Length {
	if r.round == 0 {
		return Length(s.Number)*freeWall + s.Past
	}
	return r.starts[s.Number-r.first] + s.Past
}

// station is the spot so far along a ring.
func (r *ring) station(along Length) Station {
	if r.round == 0 {
		return Along(int(along/freeWall), along%freeWall)
	}
	i, on := slices.BinarySearch(r.starts, along)
	if !on {
		i--
	}
	return Along(r.first+i, along-r.starts[i])
}

// ring is the ring of a station's wall; nil for piers and points off the walk.
func (d *Design) ring(s Station) *ring {
	if s.Kind != Wall || d.outline == nil {
		return nil
	}
	if d.outline.Empty() {
		return &d.rings[0]
	}
	for i := range d.rings {
		r := &d.rings[i]
		if k := s.Number - r.first; k >= 0 && k < len(r.starts) {
			return r
		}
	}
	return nil
}

// ends are where a part begins and ends in its ring, in walking order.
func (r *ring) ends(p DesignPart) (from, to Length) {
	from, to = r.along(p.From.At(0)), r.along(p.To.At(0))
	if p.Falls() && r.against(from, to, p) || r.round == 0 && from > to {
		from, to = to, from
	}
	return from, to
}

// against says whether a fall runs against the walk: its wall is that of the
// end which the walk meets first.
func (r *ring) against(from, to Length, p DesignPart) bool {
	switch {
	case p.From.Number == p.To.Number:
		return from > to
	case r.round == 0:
		return false
	}
	// One end is the corner behind the wall of the other.
	return p.From == Corner(r.first+(p.To.Number-r.first+1)%len(r.starts))
}

func (d *Design) spots(p DesignPart) {
	switch r := d.ring(p.From); {
	case r == nil:
	case p.Loop:
		r.spots = append(r.spots, 0)
	default:
		from, to := r.ends(p)
		r.spots = append(r.spots, from, to)
	}
}

// put lets a part hold over all that came before it.
func (d *Design) put(p DesignPart) {
	n := len(d.parts)
	d.anchors = append(d.anchors, d.raw(p.From))
	d.parts = append(d.parts, p)
	r := d.ring(p.From)
	if r == nil {
		for k := min(p.From.Number, p.To.Number); k <= max(p.From.Number, p.To.Number); k++ {
			d.piers[k] = n
		}
		return
	}
	if p.Loop {
		for i := range r.spots {
			r.at[i], r.behind[i] = n, n
		}
		return
	}
	from, to := r.ends(p)
	i, _ := slices.BinarySearch(r.spots, from)
	for {
		r.at[i] = n
		if r.spots[i] == to {
			return
		}
		r.behind[i] = n
		i = (i + 1) % len(r.spots)
	}
}

// hold is the part that holds just before a spot of a ring, at it and just
// behind it.
func (r *ring) hold(along Length) (before, at, behind int) {
	if len(r.spots) == 0 {
		return -1, -1, -1
	}
	i, on := slices.BinarySearch(r.spots, along)
	last := i - 1
	if last < 0 {
		// Round a loop the last spot stands before the first; a free walk has
		// nothing there.
		if last = len(r.spots) - 1; r.round == 0 {
			if !on {
				return -1, -1, -1
			}
			return -1, r.at[i], r.behind[i]
		}
	}
	if !on {
		return r.behind[last], r.behind[last], r.behind[last]
	}
	return r.behind[last], r.at[i], r.behind[i]
}

// height is what a part makes of a spot of its ring.
func (d *Design) height(part int, r *ring, along Length) Length {
	if part < 0 {
		return 0
	}
	p := d.parts[part]
	if !p.Falls() {
		return p.Rise
	}
	far := (along - r.along(p.From.At(0))).Abs()
	if r.round > 0 && far > r.wall(p) {
		far = r.round - far // the corner that the ring begins at
	}
	return d.anchors[part] + share(p.Rise, far, p.Run)
}

// wall is the length of a fall's wall.
func (r *ring) wall(p DesignPart) Length {
	from, to := r.ends(p)
	if to == 0 {
		to = r.round
	}
	return to - from
}

// sides is the design before, at and behind a spot, above what no part speaks
// of.
func (d *Design) sides(s Station) (before, at, behind Length) {
	r := d.ring(s)
	if r == nil {
		return 0, 0, 0
	}
	along := r.along(s)
	b, a, n := r.hold(along)
	return d.height(b, r, along), d.height(a, r, along), d.height(n, r, along)
}

// raw is the design of a station above what no part speaks of.
func (d *Design) raw(s Station) Length {
	if s.Kind == Pier {
		if part, ok := d.piers[s.Number]; ok {
			return d.parts[part].Rise
		}
		return 0
	}
	before, at, behind := d.sides(s)
	switch s.Half {
	case Top:
		return max(before, at, behind)
	case Bottom:
		return min(before, at, behind)
	}
	return at
}

// At is how much higher than the reference's section a station is meant to be;
// 0 for points off the walk. A fall's is rounded to a nanometre.
func (d *Design) At(s Station) Length {
	if d == nil || len(d.parts) == 0 || s.Kind != Wall && s.Kind != Pier {
		return 0
	}
	return d.raw(s) - d.zero
}

// Parts lists what the design is made of.
func (d *Design) Parts() []DesignPart {
	if d == nil {
		return nil
	}
	return d.parts
}

// Part says which of Parts a station's design comes of, −1 for none: stations
// of one part, and all of none, are one section. Of a half it is the part on
// its side of the step.
func (d *Design) Part(s Station) int {
	if d == nil || len(d.parts) == 0 {
		return -1
	}
	if s.Kind == Pier {
		if part, ok := d.piers[s.Number]; ok {
			return part
		}
		return -1
	}
	r := d.ring(s)
	if r == nil {
		return -1
	}
	before, at, behind := r.hold(r.along(s))
	if s.Half == 0 {
		return at
	}
	h, along := d.raw(s), r.along(s)
	for _, part := range []int{at, before, behind} {
		if d.height(part, r, along) == h {
			return part
		}
	}
	return at
}

// StepAt is the step at a station's spot; ok is false where there is none.
func (d *Design) StepAt(s Station) (step DesignStep, ok bool) {
	if d == nil || len(d.parts) == 0 {
		return DesignStep{}, false
	}
	before, at, behind := d.sides(s)
	return DesignStep{s.At(0), before - d.zero, behind - d.zero, at - d.zero}, before != at || at != behind
}

// Steps lists the spots where the design changes at once, loop by loop in
// walking order.
func (d *Design) Steps() []DesignStep {
	if d == nil {
		return nil
	}
	var out []DesignStep
	for i := range d.rings {
		r := &d.rings[i]
		for _, along := range r.spots {
			if s, ok := d.StepAt(r.station(along)); ok {
				out = append(out, s)
			}
		}
	}
	return out
}

// Own is the half that a spot without a half stands for: the one of its own
// section. It is 0 where there is no step, and where the spot has a height of
// its own between the two.
func (d *Design) Own(s Station) Half {
	step, ok := d.StepAt(s)
	switch {
	case !ok:
		return 0
	case step.On == d.At(s.At(Top)):
		return Top
	case step.On == d.At(s.At(Bottom)):
		return Bottom
	}
	return 0
}

// Stepped says whether a step lies between two stations of one loop, b being
// the next that matters behind a in walking order, or its other half.
func (d *Design) Stepped(a, b Station) bool {
	if d == nil || len(d.parts) == 0 {
		return false
	}
	r := d.ring(a)
	if r == nil || r != d.ring(b) {
		return d.raw(a) != d.raw(b)
	}
	from, to := r.along(a), r.along(b)
	if from == to {
		return d.raw(a) != d.raw(b)
	}
	if _, _, behind := d.sides(a); behind != d.raw(a) {
		return true
	}
	if before, _, _ := d.sides(b); before != d.raw(b) {
		return true
	}
	if len(r.spots) == 0 {
		return false
	}
	i, on := slices.BinarySearch(r.spots, from)
	if on {
		i++
	}
	for range r.spots {
		i %= len(r.spots)
		if at := r.spots[i]; at == to || !between(from, at, to) {
			return false
		}
		if _, ok := d.StepAt(r.station(r.spots[i])); ok {
			return true
		}
		i++
	}
	return false
}

// between says whether at lies behind from and before to, round a loop.
func between(from, at, to Length) bool {
	if from < to {
		return from < at && at < to
	}
	return at > from || at < to
}

// Compare orders stations in walking order; of two heights at one spot that of
// the section that the walk comes from is first.
func (d *Design) Compare(a, b Station) int {
	if a.At(0) == b.At(0) {
		if step, ok := d.StepAt(a); ok {
			late := func(s Station) int {
				if d.At(s) == step.Before {
					return 0
				}
				return 1
			}
			return cmp.Or(cmp.Compare(late(a), late(b)), Compare(a, b))
		}
	}
	return Compare(a, b)
}
