package session

import (
	"fmt"
	"slices"

	"rodcall/reduce"
)

// common is a fault of all that a set-up read of the sill in a further round.
type common struct {
	tie   reduce.Station // the only one: what it is off, all is off
	off   reduce.Length  // + is higher than they should be
	count int
}

// alike says that all that the present set-up read of the sill in this round is
// off what it should be, and alike: as where the one station that ties it was
// misread. elevation is that of a reading at hand, at s.
func (h *hearing) alike(s reduce.Station, elevation reduce.Length) (common, bool) {
	j := h.job
	own, ok := h.surpriseAt(s, elevation)
	if !ok {
		return common{}, false
	}
	ties := j.tiesNow()
	if len(ties) != 1 || ties[0] == s {
		return common{}, false
	}
	sum, count := own.off, 1
	fits := func(rod int, at reduce.Station, value reduce.Length) bool {
		e, tied := j.sight(rod, value, at)
		u, off := h.surpriseAt(at, e)
		if !tied || !off || (u.off-own.off).Abs() > own.limit {
			return false
		}
		sum, count = sum+u.off, count+1
		return true
	}
	for _, r := range j.present() {
		rod, known := j.rod(r.Rod)
		if !known || rod.Setup != j.setup() || r.Station == s || r.Station == ties[0] || offSill(r.Station) {
			continue
		}
		if _, told := j.foreseen(r.Station); told && !fits(r.Rod, r.Station, r.Value) {
			return common{}, false
		}
	}
	if q, rod, asked := h.askedLast(s); asked && !fits(rod, q.Station, q.Values[0]) {
		return common{}, false
	}
	off := (sum / reduce.Length(count)).RoundTo(j.Finest)
	return common{ties[0], off, count}, count > 1
}

// askedLast is the reading of another station that was asked back last and is
// not kept yet, and the rod that read it.
func (h *hearing) askedLast(s reduce.Station) (q *Question, rod int, ok bool) {
	q = h.c.Question
	held, holds := h.heldRod()
	ok = q != nil && q.Kind == doubted && q.Job == h.job.ID && q.Station != s && len(q.Values) > 0 && holds &&
		!h.job.doneNow()[q.Station]
	return q, held.ID, ok
}

// keepAlike says that a doubtful reading is taken as it is, for one fault
// explains it with the others; the one asked back before it is taken with it.
func (h *hearing) keepAlike(s reduce.Station, elevation reduce.Length) bool {
	if _, ok := h.alike(s, elevation); !ok {
		return false
	}
	q, rod, ok := h.askedLast(s)
	if !ok {
		return true
	}
	message, line := h.message, h.line
	h.message, h.line = q.Message, max(q.Line, 1)
	h.emit(Read{Round: h.job.Round, Rod: rod, Station: q.Station, Value: q.Values[0], Said: q.Text})
	h.forgetUnheard(h.message, h.line)
	h.message, h.line = message, line
	h.c.Question = nil
	r, _ := h.job.rod(rod)
	h.remarks = append(h.remarks, h.echo(q.Station, r, q.Values[0], nil))
	return true
}

// tellAlike asks, after a reading, whether the tie of all that is off alike was
// misread; ok is false where nothing is.
func (h *hearing) tellAlike(s reduce.Station, elevation reduce.Length, a *answer) bool {
	c, ok := h.alike(s, elevation)
	if !ok {
		return false
	}
	if slices.Contains(h.c.Told, h.job.ID+":"+alikeSaid(h.job.setup())) {
		return true
	}
	key := Key("alike.higher")
	if c.off < 0 {
		key = "alike.lower"
	}
	h.common = h.say(key, c.count, h.job.setup(), h.amount(c.off), h.name(c.tie))
	so := h.say("surprise.so")
	a.question = &Question{Kind: surprised, Stage: allAlike, Job: h.job.ID, Station: c.tie,
		Buttons: []Button{{h.say("surprise.again", h.name(c.tie)), h.name(c.tie)}, {so, so}}}
	a.buttons = nil
	return true
}

// allAlike is the stage of a surprise that is of all that a set-up read.
const allAlike = 1

// alikeSaid notes that the crew said that a set-up's readings are so.
func alikeSaid(setup int) string { return fmt.Sprintf("alike.%d", setup) }
