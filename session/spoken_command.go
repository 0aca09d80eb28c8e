package session

import (
	"slices"

	"rodcall/session/phrase"
)

// spokenFirst asks to tap a command that was spoken and changes much.
const spokenFirst = "spoken"

// tapsFirst asks for a tap before a spoken command is done that is not to be
// done at once; ok is false for all others.
func (h *hearing) tapsFirst(m phrase.Meaning, c command) (answer, bool) {
	if h.heard == nil || c.atOnce && (c.name != phrase.CmdUndo || h.undoesOne()) {
		return answer{}, false
	}
	if h.waiting() {
		again := *h.c.Question
		return answer{lines: []string{h.say("voice.one", m.Said)}, question: &again, unheard: true}, true
	}
	return h.tapFirst(&Question{Kind: spokenFirst, Text: m.Said, Message: h.message, Line: h.line}), true
}

// tapFirst asks for the tap, again where a spoken yes came in its place; what is
// typed or tapped does what was said.
func (h *hearing) tapFirst(q *Question) answer {
	if h.heard == nil {
		h.c.Question = nil
		if q.Message != "" {
			h.message, h.line = q.Message, q.Line
		}
		return h.hearLine(q.Text)
	}
	ask := &Question{Kind: spokenFirst, Text: q.Text, Message: q.Message, Line: q.Line}
	if h.job != nil {
		ask.Job = h.job.ID
	}
	for _, key := range []Key{"heard.yes", "heard.no"} {
		word := h.say(key)
		ask.Buttons = append(ask.Buttons, Button{word, word})
	}
	return answer{lines: []string{h.say("voice.first", q.Text)}, question: ask, unheard: true}
}

// mustAnswer says that a heard reading does not become firm by going on.
func (h *hearing) mustAnswer(seq uint64) bool {
	_, open := h.open(seq)
	e := h.echoOf(seq)
	return open && (e == nil || e.Must)
}

// undoesOne says that an undo would take back no more than this person's last
// reading, where the walk stands, or what was only asked about.
func (h *hearing) undoesOne() bool {
	switch {
	case h.job == nil || !h.c.Skip.IsZero() || h.c.Turned, h.pending() != nil && h.pending().holdsBack():
		return true
	case h.waiting():
		return len(h.c.Question.Held) == 1
	case h.m.ReplyTo != "":
		return len(h.job.hist.ofMessage(h.m.ReplyTo)) == 1
	}
	for _, k := range slices.Backward(h.job.steps) {
		if k.by == h.m.From.ID {
			return len(k.reads) == 1 && k.before == nil
		}
	}
	return true
}
