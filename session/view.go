package session

import (
	"cmp"
	"maps"
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

	Round     int            // in which Elevation was read, 0 where it never was
	Carried   bool           // Elevation is of an earlier round, and nobody touched the spot since
	Touched   bool           // shims were set since it was read last
	Set       reduce.Length  // so much of them
	Predicted *reduce.Length // elevation that it should have by now: as read last, with what was set and the plate since; nil where nothing tells, or nothing was done in the only round
	Foreseen  *reduce.Length // what Predicted was before it was read in this round; nil in the first round
	Rounds    []RoundHeight  // each in which it was read, oldest first
}

// RoundHeight is a station's elevation as read in a round, nil where nothing
// ties it.
type RoundHeight struct {
	Round     int
	Elevation *reduce.Length
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
	Spots        []reduce.Spot    // of the walk, with their elevation less design, in walking order
	Extent       *reduce.Extent   // of elevation less design; nil where nothing is read
	Worst        *reduce.Pair     // within 20 ft; nil where no two are near enough
	Sections     []Section        // where the design makes more than one
	Steps        []StepView       // between sections along a wall
	Untied       []reduce.Station // read, but not tied to the reference: no numbers

	adjusted *adjusted
}

// View derives what reports show of the job as it stands in its present round.
func (j *Job) View() View {
	a := j.solve()
	return j.viewOf(&a)
}

// viewOf is the job by an adjustment of it.
func (j *Job) viewOf(a *adjusted) View {
	v := View{Job: j, State: j.State(), Levels: a.levels, Solution: a.solution, Adjusted: a.readings, Zero: a.zero,
		Datum: j.Datum, adjusted: a}

	read, done := map[reduce.Station]bool{}, map[reduce.Station]bool{}
	ever, halved := map[reduce.Station]bool{}, map[reduce.Station]bool{}
	for _, r := range a.readings {
		ever[r.Station], halved[j.spotOf(r.Station)] = true, true
	}
	for i := range a.counted {
		if r := &a.counted[i]; r.Round == j.Round {
			read[r.Station], done[r.Station], done[j.spotOf(r.Station)] = true, true, true
			v.Count++
		}
	}
	listed := map[reduce.Station]bool{}
	for _, s := range j.asked() {
		listed[s] = true
		if done[s] {
			v.Read++
		} else {
			v.Left = append(v.Left, s)
		}
	}
	all := slices.Clone(j.stations())
	// A spot whose own height was read as one of its halves stands as that.
	all = slices.DeleteFunc(all, func(s reduce.Station) bool { return halved[s] && !ever[s] })
	for _, s := range all {
		delete(ever, s)
	}
	for _, s := range j.stations() {
		listed[s] = true
	}
	for s := range read {
		if !listed[s] {
			// In a free walk whatever is read belongs to the walk.
			switch _, stepped := j.design.StepAt(s); {
			case !walked(s), s.Half != 0 && stepped && !j.free():
			case j.free():
				v.Read++
			case j.placed(s):
				v.Off = append(v.Off, s)
			default:
				v.Lost = append(v.Lost, s)
			}
		}
	}
	all = slices.AppendSeq(all, maps.Keys(ever))
	slices.SortStableFunc(all, j.design.Compare)
	slices.SortFunc(v.Off, reduce.Compare)
	slices.SortFunc(v.Lost, reduce.Compare)
	for _, s := range all {
		v.Stations = append(v.Stations, v.station(s, read[s]))
	}
	v.stands()

	v.Spots = v.spots()
	if e, ok := reduce.Extremes(v.Spots); ok {
		v.Extent = &e
	}
	if p, ok := reduce.WorstPair(j.Outline, v.Spots, reduce.PairReach); ok {
		v.Worst = &p
		if u, ok := v.Difference(p.High.Station, p.Low.Station); ok {
			band := u.Band().RoundTo(reduce.Micrometre)
			v.WorstBand, v.WorstVerdict = &band, reduce.Decide(p.Difference, ConcreteTolerance, u)
		}
	}
	v.level()
	v.Sections, v.Steps = j.sections(v.Spots), v.measured(v.Spots)

	for i := range v.Stations {
		s := &v.Stations[i]
		v.judge(s)
		if s.Elevation != nil && walked(s.Station) && !s.Checked {
			v.Unchecked++
		}
		if s.Elevation == nil && s.Read {
			v.Untied = append(v.Untied, s.Station)
		}
	}
	return v
}

// Design is how high each station is meant to be; nil where all are level.
func (v View) Design() *reduce.Design { return v.Job.design }

// holder is the station that has a spot's height: the spot, or its own half
// where only that is read.
func (v View) holder(s reduce.Station) reduce.Station {
	return v.Job.holderOf(s, func(k reduce.Station) bool { _, ok := v.Levels.Elevations[k]; return ok })
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
func (v *View) spots() []reduce.Spot {
	var spots []reduce.Spot
	for _, s := range v.Stations {
		if s.Elevation != nil && walked(s.Station) && v.Job.placed(s.Station) {
			spots = append(spots, reduce.Spot{Station: s.Station, Height: *s.Elevation - s.Design})
		}
	}
	return spots
}

// spotsOf are spots as they stood in a round.
func (v *View) spotsOf(round int) []reduce.Spot {
	if round == v.Job.Round {
		return v.spots()
	}
	var spots []reduce.Spot
	for _, s := range v.Stations {
		if e := v.adjusted.stand(s.Station, round).elevation; e != nil && walked(s.Station) && v.Job.placed(s.Station) {
			spots = append(spots, reduce.Spot{Station: s.Station, Height: *e - s.Design})
		}
	}
	return spots
}

// level finds the datum's height: from the elevations of the round in which it
// was chosen, for what is shimmed since is brought to that height.
func (v *View) level() {
	if v.Datum == nil {
		return
	}
	spots := v.spotsOf(v.Job.DatumRound)
	// Which half had the height of a spot then: in a later round another may.
	holder := func(s reduce.Station) reduce.Station {
		return v.Job.holderOf(s, func(k reduce.Station) bool {
			return slices.ContainsFunc(spots, func(p reduce.Spot) bool { return p.Station == k })
		})
	}
	level, at, ok := reduce.Level(v.Datum.Choice, spots, holder(v.Job.first()), holder(v.Datum.Station), v.Datum.Level, v.Job.LevelRules())
	if !ok {
		return
	}
	v.Level, v.DatumAt = &level, at
}

// station says where a station is and how high it stands.
func (v *View) station(s reduce.Station, read bool) StationView {
	j := v.Job
	out := StationView{Station: s, Name: j.StationName(s), Read: read}
	out.At, out.Loop, out.Placed = j.Outline.Position(s)
	out.Design = j.design.At(s)
	out.NoBeam = !read && slices.Contains(j.NoBeam, s)
	k := v.adjusted.stand(s, j.Round)
	out.Elevation, out.Round, out.Carried = k.elevation, k.round, k.carried
	out.Touched, out.Set = k.touched, k.set
	if j.Round > 1 || k.touched {
		out.Predicted = k.foreseen
	}
	if j.Round > 1 && read {
		out.Foreseen = v.adjusted.before(s, j.Round).foreseen
	}
	v.past(&out)
	if k.round == 0 {
		return out
	}
	key := v.adjusted.record.key(s, k.round)
	if k.elevation != nil {
		out.Checked = v.adjusted.all.Checked[key.key]
	}
	if height, ok := v.adjusted.heights[key.key]; ok && (k.elevation != nil || j.Round == 1) {
		height += key.more
		out.Height = &height
	}
	return out
}

// past lists the rounds in which a station was read.
func (v *View) past(out *StationView) {
	r := v.adjusted.record
	if r.reads == nil {
		if out.Read {
			out.Rounds = []RoundHeight{{Round: v.Job.Round, Elevation: out.Elevation}}
		}
		return
	}
	for _, m := range r.reads[out.Station] {
		h := RoundHeight{Round: m.round}
		if e, ok := v.adjusted.at(out.Station, m.round); ok {
			h.Elevation = &e
		}
		out.Rounds = append(out.Rounds, h)
	}
}

// stands puts the levels of what stands as it was read in an earlier round
// beside those of the present one.
func (v *View) stands() {
	if v.Job.Round == 1 {
		return
	}
	for _, s := range v.Stations {
		if s.Carried {
			v.Levels.Elevations[s.Station] = *s.Elevation
			v.Levels.Checked[s.Station] = s.Checked
		}
	}
}

// judge holds a station against the datum. A benchmark or a turning point is no
// part of the sill: nothing moves it.
func (v *View) judge(s *StationView) {
	j := v.Job
	if s.Elevation == nil {
		if !s.Read {
			s.Verdict = reduce.Unread
		}
		return
	}
	if v.Level == nil || !walked(s.Station) || !j.placed(s.Station) {
		return
	}
	more, known := j.thicker(s.Round, j.DatumRound)
	if !known {
		return
	}
	d := *s.Elevation - s.Design - *v.Level - more
	m := -d
	s.Deviation, s.Move = &d, &m
	s.Verdict = reduce.Judge(d, j.Tolerance)
	if u, ok := v.Deviates(s.Station); ok {
		band := u.Band().RoundTo(reduce.Micrometre)
		s.Band = &band
		s.Verdict = reduce.Decide(d, j.Tolerance, u)
	}
}

// Difference is the standard uncertainty of the difference in elevation of two
// stations as they now stand.
func (v *View) Difference(a, b reduce.Station) (reduce.Uncertainty, bool) {
	return v.Solution.Difference(v.key(a), v.key(b))
}

// Deviates is the standard uncertainty of the deviation of a station as it now
// stands.
func (v *View) Deviates(s reduce.Station) (reduce.Uncertainty, bool) {
	return v.Solution.Difference(v.key(s), v.datumKey())
}

// key is a station as it now stands, in the adjustment.
func (v *View) key(s reduce.Station) reduce.Station { return v.keyIn(s, v.Job.Round) }

// keyIn is a station as it stood in a round, in the adjustment.
func (v *View) keyIn(s reduce.Station, round int) reduce.Station {
	return v.adjusted.record.key(s, v.adjusted.stand(s, round).round).key
}

// datumKey is what deviations are measured from, in the adjustment.
func (v *View) datumKey() reduce.Station { return v.base(v.DatumAt, v.Job.DatumRound) }

// base is what a level hangs on, in the adjustment: the station that gives it as
// it stood in the round in which it was chosen, or, where none does, the
// reference as it was read first, where heights are 0. Either may have been
// shimmed or covered since.
func (v *View) base(at reduce.Station, round int) reduce.Station {
	if at.IsZero() {
		return v.adjusted.record.first(v.Job.resolve(v.Job.Reference))
	}
	return v.keyIn(at, round)
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
	return j.countedIn(func(k slot) bool { return k.round == j.Round })
}

// counted lists the readings of all rounds that count, oldest first.
func (j *Job) counted() []Reading {
	return j.countedIn(func(slot) bool { return true })
}

// countedIn lists the readings of some slots that count, oldest first.
func (j *Job) countedIn(take func(slot) bool) []Reading {
	rows := make([]Reading, 0, len(j.slots))
	for k := range j.slots {
		if take(k) {
			rows = append(rows, j.counting(k)...)
		}
	}
	// Readings are large: their numbers are sorted, not they.
	type row struct {
		seq uint64
		at  int
	}
	order := make([]row, len(rows))
	for i := range rows {
		order[i] = row{rows[i].Seq, i}
	}
	slices.SortFunc(order, func(a, b row) int { return cmp.Compare(a.seq, b.seq) })
	out := make([]Reading, len(rows))
	for i, o := range order {
		out[i] = rows[o.at]
	}
	return out
}

// State of the job: signed off while a signature stands; else it is walked until
// the round is ended, or every station asked for is read; then under review, or
// shims are set once any was in this round.
func (j *Job) State() State {
	switch {
	case j.Signed != nil:
		return StateSigned
	case j.walking():
		return StateWalk
	case slices.ContainsFunc(j.Shimmed, func(k ShimsSet) bool { return k.Round == j.Round && !k.Late }):
		return StateShim
	}
	return StateReview
}

// Header is the job in one line.
func (j *Job) Header() JobHeader {
	h := JobHeader{ID: j.ID, Name: j.Name, State: j.State(), Events: j.Seq, Opened: j.Opened, Free: j.free(), Lang: j.Lang}
	read := j.doneNow()
	for _, s := range j.asked() {
		if read[s] {
			h.Read++
		} else {
			h.Left++
		}
	}
	if j.free() {
		for s := range j.readNow() {
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
