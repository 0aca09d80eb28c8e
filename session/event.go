package session

import (
	"time"

	"rodcall/reduce"
)

// Event is one entry of a job's log.
type Event struct {
	Seq     uint64    // from 1, without gaps
	At      time.Time // UTC
	By      PersonID
	Message string // ID of the message that caused it, "" for none
	Line    int    // of that message, from 1
	Body    Body
}

// Body is what happened: one of the types below. The list is closed; bodies
// (events.go) drives codec, fold, export and audit.
type Body interface{ kind() string }

// KindOf names what happened, as a stored event does.
func KindOf(b Body) string { return b.kind() }

// Opened opens a job. It is always event 1.
type Opened struct {
	Job  string `json:"job"`
	Chat string `json:"chat"`
	Name string `json:"name"`
	// Lang is the language that a group is answered in: whoever opened the job
	// speaks it. "" in a private chat.
	Lang string `json:"lang,omitempty"`
}

// OutlineSet sets the outline, whole: loops, piers, grid.
type OutlineSet struct {
	Loops  []reduce.Loop  `json:"loops"`
	Piers  []reduce.Point `json:"piers,omitempty"`
	Grid   reduce.Grid    `json:"grid"`
	Metric bool           `json:"metric,omitempty"`
}

// UnitsSet sets the unit and the finest amount shown.
type UnitsSet struct {
	Unit   reduce.Unit   `json:"unit"`
	Finest reduce.Length `json:"finest"`
	Grid   reduce.Grid   `json:"grid"`
}

// SetupOpened: the laser stands in a new place.
type SetupOpened struct {
	Setup  int  `json:"setup"`
	Bumped bool `json:"bumped,omitempty"`
}

// RodTaken: a person takes up a rod in a set-up. A rod that exists changes
// hands; Kind is then its kind.
type RodTaken struct {
	Rod   int            `json:"rod"`
	Setup int            `json:"setup"`
	Kind  reduce.RodKind `json:"kind"`
	By    PersonID       `json:"by"`
}

// RodTested is a ten-second test: what the rod showed on a spot and on a
// scrap of known thickness there.
type RodTested struct {
	Rod       int           `json:"rod"`
	Thickness reduce.Length `json:"thickness"`
	Bare      reduce.Length `json:"bare"`
	Raised    reduce.Length `json:"raised"`
	Passed    bool          `json:"passed"`
}

// RodFlipped: from now on, and for all it read, the rod counts the other way.
type RodFlipped struct {
	Rod     int  `json:"rod"`
	Flipped bool `json:"flipped"`
}

// ReferenceSet chooses the station whose elevation is 0.
type ReferenceSet struct {
	Station reduce.Station `json:"station"`
}

// Read is a reading. A check is an observation beside the station's reading,
// never in place of it.
type Read struct {
	Round   int            `json:"round"`
	Rod     int            `json:"rod"`
	Station reduce.Station `json:"station"`
	Value   reduce.Length  `json:"value"`
	Check   bool           `json:"check,omitempty"`
	Said    string         `json:"said"`
	// Sure: its neighbours make it unlikely, and the crew says that it is so.
	Sure bool `json:"sure,omitempty"`
	// Spoken: heard in a voice note, and provisional until it is firm.
	Spoken bool `json:"spoken,omitempty"`
	// Again: an undo brought back what event Again first gave; 0 where none did.
	Again uint64 `json:"again,omitempty"`
}

// Firmed makes readings firm that were heard in voice notes.
type Firmed struct {
	Seqs []uint64 `json:"seqs"`
	How  string   `json:"how"` // "tap": the person said so; "next": they went on; "undo": an edit of it was taken back, before which it was firm
}

// Noted keeps a line of text or a photo with a station.
type Noted struct {
	Round   int            `json:"round"`
	Station reduce.Station `json:"station"`
	Text    string         `json:"text,omitempty"`
	Photo   Hash           `json:"photo,omitzero"` // of its bytes
}

// CountSet says what digits alone count: Part is 8 or 16 for eighths and
// sixteenths of an inch, 0 for neither.
type CountSet struct {
	Part int `json:"part,omitempty"`
}

// LanguageSet changes the language of a job in a group: "en" or "es".
type LanguageSet struct {
	Lang string `json:"lang"`
}

// Voided takes readings back: an edit, an undo.
type Voided struct {
	Seqs []uint64 `json:"seqs"`
	Why  string   `json:"why"` // "edit", "undo", "misread"
}

// Restored takes a setting back: the job's settings are again what they were
// before event Seq.
type Restored struct {
	Seq uint64 `json:"seq"`
	// Edit: a newer text of its message sets something else with the next event;
	// the undo of that brings back what the older one set.
	Edit bool `json:"edit,omitempty"`
}

// NoBeam: the laser does not reach this station in this set-up.
type NoBeam struct {
	Station reduce.Station `json:"station"`
}

// RoundEnded ends the round, whatever is left. Open takes the end back: the
// walk goes on.
type RoundEnded struct {
	Round int  `json:"round"`
	Open  bool `json:"open,omitempty"`
}

// DatumSet chooses the level to build to; Choice "" takes it back.
type DatumSet struct {
	Choice  reduce.DatumChoice `json:"choice"`
	Station reduce.Station     `json:"station,omitzero"`
	Level   reduce.Length      `json:"level,omitzero"`
}

// ToleranceSet is the crew's own tolerance of the sill from its datum.
type ToleranceSet struct {
	Tolerance reduce.Length `json:"tolerance"`
}

// SurfaceSet says what the rod stands on in this round.
type SurfaceSet struct {
	Surface string `json:"surface"` // concrete, shims, plate
}

// BoltsSet says whether the anchor bolts are tight in this round.
type BoltsSet struct {
	Tight bool `json:"tight"`
}

// KnownSet gives a station its height above whatever the drawings count from,
// taken as exact; Clear takes it back.
type KnownSet struct {
	Station reduce.Station `json:"station"`
	Height  reduce.Length  `json:"height,omitzero"`
	Clear   bool           `json:"clear,omitempty"`
}

// WeightsSet says what counts how much in the adjustment.
type WeightsSet struct {
	Weights string `json:"weights"` // budget, setups
}

// LaserPlaced says where the laser stands in a set-up.
type LaserPlaced struct {
	Setup int          `json:"setup"`
	At    reduce.Point `json:"at"`
}

// BudgetSet sets one part of the error budget: Rise is a length, Run how far
// it takes (beam, cone), Degrees out of plumb (lean). Part "" makes all parts
// ours again.
type BudgetSet struct {
	Part    string        `json:"part,omitempty"` // beam, cone, receiver, reading, lean
	Rise    reduce.Length `json:"rise,omitzero"`
	Run     reduce.Length `json:"run,omitzero"`
	Degrees float64       `json:"degrees,omitempty"`
}

// LaserChecked is a test of the laser: it showed the beam to be off by Rise over
// Run, either way. Values and Stations are what was read, in the order of the
// test's questions.
type LaserChecked struct {
	Test     string           `json:"test"` // "pegs", "headings", "turn"
	Rod      reduce.RodKind   `json:"rod"`
	Values   []reduce.Length  `json:"values"`
	Stations []reduce.Station `json:"stations,omitempty"`
	Rise     reduce.Length    `json:"rise"`
	Run      reduce.Length    `json:"run"`
}

// SetupSplit: the laser was bumped in a set-up, after event After. What its
// rods read since then, up to this event, belongs to set-up New and its rods.
// Where the moment could not be found, Doubt lists the readings that may be
// from either side: they are kept, and count for nothing.
type SetupSplit struct {
	Setup int        `json:"setup"`
	New   int        `json:"new"`
	After uint64     `json:"after"`
	Rods  []RodSplit `json:"rods"`
	Doubt []uint64   `json:"doubt,omitempty"`
}

// RodSplit is a rod's number before a bump and after it.
type RodSplit struct {
	From int `json:"from"`
	To   int `json:"to"`
}

// CheckEverySet says how often a check shot is asked for: after so many
// stations, or minutes; never where both are 0.
type CheckEverySet struct {
	Stations int `json:"stations,omitempty"`
	Minutes  int `json:"minutes,omitempty"`
}

// DesignSet is how much higher than the reference's section some stations are
// meant to be: From and To and all between them in walking order. With Run
// unset they are Rise higher (− is lower); else the wall falls from From to To
// by −Rise in each Run. Clear takes back what was said of these ends; without
// ends all of its kind (steps or falls).
type DesignSet struct {
	From  reduce.Station `json:"from,omitzero"`
	To    reduce.Station `json:"to,omitzero"`
	Rise  reduce.Length  `json:"rise,omitzero"`
	Run   reduce.Length  `json:"run,omitzero"`
	Fall  bool           `json:"fall,omitempty"`
	Loop  bool           `json:"loop,omitempty"` // all of From's loop; To is zero
	Clear bool           `json:"clear,omitempty"`
}

// PlanSet sets one figure of the plan, named by What: a length, a length over
// Run, or a count. Clear makes it ours again.
type PlanSet struct {
	What   PlanFigure    `json:"what"`
	Length reduce.Length `json:"length,omitzero"`
	Run    reduce.Length `json:"run,omitzero"`
	Count  int64         `json:"count,omitempty"`
	Clear  bool          `json:"clear,omitempty"`
}

// PlanFigure names a figure of the plan.
type PlanFigure string

// The figures of the plan.
const (
	FigureGrindCost     PlanFigure = "grinding costs" // Count: hundredths of what as much shimming costs
	FigureGrindMost     PlanFigure = "grind at most"  // Length
	FigureShimMost      PlanFigure = "shim at most"   // Length: more is not a shim
	FigureStackMost     PlanFigure = "stack at most"  // Count: pieces in one stack
	FigureSpares        PlanFigure = "spares"         // Count: per cent
	FigureBearing       PlanFigure = "bearing"        // Length: between joists or studs
	FigureBend          PlanFigure = "bend"           // Length of hollow under a straightedge of Run
	FigurePlate         PlanFigure = "plate"          // Length: its thickness
	FigurePlateWidth    PlanFigure = "plate width"    // Length
	FigureStepTolerance PlanFigure = "step tolerance" // Length
	FigureGrout         PlanFigure = "grout"          // Count: millilitres that a bag makes
)

// PlacesSet says where the plate's bolts, the posts over it or its splices are;
// Every puts bolts so far apart at most. Clear takes them back.
type PlacesSet struct {
	What  string           `json:"what"` // bolts, posts, splices
	At    []reduce.Station `json:"at,omitempty"`
	Every reduce.Length    `json:"every,omitzero"`
	Clear bool             `json:"clear,omitempty"`
}

// StockSet is what shims are on hand, each size once; Clear makes them ours again.
type StockSet struct {
	Sizes []reduce.Shim `json:"sizes,omitempty"`
	Clear bool          `json:"clear,omitempty"`
}

// Shimmed: shims were set at these spots in this round.
type Shimmed struct {
	Round int       `json:"round"`
	Spots []ShimSet `json:"spots"`
}

// ShimSet is what was set at one spot: so much higher than before, as planned
// unless the crew said otherwise; or lower, where shims were taken out.
type ShimSet struct {
	Station reduce.Station `json:"station"`
	Amount  reduce.Length  `json:"amount"`
	// Stack is the shims laid, largest first; none where only the amount was told.
	Stack []reduce.Length `json:"stack,omitempty"`
	// Out: the crew said that shims were taken out, and how many; a lower amount
	// than before may be a correction, too.
	Out bool `json:"out,omitempty"`
}

// RoundOpened begins a further round: a walk of the stations that matter.
type RoundOpened struct {
	Round   int    `json:"round"`
	Surface string `json:"surface"`
	Tight   bool   `json:"tight,omitempty"`
	// Walk lists the stations to be asked for, in walking order. Hang lists some
	// that were to be left alone: where no point off the sill joins the round to
	// those before it, these do.
	Walk []reduce.Station `json:"walk,omitempty"`
	Hang []reduce.Station `json:"hang,omitempty"`
}

// Signed: somebody who may signs the job off as it stands. All but Round is
// what was measured then, kept so that it can be told whatever comes after.
type Signed struct {
	Round     int            `json:"round"`
	Surface   string         `json:"surface,omitempty"`
	Tight     bool           `json:"tight,omitempty"`
	Level     reduce.Length  `json:"level,omitzero"` // of the datum above the reference
	Tolerance reduce.Length  `json:"tolerance,omitzero"`
	On        int            `json:"on,omitempty"`        // stations inside the tolerance
	Unsure    int            `json:"unsure,omitempty"`    // close calls
	Unread    int            `json:"unread,omitempty"`    // stations that have no verdict
	Unchecked int            `json:"unchecked,omitempty"` // stations whose height nothing checks
	Worst     reduce.Station `json:"worst,omitzero"`      // the one farthest off
	Off       reduce.Length  `json:"off,omitzero"`        // its deviation
	Reshot    int            `json:"reshot,omitempty"`    // stations read again
	Laser     time.Time      `json:"laser,omitzero"`      // when the laser was checked, zero for never
}

func (Opened) kind() string        { return "opened" }
func (OutlineSet) kind() string    { return "outline" }
func (UnitsSet) kind() string      { return "units" }
func (SetupOpened) kind() string   { return "setup" }
func (RodTaken) kind() string      { return "rod" }
func (RodTested) kind() string     { return "rod-tested" }
func (RodFlipped) kind() string    { return "rod-flipped" }
func (ReferenceSet) kind() string  { return "reference" }
func (Read) kind() string          { return "read" }
func (Voided) kind() string        { return "voided" }
func (Restored) kind() string      { return "restored" }
func (NoBeam) kind() string        { return "no-beam" }
func (RoundEnded) kind() string    { return "round-ended" }
func (DatumSet) kind() string      { return "datum" }
func (ToleranceSet) kind() string  { return "tolerance" }
func (LaserChecked) kind() string  { return "laser-checked" }
func (SurfaceSet) kind() string    { return "surface" }
func (BoltsSet) kind() string      { return "bolts" }
func (KnownSet) kind() string      { return "known" }
func (WeightsSet) kind() string    { return "weights" }
func (LaserPlaced) kind() string   { return "laser" }
func (BudgetSet) kind() string     { return "budget" }
func (SetupSplit) kind() string    { return "setup-split" }
func (CheckEverySet) kind() string { return "check-every" }
func (DesignSet) kind() string     { return "design" }
func (PlanSet) kind() string       { return "plan" }
func (PlacesSet) kind() string     { return "places" }
func (StockSet) kind() string      { return "stock" }
func (Shimmed) kind() string       { return "shimmed" }
func (RoundOpened) kind() string   { return "round-opened" }
func (Signed) kind() string        { return "signed" }
func (Firmed) kind() string        { return "firmed" }
func (Noted) kind() string         { return "noted" }
func (CountSet) kind() string      { return "count" }
func (LanguageSet) kind() string   { return "language" }
