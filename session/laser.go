package session

import (
	"slices"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// The tests of a laser, as kinds of question and of LaserChecked.Test.
const (
	pegsTest     = "pegs"
	headingsTest = "headings"
	turnTest     = "turn"
)

// laserTest is a dialogue of several steps.
type laserTest struct {
	steps  []laserAsk
	result func(*hearing, *Question) answer
}

// laserAsk is one question of it: a reading, or a distance in plan.
type laserAsk struct {
	key      Key
	distance bool
}

// laserTests are the dialogues. What was given so far is in Question.Values, in
// the order of their steps.
var laserTests = map[string]laserTest{}

func init() {
	read := func(key Key) laserAsk { return laserAsk{key, false} }
	far := func(key Key) laserAsk { return laserAsk{key, true} }
	laserTests[pegsTest] = laserTest{[]laserAsk{
		read("laser.pegs.1"), read("laser.pegs.2"), read("laser.pegs.3"), read("laser.pegs.4"), far("laser.pegs.5"), far("laser.pegs.6"),
	}, (*hearing).pegsResult}
	laserTests[headingsTest] = laserTest{[]laserAsk{
		far("laser.headings.1"), read("laser.headings.2"), read("laser.headings.3"), read("laser.headings.4"), read("laser.headings.5"),
	}, (*hearing).headingsResult}
	laserTests[turnTest] = laserTest{[]laserAsk{
		read("laser.turn.1"), read("laser.turn.2"), read("laser.turn.3"),
	}, (*hearing).turnResult}
}

// checkLaser offers the tests of a laser.
func (h *hearing) checkLaser(phrase.Meaning) answer {
	var buttons []Button
	for _, b := range []struct {
		key  Key
		name phrase.CommandName
	}{{"laser.pegs.button", phrase.CmdTwoPegs}, {"laser.headings.button", phrase.CmdHeadings}, {"laser.turn.button", phrase.CmdHalfTurn}} {
		buttons = append(buttons, Button{h.say(b.key), commandWord(h.lang, b.name)})
	}
	a := answer{lines: []string{h.say("laser.which")}, buttons: buttons}
	if h.once("caution.beam") {
		a.lines = append(a.lines, h.say("caution.beam"))
	}
	return a
}

func (h *hearing) twoPegs(phrase.Meaning) answer { return h.beginTest(pegsTest, nil) }

func (h *hearing) fourHeadings(phrase.Meaning) answer { return h.beginTest(headingsTest, nil) }

// halfTurn has three stations read again after the laser was turned half round:
// what this rod read there before is at hand.
func (h *hearing) halfTurn(phrase.Meaning) answer {
	three, ok := h.wideThree()
	if !ok {
		return answer{lines: []string{h.say("laser.nothree")}, next: true}
	}
	return h.beginTest(turnTest, three)
}

// beginTest asks the first question of a test.
func (h *hearing) beginTest(kind string, stations []reduce.Station) answer {
	if h.waiting() {
		return answer{lines: []string{h.say("repeat.who")}, unheard: true}
	}
	return h.askTest(Question{Kind: kind, Job: h.job.ID, Stations: stations})
}

// askTest asks what a test wants next, with a word before it.
func (h *hearing) askTest(q Question, before ...string) answer {
	t := laserTests[q.Kind]
	at := ""
	if n := len(q.Values); n < len(q.Stations) {
		at = h.name(q.Stations[n])
	}
	q.Buttons = nil
	line := h.say(t.steps[len(q.Values)].key, h.distance(h.testRun()), at)
	return answer{lines: append(before, line), question: &q, unheard: len(before) > 0}
}

// testRun is the length over which an error of the beam is told: 100 ft or 30 m.
func (h *hearing) testRun() reduce.Length {
	if h.job.Mark() == reduce.Metre {
		return 30 * reduce.Metre
	}
	return 100 * reduce.Foot
}

// laserStep takes the answers of a laser's test. What means something else by
// itself is left to do so.
func (h *hearing) laserStep(line string, m phrase.Meaning) (answer, bool) {
	q := h.c.Question
	if q == nil || h.job == nil || q.Job != h.job.ID {
		return answer{}, false
	}
	t, ok := laserTests[q.Kind]
	if !ok || len(q.Values) >= len(t.steps) {
		return answer{}, false
	}
	again := *q
	again.Values = slices.Clone(q.Values)
	n := len(again.Values)
	switch {
	case m.Command == phrase.CmdRepeat:
		return h.askTest(again), true
	case m.Command == phrase.CmdUndo && n > 0 && h.m.ReplyTo == "":
		again.Values = again.Values[:n-1]
		return h.askTest(again), true
	case m.Command == phrase.CmdUndo && h.m.ReplyTo == "":
		return h.no(m), true
	case m.Kind == phrase.Command && looks[m.Command]:
		// What only shows something does not end a test of many steps.
		a := h.command(m)
		a.question, a.buttons, a.next = &again, nil, false
		return a, true
	case m.Kind == phrase.Command && m.Command == phrase.CmdNo:
		return answer{}, false
	case m.Kind == phrase.Command || m.Named && (n >= len(q.Stations) || m.Station != q.Stations[n]):
		h.remarks = append(h.remarks, h.say("laser.left"))
		if q.Kind == turnTest {
			h.remarks = append(h.remarks, h.say("laser.left.turned"))
		}
		return answer{}, false
	}
	value := m.Value
	switch {
	case t.steps[n].distance:
		d, ok := phrase.ParseDistance(h.context(), line)
		if ok && d <= maxSight {
			value = d
			break
		}
		if !strings.ContainsAny(line, figures) {
			return answer{}, false
		}
		return h.askTest(again, h.say("laser.notfar", m.Said, h.distance(h.testRun()))), true
	case m.Kind == phrase.Ask && len(m.Answers) > 0:
		a := h.askTest(again)
		a.lines, a.unheard = []string{h.why(m)}, true
		for _, text := range h.answers(m) {
			a.question.Buttons = append(a.question.Buttons, Button{text, text})
		}
		return a, true
	case m.Kind != phrase.Reading:
		return answer{}, false
	}
	if again.Values = append(again.Values, value); len(again.Values) < len(t.steps) {
		return h.askTest(again), true
	}
	return t.result(h, &again), true
}

// maxSight is the longest distance that a test takes.
const maxSight = 300 * reduce.Metre

// laserRod is the rod that a test is read with, whoever holds it.
func (h *hearing) laserRod() reduce.Rod {
	r, ok := h.heldRod()
	if !ok {
		return reduce.Rod{Kind: h.kind()}
	}
	return r.Rod
}

// fine is the amount to which errors of a beam are told: finer than readings.
func (j *Job) fine() reduce.Length {
	switch j.Unit {
	case reduce.UnitFoot:
		return min(j.Finest, reduce.Foot/1000)
	case reduce.UnitMillimetre:
		return min(j.Finest, reduce.Millimetre/10)
	case reduce.UnitInch:
	}
	return min(j.Finest, reduce.Inch/32)
}

// beamAmount is a beam's error as an amount with its unit.
func (h *hearing) beamAmount(l reduce.Length) string {
	return View{Job: h.job}.measureIn(h.lang, l.Abs(), h.job.fine())
}

// judged ends a test: what it showed is kept, and whether chance may have done
// as much.
func (h *hearing) judged(q *Question, rise reduce.Length, beyond bool, line string) answer {
	h.emit(LaserChecked{Test: q.Kind, Rod: h.laserRod().Kind, Values: q.Values, Stations: q.Stations,
		Rise: rise.Abs().RoundTo(reduce.Micrometre), Run: h.testRun()})
	h.c.Question = nil
	key := Key("laser.within")
	if beyond {
		key = "laser.beyond"
	}
	return answer{lines: []string{line, h.say(key)}, next: true}
}
