package session

import (
	"slices"

	"rodcall/reduce"
)

// settle puts the person's place in order for the job at hand.
func (h *hearing) settle() {
	if h.job == nil {
		return
	}
	if h.c.Job != h.job.ID {
		h.c.Job, h.c.Asked, h.c.Backward, h.c.Skipped = h.job.ID, reduce.Station{}, false, nil
		h.c.Lot = nil
		h.c.Resume, h.c.Plan, h.c.Named, h.c.Round = reduce.Station{}, h.job.plan, false, h.job.Round
		h.c.Bump, h.c.CheckAsked, h.c.Strayed = 0, 0, nil
		h.c.Checks, h.c.Skip, h.c.Turned, h.c.From = reduce.Station{}, reduce.Station{}, false, reduce.Station{}
		h.c.Tie, h.c.TieNot = 0, nil
	}
	if h.c.Tie != 0 && h.c.Tie != h.job.setup() {
		// The set-up was taken back, or somebody moved the laser on.
		h.c.Tie, h.c.TieNot = 0, nil
		h.c.Asked, h.c.Resume, h.c.Named = h.c.Resume, reduce.Station{}, false
	}
	if round := max(h.c.Round, 1); round != h.job.Round {
		h.c.Round, h.c.Lot, h.c.Bump, h.c.Strayed = h.job.Round, nil, 0, nil
		h.c.Asked, h.c.Skipped, h.c.Resume, h.c.Named = reduce.Station{}, nil, reduce.Station{}, false
		h.c.Unread = nil // their lines were about the rod as it stood then
		h.c.Checks, h.c.Skip, h.c.Turned, h.c.From = reduce.Station{}, reduce.Station{}, false, reduce.Station{}
		h.c.Tie, h.c.TieNot = 0, nil
	}
	if h.c.Plan != h.job.plan {
		h.replan()
	}
	// Who holds no rod any more is not kept waiting at a station that others
	// have read since. Who holds one was promised that station, and who named
	// it means it.
	if rod, ok := h.heldRod(); !h.c.Named && (!ok || rod.Setup != h.job.setup()) && h.job.doneNow()[h.c.Asked] {
		h.c.Asked = reduce.Station{}
	}
	if h.c.Asked.IsZero() && !h.job.RoundEnded {
		h.advance(h.job.last)
	}
}

// StandsAt is the name of the station that the next reading of whoever sent a message
// would be taken for, as the job and their place in the chat stand; "" for none. In a
// group others may have read what was asked of them last.
func StandsAt(chat Chat, job *Job, c Conversation, m Message) string {
	if job == nil {
		return ""
	}
	h := newHearing(chat, job, c, m)
	if h.c.Asked.IsZero() {
		return ""
	}
	return h.name(h.c.Asked)
}

// replan keeps of the person's place what the outline now in force has.
func (h *hearing) replan() {
	h.c.Plan = h.job.plan
	has := func(s reduce.Station) bool { return slices.Contains(h.job.stations(), s) }
	if h.job.Outline.Empty() {
		// A free walk has every mark of its grid.
		spacing := h.job.Outline.Grid.Spacing
		has = func(s reduce.Station) bool { return s.Past%spacing == 0 }
	}
	h.c.Skipped = slices.DeleteFunc(h.c.Skipped, func(s reduce.Station) bool { return !has(s) })
	if !h.c.Resume.IsZero() && !has(h.c.Resume) {
		h.c.Resume = reduce.Station{}
	}
	if walked(h.c.Asked) && (!has(h.c.Asked) || h.job.doneNow()[h.c.Asked]) {
		h.c.Asked = reduce.Station{}
	}
}

// advance asks for the station after the one given.
func (h *hearing) advance(after reduce.Station) {
	next, ok := h.walk().next(after)
	if !ok {
		next = reduce.Station{}
	}
	h.c.Asked, h.c.Resume, h.c.Checks, h.c.Named = next, reduce.Station{}, reduce.Station{}, false
}

// backTo has the walk ask for a station again that nothing counts at any more; a
// tie that is asked for comes first.
func (h *hearing) backTo(s reduce.Station) {
	if h.tying(h.c.Asked) && h.job.revisits(h.c.Asked) && !h.job.revisits(s) {
		h.c.Resume = s
		return
	}
	h.c.Asked = s
}

// goTo moves the walk to a station named by itself. A point off the walk is
// asked for once; then the walk goes on where it was.
func (h *hearing) goTo(s reduce.Station) answer {
	h.aside = false
	switch {
	case walked(s) && !h.job.revisits(s):
		h.c.Resume, h.c.Tie, h.c.TieNot = reduce.Station{}, 0, nil
	case h.c.Tie != 0:
		// The walk waits already.
	case walked(h.c.Asked):
		h.c.Resume = h.c.Asked
	}
	h.c.Asked, h.c.Checks, h.c.Named = s, reduce.Station{}, true
	h.c.Skipped = slices.DeleteFunc(h.c.Skipped, func(k reduce.Station) bool { return k == s })
	a := answer{next: true}
	if h.reopens(s) {
		a.lines = []string{h.say("walk.on")}
	}
	return a
}

// resume takes the walk up where a point off the walk broke into it.
func (h *hearing) resume() {
	h.c.Asked, h.c.Resume, h.c.Checks, h.c.Named = h.c.Resume, reduce.Station{}, reduce.Station{}, false
	if !h.c.Asked.IsZero() && h.job.doneNow()[h.c.Asked] {
		h.advance(h.c.Asked)
	}
	h.settle()
}

// goOn moves the walk on past a station that was just read.
func (h *hearing) goOn(s reduce.Station) {
	spot := h.job.spotOf(s)
	h.c.Skipped = slices.DeleteFunc(h.c.Skipped, func(k reduce.Station) bool { return k == spot })
	if h.aside {
		if s != h.kept {
			return
		}
		h.aside = false
	}
	switch {
	case h.job.RoundEnded:
		// A station put right after the end does not take the walk up again.
		h.c.Asked, h.c.Resume, h.c.Checks, h.c.Named = reduce.Station{}, reduce.Station{}, reduce.Station{}, false
	case h.job.revisits(s) && (h.c.Tie != 0 || h.job.Round == 1 || offSill(s)):
		h.tieOn(s)
	case walked(s):
		h.c.Tie, h.c.TieNot = 0, nil
		h.advance(s)
	case s == h.c.Asked:
		h.resume()
	case h.c.Tie != 0 && len(h.job.tiesNow()) > 0:
		// A new point off the walk: the line of levels goes on.
		h.endTies()
	}
}
