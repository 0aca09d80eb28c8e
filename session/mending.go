package session

import (
	"slices"
	"time"
)

// mending is what an edit of a message did to its readings, from its first event
// that took one away to its newest. It is one thing done, whatever lines it
// changed, and one undo takes all of it back.
type mending struct {
	from, to uint64
	by       PersonID
	message  string
	at       time.Time
}

// mends notes an event as part of an edit, where it is one: it takes a reading
// away for a newer text, or gives one for a line that gave one before, or comes of
// the same edit.
func (j *Job) mends(e Event) {
	n := len(j.mendings)
	if e.Message == "" {
		return
	}
	if n > 0 {
		if m := j.mendings[n-1]; m.to == e.Seq-1 && m.message == e.Message && m.by == e.By && m.at.Equal(e.At) {
			m.to = e.Seq
			j.mendings = append(slices.Clip(j.mendings[:n-1]), m)
			return
		}
	}
	edits := false
	switch b := e.Body.(type) {
	case Voided:
		edits = b.Why == "edit"
	case Read:
		edits = b.Again == 0 && j.hist.took(Reading{Event: e, Read: b}) < e.Seq
	}
	if edits {
		j.mendings = append(slices.Clip(j.mendings[max(0, n-maxSteps+1):]), mending{e.Seq, e.Seq, e.By, e.Message, e.At})
	}
}

// stoodFor is the event of the reading which a reading stands for: of one that an
// undo brought back, the one that it was at first.
func (r Reading) stoodFor() uint64 {
	if r.Again != 0 {
		return r.Again
	}
	return r.Seq
}

// parts are what can be undone of an edit: the readings that it gave and that
// were not taken back since, and those that it took out with their lines, where
// nothing came in their place.
func (h *hearing) parts(m mending) (gave []uint64, out []Reading) {
	rows := h.job.hist.ofMessage(m.message)
	newest := map[uint64]uint64{} // of the rows that stand for one reading
	for _, r := range rows {
		newest[r.stoodFor()] = r.Seq
	}
	for _, r := range rows {
		k := r.stoodFor()
		if newest[k] != r.Seq {
			continue
		}
		switch {
		case !r.void && k >= m.from && k <= m.to:
			gave = append(gave, r.Seq)
		case r.edited && r.gone >= m.from && r.gone <= m.to && !r.doubt && !h.replaced(r):
			since := func(k Reading) bool {
				undone := k.void && !k.edited
				return k.Line == r.Line && k.stoodFor() > r.gone && newest[k.stoodFor()] == k.Seq && !undone
			}
			if !slices.ContainsFunc(rows, since) {
				out = append(out, r)
			}
		}
	}
	return gave, out
}

// lastMending is the newest edit of this person's of which something can be
// undone; ok is false where there is none.
func (h *hearing) lastMending() (m mending, ok bool) {
	for _, m := range slices.Backward(h.job.mendings) {
		if m.by != h.m.From.ID {
			continue
		}
		if gave, out := h.parts(m); len(gave)+len(out) > 0 {
			return m, true
		}
	}
	return mending{}, false
}

// undoMending takes an edit back: what its message said before counts again.
func (h *hearing) undoMending(m mending) answer {
	a := answer{next: true}
	gave, out := h.parts(m)
	if len(gave) > 0 {
		a = h.undoReads(gave)
	}
	for _, r := range out {
		h.bringBack(r, r)
		if r.Station == h.c.Asked && r.Round == h.job.Round && !r.Check {
			h.goOn(r.Station)
		}
		a.lines = append(a.lines, h.say("undo.line", h.nameIn(r.Station, r.Round), h.stands(r)))
	}
	h.wasWalking = h.job.walking()
	return a
}

// doneAt is the event at which this person's step was done: of readings that an
// undo brought back, when they were first read or edited.
func (j *Job) doneAt(s *step) uint64 {
	at := uint64(0)
	for _, seq := range s.reads {
		if r, ok := j.hist.at(seq); ok && !r.void {
			at = max(at, r.stoodFor())
		}
	}
	if at == 0 || s.before != nil {
		at = max(at, s.seq)
	}
	return at
}
