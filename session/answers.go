package session

import (
	"strings"

	"rodcall/session/phrase"
)

// answers are the lines that a question offers, each of which means by itself
// what the button says: a check stays a check, a correction a correction, and
// sides are in the language of the conversation.
func (h *hearing) answers(m phrase.Meaning) []string {
	var out []string
	for _, a := range m.Answers {
		out = append(out, h.spoken(h.inCommand(m, a)))
	}
	return out
}

// inCommand puts an answer that is a plain reading back into the command that was
// asked about.
func (h *hearing) inCommand(m phrase.Meaning, a string) string {
	head, rest, two := strings.Cut(a, " ")
	if phrase.Parse(h.context(), a).Kind != phrase.Reading || !two {
		return a
	}
	said := a
	switch m.Command {
	case phrase.CmdCheck:
		said = h.say("answer.check", a)
	case phrase.CmdCorrect:
		said = h.say("answer.correct", head, rest)
	}
	if k := phrase.Parse(h.context(), said); k.Kind == phrase.Command && k.Command == m.Command {
		return said
	}
	return a
}

// spoken says an answer's side in the language of the conversation, where that
// means the same.
func (h *hearing) spoken(a string) string {
	other := "en"
	if h.lang == "en" {
		other = "es"
	}
	high, low := phrase.SideWords(h.lang)
	foreignHigh, foreignLow := phrase.SideWords(other)
	said := a
	for foreign, own := range map[string]string{foreignHigh: high, foreignLow: low} {
		if head, ok := strings.CutSuffix(a, " "+foreign); ok {
			said = head + " " + own
		}
	}
	if !sameReading(phrase.Parse(h.context(), a), phrase.Parse(h.context(), said)) {
		return a
	}
	return said
}

// sameReading says whether two lines give the same reading in the same way.
func sameReading(a, b phrase.Meaning) bool {
	if a.Kind != b.Kind || a.Command != b.Command || a.Station != b.Station || a.Value != b.Value {
		return false
	}
	x, command := a.Arg.(phrase.ReadingArg)
	y, too := b.Arg.(phrase.ReadingArg)
	return command == too && x == y && (command || a.Kind == phrase.Reading)
}
