package render

import "rodcall/reduce"

// Scene is a drawing as data: what is shown, not where on the paper. Two
// scenes are the same drawing when they are equal.
type Scene struct {
	// Title is the job's name. Lines stand under it, one fact a line:
	// how many readings it holds and when it was made, reference, rod, datum,
	// tolerance.
	Title string
	// Stamp stands boxed under the title: who signed the job off, "" where nobody
	// did.
	Stamp string
	Lines []string
	Loops []Ring
	// Other are the stretches of the loops' walls that are meant to be at another
	// level: drawn hollow.
	Other [][]reduce.Point
	Marks []Mark // in walking order
	Strip Strip
	Key   []KeyEntry // what each status looks like
	// Scale bar under the plan: its length in plan and its words ("10 ft").
	ScaleBar     reduce.Length
	ScaleBarText string
	// MoreText says how many labels are shown, where not all are: "labels
	// shown for %d of %d".
	MoreText string
	// Source stands small under all else: what the drawing was made from.
	Source string
}

// Ring is one closed loop of walls, corners in walking order.
type Ring struct {
	Name    string
	Corners []reduce.Point
}

// Status of a mark. Each has a shape of its own besides its
// colour: meaning is never by colour alone.
type Status uint8

// The statuses. High and Low are for before a datum is chosen, Raise and
// Lower for after; On serves both (level with the reference, or within the
// tolerance).
const (
	StatusUnread Status = iota + 1 // not read, or read and not tied
	StatusOn
	StatusHigh
	StatusLow
	StatusRaise
	StatusLower
	StatusUnsure
)

// Mark is one station on the plan.
type Mark struct {
	Name   string // "c3+8"
	At     reduce.Point
	Corner bool // corners are named on the drawing, with their outline's turn
	Pier   bool
	Status Status
	Note   string // above all else: "step 8 in"
	Word   string // above the amount: "raise", "high"; for an unread one "unread"
	Amount string // "3/8", "1/4 heavy"; "" where there is none
	// Off is how far the spot is from where it should be (either sign): where
	// not all labels find room, corners keep theirs, then the worst spots.
	Off reduce.Length
}

// Strip is the walls unrolled: deviation along the walk, exaggerated.
type Strip struct {
	Title     string // words, with the exaggeration filled in at %s
	ZeroLabel string // what the zero line is: "datum", "c1"
	HighLabel string // above it
	LowLabel  string // below it
	Runs      []Run
	Ticks     []Tick // heights to be ruled and named, highest first
	// Before and Now say what is drawn where a walk is held against one before
	// it: "round 1, on concrete". Both are "" where there is one walk.
	Before, Now string
}

// Tick is a ruled height of the strip.
type Tick struct {
	Height reduce.Length
	Text   string
}

// Run is one loop unrolled, from its first corner round to that corner again.
// Corners and points that do not lie from 0 to Length are not drawn.
type Run struct {
	Loop    string
	Length  reduce.Length
	Corners []RunCorner // the first corner stands at 0 and again at Length
	Points  []RunPoint  // read stations only, in order
	Before  []RunPoint  // of the walk before, in order; their statuses are not shown
	Steps   []RunStep
}

// RunStep is a place where the design changes at once, and its words.
type RunStep struct {
	At   reduce.Length
	Text string
}

// RunCorner is a corner's name and its distance along the run.
type RunCorner struct {
	Name string
	At   reduce.Length
}

// RunPoint is a read station's distance along the run, its deviation
// (+ is high; from the reference before a datum is chosen) and its status.
type RunPoint struct {
	At     reduce.Length
	Height reduce.Length
	Status Status
	// Gap says that something between the point before and this one is unread:
	// no line leads from one to the other.
	Gap bool
}

// KeyEntry explains one status.
type KeyEntry struct {
	Status Status
	Text   string
}
