package session

import (
	"slices"
	"sync/atomic"

	"rodcall/reduce"
)

// adjusted is a job's readings in one model, all rounds of it, heights above the
// reference as it stood when it was read first.
type adjusted struct {
	levels   reduce.Levels // as read in the present round, and of points off the sill
	all      reduce.Levels // of all that was read, by the keys of record
	record   *record
	solution reduce.Solution
	readings []Reading // as the solution's residuals
	counted  []Reading // all that count, those of rods that were undone too
	// base is the reference's elevation in the solution: heights there may be
	// above the zero of known heights. based is false where it has none.
	base  reduce.Length
	based bool
	// zero is the reference's height above what the drawings count from, and
	// heights are those of all keys; nil where no height is known.
	zero    *reduce.Length
	heights map[reduce.Station]reduce.Length
	seq     uint64 // of the newest event that it knows
	view    *View  // as the job stood then; of further rounds only
}

// basis keeps the newest adjustment that still holds for further readings of
// spots that nothing else has read: none of them moves a rod's constant or a
// beam. It is filled when it is first asked for; whoever fills it at the same
// time fills it with the same.
type basis struct{ atomic.Pointer[adjusted] }

// unsettles says whether an event may move what was adjusted before it.
func (j *Job) unsettles(b Body) bool {
	switch b.(type) {
	case Noted, CountSet, LanguageSet:
		return false
	}
	if f, ok := b.(Firmed); ok {
		return slices.ContainsFunc(f.Seqs, func(seq uint64) bool { r, in := j.hist.at(seq); return in && j.awaited(r) })
	}
	r, ok := b.(Read)
	if !ok {
		return true
	}
	if _, known := j.knownAt(r.Station); known || r.Round != j.Round || r.Station == j.resolve(j.Reference) {
		return true
	}
	first, last := r.Round, r.Round
	if a := j.basis.Load(); j.Round > 1 && (offSill(r.Station) || a == nil || a.record.hangs[r.Round] != hangsOnPoint) {
		first = 1 // it may be a spot that was read in another round
	}
	for _, rod := range j.Rods {
		for round := first; round <= last; round++ {
			for _, check := range []bool{false, true} {
				// A spot that only this rod has read may be read anew by it.
				own := rod.ID == r.Rod && !check && !r.Check && round == r.Round
				if !own && j.slots[slot{round, rod.ID, r.Station, check}] != 0 {
					return true
				}
			}
		}
	}
	return false
}

// adjustment is the newest adjustment that holds for further readings. It is
// worked out anew only after what may have moved it.
func (j *Job) adjustment() *adjusted {
	if a := j.basis.Load(); a != nil {
		return a
	}
	return j.adjust()
}

// adjust works the adjustment out anew.
func (j *Job) adjust() *adjusted {
	a := j.solve()
	if j.Round > 1 {
		v := j.viewOf(&a)
		a.view = &v
	}
	j.basis.Store(&a)
	return &a
}

// viewNow is the job as it stood at the adjustment that further readings are
// reduced by: in a further round all but those readings are in it.
func (j *Job) viewNow() View { return *j.adjustment().view }

// sight is the height above the reference of a spot by a reading there, by the
// rod's constant and its beam as adjusted. ok is false while nothing ties the
// rod to the reference.
func (j *Job) sight(rod int, value reduce.Length, s reduce.Station) (e reduce.Length, ok bool) {
	a := j.adjustment()
	p, _, placed := j.Outline.Position(s)
	if placed {
		return a.sight(rod, value, &p)
	}
	if a.seq < j.Seq && !j.Outline.Empty() {
		// It counts as read at the middle of what its set-up has read, which every
		// reading shifts.
		a = j.adjust()
	}
	return a.sight(rod, value, nil)
}

func (a *adjusted) sight(rod int, value reduce.Length, at *reduce.Point) (e reduce.Length, ok bool) {
	if !a.based {
		return 0, false
	}
	e, ok = a.solution.Sight(rod, value, at)
	return e - a.base, ok
}

// ties says whether a rod is joined to the reference.
func (a *adjusted) ties(rod int) bool {
	_, ok := a.levels.Constants[rod]
	return ok
}

// awaited says that a check beside a reading of its own rod was heard and is not
// firm. It moves nothing yet: misheard, it would move all that its rod has read.
func (j *Job) awaited(r Reading) bool {
	if !r.Check || !r.Provisional() {
		return false
	}
	_, read := j.live(slot{r.Round, r.Rod, r.Station, false})
	return read
}

// survey is what some readings say, and which of them take part: those of rods
// that were undone do not, nor checks that are awaited.
func (j *Job) survey(readings []Reading, r *record) (reduce.Survey, []Reading) {
	s := reduce.Survey{
		Reference: r.first(j.resolve(j.Reference)), Places: map[reduce.Station]reduce.Point{}, Budget: j.ErrorBudget(),
	}
	if j.Alike {
		s.Weights = reduce.AlikeSetUps
	}
	for _, u := range j.Setups {
		s.SetUps = append(s.SetUps, reduce.SetUp{ID: u.ID, Laser: u.Laser})
	}
	rods := map[int]bool{}
	for _, r := range j.Rods {
		i := slices.IndexFunc(s.SetUps, func(u reduce.SetUp) bool { return u.ID == r.Setup })
		if i < 0 {
			i = len(s.SetUps)
			s.SetUps = append(s.SetUps, reduce.SetUp{ID: r.Setup})
		}
		s.SetUps[i].Rods = append(s.SetUps[i].Rods, r.Rod)
		rods[r.ID] = true
	}
	readings = slices.DeleteFunc(slices.Clone(readings), func(r Reading) bool { return !rods[r.Rod] || j.awaited(r) })
	for _, k := range readings {
		u, value := r.key(k.Station, k.Round), k.Value
		if rod, _ := j.rod(k.Rod); rod.Rises() {
			value -= u.more
		} else {
			value += u.more
		}
		s.Observations = append(s.Observations, reduce.Observation{Rod: k.Rod, Station: u.key, Value: value})
		if at, _, placed := j.Outline.Position(k.Station); placed {
			s.Places[u.key] = at
		}
	}
	return s, readings
}

// given are the known heights of stations that are among some readings, as they
// stood when they were read first.
func (j *Job) given(readings []Reading, r *record) map[reduce.Station]reduce.Length {
	known := map[reduce.Station]reduce.Length{}
	for _, k := range j.Known {
		s := j.resolve(k.Station)
		if slices.ContainsFunc(readings, func(r Reading) bool { return r.Station == s }) {
			known[r.first(s)] = k.Height
		}
	}
	return known
}

// solve adjusts all readings that count: all set-ups, rounds and both kinds of
// rod in one model.
func (j *Job) solve() adjusted {
	counted := j.counted()
	readings := counted
	record := j.record(readings)
	survey, readings := j.survey(readings, record)
	a := j.reduce(survey, readings, j.given(readings, record))
	a.record, a.all, a.seq, a.counted = record, a.levels, j.Seq, counted
	if j.Round > 1 {
		a.levels = a.present()
	}
	return a
}

// levelsNow are the heights of the present round, adjusted anew.
func (j *Job) levelsNow() reduce.Levels { return j.solve().levels }

// present are the levels of the present round and of points off the sill.
func (a *adjusted) present() reduce.Levels {
	out := reduce.Levels{Constants: a.all.Constants, Elevations: map[reduce.Station]reduce.Length{}, Checked: map[reduce.Station]bool{}}
	now := a.record.job.Round
	for _, r := range a.readings {
		if e, ok := a.at(r.Station, r.Round); ok && (r.Round == now || offSill(r.Station)) {
			out.Elevations[r.Station] = e
			out.Checked[r.Station] = a.all.Checked[a.record.key(r.Station, r.Round).key]
		}
	}
	return out
}

// reduce adjusts a survey. Two known heights hold it at both ends; one says what
// the reference stands at and moves nothing.
func (j *Job) reduce(survey reduce.Survey, readings []Reading, known map[reduce.Station]reduce.Length) adjusted {
	read := slices.ContainsFunc(survey.Observations, func(o reduce.Observation) bool { return o.Station == survey.Reference })
	if len(known) > 1 || len(known) > 0 && !read {
		survey.Known = known
		s, err := reduce.Solve(survey)
		if _, tied := s.Elevations[survey.Reference]; err == nil && (tied || !read) {
			return above(s, survey, readings)
		}
		survey.Known = nil
	}
	s, err := reduce.Solve(survey)
	if err != nil {
		// Equations that floats cannot hold: every reading counts alike then.
		return j.plainly(survey, readings)
	}
	a := adjusted{solution: s, readings: readings, based: true,
		levels: reduce.Levels{Constants: s.Constants, Elevations: s.Elevations, Checked: s.Checked}}
	if _, tied := s.Elevations[survey.Reference]; !tied {
		a.based = false
	}
	for at, height := range known { // one at most
		if e, tied := s.Elevations[at]; tied {
			zero := height - e
			a.zero, a.heights = &zero, map[reduce.Station]reduce.Length{}
			for st, e := range s.Elevations {
				a.heights[st] = e + zero
			}
		}
	}
	return a
}

// above is a solution between known heights as heights above the reference.
func above(s reduce.Solution, survey reduce.Survey, readings []Reading) adjusted {
	a := adjusted{solution: s, readings: readings, heights: s.Elevations,
		levels: reduce.Levels{Constants: map[int]reduce.Length{}, Elevations: map[reduce.Station]reduce.Length{}, Checked: map[reduce.Station]bool{}}}
	if a.base, a.based = s.Elevations[survey.Reference]; !a.based {
		return a
	}
	a.zero = &a.base
	a.levels.Checked = s.Checked
	for st, e := range s.Elevations {
		a.levels.Elevations[st] = e - a.base
	}
	for _, u := range survey.SetUps {
		for _, rod := range u.Rods {
			// The number at a higher zero: higher where it rises with the spot.
			if k, tied := s.Constants[rod.ID]; tied && rod.Rises() {
				a.levels.Constants[rod.ID] = k + a.base
			} else if tied {
				a.levels.Constants[rod.ID] = k - a.base
			}
		}
	}
	return a
}

// plainly adjusts readings that all count alike, without uncertainties.
func (j *Job) plainly(survey reduce.Survey, readings []Reading) adjusted {
	var rods []reduce.Rod
	for _, u := range survey.SetUps {
		rods = append(rods, u.Rods...)
	}
	return adjusted{levels: reduce.Adjust(rods, survey.Observations, survey.Reference), readings: readings}
}
