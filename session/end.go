package session

import (
	"fmt"
	"hash/fnv"
	"math"
	"slices"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// atEnd says what a walk that has come to its end should hear before a datum is
// chosen: whether a grade may be dialled in, which reading does not agree with
// the others, and which stations are drawn to be read again. closing says that
// the check shot which ends a set-up is asked for first, where it is due.
func (h *hearing) atEnd(v View, a *answer, closing bool) {
	a.lines = append(a.lines, h.dialled(v)...)
	a.lines = append(a.lines, h.disagrees(v)...)
	a.lines = append(a.lines, h.drawLot(v)...)
	h.offerDatum(v, a, closing && h.closingCheck(a))
	h.offerLot(v, a)
}

// offerLot offers to read the lot again.
func (h *hearing) offerLot(v View, a *answer) {
	if left := v.lot(); len(left) > 0 {
		a.buttons = append(a.buttons, Button{h.say("lot.button", len(left)), commandWord(h.lang, phrase.CmdReshoot)})
	}
}

// dialled asks, once for each set-up, whether the laser's grade is dialled in:
// what was read in it fits a slope much better than a level.
func (h *hearing) dialled(v View) []string {
	if h.job.Outline.Empty() {
		return nil
	}
	var corners []reduce.NamedPoint
	for _, s := range h.job.stations() {
		if at, _, ok := h.job.Outline.Position(s); ok && s.IsCorner() {
			corners = append(corners, reduce.NamedPoint{Station: s, At: at})
		}
	}
	for _, setup := range h.job.Setups {
		read := map[reduce.Station]bool{}
		var ties []reduce.Tie
		for _, r := range v.Adjusted {
			rod, ok := h.job.rod(r.Rod)
			k, tied := v.Levels.Constants[r.Rod]
			at, _, placed := h.job.Outline.Position(r.Station)
			if !ok || rod.Setup != setup.ID || !tied || !placed || !walked(r.Station) || r.Check || read[r.Station] {
				continue
			}
			read[r.Station] = true
			ties = append(ties, reduce.Tie{At: at, Amount: rod.Elevation(r.Value, k) - h.job.design.At(r.Station)})
		}
		d, ok := reduce.GradeDialled(ties, corners, h.job.noise())
		if ok && h.once(fmt.Sprintf("grade.%d", setup.ID)) {
			return []string{h.say("end.grade", h.measure(d.Fall), h.distance(d.Run.RoundTo(h.job.Mark())), h.name(d.Towards))}
		}
	}
	return nil
}

// disagrees names the reading that agrees least with the others, if its
// normalised residual is beyond what chance leaves (Baarda), with how far it lies
// from what they say without it: its residual over its redundancy (Baarda 1968,
// A testing procedure for use in geodetic networks; from memory). One at a time: a
// wrong one makes others look wrong. Where readings of several stations agree as
// little, none is named as the wrong one.
func (h *hearing) disagrees(v View) []string {
	worst, most, alike := v.leastAgree()
	if worst < 0 || most <= reduce.CriticalNormalised {
		return nil
	}
	r, residual := v.Adjusted[worst], v.Solution.Residuals[worst]
	if !h.once(fmt.Sprintf("residual.%d", r.Seq)) {
		return nil
	}
	if len(alike) > 1 {
		return []string{h.say("end.either", h.list(alike), h.name(alike[0]))}
	}
	rod, _ := h.job.rod(r.Rod)
	key := Key("end.residual.high")
	if residual.Value < 0 {
		key = "end.residual.low"
	}
	off := reduce.Length(math.Abs(float64(residual.Value)) / residual.Redundancy).RoundTo(h.job.Finest)
	return []string{h.say(key, h.name(r.Station), h.rodText(rod, r.Value), h.amount(off), r.Rod)}
}

// drawLot names, once in a round, what is drawn to be read again: a low spot
// read as on shows no other way.
func (h *hearing) drawLot(v View) []string {
	left := v.lot()
	if v.Extent == nil || len(left) == 0 || !h.once(fmt.Sprintf("lot.%d", h.job.Round)) {
		return nil
	}
	return []string{h.say("lot", len(left), h.list(left))}
}

// lot are the stations drawn by lot in this round that nobody has read again.
func (v View) lot() []reduce.Station {
	again := v.Job.reshot()
	return slices.DeleteFunc(v.drawn(nil), func(s reduce.Station) bool { return again[s] })
}

// drawn draws a tenth of the stations that this round asked for and that have a
// height, but for the reference and those that are passed over. The seed is the
// job and its round: nobody can choose it, anybody can draw it again, and it is
// the same lot whoever asks and whatever is read anew.
func (v View) drawn(but map[reduce.Station]bool) []reduce.Station {
	j := v.Job
	var read []reduce.Station
	asked := map[reduce.Station]bool{}
	for _, s := range j.asked() {
		asked[s] = true
	}
	ref := j.resolve(j.Reference)
	for _, s := range v.Stations {
		at := s.Station
		if s.Read && s.Elevation != nil && walked(at) && at != ref && !but[at] &&
			(j.free() || asked[at] || asked[j.spotOf(at)]) {
			read = append(read, at)
		}
	}
	seed := fnv.New64a()
	_, _ = fmt.Fprintf(seed, "%s %d %d %d", j.ID, j.Opened.UnixNano(), j.Round, len(but)) // a hash takes all
	return reduce.Draw(read, seed.Sum64())
}

// reshoot asks for the stations of the lot, one after the other. What is read
// there is a check. Where all of a lot are read again another is drawn, of those
// that are not.
func (h *hearing) reshoot(phrase.Meaning) answer {
	if h.aside {
		h.c.Asked, h.aside = h.kept, false
	}
	v := h.job.View()
	if h.c.Lot = v.lot(); len(h.c.Lot) == 0 {
		h.c.Lot = v.drawn(h.job.reshot())
	}
	if len(h.c.Lot) == 0 {
		return answer{lines: []string{h.say("lot.none", h.name(h.job.Reference))}, next: true}
	}
	a := h.goCheck(h.c.Lot[0])
	a.lines = []string{h.say("lot.go", len(h.c.Lot), h.list(h.c.Lot))}
	return a
}

// nextOfLot goes on to the next station of the lot once one is read again, or
// passed over.
func (h *hearing) nextOfLot(s reduce.Station) {
	if !slices.Contains(h.c.Lot, s) {
		return
	}
	h.c.Lot = slices.DeleteFunc(slices.Clone(h.c.Lot), func(k reduce.Station) bool { return k == s })
	if len(h.c.Lot) > 0 {
		h.goCheck(h.c.Lot[0])
		return
	}
	h.remarks = append(h.remarks, h.say("lot.done"))
	h.remarks = append(h.remarks, h.disagrees(h.job.View())...)
}
