package session

import (
	"regexp"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// aloud says whether this person's voice notes are answered aloud. Where the bot
// has nothing to speak with it says so; that they want it is kept all the same.
func (h *hearing) aloud(m phrase.Meaning) answer {
	h.c.Aloud = m.Arg == phrase.Text("on")
	switch {
	case !h.c.Aloud:
		return answer{lines: []string{h.say("aloud.off")}, next: true}
	case !h.m.Speaks:
		return answer{lines: []string{h.say("aloud.none")}, next: true}
	}
	return answer{lines: []string{h.say("aloud.on")}, next: true}
}

// answerAloud answers a voice note with one too, for whoever wants that: what
// was heard and what is asked for next; of other answers the first line.
func (h *hearing) answerAloud() {
	if !h.c.Aloud || !h.m.Speaks || len(h.replies) == 0 {
		return
	}
	r := h.replies[0]
	said, _, _ := strings.Cut(r.Text, "\n")
	if h.job != nil && len(h.spoke) > 0 {
		k, _ := h.job.hist.at(h.spoke[len(h.spoke)-1])
		said = h.say("aloud.reading", h.ear(h.name(k.Station)), h.valueAloud(h.kindOf(k.Rod), k.Value))
		if q := h.c.Question; q != nil && q.Kind == heardAsked && q.Seq == k.Seq && h.mustAnswer(k.Seq) {
			said += " " + h.say("aloud.sure")
		} else if !h.c.Asked.IsZero() {
			said += " " + h.say("next", h.ear(h.name(h.c.Asked))) + "."
		}
	} else {
		if next := h.say("next", h.name(h.c.Asked)); strings.HasSuffix(r.Text, "\n"+next) {
			said += " " + next + "."
		}
		said = h.ear(said)
	}
	if said != "" {
		h.replies = append(h.replies, Reply{Aloud: said, Lang: h.lang})
	}
}

// kindOf is the kind of a rod by its number.
func (h *hearing) kindOf(rod int) reduce.RodKind {
	r, _ := h.job.rod(rod)
	return r.Kind
}

// valueAloud is what a rod showed, in words for the ear.
func (h *hearing) valueAloud(kind reduce.RodKind, value reduce.Length) string {
	if kind == reduce.Standard {
		return phrase.RodWords(h.lang, h.job.Unit, h.job.Unit.RodFigure(value, h.job.Finest))
	}
	if h.showsZero(value) {
		return h.say("level")
	}
	words := phrase.AmountWords(h.lang, h.job.Unit, h.job.Unit.Amount(value, h.job.Finest))
	if value > 0 {
		return h.say("high", words)
	}
	return h.say("low", words)
}

var (
	earStation  = regexp.MustCompile(`\b([cp][0-9]+)\+([0-9]+)`)
	earFraction = regexp.MustCompile(`\b(?:([0-9]+)[ -])?([0-9]+/[0-9]+)\b`)
)

// ear puts a text into words for the ear: "c2+4" becomes "c2 plus 4", "3/8"
// three eighths. What is in brackets is for the eye.
func (h *hearing) ear(text string) string {
	text = earStation.ReplaceAllString(text, "$1 "+h.say("aloud.plus")+" $2")
	return earFraction.ReplaceAllStringFunc(text, func(said string) string {
		return phrase.AmountWords(h.lang, reduce.UnitInch, reduce.Amount{Figure: strings.Replace(said, "-", " ", 1)})
	})
}
