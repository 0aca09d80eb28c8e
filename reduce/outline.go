package reduce

import (
	"fmt"
	"slices"
	"sort"
	"strings"
)

// Point is a place in plan: c1 is the origin, c1→c2 runs along +x, and +y is
// to the left of it.
type Point struct{ X, Y Length }

// Loop is one closed run of walls. Its corners are numbered from First on, in
// walking order; the last wall runs back to corner First.
type Loop struct {
	Name    string
	First   int
	Corners []Point
	// Walls are the walls' lengths as they were given, one behind each corner.
	// Only a loop with other turns than right angles has them: its corners are
	// rounded, and moved by what the walls did not close by.
	Walls []Length `json:",omitempty"`
}

// Grid says where a wall is marked.
type Grid struct {
	Mark    Length // what c3+8 counts in: Foot or Metre
	Spacing Length // from each corner: 4 ft or 1 m unless set
	Drop    Length // a mark nearer than this to the next corner is left out: 1 ft or 0.3 m
}

// GridFor is the grid that a job in unit u starts with.
func GridFor(u Unit) Grid {
	if u == UnitMillimetre {
		return Grid{Mark: Metre, Spacing: Metre, Drop: 300 * Millimetre}
	}
	return Grid{Mark: Foot, Spacing: 4 * Foot, Drop: Foot}
}

// Outline is the plan of the walls. The zero Outline has no walls: a free
// walk. Treat it as immutable: the With… methods return a changed copy.
type Outline struct {
	Loops []Loop
	Piers []Point
	Grid  Grid
}

// Empty says that there are no walls: a free walk.
func (o *Outline) Empty() bool { return len(o.Loops) == 0 }

// Rectangle is a loop of four corners turning left: w along +x, then d.
func Rectangle(w, d Length) []Leg {
	return []Leg{{Length: w, Turn: Left}, {Length: d, Turn: Left}, {Length: w, Turn: Left}, {Length: d, Turn: Left}}
}

// Corners counts the corners of all loops.
func (o *Outline) Corners() int {
	n := 0
	for i := range o.Loops {
		n += len(o.Loops[i].Corners)
	}
	return n
}

// WithLoop adds a loop whose first corner lies at the point given; its
// corners go on counting. The first loop is named "house" where name is "";
// a further unnamed one "loop 2" and so on. *ShapeError on a name taken, on
// too many stations (MaxStations) and on all that Trace refuses.
func (o Outline) WithLoop(name string, at Point, legs []Leg) (Outline, error) {
	corners, err := Trace(legs)
	if err != nil {
		return o, err
	}
	if at.X.Abs() > MaxLength || at.Y.Abs() > MaxLength {
		return o, &ShapeError{Fault: TooLong}
	}
	if name == "" {
		name = "house"
		if len(o.Loops) > 0 {
			name = fmt.Sprintf("loop %d", len(o.Loops)+1)
		}
	}
	for _, l := range o.Loops {
		if strings.EqualFold(l.Name, name) {
			return o, &ShapeError{Fault: NameTaken}
		}
	}
	for i := range corners {
		corners[i].X += at.X
		corners[i].Y += at.Y
	}
	l := Loop{Name: name, First: o.Corners() + 1, Corners: corners}
	if !rightAngled(legs) {
		for _, leg := range legs {
			l.Walls = append(l.Walls, leg.Length)
		}
	}
	o.Loops = append(slices.Clip(o.Loops), l)
	return o, o.tooMany()
}

// WithPiers sets the piers p1 … in order. *ShapeError on too many.
func (o Outline) WithPiers(at []Point) (Outline, error) {
	for _, p := range at {
		if p.X.Abs() > MaxLength || p.Y.Abs() > MaxLength {
			return o, &ShapeError{Fault: TooLong}
		}
	}
	o.Piers = slices.Clone(at)
	return o, o.tooMany()
}

// WithSpacing marks the walls anew. *ShapeError on marks nearer than the
// distance at which one is dropped, or on too many.
func (o Outline) WithSpacing(spacing Length) (Outline, error) {
	if spacing < o.Grid.Drop || spacing > maxWall {
		return o, &ShapeError{Fault: BadGrid}
	}
	o.Grid.Spacing = spacing
	return o, o.tooMany()
}

func (o *Outline) tooMany() error {
	n := len(o.Piers)
	for _, l := range o.Loops {
		for i := range l.Corners {
			w, _ := o.WallLength(l.First + i)
			n += 1 + o.marks(w)
		}
	}
	if n > MaxStations {
		return &ShapeError{Fault: TooManyMarks}
	}
	return nil
}

// marks counts the marks of a wall between its corners: every spacing from
// its first corner, but for one nearer than Drop to the next corner.
func (o *Outline) marks(wall Length) int {
	if wall < o.Grid.Drop {
		return 0
	}
	return int((wall - max(o.Grid.Drop, 1)) / o.Grid.Spacing)
}

// wall is the wall that starts at corner n, and its loop.
func (o *Outline) wall(n int) (a, b Point, loop *Loop, ok bool) {
	// Corners go on counting from loop to loop.
	i := sort.Search(len(o.Loops), func(i int) bool { return o.Loops[i].First > n }) - 1
	if i < 0 {
		return Point{}, Point{}, nil, false
	}
	l := &o.Loops[i]
	k := n - l.First
	if k >= len(l.Corners) {
		return Point{}, Point{}, nil, false
	}
	return l.Corners[k], l.Corners[(k+1)%len(l.Corners)], l, true
}

// WallLength is the length of the wall that starts at corner n, as it was
// given where it is not that between its corners.
func (o *Outline) WallLength(n int) (Length, bool) {
	a, b, l, ok := o.wall(n)
	if !ok {
		return 0, false
	}
	if k := n - l.First; k < len(l.Walls) {
		return l.Walls[k], true
	}
	return hypot(a.X-b.X, a.Y-b.Y), true
}

// Resolve gives a station its one proper form: c3+40 on a 40 ft wall is c4.
// A station that the outline does not have is a *NoStationError; benchmarks
// and turning points always exist. On an empty outline every station of a
// wall exists too, and every pier where none were set.
func (o *Outline) Resolve(s Station) (Station, error) {
	none := func(wall Length) error {
		return &NoStationError{Station: s, Corners: o.Corners(), Piers: len(o.Piers), Wall: wall}
	}
	if s.Number < 1 || s.Number > maxNumber || s.Past < 0 || s.Half > Bottom || (s.Past > 0 || s.Half > 0) && s.Kind != Wall {
		return s, none(0)
	}
	switch s.Kind {
	case Benchmark, Turning:
		return s, nil
	case Pier:
		if s.Number > len(o.Piers) && !(o.Empty() && len(o.Piers) == 0) {
			return s, none(0)
		}
		return s, nil
	case Wall:
	default:
		return s, none(0)
	}
	if o.Empty() {
		if s.Past > maxWall {
			return s, none(maxWall)
		}
		return s, nil
	}
	_, _, loop, ok := o.wall(s.Number)
	if !ok {
		return s, none(0)
	}
	w, _ := o.WallLength(s.Number)
	switch {
	case s.Past > w:
		return s, none(w)
	case s.Past == w:
		return Corner(loop.First + (s.Number-loop.First+1)%len(loop.Corners)).At(s.Half), nil
	}
	return s, nil
}

// Position is where a station stands, and the name of its loop ("" for
// piers). ok is false for benchmarks, turning points, and all stations that
// the outline does not have.
func (o *Outline) Position(s Station) (p Point, loop string, ok bool) {
	switch s.Kind {
	case Pier:
		if s.Number >= 1 && s.Number <= len(o.Piers) {
			return o.Piers[s.Number-1], "", true
		}
	case Wall:
		a, b, l, found := o.wall(s.Number)
		if !found || s.Past < 0 {
			return Point{}, "", false
		}
		w, _ := o.WallLength(s.Number)
		if s.Past > w {
			return Point{}, "", false
		}
		a.X += partOf(b.X-a.X, s.Past, w)
		a.Y += partOf(b.Y-a.Y, s.Past, w)
		return a, l.Name, true
	case Benchmark, Turning:
	}
	return Point{}, "", false
}

// Stations lists the stations to be read in walking order: each loop's
// corners and marks, then the piers.
func (o *Outline) Stations() []Station {
	var out []Station
	for _, l := range o.Loops {
		for i := range l.Corners {
			n := l.First + i
			w, _ := o.WallLength(n)
			out = append(out, Corner(n))
			for k := range o.marks(w) {
				out = append(out, Along(n, Length(k+1)*o.Grid.Spacing))
			}
		}
	}
	for i := range o.Piers {
		out = append(out, PierNumber(i+1))
	}
	return out
}
