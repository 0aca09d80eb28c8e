package session

import (
	"maps"
	"slices"

	"rodcall/reduce"
)

// enoughTies are asked for after the laser was moved: one joins a set-up to the
// rest, a second checks the first. A third that is not in line with them shows
// a tilt, and is only spoken of.
const enoughTies = 2

// setupsAt are the set-ups from which a station was read as it stands in this
// round.
func (j *Job) setupsAt(s reduce.Station) []int {
	first := j.Round
	if j.spans(s) {
		first = 1
	}
	var out []int
	for _, r := range j.Rods {
		for round := first; round <= j.Round; round++ {
			for _, check := range []bool{false, true} {
				k := slot{round, r.ID, s, check}
				if j.slots[k] != 0 && !j.empty[k] && !slices.Contains(out, r.Setup) {
					out = append(out, r.Setup)
				}
			}
		}
	}
	return out
}

// spans says that a station ties rounds: a point off the sill does, and where
// none joins the present round to those before, what nobody touched does, or
// else the reference by what it should be.
func (j *Job) spans(s reduce.Station) bool {
	switch {
	case j.Round == 1:
		return false
	case offSill(s):
		return true
	}
	a := j.adjustment()
	if a.record.hangs[j.Round] == hangsOnPoint || a.before(s, j.Round).foreseen == nil {
		return false
	}
	return a.before(s, j.Round).elevation != nil || s == j.resolve(j.Reference)
}

// revisits says that a station was read from an earlier set-up than the present
// one: reading it again ties them, and the walk stays where it is.
func (j *Job) revisits(s reduce.Station) bool {
	now := j.setup()
	return slices.ContainsFunc(j.setupsAt(s), func(setup int) bool { return setup < now })
}

// tiesNow are the stations that join the present set-up to those before it.
func (j *Job) tiesNow() []reduce.Station {
	now := j.setup()
	var out []reduce.Station
	for s := range j.readNow() {
		if in := j.setupsAt(s); slices.Contains(in, now) && len(in) > 1 {
			out = append(out, s)
		}
	}
	slices.SortFunc(out, reduce.Compare)
	return out
}

// tieable are the stations whose height in this round is known: those read in it,
// and those that tie it to the rounds before.
func (j *Job) tieable() map[reduce.Station]bool {
	a := j.adjustment()
	out := map[reduce.Station]bool{}
	for s := range j.readNow() {
		if _, tied := a.levels.Elevations[s]; tied {
			out[s] = true
		}
	}
	if j.Round == 1 {
		return out
	}
	for s := range a.levels.Elevations {
		if offSill(s) {
			out[s] = true
		}
	}
	if a.record.hangs[j.Round] == hangsOnPoint || slices.ContainsFunc(slices.Collect(maps.Keys(out)), offSill) {
		return out
	}
	for _, s := range j.Hang {
		if s = j.resolve(s); a.before(s, j.Round).elevation != nil {
			out[s] = true
		}
	}
	if ref := j.resolve(j.Reference); len(out) == 0 && a.before(ref, j.Round).foreseen != nil {
		out[ref] = true
	}
	return out
}

// tieNext is the station to tie the present set-up by next, given those that
// tie it already: a benchmark, then the reference, then what lies farthest from
// them, and for a third farthest from their line. not are left out.
func (j *Job) tieNext(have, not []reduce.Station) (reduce.Station, bool) {
	now := j.setup()
	var can []reduce.Station
	for s := range j.tieable() {
		if !slices.Contains(j.setupsAt(s), now) && !slices.Contains(not, s) && !slices.Contains(j.NoBeam, s) {
			can = append(can, s)
		}
	}
	if len(can) == 0 {
		return reduce.Station{}, false
	}
	slices.SortFunc(can, reduce.Compare)
	if i := slices.IndexFunc(can, func(s reduce.Station) bool { return s.Kind == reduce.Benchmark }); i >= 0 {
		return can[i], true
	}
	ref := j.resolve(j.Reference)
	if len(have) == 0 && slices.Contains(can, ref) {
		return ref, true
	}
	from := j.spots(have)
	if len(from) == 0 {
		from = j.spots([]reduce.Station{ref})
	}
	best, far := can[len(can)-1], -1.0
	for _, s := range can {
		at, _, ok := j.Outline.Position(s)
		if !ok || len(from) == 0 {
			continue
		}
		if d := apart(from, at); d > far {
			best, far = s, d
		}
	}
	return best, true
}

// spots are the places of stations, of those that have one.
func (j *Job) spots(all []reduce.Station) []reduce.Point {
	var out []reduce.Point
	for _, s := range all {
		if at, _, ok := j.Outline.Position(s); ok {
			out = append(out, at)
		}
	}
	return out
}

// apart says how well a spot ties beside others: the square of its distance from
// one, twice the area of the triangle that it makes with the first and the last
// of more.
func apart(from []reduce.Point, at reduce.Point) float64 {
	a, b := from[0], from[len(from)-1]
	x, y := float64(at.X-a.X), float64(at.Y-a.Y)
	u, v := float64(b.X-a.X), float64(b.Y-a.Y)
	if u == 0 && v == 0 {
		return x*x + y*y
	}
	area := u*y - v*x
	return max(area, -area)
}

// tying says that a station is asked for to tie the present set-up.
func (h *hearing) tying(s reduce.Station) bool {
	return h.c.Tie != 0 && h.c.Tie == h.job.setup() && !s.IsZero() && s == h.c.Asked
}

// askTies begins to ask for stations that tie a set-up just opened; the walk
// waits where it is. ok is false where nothing has a height yet.
func (h *hearing) askTies() bool {
	s, ok := h.job.tieNext(nil, nil)
	if !ok {
		return false
	}
	if h.c.Tie == 0 && h.c.Resume.IsZero() {
		h.c.Resume = h.c.Asked
	}
	h.c.Tie, h.c.TieNot = h.job.setup(), nil
	h.c.Asked, h.c.Checks, h.c.Named = s, reduce.Station{}, true
	return true
}

// tieOn goes on after a station that ties the present set-up was read: to the
// next tie while one more is wanted, else back to the walk.
func (h *hearing) tieOn(s reduce.Station) {
	if h.c.Tie == 0 || h.c.Tie != h.job.setup() {
		if s == h.c.Asked {
			h.resume()
		}
		return
	}
	have := h.job.tiesNow()
	if next, ok := h.job.tieNext(have, h.c.TieNot); ok && len(have) < enoughTies {
		h.c.Asked, h.c.Named = next, true
		return
	}
	h.endTies()
}

// endTies takes the walk up again.
func (h *hearing) endTies() {
	h.c.Tie, h.c.TieNot = 0, nil
	h.resume()
}

// skipTie leaves a tie out: another is asked for while none joins the set-up,
// else the walk goes on.
func (h *hearing) skipTie(s reduce.Station) answer {
	h.c.TieNot = append(slices.Clone(h.c.TieNot), s)
	have := h.job.tiesNow()
	next, ok := h.job.tieNext(have, h.c.TieNot)
	if len(have) == 0 && ok {
		h.c.Asked, h.c.Named = next, true
		return answer{lines: []string{h.say("skip", h.name(s))}, next: true}
	}
	setup := h.job.setup()
	h.endTies()
	if len(have) == 0 {
		return answer{lines: []string{h.say("tie.none", setup)}, next: true}
	}
	return answer{lines: []string{h.say("tie.unchecked", setup, h.name(have[0]))}, next: true}
}

// tieLine asks for the next tie.
func (h *hearing) tieLine() string {
	key := Key("next.tie")
	if len(h.job.tiesNow()) > 0 {
		key = "next.tie.check"
	} else if h.job.Round > 1 && h.job.spans(h.c.Asked) {
		key = "next.tie.round"
	}
	return h.say(key, h.name(h.c.Asked), h.job.setup(), h.job.Round)
}

// tieReport says how well the present set-up is tied now that a station was
// read that ties it: nothing before the second.
func (h *hearing) tieReport(s reduce.Station, before int) []string {
	have := h.job.tiesNow()
	if len(have) < enoughTies || len(have) == before || !slices.Contains(have, s) {
		return nil
	}
	setup := h.job.setup()
	v := h.job.View()
	i := slices.IndexFunc(v.Solution.SetUps, func(u reduce.SetUpResult) bool { return u.ID == setup })
	if i < 0 || v.Solution.SetUps[i].Misclosure == nil {
		return nil
	}
	if h.job.Round > 1 && len(have) > enoughTies && !v.unlikely(setup) {
		return nil // there every spot that nobody touched may be a tie
	}
	m := *v.Solution.SetUps[i].Misclosure
	lines := []string{h.say("tie.agree", setup, len(have))}
	if !h.showsZero(m) {
		key := Key("tie.differ")
		if v.unlikely(setup) {
			key = "tie.apart"
		}
		lines = []string{h.say(key, setup, len(have), h.amount(m))}
	}
	if third, ok := h.job.tieNext(have, nil); ok && len(have) == enoughTies {
		lines = append(lines, h.say("tie.third", h.name(third)))
	}
	return lines
}

// unlikely says whether some reading of a set-up disagrees with the rest by
// more than readings explain.
func (v View) unlikely(setup int) bool {
	for i, r := range v.Solution.Residuals {
		rod, _ := v.Job.rod(v.Adjusted[i].Rod)
		if rod.Setup == setup && (r.Normalised > reduce.CriticalNormalised || r.Normalised < -reduce.CriticalNormalised) {
			return true
		}
	}
	return false
}

// closes says what a reading at a station of known height closes: a line of
// levels known at both ends.
func (h *hearing) closes(s reduce.Station) []string {
	if _, known := h.job.knownAt(s); !known || len(h.job.Known) < 2 {
		return nil
	}
	v := h.job.View()
	for _, c := range v.Solution.Closures {
		if v.Adjusted[c.Observation].Station != s || v.Adjusted[c.Observation].Seq != h.job.Seq {
			continue
		}
		if h.showsZero(c.Misclosure) {
			return []string{h.say("known.agrees", h.name(s))}
		}
		return []string{h.say("known.closes", h.name(s), h.amount(c.Misclosure))}
	}
	return nil
}
