package session

import (
	"strings"

	"rodcall/session/phrase"
)

// meant says whether a line that was said in a group, but not to the bot, is
// meant for it all the same. People talk there: the bot answers what is plainly
// a walk, and keeps still otherwise. From whoever holds a rod a reading is, and
// a command, and a figure that needs asking back; from others only a reading
// with a figure in it, and a command that is more than an everyday word.
func (h *hearing) meant(line string) bool {
	m := phrase.Parse(h.context(), line)
	figure := strings.ContainsAny(line, figures)
	if _, ok := h.namedRod(line); ok || h.keepsIt(line) || h.waiting() && (m.Command == phrase.CmdUndo || m.Command == phrase.CmdNo) {
		return true // the answer to what this person was asked
	}
	if h.walks() {
		return m.Kind == phrase.Reading || m.Kind == phrase.Command || figure && len(line) <= maxMeant ||
			h.c.Question != nil && h.c.Question.Kind == askedBack && m.Kind == phrase.Ask
	}
	switch m.Kind {
	case phrase.Reading:
		return h.job != nil && figure
	case phrase.Command:
		switch m.Command {
		case phrase.CmdNote:
			return h.job != nil && m.Named // else it is anybody's talk
		case phrase.CmdPicture, phrase.CmdSummary, phrase.CmdSign, phrase.CmdJobs, phrase.CmdTookOver, phrase.CmdAnotherRod, phrase.CmdLanguage:
			return true
		}
		return m.Command == phrase.CmdNew || h.job != nil && len(strings.Fields(line)) > 1
	case phrase.Ask, phrase.Refuse:
	}
	return false
}

// maxMeant is the longest line in bytes that is taken for a reading gone wrong
// and not for talk.
const maxMeant = 40

// walks says whether the person holds a rod here, or opened the job that
// nobody holds a rod in yet.
func (h *hearing) walks() bool {
	if h.job == nil {
		return false
	}
	if _, ok := h.heldRod(); ok {
		return true
	}
	return len(h.job.Rods) == 0 && h.job.OpenedBy == h.m.From.ID
}
