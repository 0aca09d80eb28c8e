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
	Height    *reduce.Length // above what the drawings count from; nil where no height is known
	Band      *reduce.Length // of Deviation: it holds the true one 95 times in 100
	Move      *reduce.Length // −Deviation
	Verdict   reduce.Verdict // "" for a read station before a datum
	Read      bool           // it has a reading that counts (tied or not)
	Checked   bool
	NoBeam    bool
}

// View is a job as it stands now: everything a report shows, derived once.
type View struct {
	Job          *Job
	State        State
	Stations     []StationView // walking order, then piers, then bm, t
	Levels       reduce.Levels
	Solution     reduce.Solution  // what Levels come of; its heights may be above the zero of known ones
	Adjusted     []Reading        // the readings of Solution, in its order
	Zero         *reduce.Length   // the reference's height above what the drawings count from
	WorstBand    *reduce.Length   // of the difference of Worst
	Datum        *DatumSet        // nil until chosen
	Level        *reduce.Length   // of the datum above the reference; nil until chosen and known
	DatumAt      reduce.Station   // the station that gives the level (the high spot, c1 …); zero for a fixed height
	Read         int              // stations of the walk that are read
	Left         []reduce.Station // stations of the walk that are not read, walking order
	Off          []reduce.Station // read in the walk between the marks of the outline
	Lost         []reduce.Station // read in the walk, but nowhere on the outline: they have no move and are no datum
	WorstVerdict reduce.Verdict   // of Worst against ConcreteTolerance: on, lower (it is more) or unsure
	Unchecked    int              // stations of the walk whose height nothing checks
	Count        int              // readings that count, checks too
	Extent       *reduce.Extent   // of elevation less design; nil where nothing is read
	Worst        *reduce.Pair     // within 20 ft; nil where no two are near enough
	Untied       []reduce.Station // read, but not tied to the reference: no numbers

	heights map[reduce.Station]reduce.Length
}

// View derives what reports show of the job's present round.
func (j *Job) View() View {
	readings := j.present()
	a := j.solve(readings)
	v := View{Job: j, State: j.State(), Levels: a.levels, Solution: a.solution, Adjusted: a.readings, Zero: a.zero,
		heights: a.heights, Datum: j.Datum, Count: len(readings)}

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
		if u, ok := v.Solution.Difference(p.High.Station, p.Low.Station); ok {
			band := u.Band().RoundTo(reduce.Micrometre)
			v.WorstBand, v.WorstVerdict = &band, reduce.Decide(p.Difference, ConcreteTolerance, u)
		}
	}
	v.level(spots)

	for _, s := range all {
		v.Stations = append(v.Stations, v.station(s, read[s]))
		if _, tied := v.Levels.Elevations[s]; tied && walked(s) && !v.Levels.Checked[s] {
			v.Unchecked++
		}
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
	level, at, ok := reduce.Level(v.Datum.Choice, spots, first, v.Datum.Station, v.Datum.Level,
		reduce.LevelRules{Tolerance: v.Job.Tolerance, Ratio: reduce.DefaultGrindRatio})
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
	if height, ok := v.heights[s]; ok {
		out.Height = &height
	}
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
		if u, ok := v.Solution.Difference(s, v.from()); ok {
			band := u.Band().RoundTo(reduce.Micrometre)
			out.Band = &band
			out.Verdict = reduce.Decide(d, j.Tolerance, u)
		}
	}
	return out
}

// from is the station that deviations are measured from: the one that gives the
// datum, or the reference where the datum is a height above it.
func (v *View) from() reduce.Station {
	if v.DatumAt.IsZero() {
		return v.Job.resolve(v.Job.Reference)
	}
	return v.DatumAt
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

func (j *Job) adjust(readings []Reading) reduce.Levels { return j.solve(readings).levels }

// State of the job: signed off while a signature stands; else under review once the round was ended, or once every
// station is read.
func (j *Job) State() State {
	if j.Signed != nil {
		return StateSigned
	}
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
