package session

import (
	"rodcall/reduce"
)

// StationView is a station as it stands now, for reports. A pointer is nil
// where the value is not known.
type StationView struct {
	Station   reduce.Station
	Name      string // full, in the job's own marks
	Loop      string // "" for piers, benchmarks, turning points, a free walk
	At        reduce.Point
	Placed    bool           // At is known
	Design    reduce.Length  // + is higher than the reference's section
	Elevation *reduce.Length // above the reference
	Deviation *reduce.Length // elevation − design − datum; nil before a datum
	Move      *reduce.Length // −Deviation
	Verdict   reduce.Verdict // "" for a read station before a datum
	Read      bool           // it has a reading that counts (tied or not)
	Checked   bool
	NoBeam    bool
}

// View is a job as it stands now: everything a report shows, derived once.
type View struct {
	Job      *Job
	State    State
	Stations []StationView // walking order, then piers, then bm, t
	Levels   reduce.Levels
	Datum    *DatumSet        // nil until chosen
	Level    *reduce.Length   // of the datum above the reference; nil until chosen and known
	DatumAt  reduce.Station   // the station that gives the level (the high spot, c1 …); zero for a fixed height
	Read     int              // stations of the walk that are read
	Left     []reduce.Station // stations of the walk that are not read, walking order
	Count    int              // readings that count, checks too
	Extent   *reduce.Extent   // of elevation less design; nil where nothing is read
	Worst    *reduce.Pair     // within 20 ft; nil where no two are near enough
	Untied   []reduce.Station // read, but not tied to the reference: no numbers
}

// View derives what reports show.
func (j *Job) View() View { return View{Job: j} }

// Readings lists the job's readings, oldest first, those that no longer count
// too.
func (j *Job) Readings() []Reading { return nil }

// Mark is what the distance in a station's name counts in: reduce.Foot or
// reduce.Metre.
func (j *Job) Mark() reduce.Length { return j.Outline.Grid.Mark }
