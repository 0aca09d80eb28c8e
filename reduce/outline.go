package reduce

// Point is a place in plan: c1 is the origin, c1→c2 runs along +x, and +y is
// to the left of it.
type Point struct{ X, Y Length }

// Loop is one closed run of walls. Its corners are numbered from First on, in
// walking order; the last wall runs back to corner First.
type Loop struct {
	Name    string
	First   int
	Corners []Point
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

// Turn is the side to which a walk round the walls turns at a corner.
type Turn int8

// The turns.
const (
	Left  Turn = 1
	Right Turn = -1
)

// Leg is one wall and the turn at its end.
type Leg struct {
	Length Length
	Turn   Turn // 0 at the last leg: back into the first wall
}

// Empty says that there are no walls: a free walk.
func (o *Outline) Empty() bool { return len(o.Loops) == 0 }

// Rectangle is a loop of four corners turning left: w along +x, then d.
func Rectangle(w, d Length) ([]Leg, error) { return rectangle(w, d) }

// Trace walks the legs from the origin along +x and returns the corners. The
// walk must close: a *GapError says by how much and which way it does not.
// Other faults are a *ShapeError.
func Trace(legs []Leg) ([]Point, error) { return trace(legs) }

// WithLoop adds a loop whose first corner lies at the point given; its
// corners go on counting. The first loop is named "house" where name is "".
// A further unnamed loop is "loop 2" and so on. *ShapeError on a name taken
// twice, on too many stations (MaxStations), on walls that cross.
func (o Outline) WithLoop(name string, at Point, legs []Leg) (Outline, error) {
	return o.withLoop(name, at, legs)
}

// WithPiers sets the piers p1 … in order.
func (o Outline) WithPiers(at []Point) (Outline, error) { return o.withPiers(at) }

// Resolve gives a station its one proper form: c3+40 on a 40 ft wall is c4.
// A station that the outline does not have is a *NoStationError; benchmarks
// and turning points always exist. On an empty outline every wall station
// and pier exists too.
func (o *Outline) Resolve(s Station) (Station, error) { return o.resolve(s) }

// Position is where a station stands, and the name of its loop ("" for
// piers). ok is false for benchmarks, turning points, and all stations that
// the outline does not have.
func (o *Outline) Position(s Station) (p Point, loop string, ok bool) { return o.position(s) }

// Stations lists the stations to be read in walking order: each loop's
// corners and marks, then the piers.
func (o *Outline) Stations() []Station { return o.stations() }

// Compare orders any two stations in walking order: walls, piers, benchmarks,
// turning points.
func Compare(a, b Station) int { return compareStations(a, b) }

// WallLength is the length of the wall that starts at corner n.
func (o *Outline) WallLength(n int) (Length, bool) { return o.wallLength(n) }
