package reduce

import "fmt"

// MaxStations bounds the stations of one outline.
const MaxStations = 5000

// GapError says that a walk round the walls does not come back to its start.
type GapError struct {
	DX, DY Length // from where the walk ended to where it began
}

// Length is the straight length of the gap, rounded to a nanometre.
func (e *GapError) Length() Length { return hypot(e.DX, e.DY) }

// Error names the gap in millimetres; the session says it in the crew's words.
func (e *GapError) Error() string {
	return fmt.Sprintf("outline does not close: gap of %v mm (%v, %v)", e.Length(), e.DX, e.DY)
}

// ShapeFault is what is wrong with an outline that does close, or with its
// parts.
type ShapeFault uint8

// The faults of a shape.
const (
	TooFewWalls  ShapeFault = iota + 1 // under four, or under three where not all turns are right angles
	NoLength                           // a wall of no or negative length
	TooLong                            // a wall over 1000 m
	Crossing                           // two walls cross or touch: Wall and Other say which
	StraightOn                         // the last wall runs straight into the first: c1 is no corner
	TooManyMarks                       // more than MaxStations
	NameTaken                          // a loop of that name exists
	BadGrid                            // spacing of under 0.3 m or 1 ft
	NoTurn                             // a wall but the last without a turn, or with one of half a circle
)

// ShapeError is a fault of an outline.
type ShapeError struct {
	Fault       ShapeFault
	Wall, Other int // from 1, 0 where they mean nothing
}

// shapeFaults names the faults.
var shapeFaults = map[ShapeFault]string{
	TooFewWalls: "too-few-walls", NoLength: "no-length", TooLong: "too-long", Crossing: "crossing",
	StraightOn: "straight-on", TooManyMarks: "too-many-marks", NameTaken: "name-taken", BadGrid: "bad-grid",
	NoTurn: "no-turn",
}

// String is a short name: "too-few-walls".
func (f ShapeFault) String() string { return shapeFaults[f] }

func (e *ShapeError) Error() string {
	return fmt.Sprintf("outline: %v at wall %d (%d)", e.Fault, e.Wall, e.Other)
}

// NoStationError says why an outline has no such station.
type NoStationError struct {
	Station Station
	Corners int    // how many corners there are
	Piers   int    // how many piers there are
	Wall    Length // the wall's length, where the station lies past its end
}

func (e *NoStationError) Error() string {
	return fmt.Sprintf("no station %s", e.Station.Name(Foot))
}
