package reduce

// PlateOptions say how a sill plate is planned. Start from PlateDefaults.
type PlateOptions struct {
	Tolerance Length   // a spot within it, either way, may be left as it is
	Grind     Length   // the most that is ground off a spot; 0: nothing is
	Bend      BendRate // the most that the plate may bend
	Spacing   Length   // of joists or studs, from each wall's start; 0, or one that gives over 100,000: none
	Beside    Length   // how far a bearing point stands either side of a bolt or a splice
	Merge     Length   // bearing points nearer than this to one another are one
	Gap       Length   // a gap over this is no work for a shim: ask the engineer

	Spots bool // the plate bears on every spot of the walk too, before all else

	Bolts, Posts, Splices []Station // spots of walls, in any order
}

// PlateDefaults are the options of a job in unit u: joists every 16 in (400 mm),
// points 3 in (75 mm) either side of bolts and splices, merged within 2 in
// (50 mm), shims to 1 in (25 mm), a hollow of DefaultBend (2 mm under 3 m),
// DefaultTolerance and no grinding. All of them
// are common practice, no source.
func PlateDefaults(u Unit) PlateOptions {
	if u == UnitMillimetre {
		return PlateOptions{Tolerance: DefaultTolerance, Bend: BendRate{2 * Millimetre, 3 * Metre}, Spacing: 400 * Millimetre,
			Beside: 75 * Millimetre, Merge: 50 * Millimetre, Gap: 25 * Millimetre}
	}
	return PlateOptions{Tolerance: DefaultTolerance, Bend: DefaultBend, Spacing: 16 * Inch,
		Beside: 3 * Inch, Merge: 2 * Inch, Gap: Inch}
}

// PlateSpot is a spot of the concrete: how far it stands above the level to
// build to, its deviation (elevation − design − datum; + is high).
type PlateSpot struct {
	Station   Station
	Deviation Length // means nothing where the spot is not Read
	Read      bool
	// Loose is how much of it is shims that may be taken out again.
	Loose Length
}

// SpotTarget is a spot with the height that the underside of the plate is
// planned at, above the level to build to.
type SpotTarget struct {
	PlateSpot

	Target  Length // means nothing where the spot is not Read
	ForLine bool   // within the tolerance, but raised so that the plate has no hollow
}

// Amount is what lies between concrete and plate: the height of the shims, or,
// where negative, what is to be taken out of those there, and ground off. 0 where the spot is not read.
func (s SpotTarget) Amount() Length {
	if !s.Read {
		return 0
	}
	return s.Target - s.Deviation
}

// Bend is a spot at which the planned plate bends more than it may.
type Bend struct {
	Station Station
	// Rise is the plate's height above the straight line between its read
	// neighbours: + is a hump, − a hollow.
	Rise Length
	// Over is by how much |Rise| is more than the rate allows there, above 0.
	Over Length
}

// PlatePlan is the plate of a whole foundation, piece by piece.
type PlatePlan struct {
	Spots  []SpotTarget   // as they were given, but for those that are on no wall and no pier
	Points []BearingPoint // as one walks: where a step gives a loop's first corner two heights, one ends the loop; then piers
	Bends  []Bend         // in walking order: humps of high spots, and hollows beside a spot too high to meet
	Unread []Station      // the spots whose missing reading leaves points without an amount, in the order of Spots
	Runs   [][]Gap        // the gap under the plate: one for each straight run of it whose spots are read
}

// PlanPlate plans the underside of the sill plate and what lies between it and
// the concrete at every bearing point.
//
// Spots are given in the order in which the walk meets them, a loop's first
// corner first, read or not. A spot with two heights is given twice, the height
// at which the walk arrives first. breaks says of two spots next to each other
// along a wall that a step stands between them; nil says that none does. Two
// spots at one place always have a step between them. A wall is one piece of
// plate between its corners and such steps; splices do not interrupt its line,
// since both pieces must meet at one height and in one line.
//
// Within a piece the line is the lowest that meets all of these:
//   - A spot more than the tolerance below the level is raised to the level.
//   - One more than the tolerance above it loses shims towards the level, as far
//     as they lie there, and is then ground by at most Grind. What is then still above the tolerance sticks up through the
//     line: the spots beside it are not raised past the tolerance for its sake.
//   - A spot within the tolerance is left alone or raised, never ground.
//   - Between the read spots of the piece there is no hollow deeper than Bend.
//
// Humps are not eased, since that would raise spots which need nothing: Bends
// lists them. Piers, and every spot of a walk without an outline, stand by
// themselves. The work grows in line with spots and bearing points.
func PlanPlate(o *Outline, spots []PlateSpot, breaks func(a, b Station) bool, opt PlateOptions) PlatePlan {
	p := platePlanner{outline: o, opt: opt, breaks: breaks, line: newPlateLine(opt.Bend)}
	p.take(spots)
	walls := p.walls()
	for _, w := range walls {
		for from := 0; from < len(w.spots); {
			to := from + 1
			for to < len(w.spots) && !p.step(w.spots[to-1], w.spots[to]) {
				to++
			}
			p.piece(w.spots[from:to])
			p.runs(w.spots[from:to])
			from = to
		}
	}
	p.room(walls)
	p.bearings(walls)
	p.alone()
	p.unread()
	return p.plan
}

// plateWall is one wall with the numbers of its spots in the plan, from corner
// to corner. Its closing corner is a spot of the next wall.
type plateWall struct {
	number int
	length Length
	spots  []wallSpot
	ownEnd bool // a step gives its closing corner a height that the next wall has not
}

// wallSpot is a spot of a wall: its number in the plan, and where it stands.
type wallSpot struct {
	index int
	along Length
}

type platePlanner struct {
	outline *Outline
	opt     PlateOptions
	breaks  func(a, b Station) bool
	line    *plateLine
	plan    PlatePlan
	walled  int // the first so many spots stand on walls of the outline
}

// take keeps the spots that the outline has: those of walls, then those that
// stand by themselves, each with the target that it has without neighbours.
func (p *platePlanner) take(spots []PlateSpot) {
	p.plan.Spots = make([]SpotTarget, 0, len(spots))
	for _, onWall := range []bool{true, false} {
		for _, s := range spots {
			_, _, placed := p.outline.Position(s.Station)
			walled := placed && s.Station.Kind == Wall
			free := p.outline.Empty() && (s.Station.Kind == Wall || s.Station.Kind == Pier)
			if walled != onWall || !placed && !free {
				continue
			}
			t := SpotTarget{PlateSpot: s}
			if s.Read {
				t.Target = p.lowest(s)
			}
			p.plan.Spots = append(p.plan.Spots, t)
		}
		if onWall {
			p.walled = len(p.plan.Spots)
		}
	}
}

// lowest is the lowest that the plate may be over a spot.
func (p *platePlanner) lowest(s PlateSpot) Length {
	switch deviation := s.Deviation; {
	case deviation < -p.opt.Tolerance:
		return 0
	case deviation > p.opt.Tolerance:
		return max(0, deviation-p.opt.Grind-s.Loose)
	}
	return s.Deviation
}

// walls hands every wall its spots. A corner with two heights stands twice among
// the spots: the first ends the wall before it, the last begins its own.
func (p *platePlanner) walls() []plateWall {
	first, last := map[int]int{}, map[int]int{} // spots at a corner, by its number
	marks := map[int][]wallSpot{}
	for i, s := range p.plan.Spots[:p.walled] {
		n := s.Station.Number
		if s.Station.Past > 0 {
			marks[n] = append(marks[n], wallSpot{i, s.Station.Past})
			continue
		}
		if _, ok := first[n]; !ok {
			first[n] = i
		}
		last[n] = i
	}
	var out []plateWall
	for _, l := range p.outline.Loops {
		for k := range l.Corners {
			n, next := l.First+k, l.First+(k+1)%len(l.Corners)
			w := plateWall{number: n}
			w.length, _ = p.outline.WallLength(n)
			if i, ok := last[n]; ok {
				w.spots = append(w.spots, wallSpot{i, 0})
			}
			w.spots = append(w.spots, marks[n]...)
			if i, ok := first[next]; ok {
				w.spots = append(w.spots, wallSpot{i, w.length})
				w.ownEnd = i != last[next]
			}
			out = append(out, w)
		}
	}
	return out
}

// maxBearings bounds the joists of a foundation, and its bolts.
const maxBearings = 100_000

// room leaves the joists out where they are too many, and makes room for all
// points, since a list that grows while it fills costs large foundations more.
func (p *platePlanner) room(walls []plateWall) {
	n := 0
	for _, w := range walls {
		if p.opt.Spacing > 0 {
			n += int(w.length/p.opt.Spacing) + 1
		}
	}
	if n > maxBearings {
		p.opt.Spacing, n = 0, 0
	}
	n += 2*len(walls) + 2*len(p.opt.Bolts) + len(p.opt.Posts) + 2*len(p.opt.Splices)
	p.plan.Points = make([]BearingPoint, 0, n+len(p.plan.Spots))
}

// step says that a step stands between two spots that are next to each other on
// a wall.
func (p *platePlanner) step(a, b wallSpot) bool {
	return a.along == b.along || p.breaks != nil && p.breaks(p.spot(a).Station, p.spot(b).Station)
}

func (p *platePlanner) spot(w wallSpot) *SpotTarget { return &p.plan.Spots[w.index] }

// piece raises the spots of one piece to its line and lists where that bends.
func (p *platePlanner) piece(spots []wallSpot) {
	var read []wallSpot
	for _, s := range spots {
		if p.spot(s).Read {
			read = append(read, s)
		}
	}
	// What sticks up through the tolerance lifts nobody else past it.
	smooth := p.line.raise(read, func(s wallSpot) Length { return min(p.spot(s).Target, p.opt.Tolerance) })
	for i, s := range read {
		t := p.spot(s)
		t.Target = max(t.Target, smooth[i])
		t.ForLine = t.Deviation.Abs() <= p.opt.Tolerance && t.Target > t.Deviation
	}
	for i := 1; i+1 < len(read); i++ {
		a, b, c := p.spot(read[i-1]), p.spot(read[i]), p.spot(read[i+1])
		before, after := read[i].along-read[i-1].along, read[i+1].along-read[i].along
		rise := b.Target - straight(before, after, a.Target, c.Target)
		// Three targets are rounded to the nanometre each.
		if over := rise.Abs() - p.line.sag(before, after); over > 3*Nanometre {
			p.plan.Bends = append(p.plan.Bends, Bend{b.Station, rise, over})
		}
	}
}

// alone plans the spots that stand by themselves.
func (p *platePlanner) alone() {
	for _, s := range p.plan.Spots[p.walled:] {
		p.plan.Points = append(p.plan.Points, p.point(s.Station, BearAlone, s))
	}
}

// unread gathers the spots that points wait for.
func (p *platePlanner) unread() {
	waits := map[Station]bool{}
	for _, b := range p.plan.Points {
		waits[b.Unread] = true
	}
	for _, s := range p.plan.Spots {
		if !s.Read && waits[s.Station] {
			p.plan.Unread = append(p.plan.Unread, s.Station)
		}
	}
}
