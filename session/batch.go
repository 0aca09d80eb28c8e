package session

import (
	"slices"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// hearLines hears a text of several lines, each as if it had been sent by
// itself: what is good is kept, what is bad is listed. A bad line that was
// plainly a reading holds the place of its station: the figures behind it go
// where the crew meant them. Behind a bad line that named its station badly, and
// behind a word among bare figures that may be a slip or talk, nobody knows
// where bare figures belong: they are held back up to the next line that names
// one.
func (h *hearing) hearLines(lines []string) {
	h.aim()
	h.reply(h.hearEach(lines))
}

// hearEach hears lines as hearLines does, all but the empty ones, and answers
// them in one.
func (h *hearing) hearEach(lines []string) answer {
	over := 0
	if len(lines) > maxLines {
		over = len(lines) - maxLines
		lines = lines[:maxLines]
	}
	var good, bad, waits []string
	var last answer
	lost := 0      // the line since which nobody knows the station
	among := false // a bare figure came before
	for i, l := range lines {
		if l == "" {
			continue
		}
		h.line = i + 1
		m := phrase.Parse(h.context(), l)
		if lost > 0 && h.job != nil && bare(m) {
			h.noteUnheardAt(reduce.Station{})
			bad = append(bad, h.say("batch.lost", i+1, lost))
			continue
		}
		a := h.hearLine(l)
		switch {
		case a.unheard && (h.misnamed(l, m) || among && oneWord(m)):
			// It was for the station that it named, whichever that is.
			lost, a.holds, a.about = i+1, false, m.Station
			if !m.Named {
				a.about = reduce.Station{}
			}
		case m.Named:
			lost = 0
		}
		switch {
		case a.waits:
			// One question for all that wait.
			waits = a.lines
			last.question = a.question
			continue
		case a.unheard:
			bad = append(bad, h.badLine(i+1, a))
			if a.holds {
				h.passOver(a.about)
			}
			if a.question != nil && len(waits) == 0 {
				last.question = a.question
			}
			continue
		}
		among = among || m.Kind == phrase.Reading && !m.Named
		if len(a.lines) > 0 {
			good = append(good, a.lines[0])
		}
		last.picture = last.picture || a.picture
		last.figures = append(last.figures, a.figures...)
		last.next = true
		// A station that a later line has read is no longer asked about.
		if q := last.question; q != nil && (q.Kind == askedBack || q.Kind == doubted && q.Stage != farCheck) && h.job != nil && h.job.readNow()[q.Station] {
			last.question = nil
		}
		if a.question != nil || len(a.buttons) > 0 && last.question == nil {
			last.question, last.buttons = a.question, a.buttons
		}
		if i == len(lines)-1 && len(a.lines) > 1 {
			last.lines = a.lines[1:]
		}
	}
	if waits != nil && !h.waiting() {
		// A later line answered that, or took them back.
		waits = nil
		if q := last.question; q != nil && q.Kind == whoHolds {
			last.question = nil
		}
	}
	h.nameButtons(last.question)
	all := shorten(good, 2*maxListed, func(n int) string { return h.say("batch.more", n) })
	if len(bad) > 0 {
		all = append(all, h.say("batch.count", len(good), len(bad)))
		all = append(all, shorten(bad, maxListed, func(n int) string { return h.say("batch.morebad", n) })...)
	}
	if over > 0 {
		all = append(all, h.say("batch.over", maxLines, over))
	}
	all = append(all, waits...)
	last.lines = append(all, last.lines...)
	last.unheard = len(good) == 0
	return last
}

// nameButtons puts the station before answers that are for another one than
// the one asked for next.
func (h *hearing) nameButtons(q *Question) {
	if q == nil || q.Kind != askedBack || q.Station.IsZero() || q.Station == h.c.Asked {
		return
	}
	at := h.context()
	at.Asked = q.Station
	for i, b := range q.Buttons {
		named := h.name(q.Station) + " " + b.Text
		was, is := phrase.Parse(at, b.Text), phrase.Parse(h.context(), named)
		if !was.Named && sameMeaning(was, is) {
			q.Buttons[i] = Button{named, named}
		}
	}
}

// badLine says what became of a line that was not kept, and for which station
// it was meant.
func (h *hearing) badLine(n int, a answer) string {
	why := ""
	if len(a.lines) > 0 {
		why = a.lines[0]
	}
	if a.about.IsZero() {
		return h.say("batch.bad", n, why)
	}
	return h.say("batch.bad.at", n, h.name(a.about), strings.TrimPrefix(why, h.name(a.about)+": "))
}

// passOver leaves a station for later, as skip does, because the line that
// was meant for it could not be kept.
func (h *hearing) passOver(s reduce.Station) {
	if h.checking(s) {
		h.resume() // the next line is for what was asked for before the check
		return
	}
	if h.aside || !walked(s) {
		return
	}
	if !h.job.readNow()[s] && !slices.Contains(h.c.Skipped, s) {
		h.c.Skipped = append(h.c.Skipped, s)
	}
	h.advance(s)
}

// meantFor is the station that a line which gave no reading was meant for, and
// whether the line was plainly a reading gone wrong: it holds a figure, or
// little else than a word of a reading, and is no talk. Zero where the line names a station that there is not, or none is
// being asked for.
func (h *hearing) meantFor(m phrase.Meaning) (s reduce.Station, holds bool) {
	switch {
	case m.Command != "" || !hasFigure(m) && !nearReading(m):
		return reduce.Station{}, false
	case m.Named:
		return m.Station, true
	case unplaced[m.Why.Code]:
		return reduce.Station{}, false
	}
	return h.c.Asked, !h.c.Asked.IsZero()
}

// bare says that a line is about the station asked for, whichever that is.
func bare(m phrase.Meaning) bool {
	switch m.Kind {
	case phrase.Reading:
		return !m.Named
	case phrase.Ask, phrase.Refuse:
		return !m.Named && m.Command == "" && !unplaced[m.Why.Code] && (hasFigure(m) || nearReading(m))
	case phrase.Command:
	}
	return m.Command == phrase.CmdSkip || m.Command == phrase.CmdNoBeam && !m.Named
}

// misnamed says whether a line that gave nothing named a station that there is
// not, or named one beside nonsense.
func (h *hearing) misnamed(line string, m phrase.Meaning) bool {
	why := m.Why.Code
	if why != phrase.WhyNotUnderstood {
		return unplaced[why] || why == phrase.WhyTwoStations || why == phrase.WhyNoAmount && m.Named
	}
	return len(line) <= maxMeant && slices.ContainsFunc(strings.Fields(line), func(word string) bool {
		k := phrase.Parse(h.context(), word)
		return k.Named || unplaced[k.Why.Code]
	})
}

// nearReading says that a line without a figure was as good as a reading: "low",
// "lvel", "three eighths lwo".
func nearReading(m phrase.Meaning) bool {
	return (m.Why.Code == phrase.WhyMore || m.Why.Code == phrase.WhyNoAmount || m.Why.Code == phrase.WhyGood) && len(strings.Fields(m.Said)) <= maxNear
}

// maxNear is how many words a reading without a figure has at most: more are
// talk that holds a word of one.
const maxNear = 3

// oneWord says that a line is one word that means nothing.
func oneWord(m phrase.Meaning) bool {
	return m.Why.Code == phrase.WhyNotUnderstood && len(strings.Fields(m.Said)) == 1
}

// unplaced are the reasons of lines that name a station which there is not.
var unplaced = map[phrase.WhyCode]bool{phrase.WhyNoStation: true, phrase.WhyNoPier: true, phrase.WhyPastEnd: true}

// hasFigure says whether a line that gave no reading was about an amount.
func hasFigure(m phrase.Meaning) bool {
	return ofAmounts[m.Why.Code] || len(m.Said) <= maxMeant && strings.ContainsAny(m.Said, figures)
}

// ofAmounts are the reasons that only a line with an amount in it can give,
// were it in words.
var ofAmounts = map[phrase.WhyCode]bool{
	phrase.WhyNoSide: true, phrase.WhyTwoSides: true, phrase.WhyTwoAmounts: true, phrase.WhyTwoWays: true,
	phrase.WhyDash: true, phrase.WhyPlus: true, phrase.WhySpotOrMove: true, phrase.WhyRodNumber: true,
	phrase.WhyFeetOrInches: true, phrase.WhyMetres: true, phrase.WhyNoPart: true, phrase.WhyReach: true, phrase.WhyInches: true, phrase.WhyTooFine: true,
}

// figures are the signs that amounts are written with.
const figures = "0123456789½¼¾⅛⅜⅝⅞"
