package session

import (
	"slices"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// holdsBack says that nothing is stored or done of a line before a question is
// answered.
func (q *Question) holdsBack() bool {
	switch q.Kind {
	case askedBack, sure, doubted, spokenFirst, openEarly, offered:
		return q.Text != ""
	}
	return false
}

// pending is the question of the job at hand that waits for an answer, nil for
// none.
func (h *hearing) pending() *Question {
	if q := h.c.Question; q != nil && h.job != nil && q.Job == h.job.ID {
		return q
	}
	return nil
}

// undoAsked drops a question that holds something back, and says what is not
// kept; ok is false where none does. What stands is left as it is.
func (h *hearing) undoAsked() (answer, bool) {
	q := h.pending()
	if q == nil || !q.holdsBack() {
		return answer{}, false
	}
	h.c.Question = nil
	c := h.context()
	c.Asked = q.Station
	m := phrase.Parse(c, q.Text)
	key, what := Key("undo.asked"), q.Text
	switch m.Command {
	case "":
		if !m.Named && !q.Station.IsZero() {
			what = h.name(q.Station) + " " + what
		}
	case phrase.CmdCorrect, phrase.CmdCheck, phrase.CmdNote:
	default:
		key = "undo.asked.done"
	}
	a := answer{lines: []string{h.say(key, what)}, next: true}
	if s := q.Station; slices.Contains(h.c.Skipped, s) && !h.job.readNow()[s] {
		h.goTo(s) // its line was passed over
	}
	return a, true
}

// askedAgain asks a pending question again.
func (h *hearing) askedAgain(q *Question) answer {
	again := *q
	a := answer{question: &again}
	key := Key("repeat." + q.Kind)
	switch {
	case laserTests[q.Kind].steps != nil:
		return h.askTest(again)
	case q.Kind == offered:
		a.next = true
		if slices.ContainsFunc(q.Buttons, func(b Button) bool { return phrase.Parse(h.context(), b.Text).Command == phrase.CmdRod }) {
			a.lines, a.next = []string{h.say("rod.which")}, false
		}
		return a
	case q.Kind == heardAsked:
		r, ok := h.open(q.Seq)
		if !ok {
			return answer{next: true}
		}
		a.lines = []string{h.heardAgain(r, q)}
		return a
	case q.Kind == spokenFirst:
		a.lines = []string{h.say("voice.first", q.Text)}
		return a
	case q.Kind == whoHolds && q.Stage == whichRod:
		key = "repeat.which"
	}
	at := ""
	if !q.Station.IsZero() {
		at = h.name(q.Station)
	}
	a.lines = []string{h.say(key, at, q.Text)}
	return a
}

// stays says that a pending question outlives this answer: what only shows
// something leaves any alone, a command that was refused what was offered.
func (h *hearing) stays(a answer) bool {
	q := h.pending()
	switch {
	case q == nil:
		return false
	case h.looked && !h.acted:
		return true
	}
	return h.refused && a.unheard && (q.Kind == offered || q.Kind == heardAsked || q.Kind == reshoot)
}

// maxAlso are the offers that stay beside a pending question, the newest ones.
const maxAlso = 3

// also puts an offer beside the pending question, which stays.
func (h *hearing) also(buttons []Button) *Question {
	h.c.Number++
	more := Question{Number: h.c.Number, Kind: offered, Job: h.job.ID, Station: h.c.Asked, Buttons: buttons, Lang: h.lang}
	q := *h.c.Question
	q.Also = append(slices.Clone(q.Also[max(0, len(q.Also)-maxAlso+1):]), more)
	h.c.Question = &q
	return &more
}

// tappedOf is the question that a tap answers: the pending one, or an offer
// beside it; nil where it is past.
func (h *hearing) tappedOf() *Question {
	q := h.c.Question
	if q == nil || q.Number == h.m.Question {
		return q
	}
	if i := slices.IndexFunc(q.Also, func(k Question) bool { return k.Number == h.m.Question }); i >= 0 {
		return &q.Also[i]
	}
	return nil
}

// keepsIt says that a line answers a doubt, or a surprise, by keeping what was
// read.
func (h *hearing) keepsIt(line string) bool {
	q := h.pending()
	if q == nil || q.Kind != doubted && q.Kind != surprised {
		return false
	}
	line = strings.ToLower(strings.Trim(line, " .!"))
	for _, lang := range []string{"en", "es"} {
		if line == Say(lang, "doubt.keep") || slices.Contains(strings.Split(Say(lang, "doubt.keep.words"), "|"), line) {
			return true
		}
	}
	return false
}

// keepStep keeps a reading that was doubted.
func (h *hearing) keepStep(line string) (answer, bool) {
	if !h.keepsIt(line) {
		return answer{}, false
	}
	q := h.pending()
	if q.Kind == surprised {
		return h.surpriseStep(h.say("surprise.so"))
	}
	n := len(q.Buttons) - 1
	if n < 0 || q.Buttons[n].Label != h.say("doubt.keep") {
		return answer{}, false
	}
	h.message = q.Message
	if q.Line > 0 {
		h.line = q.Line
	}
	if q.Station != h.c.Asked {
		h.at(q.Station)
	}
	return h.hearLine(q.Buttons[n].Text), true
}

// heardAt are the stations whose height hangs on a reading that was heard and is
// not firm, in the order of the view.
func (v View) heardAt() []reduce.Station {
	type at struct {
		s     reduce.Station
		round int
	}
	open := map[at]bool{}
	for _, r := range v.Job.Heard() {
		open[at{r.Station, r.Round}] = true
	}
	var out []reduce.Station
	if len(open) == 0 {
		return nil
	}
	for _, s := range v.Stations {
		if open[at{s.Station, s.Round}] {
			out = append(out, s.Station)
		}
	}
	return out
}
