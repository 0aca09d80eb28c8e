package session

import (
	"slices"

	"rodcall/reduce"
)

// surprised is the kind of question that asks whether a reading which is not
// what it should be is so.
const surprised = "surprise"

// surpriseReach is how many standard deviations of a reading a spot may be off
// what it should be: four readings stand between the two, two of the spot and
// two of what the rounds hang on, and four of theirs are chance.
const surpriseReach = 8

// foreseen is the elevation that a station should have in this round while it is
// not read in it; ok is false in the first round, and where nothing tells.
func (j *Job) foreseen(s reduce.Station) (reduce.Length, bool) {
	if j.Round == 1 || offSill(s) {
		return 0, false
	}
	f := j.adjustment().before(s, j.Round).foreseen
	if f == nil {
		return 0, false
	}
	return *f, true
}

// shouldRead is what a rod should show where a station has an elevation; ok is
// false while nothing ties the rod.
func (j *Job) shouldRead(rod Rod, s reduce.Station, elevation reduce.Length) (reduce.Length, bool) {
	zero, ok := j.sight(rod.ID, 0, s)
	if !rod.Rises() {
		return zero - elevation, ok
	}
	return elevation - zero, ok
}

// toDatum is what the datum asks for at a station of the present round at an
// elevation, without adjusting anything: by the level of an earlier round. ok is
// false where there is none, or it may move with the readings of this one.
func (j *Job) toDatum(s reduce.Station, elevation reduce.Length) (deviation reduce.Length, ok bool) {
	if j.Datum == nil || j.DatumRound == j.Round || !walked(s) || !j.placed(s) {
		return 0, false
	}
	v := j.viewNow()
	more, known := j.thicker(j.Round, j.DatumRound)
	if v.Level == nil || !known {
		return 0, false
	}
	return elevation - j.design.At(s) - *v.Level - more, true
}

// verdictOf is what the datum asks for at a deviation that a reading gave.
func (j *Job) verdictOf(rod Rod, value reduce.Length, s reduce.Station, deviation reduce.Length) reduce.Verdict {
	v := j.viewNow()
	var at *reduce.Point
	if p, _, placed := j.Outline.Position(s); placed {
		at = &p
	}
	noise := j.ErrorBudget().Noise(rod.Kind, value)
	if u, ok := v.Solution.SightDifference(rod.ID, at, noise, v.datumKey()); ok {
		return reduce.Decide(deviation, j.Tolerance, u)
	}
	return reduce.Judge(deviation, j.Tolerance)
}

// foreseenLine asks for a station with what the rod should show there; "" where
// nothing tells.
func (h *hearing) foreseenLine(s reduce.Station) string {
	f, ok := h.job.foreseen(s)
	if !ok {
		return ""
	}
	should := h.say("next.height", h.height(f), h.name(h.job.resolve(h.job.Reference)))
	if d, ok := h.job.toDatum(s, f); ok {
		should = h.say("on")
		if reduce.Judge(d, h.job.Tolerance) != reduce.On {
			should = h.sided(d)
		}
	}
	if rod, held := h.heldRod(); held && rod.Setup == h.job.setup() {
		if value, tied := h.job.shouldRead(rod, s, f); tied {
			return h.say("next.reads", h.name(s), h.rodText(rod, value), should)
		}
	}
	if should == h.say("on") {
		should = h.say("foreseen.on") // on is what a rod may show as well, and this one is not tied
	}
	return h.say("next.should", h.name(s), should)
}

// surprise is a reading that is not what it should be after a round before.
type surprise struct {
	off   reduce.Length // + is higher than it should be
	limit reduce.Length
	set   reduce.Length // shims since it was read before
}

// surpriseAt holds an elevation against what a station should have. ok is false
// where nothing tells, where the two agree, and where it is what was planned and
// nobody told that it was done.
func (h *hearing) surpriseAt(s reduce.Station, elevation reduce.Length) (u surprise, ok bool) {
	j := h.job
	f, known := j.foreseen(s)
	if !known {
		return u, false
	}
	before := j.adjustment().before(s, j.Round)
	u = surprise{off: elevation - f, limit: surpriseReach * j.noise(), set: before.set}
	if u.off.Abs() <= u.limit {
		return u, false
	}
	if is, has := j.toDatum(s, elevation); has && !before.touched {
		was, _ := j.toDatum(s, f)
		if is.Abs() <= j.Tolerance && was.Abs() > j.Tolerance || (u.off+was).Abs() <= u.limit {
			return u, false
		}
	}
	return u, true
}

// tellSurprise says what is off at a station that was just read, and offers to
// read it again.
func (h *hearing) tellSurprise(rod Rod, s reduce.Station, value reduce.Length, a *answer) {
	e, tied := h.job.sight(rod.ID, value, s)
	if !tied || h.waiting() || h.tellAlike(s, e, a) {
		return
	}
	u, ok := h.surpriseAt(s, e)
	if !ok {
		return
	}
	line := ""
	switch {
	case u.set > 0 && u.off < 0:
		line = h.say("surprise.set", h.amount(u.off), h.amount(u.set))
	case u.set > 0:
		line = h.say("surprise.set.up", h.amount(u.off), h.amount(u.set))
	case u.off < 0:
		line = h.say("surprise.lower", h.amount(u.off))
	default:
		line = h.say("surprise.higher", h.amount(u.off))
	}
	why := h.mixedUp(s, u)
	if why == "" {
		why = h.say("surprise.why")
	}
	h.remarks = append(h.remarks, h.name(s)+": "+line+" "+why)
	again, so := h.say("surprise.again", h.name(s)), h.say("surprise.so")
	a.question = &Question{Kind: surprised, Job: h.job.ID, Station: s, Buttons: []Button{{again, h.name(s)}, {so, so}}}
	a.buttons = nil
}

// mixedUp says at which neighbour the shims may be that are not here, or whose
// may be here; "" where they are not an explanation.
func (h *hearing) mixedUp(s reduce.Station, u surprise) string {
	j := h.job
	near := func(a, b reduce.Length) bool { return (a - b).Abs() <= u.limit }
	a := j.adjustment()
	missing := u.off < 0 && u.set > u.limit && near(u.off, -u.set)
	var could []reduce.Station
	for _, n := range j.besides(s) {
		before := a.before(n, j.Round)
		e, read := j.latest(n)
		off := reduce.Length(0)
		if read && before.foreseen != nil {
			off = e - *before.foreseen
		}
		switch {
		case missing && read && near(off, u.set):
			return h.say("surprise.to", h.amount(u.set), h.name(n))
		case missing && !read:
			could = append(could, n)
		case u.off > 0 && before.set > u.limit && near(u.off, before.set) && (!read || near(off, -before.set)):
			return h.say("surprise.from", h.amount(before.set), h.name(n))
		}
	}
	if len(could) == 0 {
		return ""
	}
	names := h.name(could[0])
	if len(could) > 1 {
		names = h.say("surprise.or", names, h.name(could[1]))
	}
	return h.say("surprise.to", h.amount(u.set), names)
}

// besides are a station's neighbours on its wall, one each way.
func (j *Job) besides(s reduce.Station) []reduce.Station {
	all := j.stations()
	if j.Outline.Empty() {
		all = j.asked()
	}
	i, _ := slices.BinarySearchFunc(all, s, reduce.Compare)
	var out []reduce.Station
	for _, k := range []int{i - 1, i + 1} {
		if k >= 0 && k < len(all) && all[k].Kind == reduce.Wall && all[k] != s {
			out = append(out, all[k])
		}
	}
	return out
}

// surpriseStep takes the answer that a surprising reading is so.
func (h *hearing) surpriseStep(line string) (answer, bool) {
	q := h.c.Question
	if q == nil || q.Kind != surprised || h.job == nil || q.Job != h.job.ID || line != h.say("surprise.so") && line != q.Buttons[len(q.Buttons)-1].Text {
		return answer{}, false
	}
	h.c.Question = nil
	if q.Stage == allAlike {
		h.once(alikeSaid(h.job.setup()))
	}
	return answer{lines: []string{h.say("surprise.kept")}, next: true}, true
}

// doubtForeseen holds a reading against what its station should have: it is
// asked back where a slip explains it, or where it is off by more than shims.
// told is false where nothing is foreseen there.
func (h *hearing) doubtForeseen(rod Rod, s reduce.Station, height reduce.Length) (d doubt, doubtful, told bool) {
	f, ok := h.job.foreseen(s)
	if !ok {
		return doubt{}, false, false
	}
	u, off := h.surpriseAt(s, height)
	if !off {
		return doubt{}, false, true
	}
	up := h.job.design.At(s)
	d = doubt{height: height - up, expect: f - up, foreseen: true,
		Doubt: reduce.Doubt{Off: u.off, Limit: u.limit, Scatter: 2 * h.job.noise()}}
	d.confirmed = h.confirmed(s, height-up, u.limit)
	if h.mixedUp(s, u) != "" {
		return d, false, true
	}
	value, _ := h.job.shouldRead(rod, s, height)
	slips := slices.ContainsFunc(h.suspect(d, rod, s, value).Slips(), func(k reduce.Slip) bool { return k.Kind != reduce.SkippedOne })
	return d, slips || u.off.Abs() > reduce.Inch, true
}
