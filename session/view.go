package session

import (
	"cmp"
	"slices"

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
	Off      []reduce.Station // read in the walk between the marks of the outline
	Lost     []reduce.Station // read in the walk, but nowhere on the outline: they have no move and are no datum
	Count    int              // readings that count, checks too
	Extent   *reduce.Extent   // of elevation less design; nil where nothing is read
	Worst    *reduce.Pair     // within 20 ft; nil where no two are near enough
	Untied   []reduce.Station // read, but not tied to the reference: no numbers
}

// View derives what reports show of the job's present round.
func (j *Job) View() View {
	readings := j.present()
	v := View{Job: j, State: j.State(), Levels: j.adjust(readings), Datum: j.Datum, Count: len(readings)}

	read := map[reduce.Station]bool{}
	for _, r := range readings {
		read[r.Station] = true
	}
	listed := map[reduce.Station]bool{}
	walk := j.stations()
	all := slices.Clone(walk)
	for _, s := range walk {
		listed[s] = true
		if read[s] {
			v.Read++
		} else {
			v.Left = append(v.Left, s)
		}
	}
	for s := range read {
		if !listed[s] {
			all = append(all, s)
			// In a free walk whatever is read belongs to the walk.
			switch {
			case !walked(s):
			case j.Outline.Empty():
				v.Read++
			case j.placed(s):
				v.Off = append(v.Off, s)
			default:
				v.Lost = append(v.Lost, s)
			}
		}
	}
	slices.SortStableFunc(all, reduce.Compare)
	slices.SortFunc(v.Off, reduce.Compare)
	slices.SortFunc(v.Lost, reduce.Compare)

	spots := v.spots(all)
	if e, ok := reduce.Extremes(spots); ok {
		v.Extent = &e
	}
	if p, ok := reduce.WorstPair(j.Outline, spots, reduce.PairReach); ok {
		v.Worst = &p
	}
	v.level(spots)

	for _, s := range all {
		v.Stations = append(v.Stations, v.station(s, read[s]))
		if _, tied := v.Levels.Elevations[s]; read[s] && !tied {
			v.Untied = append(v.Untied, s)
		}
	}
	return v
}

// walked says that a station is one of those that a walk stops at: on a wall
// or a pier, not a benchmark or a turning point.
func walked(s reduce.Station) bool { return s.Kind == reduce.Wall || s.Kind == reduce.Pier }

// placed says that a station stands somewhere on the outline; in a free walk all
// do.
func (j *Job) placed(s reduce.Station) bool {
	_, _, ok := j.Outline.Position(s)
	return ok || j.Outline.Empty()
}

// spots are the walked stations on the outline that have an elevation, in
// walking order.
func (v *View) spots(all []reduce.Station) []reduce.Spot {
	var spots []reduce.Spot
	for _, s := range all {
		if e, ok := v.Levels.Elevations[s]; ok && walked(s) && v.Job.placed(s) {
			spots = append(spots, reduce.Spot{Station: s, Height: e})
		}
	}
	return spots
}

// level finds the datum's height from the elevations as they now are.
func (v *View) level(spots []reduce.Spot) {
	if v.Datum == nil {
		return
	}
	first := reduce.Corner(1)
	if all := v.Job.stations(); len(all) > 0 {
		first = all[0]
	}
	level, at, ok := reduce.Level(v.Datum.Choice, spots, first, v.Datum.Station, v.Datum.Level)
	if !ok {
		return
	}
	v.Level, v.DatumAt = &level, at
}

func (v *View) station(s reduce.Station, read bool) StationView {
	j := v.Job
	out := StationView{Station: s, Name: j.StationName(s), Read: read, Checked: v.Levels.Checked[s]}
	out.At, out.Loop, out.Placed = j.Outline.Position(s)
	out.NoBeam = !read && slices.Contains(j.NoBeam, s)
	e, tied := v.Levels.Elevations[s]
	if !tied {
		if !read {
			out.Verdict = reduce.Unread
		}
		return out
	}
	out.Elevation = &e
	// A benchmark or a turning point is no part of the sill: nothing moves it.
	if v.Level != nil && walked(s) && j.placed(s) {
		d := e - out.Design - *v.Level
		m := -d
		out.Deviation, out.Move = &d, &m
		out.Verdict = reduce.Judge(d, j.Tolerance)
	}
	return out
}

// present lists the readings of the present round that count, oldest first.
func (j *Job) present() []Reading {
	var out []Reading
	for k := range j.slots {
		if k.round == j.Round {
			out = append(out, j.counting(k)...)
		}
	}
	slices.SortFunc(out, func(a, b Reading) int { return cmp.Compare(a.Seq, b.Seq) })
	return out
}

func (j *Job) adjust(readings []Reading) reduce.Levels {
	rods := make([]reduce.Rod, len(j.Rods))
	for i, r := range j.Rods {
		rods[i] = r.Rod
	}
	obs := make([]reduce.Observation, len(readings))
	for i, r := range readings {
		obs[i] = reduce.Observation{Rod: r.Rod, Station: r.Station, Value: r.Value}
	}
	return reduce.Adjust(rods, obs, j.resolve(j.Reference))
}

// constant is a rod's reading at elevation 0: the mean of what it read at the
// reference, which is exact for one reading there. A rod that never stood on
// the reference is tied through the stations it shares with others.
func (j *Job) constant(rod int) (reduce.Length, bool) {
	k := slot{j.Round, rod, j.resolve(j.Reference), false}
	var sum reduce.Length
	n := 0
	for _, check := range []bool{false, true} {
		k.check = check
		for _, r := range j.counting(k) {
			sum += r.Value
			n++
		}
	}
	if n == 0 {
		c, ok := j.adjust(j.present()).Constants[rod]
		return c, ok
	}
	if n == 1 {
		return sum, true
	}
	return (sum / reduce.Length(n)).RoundTo(reduce.Micrometre), true
}

// State of the job: under review once the round was ended, or once every
// station is read.
func (j *Job) State() State {
	if j.RoundEnded {
		return StateReview
	}
	if walk := j.stations(); len(walk) > 0 {
		read := j.readNow()
		if !slices.ContainsFunc(walk, func(s reduce.Station) bool { return !read[s] }) {
			return StateReview
		}
	}
	return StateWalk
}

// Header is the job in one line.
func (j *Job) Header() JobHeader {
	h := JobHeader{ID: j.ID, Name: j.Name, State: j.State(), Events: j.Seq, Opened: j.Opened, Free: j.Outline.Empty()}
	read := j.readNow()
	for _, s := range j.stations() {
		if read[s] {
			h.Read++
		} else {
			h.Left++
		}
	}
	if j.Outline.Empty() {
		for s := range read {
			if walked(s) {
				h.Read++
			}
		}
	}
	w := walk{job: j, read: read}
	if next, ok := w.next(j.last); ok {
		h.Next = j.StationName(next)
	}
	return h
}
