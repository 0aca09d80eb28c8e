package session

import (
	"fmt"
	"maps"
	"slices"
	"time"

	"rodcall/reduce"
)

// State of a job.
type State string

// The states.
const (
	StateWalk   State = "walk"   // stations are being read
	StateReview State = "review" // the round has ended; a datum may be chosen
	StateShim   State = "shim"   // shims are set in this round
	StateSigned State = "signed" // later
)

// Job is the fold of a log: all that its events say. Only Apply changes it.
type Job struct {
	ID       string
	Chat     string
	Name     string
	Opened   time.Time
	OpenedBy PersonID
	Seq      uint64 // of the newest event
	Settings

	hist     *history
	slots    map[slot]uint64  // the newest reading of each
	empty    map[slot]bool    // slots in which nothing counts any more
	steps    []*step          // what can be undone, oldest first; none is changed in place
	mendings []mending        // edits that can be undone, oldest first; replaced, never changed in place
	reset    *step            // what the edit at hand has taken back, for the step of the next event
	last     reduce.Station   // of the newest reading that counts in the walk
	shared   bool             // steps is another job's: to be copied before it is changed
	order    []reduce.Station // of the outline, in walking order; never changed in place
	memo     *memo            // of a scratch job only
	basis    *basis           // what further readings are reduced by
	plan     uint64           // the event that changed the outline last
	design   *reduce.Design   // of the settings; nil: level all over
}

// Settings of a job. Slices and pointers in it are replaced, never changed in
// place, so that a copy of Settings keeps what it was.
type Settings struct {
	Unit         reduce.Unit
	Finest       reduce.Length
	UnitsSet     bool            // the crew chose the unit
	Outline      *reduce.Outline // never nil; empty for a free walk
	Reference    reduce.Station
	Datum        *DatumSet // nil until chosen
	Tolerance    reduce.Length
	ToleranceSet bool // the crew set it; else it is ours
	Round        int
	RoundEnded   bool
	Surface      string // concrete, shims, plate
	BoltsTight   bool
	NoBeam       []reduce.Station // in this set-up
	Setups       []Setup
	Rods         []Rod
	Known        []KnownSet  // heights given, one a station
	Alike        bool        // every set-up counts alike; else by the error budget
	Budget       []BudgetSet // parts that the crew set, one each
	LaserCheck   *LaserCheck // the last, nil for none
	Splits       []Split
	CheckEvery   CheckEverySet
	CheckSet     bool // the crew set CheckEvery; else it is ours
	Design       []DesignSet
	Plan         []PlanSet        // figures that the crew set, one each
	Places       []PlacesSet      // of bolts, posts and splices, one each
	Stock        *StockSet        // nil: ours
	StockFrom    uint64           // the newest event when Stock was told of: what was shimmed since is off it
	Shimmed      []ShimsSet       // oldest first
	Past         []PastRound      // the rounds before this one
	Walk         []reduce.Station // asked for in this round; nil in the first, which asks for all
	Hang         []reduce.Station // of this round, see RoundOpened
	DatumRound   int              // the round in which Datum was chosen
	Signed       *Signature       // the one that stands, nil for none
	Superseded   []Signature      // those that a later change re-opened, oldest first
	Notes        []Note           // oldest first
	Count        int              // what digits alone count: 8, 16, or 0 for neither
	Lang         string           // that a group is answered in; "": each in their own
}

// Note is a line of text or a photo that was kept with a station.
type Note struct {
	Noted
	By      PersonID
	At      time.Time // UTC
	Seq     uint64
	Message string // that it came with
}

// PastRound is a round that is over.
type PastRound struct {
	Round   int
	Surface string
	Tight   bool
	Walk    []reduce.Station // asked for; nil in the first, which asks for all
	Hang    []reduce.Station // see RoundOpened
}

// ShimsSet is shims as they were set, and when.
type ShimsSet struct {
	Shimmed
	Seq  uint64
	Late bool        // told before anything of the sill was read in its round: of the one before
	Unit reduce.Unit // that the job counted in then
}

// LaserCheck is a test of the laser and when it was made.
type LaserCheck struct {
	LaserChecked
	At time.Time
}

// Setup is the laser standing in one place.
type Setup struct {
	ID     int
	Opened time.Time
	Bumped bool
	Laser  *reduce.Point // where it stands, nil until said
}

// Rod is a rod of the job and who holds it.
type Rod struct {
	reduce.Rod
	Setup  int
	By     PersonID // who holds it, or held it last
	Tested bool     // it has had the ten-second test
}

// step is what one line of one message did, as far as it can be undone.
type step struct {
	seq     uint64 // of its first event
	by      PersonID
	message string
	line    int
	reads   []uint64  // readings it gave
	before  *Settings // the settings before it; nil where it changed none
	sets    []matter  // what it set
	leans   []matter  // what it hangs on
	was     *step     // what an edit put it in the place of; nil for most
}

// maxSteps bounds how far back undo reaches: so many steps, and up to as many
// more.
const maxSteps = 16

// NewJob is a job before its first event.
func NewJob() *Job {
	return &Job{hist: newHistory(nil), slots: map[slot]uint64{}, empty: map[slot]bool{}, basis: &basis{}}
}

// Fold makes a job of its log.
func Fold(events []Event) (*Job, error) {
	j := NewJob()
	for _, e := range events {
		if err := j.Apply(e); err != nil {
			return nil, err
		}
	}
	return j, nil
}

// scratch is a job to try events on: j and what it holds stay as they are.
// It costs as many steps as the job has stations, not as it has events.
func (j *Job) scratch() *Job {
	s := *j
	s.hist = newHistory(j.hist)
	s.slots, s.empty = maps.Clone(j.slots), maps.Clone(j.empty)
	s.shared = true
	s.memo = &memo{}
	return &s
}

// Apply takes the next event. It refuses one that does not follow and leaves
// the job as it was.
func (j *Job) Apply(e Event) error {
	if e.Seq != j.Seq+1 {
		return fmt.Errorf("event %d after event %d", e.Seq, j.Seq)
	}
	if _, opens := e.Body.(Opened); opens != (e.Seq == 1) {
		return fmt.Errorf("event %d: a job opens once, with its first event", e.Seq)
	}
	if j.unsettles(e.Body) {
		j.basis = &basis{}
	}
	before := j.Settings
	switch b := e.Body.(type) {
	case Opened:
		j.ID, j.Chat, j.Name, j.Opened, j.OpenedBy = b.Job, b.Chat, b.Name, e.At, e.By
		j.Settings = Settings{
			Unit:      reduce.UnitInch,
			Finest:    reduce.UnitInch.Finest(),
			Outline:   &reduce.Outline{Grid: reduce.GridFor(reduce.UnitInch)},
			Reference: reduce.Corner(1),
			Tolerance: reduce.DefaultTolerance,
			Round:     1,
			Lang:      b.Lang,
			Surface:   "concrete",
		}
	case Read:
		j.applyRead(e, b)
	case Voided:
		j.applyVoided(e, b)
	case Restored:
		if err := j.applyRestored(e, b); err != nil {
			return err
		}
	case SetupOpened:
		// Opening a job opens its first set-up: that is not to be undone.
		if len(j.Setups) > 0 {
			j.remember(e)
		}
		j.Setups = append(slices.Clip(j.Setups), Setup{ID: b.Setup, Opened: e.At, Bumped: b.Bumped})
		j.NoBeam = nil
	case LaserChecked:
		j.remember(e)
		j.LaserCheck = &LaserCheck{b, e.At}
	case SetupSplit:
		j.remember(e)
		j.split(e, b)
	case Shimmed:
		j.remember(e)
		j.Shimmed = append(slices.Clip(j.Shimmed), ShimsSet{b, e.Seq, j.last.IsZero(), j.Unit})
	case Firmed:
		for _, seq := range b.Seqs {
			j.hist.setFirm(seq)
		}
	case Noted:
		j.remember(e)
		j.Notes = append(slices.Clip(j.Notes), Note{Noted: b, By: e.By, At: e.At, Seq: e.Seq, Message: e.Message})
	case Signed:
		j.remember(e)
		j.Signed = &Signature{Signed: b, By: e.By, At: e.At, Seq: e.Seq}
	default:
		j.remember(e)
		j.set(b)
	}
	j.redesign(before)
	if j.Outline != before.Outline {
		j.plan, j.order = e.Seq, j.Outline.Stations()
	}
	j.mends(e)
	j.Seq = e.Seq
	if before.Signed != nil && j.Signed == before.Signed && j.changes(e.Body, before) {
		j.supersede(e)
	}
	return nil
}

// set takes an event that changes nothing but settings.
func (j *Job) set(b Body) {
	switch b := b.(type) {
	case OutlineSet:
		j.Outline = &reduce.Outline{Loops: b.Loops, Piers: b.Piers, Grid: b.Grid}
		j.place()
	case UnitsSet:
		j.Unit, j.Finest, j.UnitsSet = b.Unit, b.Finest, true
		if b.Grid != j.Outline.Grid {
			o := *j.Outline
			o.Grid = b.Grid
			j.Outline = &o
		}
	case RodTaken:
		j.takeRod(b)
	case RodTested:
		j.changeRod(b.Rod, func(r *Rod) { r.Tested = true })
	case RodFlipped:
		j.changeRod(b.Rod, func(r *Rod) { r.Flipped = b.Flipped })
	case ReferenceSet:
		j.Reference = b.Station
	case NoBeam:
		j.NoBeam = append(slices.Clip(j.NoBeam), b.Station)
	case RoundEnded:
		j.RoundEnded = !b.Open
	case DatumSet:
		j.Datum = nil
		if b.Choice != "" {
			j.Datum, j.DatumRound = &b, j.Round
		}
	case ToleranceSet:
		j.Tolerance, j.ToleranceSet = b.Tolerance, true
	case SurfaceSet:
		j.Surface = b.Surface
	case BoltsSet:
		j.BoltsTight = b.Tight
	case KnownSet:
		j.setKnown(b)
	case WeightsSet:
		j.Alike = b.Weights == "setups"
	case LaserPlaced:
		j.placeLaser(b.Setup, &b.At)
	case BudgetSet:
		j.setBudget(b)
	case CheckEverySet:
		j.CheckEvery, j.CheckSet = b, true
	case DesignSet:
		j.setDesign(b)
	case PlanSet:
		j.Plan = slices.DeleteFunc(slices.Clone(j.Plan), func(k PlanSet) bool { return k.What == b.What })
		if !b.Clear {
			j.Plan = append(j.Plan, b)
		}
	case PlacesSet:
		j.Places = slices.DeleteFunc(slices.Clone(j.Places), func(k PlacesSet) bool { return k.What == b.What })
		if !b.Clear {
			j.Places = append(j.Places, b)
		}
	case StockSet:
		j.Stock, j.StockFrom = nil, j.Seq
		if !b.Clear {
			j.Stock = &b
		}
	case RoundOpened:
		j.openRound(b)
	case CountSet:
		j.Count = b.Part
	case LanguageSet:
		j.Lang = b.Lang
	case Opened, SetupOpened, SetupSplit, Read, Voided, Restored, LaserChecked, Shimmed, Signed, Firmed, Noted:
		// Apply takes these itself.
	}
}

func (j *Job) takeRod(b RodTaken) {
	for _, r := range j.Rods {
		if r.ID == b.Rod {
			j.changeRod(b.Rod, func(r *Rod) { r.Kind, r.By = b.Kind, b.By })
			return
		}
	}
	j.Rods = append(slices.Clip(j.Rods), Rod{Rod: reduce.Rod{ID: b.Rod, Kind: b.Kind}, Setup: b.Setup, By: b.By})
}

func (j *Job) changeRod(id int, change func(*Rod)) {
	j.Rods = slices.Clone(j.Rods)
	for i := range j.Rods {
		if j.Rods[i].ID == id {
			change(&j.Rods[i])
		}
	}
}

// remember notes the settings before an event, so that it can be undone.
func (j *Job) remember(e Event) {
	s := j.step(e)
	if s.before == nil {
		before := j.Settings
		s.before = &before
	}
	sets, leans := j.matters(e.Body)
	switch e.Body.(type) {
	case Shimmed:
		sets[0] = shimsOf(e.Seq)
	case Noted:
		sets[0] = noteOf(e.Seq)
	}
	for _, m := range sets {
		if !slices.Contains(s.sets, m) {
			s.sets = append(slices.Clip(s.sets), m)
		}
	}
	s.lean(leans...)
}

// lean notes what a step hangs on.
func (s *step) lean(on ...matter) {
	for _, m := range on {
		// What it set itself goes with it.
		if !slices.Contains(s.leans, m) && !slices.Contains(s.sets, m) {
			s.leans = append(slices.Clip(s.leans), m)
		}
	}
}

// step is the undo step that an event belongs to: one line of one message.
func (j *Job) step(e Event) *step {
	if j.shared {
		j.steps, j.shared = append(make([]*step, 0, len(j.steps)+4), j.steps...), false
	}
	if n := len(j.steps); n > 0 && e.Message != "" {
		if s := j.steps[n-1]; s.message == e.Message && s.line == e.Line && s.by == e.By {
			again := *s // it may be another job's, too
			j.steps[n-1] = &again
			return &again
		}
	}
	if len(j.steps) >= 2*maxSteps {
		j.steps = slices.Clone(j.steps[len(j.steps)-maxSteps+1:])
	}
	s := &step{seq: e.Seq, by: e.By, message: e.Message, line: e.Line}
	if k := j.reset; k != nil && k.seq+1 == e.Seq && k.message == e.Message && k.line == e.Line {
		s.before, s.sets, s.leans, s.was = k.before, k.sets, k.leans, k.was
	}
	j.steps = append(j.steps, s)
	return s
}

func (j *Job) applyRead(e Event, b Read) {
	s := j.step(e)
	s.reads = append(slices.Clip(s.reads), e.Seq)
	s.lean(matter{kind: ofRod, id: b.Rod})
	if b.Round > 1 {
		s.lean(matter{kind: ofOpening, id: b.Round})
	}
	k := slot{b.Round, b.Rod, b.Station, b.Check}
	j.hist.add(Reading{Event: e, Read: b, prev: j.slots[k]})
	j.slots[k] = e.Seq
	delete(j.empty, k)
	j.memo.nowRead(j, b, e.Seq)
	if !b.Check && (b.Station.Kind == reduce.Wall || b.Station.Kind == reduce.Pier) {
		j.last = b.Station
	}
}

func (j *Job) applyVoided(e Event, b Voided) {
	for _, seq := range b.Seqs {
		j.hist.setVoid(seq, voiding{b.Why == "edit", e.Seq, e.At})
	}
	for _, seq := range b.Seqs {
		if r, ok := j.hist.at(seq); ok {
			j.noteEmpty(r.slot())
		}
	}
	j.shared = false
	j.steps = slices.DeleteFunc(slices.Clone(j.steps), func(s *step) bool {
		return len(s.reads) > 0 && !slices.ContainsFunc(s.reads, func(seq uint64) bool {
			r, ok := j.hist.at(seq)
			return ok && !r.void
		})
	})
	j.last = j.hist.lastWalked(j.Round)
}

func (j *Job) applyRestored(e Event, b Restored) error {
	i := slices.IndexFunc(j.steps, func(s *step) bool { return s.seq == b.Seq && s.before != nil })
	if i < 0 {
		return fmt.Errorf("event %d: nothing to restore at event %d", j.Seq+1, b.Seq)
	}
	outline, splits, round, undone := j.Outline, len(j.Splits), j.Round, *j.steps[i]
	before := undone.before
	if now := j.Settings; b.Edit {
		for s := undone.was; s != nil; s = s.was { // as before all that the message set
			before = s.before
		}
		j.reset = &step{seq: e.Seq, message: e.Message, line: e.Line, before: &now, sets: undone.sets, leans: undone.leans, was: j.steps[i]}
	}
	for _, m := range undone.sets {
		j.putBack(m, *before)
	}
	j.steps, j.shared = slices.Delete(slices.Clone(j.steps), i, i+1), false
	if was := undone.was; was != nil && !b.Edit {
		for _, m := range was.sets {
			j.bringBack(m, *before)
		}
		at := slices.IndexFunc(j.steps, func(s *step) bool { return s.seq > was.seq })
		if at < 0 {
			at = len(j.steps)
		}
		j.steps = slices.Insert(j.steps, at, was)
	}
	if len(j.Splits) < splits && len(undone.reads) > 0 {
		// The re-shot that led to the split stays, and can be undone as well.
		undone.sets, undone.before = nil, nil
		j.steps = slices.Insert(j.steps, i, &undone)
	}
	if outline != j.Outline || len(j.Splits) < splits {
		j.place()
	}
	if j.Round != round {
		j.last = j.hist.lastWalked(j.Round)
	}
	return nil
}

// place files the readings anew under the stations of the outline that is now
// in force: what was c3+40 before it came may be its c4.
func (j *Job) place() {
	j.slots = map[slot]uint64{}
	// Links between readings follow the slots: rebuilt in one layer.
	rows := j.hist.all()
	j.hist = newHistory(nil)
	for _, r := range rows {
		if said, ok := r.Body.(Read); ok {
			r.Station = j.resolve(said.Station)
			r.Rod, r.doubt = j.rodThen(said.Rod, r.Seq, j.hist.took(r)), j.doubted(r.Seq)
		}
		k := r.slot()
		r.prev = j.slots[k]
		j.hist.add(r)
		j.slots[k] = r.Seq
	}
	j.empty = map[slot]bool{}
	for k := range j.slots {
		j.noteEmpty(k)
	}
	j.last = j.resolve(j.last)
}

// noteEmpty notes whether anything counts in a slot.
func (j *Job) noteEmpty(k slot) {
	if _, ok := j.live(k); ok {
		delete(j.empty, k)
	} else {
		j.empty[k] = true
	}
}

func (j *Job) resolve(s reduce.Station) reduce.Station {
	if r, err := j.Outline.Resolve(s); err == nil {
		return r
	}
	return s
}

// live is the newest reading of a slot that was not taken back.
func (j *Job) live(k slot) (Reading, bool) {
	for seq := j.slots[k]; seq != 0; {
		r, ok := j.hist.at(seq)
		if !ok {
			return Reading{}, false
		}
		if !r.void && !r.doubt {
			return r, true
		}
		seq = r.prev
	}
	return Reading{}, false
}

// counting lists what counts in a slot: the newest reading, or every check.
func (j *Job) counting(k slot) []Reading {
	if !k.check {
		if r, ok := j.live(k); ok {
			return []Reading{r}
		}
		return nil
	}
	var out []Reading
	for seq := j.slots[k]; seq != 0; {
		r, ok := j.hist.at(seq)
		if !ok {
			break
		}
		if !r.void && !r.doubt {
			out = append(out, r)
		}
		seq = r.prev
	}
	slices.Reverse(out)
	return out
}

// Readings lists the job's readings, oldest first, those that no longer count
// too.
func (j *Job) Readings() []Reading {
	out := j.hist.all()
	for i := range out {
		r := &out[i]
		r.Void = r.void || r.doubt
		if !r.Check && !r.Void {
			newest, ok := j.live(slot{r.Round, r.Rod, r.Station, false})
			r.Void = ok && newest.Seq != r.Seq
		}
	}
	return out
}

// Mark is what the distance in a station's name counts in: reduce.Foot or
// reduce.Metre.
func (j *Job) Mark() reduce.Length { return j.Outline.Grid.Mark }

// StationName is a station's full name in the job's own marks.
func (j *Job) StationName(s reduce.Station) string { return s.Name(j.Mark()) }

// setup is the newest set-up's number, 0 before the first.
func (j *Job) setup() int {
	if n := len(j.Setups); n > 0 {
		return j.Setups[n-1].ID
	}
	return 0
}
