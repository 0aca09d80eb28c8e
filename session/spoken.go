package session

import (
	"rodcall/reduce"
	"rodcall/session/phrase"
)

// voice hears a voice note. It is heard twice: first to say what is to be
// listened for, then with what was heard. That is a text like any other, but
// for what it stores: see heard.
func (h *hearing) voice() {
	switch {
	case h.m.Overheard && (h.job == nil || !h.walks() && !h.waiting()):
		return // people talk: whoever holds no rod here is not listened to
	case h.job == nil:
		h.reply(h.noJob())
		h.answerAloud()
		return
	case h.m.Heard == nil:
		// They speak their own language, whatever the group is answered in.
		h.listen = &Listening{Context: h.context(), Lang: AnswerLang(true, h.c.Lang, ""), Expect: h.likely()}
		return
	case h.m.Heard.Fail != "" || h.m.Heard.Text == "":
		h.notHeard(h.m.Heard.Fail)
	case h.m.Overheard && !h.meant(h.m.Heard.Text):
		return
	default:
		h.heard = h.m.Heard
		h.aim()
		a := h.hearLine(h.heard.Text)
		h.dueCheck(&a)
		h.reply(a)
	}
	h.answerAloud()
}

// notHeard says why nothing was heard, and what works. Of what was overheard in
// a group only that is told which may have been a reading that is lost now.
func (h *hearing) notHeard(fail HeardFail) {
	if fail == "" {
		fail = HeardTalk
	}
	key := Key("voice." + string(fail))
	switch fail {
	case HeardLoud, HeardBusy:
	case HeardNoEngine, HeardLanguage:
		if !h.once(string(key)) {
			if h.m.Overheard {
				return
			}
			key += ".again"
		}
	case HeardTalk, HeardEmpty, HeardLong, HeardBroken:
		if h.m.Overheard {
			return
		}
	}
	typed, aloud := h.rodExample()
	h.reply(answer{lines: []string{h.say(key, typed, aloud)}, unheard: true, next: fail == HeardTalk})
}

// rodExamples are what a rod may show, for example: a direct one and a standard
// one, by unit.
var rodExamples = map[reduce.Unit][2]reduce.Length{
	reduce.UnitInch: {-3 * reduce.Inch / 8, 4*reduce.Foot + 7*reduce.Inch + 3*reduce.Inch/8}, reduce.UnitFoot: {-3 * reduce.Foot / 100, 462 * reduce.Foot / 100},
	reduce.UnitMillimetre: {-10 * reduce.Millimetre, 1412 * reduce.Millimetre},
}

// rodExample is what this person's rod may show, as it is typed and as it is
// said.
func (h *hearing) rodExample() (typed, aloud string) {
	kind, at := h.kind(), 0
	if kind == reduce.Standard {
		at = 1
	}
	rod := Rod{Rod: reduce.Rod{Kind: kind}}
	value := rodExamples[h.job.Unit][at].RoundTo(h.job.Finest)
	return h.rodText(rod, value), h.valueAloud(kind, value)
}

// likely are the values that the rod may show at the station asked for,
// likeliest first: those about what its neighbours, or an earlier round, lead to
// expect. There are none where nothing does.
func (h *hearing) likely() []reduce.Length {
	if h.c.Asked.IsZero() {
		return nil
	}
	value, near, _ := h.predicted(h.c.Asked, false)
	if !near {
		return nil
	}
	step := max(h.job.Finest, unitPlaces[h.job.Unit].step)
	value = value.RoundTo(step)
	out := []reduce.Length{value}
	for n := reduce.Length(1); n <= likelySteps; n++ {
		out = append(out, value-n*step, value+n*step)
	}
	return out
}

// likelySteps is how far about the predicted value likely ones are, in steps of
// the keys.
const likelySteps = 6

// byVoiceNot says that a spoken line cannot be taken now: a test or a search
// hangs on its figure, and nothing of it can be taken back by itself.
func (h *hearing) byVoiceNot(m phrase.Meaning) (answer, bool) {
	if h.heard == nil || h.job == nil {
		return answer{}, false
	}
	q := h.c.Question
	testing := q != nil && q.Job == h.job.ID && (q.Kind == testScrap || laserTests[q.Kind].steps != nil)
	reads := m.Kind == phrase.Reading || m.Command == phrase.CmdCheck || m.Command == phrase.CmdCorrect
	if !testing && !h.searching() || !reads && (m.Kind == phrase.Command || !hasFigure(m)) {
		return answer{}, false
	}
	a := answer{lines: []string{h.say("voice.typed", m.Said)}, unheard: true}
	if testing {
		again := *q
		a.question = &again
	}
	return a, true
}
