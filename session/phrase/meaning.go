package phrase

import "rodcall/reduce"

// Context is what a message is read against.
type Context struct {
	Rod    reduce.RodKind
	Unit   reduce.Unit
	Finest reduce.Length
	// Outline resolves stations; an empty one is a free walk, where every
	// station exists. Its Grid.Mark says what c3+8 counts in.
	Outline *reduce.Outline
	// Asked is the station asked for; zero where none is.
	Asked reduce.Station
	// Count is what digits alone count: 8 or 16 for eighths and sixteenths of an
	// inch, 0 for neither.
	Count int
	// trying: an answer is being tried out, which needs no answers of its own.
	trying bool
}

// Kind says what a message means.
type Kind uint8

// The kinds of meaning.
const (
	Reading Kind = iota + 1 // a reading of Station
	Ask                     // could mean several things: Why, Answers; nothing is stored
	Refuse                  // cannot be: Why; nothing is stored
	Command                 // Command with its Arg
)

// Meaning is what one line means.
type Meaning struct {
	Said string // the line as it was sent, trimmed
	Kind Kind
	// Station meant: the one named, else Context.Asked. Zero where there is
	// none. It is resolved: c3+40 on a 40 ft wall is c4.
	Station reduce.Station
	Named   bool          // the line itself named Station
	Value   reduce.Length // the rod's own number; only on a Reading
	// Command and Arg: set on a Command, and on an Ask or Refuse that arose
	// inside a command (a malformed outline keeps Command "outline").
	Command CommandName
	Arg     Arg
	Why     Why
	// Answers to an Ask, likeliest first, in the language of Lang. Each, sent
	// as a message, is itself a Reading or a Command (it names the station
	// where the line did).
	Answers []string
	// Lang is "en" or "es" where the words belong to one language only, else
	// "".
	Lang string
}

// Why says why a line was asked back or refused. Code picks the sentence in
// the session's catalogue; Args fill its gaps, in order.
type Why struct {
	Code WhyCode
	Args []string
}

// CommandName is a command's name as the outside knows it.
type CommandName string

// The commands. Those up to CmdJobs are named by contract with the outside;
// the rest are our own additions.
const (
	CmdUndo      CommandName = "undo"
	CmdSkip      CommandName = "skip"
	CmdLeft      CommandName = "left"
	CmdMore      CommandName = "more" // other values on the keys; Arg: none, or MoreArg
	CmdPicture   CommandName = "picture"
	CmdOriginal  CommandName = "original"
	CmdSummary   CommandName = "summary"
	CmdShims     CommandName = "shims" // Arg: none for the plan, StationArg for a wall's list, Text: all
	CmdBumped    CommandName = "bumped"
	CmdMoved     CommandName = "moved"
	CmdHelp      CommandName = "help"
	CmdDone      CommandName = "done"
	CmdRepeat    CommandName = "repeat"
	CmdNew       CommandName = "new"       // Arg: Text, the name
	CmdOutline   CommandName = "outline"   // Arg: Walls
	CmdPiers     CommandName = "piers"     // Arg: Points
	CmdRod       CommandName = "rod"       // Arg: RodKind
	CmdUnits     CommandName = "units"     // Arg: UnitsArg
	CmdCorrect   CommandName = "correct"   // Arg: ReadingArg
	CmdCheck     CommandName = "check"     // Arg: ReadingArg
	CmdDatum     CommandName = "datum"     // Arg: DatumArg
	CmdTolerance CommandName = "tolerance" // Arg: LengthArg
	CmdStep      CommandName = "step"      // Arg: DesignArg, StepToleranceArg
	CmdFall      CommandName = "fall"      // Arg: DesignArg
	CmdStock     CommandName = "stock"     // Arg: none to show it, StockArg
	CmdShimmed   CommandName = "shimmed"   // Arg: ShimmedArg
	CmdRound     CommandName = "round"     // "next round"; Arg: none
	CmdSign      CommandName = "sign"
	CmdKnown     CommandName = "known"   // Arg: KnownArg
	CmdLoop      CommandName = "loop"    // Arg: Walls, with Name and At
	CmdSpacing   CommandName = "spacing" // Arg: LengthArg
	CmdJobs      CommandName = "jobs"    // Arg: none to list, Text (a name) to go to

	CmdReference  CommandName = "reference"      // Arg: StationArg
	CmdOtherWay   CommandName = "other way"      // walk round in the other direction
	CmdNoBeam     CommandName = "no beam"        // Arg: StationArg (the asked one where none was said)
	CmdSurface    CommandName = "surface"        // Arg: Text: concrete, shims, plate
	CmdBolts      CommandName = "bolts"          // Arg: Text: loose, tight
	CmdGrindCost  CommandName = "grinding costs" // Arg: CostArg
	CmdGrindMost  CommandName = "grind at most"  // Arg: LimitArg
	CmdShimMost   CommandName = "shim at most"   // Arg: LimitArg; more is not a shim
	CmdStackMost  CommandName = "stack at most"  // Arg: CountArg, pieces
	CmdShimFrom   CommandName = "shim"           // shims are set now; Arg: none, or StationArg to begin there
	CmdChoices    CommandName = "choices"        // the levels to choose from, with what each costs
	CmdPlate      CommandName = "plate"          // how thick it is; Arg: LengthArg
	CmdStill      CommandName = "still"          // the laser stands where it stood in the round before
	CmdPlateWidth CommandName = "plate width"    // Arg: LengthArg
	CmdBearing    CommandName = "bearing"        // how far apart joists or studs stand; Arg: FigureArg
	CmdBoltPlaces CommandName = "bolt places"    // where the anchor bolts are; Arg: PlacesArg
	CmdPosts      CommandName = "posts"          // Arg: PlacesArg
	CmdSplices    CommandName = "splices"        // Arg: PlacesArg
	CmdBend       CommandName = "bend"           // Arg: FigureArg; so much hollow under so long a straightedge
	CmdSpares     CommandName = "spares"         // Arg: CountArg, per cent
	CmdGrout      CommandName = "grout"          // Arg: BagArg, what a bag makes
	CmdPapers     CommandName = "papers"         // the report as a PDF
	CmdAsFound    CommandName = "as found"       // the foundation as it was poured
	CmdWeights    CommandName = "weights"        // Arg: Text: setups, budget
	CmdLaser      CommandName = "laser"          // Arg: Points (one)
	CmdBudget     CommandName = "budget"         // Arg: none to show it, BudgetArg
	CmdQuality    CommandName = "quality"        // how well the readings agree
	CmdNotes      CommandName = "notes"          // the readings as level notes
	CmdTestRod    CommandName = "test rod"       // the ten-second test
	CmdFlipRod    CommandName = "flip rod"       // count this rod the other way
	CmdCheckLaser CommandName = "check laser"    // which tests of the laser there are
	CmdTwoPegs    CommandName = "two pegs"       // the two-peg test
	CmdHeadings   CommandName = "four headings"  // one spot read with each side of the laser facing it
	CmdHalfTurn   CommandName = "half turn"      // three stations read again, the laser turned half round
	CmdReshoot    CommandName = "re-shoot"       // read again what the lot drew
	CmdTookOver   CommandName = "took over"      // this person now holds the other's rod
	CmdAnotherRod CommandName = "another rod"    // this person holds a rod of their own
	CmdLanguage   CommandName = "language"       // Arg: Text: en, es
	CmdNo         CommandName = "no"             // leave a pending question
	CmdCheckEvery CommandName = "check every"    // Arg: EveryArg
	CmdBreak      CommandName = "break"          // a break: a check shot before it
	CmdYes        CommandName = "yes"            // what was heard is right; Arg: none, StationArg, Text: all
	CmdCount      CommandName = "count"          // what digits alone count; Arg: Text: 8, 16, none
	CmdNote       CommandName = "note"           // a line kept with a station; Arg: NoteArg
	CmdKept       CommandName = "kept"           // what is kept with stations
	CmdAloud      CommandName = "answer aloud"   // voice notes are answered aloud; Arg: Text: on, off
)

// Arg is what a command was given: one of the types below, or nil.
type Arg interface{ arg() }

// Text is a word or a name, as sent (trimmed) or canonical where the command's
// comment lists the words.
type Text string

// StationArg is a station, resolved.
type StationArg struct{ Station reduce.Station }

// LengthArg is a length.
type LengthArg struct{ Length reduce.Length }

// ReadingArg is a reading of a station.
type ReadingArg struct {
	Station reduce.Station
	Value   reduce.Length // the rod's own number
}

// NoteArg is a line of text for a station; Text is as it was sent.
type NoteArg struct {
	Station reduce.Station
	Text    string
}

// EveryArg is after how many stations or minutes something is asked for; never
// where both are 0.
type EveryArg struct{ Stations, Minutes int }

// RodArg is a kind of rod.
type RodArg struct{ Kind reduce.RodKind }

// UnitsArg sets the unit, the finest unit, or both (the one not given is 0).
type UnitsArg struct {
	Unit   reduce.Unit
	Finest reduce.Length
}

// Points are places in plan.
type Points []reduce.Point

// Walls is an outline or a further loop. Metric says that m was written with
// it. Name and At belong to a loop.
type Walls struct {
	Legs   []reduce.Leg
	Metric bool
	Feet   bool // ft was written with it
	Name   string
	At     reduce.Point
	// How it was written, for Rewritten; nothing where it was no walls and turns.
	before, behind string
	said           []saidLeg
}

// DatumArg is the level to build to. Clear takes the datum back.
type DatumArg struct {
	Choice  reduce.DatumChoice // "" with Clear
	Station reduce.Station     // with DatumStation
	Level   reduce.Length      // with DatumFixed
	Clear   bool
}

func (Text) arg()       {}
func (StationArg) arg() {}
func (LengthArg) arg()  {}
func (ReadingArg) arg() {}
func (RodArg) arg()     {}
func (UnitsArg) arg()   {}
func (Points) arg()     {}
func (Walls) arg()      {}
func (DatumArg) arg()   {}
func (NoteArg) arg()    {}

// WhyCode names a reason. Codes are in why.go, each with the meaning of its
// Args.
type WhyCode string

func (EveryArg) arg() {}
