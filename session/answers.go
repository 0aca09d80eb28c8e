package session

import (
	"reflect"
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

// spoken says an answer in the words of the conversation's language, where that
// means the same.
func (h *hearing) spoken(a string) string {
	said := translate(h.lang, a)
	if x, y := phrase.Parse(h.context(), a), phrase.Parse(h.context(), said); !sameMeaning(x, y) {
		return a
	}
	return said
}

// phraseWords are the words that package phrase writes of itself, into answers
// and reasons; of two that begin alike the longer one is first.
func phraseWords(lang string) []string {
	bare := func(key Key) string { return strings.TrimSpace(Say(lang, key, "", "", "")) }
	high, low := phrase.SideWords(lang)
	foot := strings.TrimPrefix(Say(lang, "figure.ft", 1), "1 ")
	return []string{
		bare("design.lower"), bare("design.higher"), bare("grade") + " " + foot, bare("grade"), high, low,
		bare("figure.in"), bare("figure.ft"), bare("answer.on"), bare("half.top"), bare("half.bottom"), bare("paper.step"), bare("answer.fall.example"),
		bare("papers.dark"), bare("rod.direct"),
	}
}

// accents are put where package phrase writes Spanish without.
var accents = strings.NewReplacer(" escalon ", " escalón ", " caida ", " caída ", " mas ", " más ")

// translate puts the words that package phrase wrote into a language.
func translate(lang, text string) string {
	other := "en"
	if lang == "en" {
		other = "es"
	}
	own, foreign := phraseWords(lang), phraseWords(other)
	text = accents.Replace(" " + text + " ")
	for i, w := range foreign {
		text = strings.ReplaceAll(text, " "+w+" ", " "+own[i]+" ")
	}
	return strings.TrimSpace(text)
}

// sameMeaning says whether two lines do the same.
func sameMeaning(a, b phrase.Meaning) bool {
	return a.Kind == b.Kind && a.Why.Code == b.Why.Code && a.Command == b.Command && a.Station == b.Station && a.Value == b.Value && reflect.DeepEqual(a.Arg, b.Arg)
}
