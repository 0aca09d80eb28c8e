package session

import (
	"fmt"
	"hash/fnv"
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
	if len(h.c.Lot) > 0 {
		a.buttons = append(a.buttons, Button{h.say("lot.button", len(h.c.Lot)), commandWord(h.lang, phrase.CmdReshoot)})
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
// normalised residual is beyond what chance leaves (Baarda). One at a time: a
// wrong one makes others look wrong.
func (h *hearing) disagrees(v View) []string {
	worst, at := reduce.CriticalNormalised, -1
	for i, r := range v.Solution.Residuals {
		if w := max(r.Normalised, -r.Normalised); r.Tied && w > worst && i < len(v.Adjusted) {
			worst, at = w, i
		}
	}
	if at < 0 {
		return nil
	}
	r, residual := v.Adjusted[at], v.Solution.Residuals[at]
	if !h.once(fmt.Sprintf("residual.%d", r.Seq)) {
		return nil
	}
	rod, _ := h.job.rod(r.Rod)
	key := Key("end.residual.high")
	if residual.Value < 0 {
		key = "end.residual.low"
	}
	return []string{h.say(key, h.name(r.Station), h.rodText(rod, r.Value), h.amount(residual.Value.Abs()), r.Rod)}
}

// drawLot draws a tenth of the stations read, once in a round: a low spot read
// as on shows no other way.
func (h *hearing) drawLot(v View) []string {
	if v.Extent == nil || !h.once(fmt.Sprintf("lot.%d", h.job.Round)) {
		return nil
	}
	h.c.Lot = h.lot(v)
	if len(h.c.Lot) == 0 {
		return nil
	}
	return []string{h.say("lot", len(h.c.Lot), h.list(h.c.Lot))}
}

// lot draws from the stations that have a height. Its seed is the job and its
// newest event: nobody can choose it, and anybody can draw it again.
func (h *hearing) lot(v View) []reduce.Station {
	var read []reduce.Station
	for _, s := range v.Stations {
		if s.Read && s.Elevation != nil && walked(s.Station) && s.Station != h.job.resolve(h.job.Reference) {
			read = append(read, s.Station)
		}
	}
	seed := fnv.New64a()
	_, _ = fmt.Fprintf(seed, "%s %d", h.job.ID, h.job.Seq) // a hash takes all
	return reduce.Draw(read, seed.Sum64())
}

// reshoot asks for the stations of the lot, one after the other. What is read
// there is a check.
func (h *hearing) reshoot(phrase.Meaning) answer {
	if h.aside {
		h.c.Asked, h.aside = h.kept, false
	}
	read := h.job.readNow()
	h.c.Lot = slices.DeleteFunc(slices.Clone(h.c.Lot), func(s reduce.Station) bool { return !read[s] })
	if len(h.c.Lot) == 0 {
		h.c.Lot = h.lot(h.job.View())
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
