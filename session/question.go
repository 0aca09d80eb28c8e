package session

import (
	"slices"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// The kinds of question.
const (
	askedBack = "ask"   // what did this line mean?
	offered   = "offer" // choices that may as well be left alone
	whoHolds  = "who"   // did you take over the rod, or hold another?
	sure      = "sure"  // is a figure so large meant?
	testScrap = "scrap" // the rod's test: how thick is the scrap, what does the rod read on it?
)

// join reads a line as the answer to what was asked back: "low" after "3/8:
// high or low?".
func (h *hearing) join(line string) (phrase.Meaning, bool) {
	q := h.c.Question
	if q == nil || q.Kind != askedBack || h.job == nil || q.Job != h.job.ID || len(line) > 40 || len(q.Text) > 100 {
		return phrase.Meaning{}, false
	}
	c := h.context()
	c.Asked = q.Station
	if q.Counts != nil {
		c.Count = *q.Counts
	}
	behind := func(first, second string) string { return first + " " + second }
	before := func(first, second string) string { return second + " " + first }
	for _, join := range []func(first, second string) string{behind, before} {
		m := phrase.Parse(c, join(q.Text, line))
		if m.Kind == phrase.Reading && m.Station == q.Station {
			h.joinHeard(q, line, join)
			return m, true
		}
		// "low" after "check c3 1/2: high or low?"
		if arg, ok := m.Arg.(phrase.ReadingArg); ok && m.Kind == phrase.Command && arg.Station == q.Station {
			h.joinHeard(q, line, join)
			return m, true
		}
	}
	return phrase.Meaning{}, false
}

// answered reads a bare reading as the answer, of those that were offered to what
// was asked back, that gives the same at the station which that was about: "3/8
// low" after "c3 3/8: high or low?".
func (h *hearing) answered(m phrase.Meaning) (phrase.Meaning, bool) {
	q := h.pending()
	if q == nil || q.Kind != askedBack || m.Kind != phrase.Reading || m.Named || q.Station == m.Station {
		return phrase.Meaning{}, false
	}
	for _, b := range q.Buttons {
		if a := phrase.Parse(h.context(), b.Text); a.Kind == phrase.Reading && a.Station == q.Station && a.Value == m.Value {
			return a, true
		}
	}
	return phrase.Meaning{}, false
}

// joinHeard keeps in mind that half of a joined line, or both, was spoken, and
// joins what could not be ruled out for either as the line itself was.
func (h *hearing) joinHeard(q *Question, line string, join func(first, second string) string) {
	if !q.Spoken && h.heard == nil {
		return
	}
	firsts, seconds := append([]string{q.Text}, q.Close...), []string{line}
	if h.heard != nil {
		seconds = append(seconds, h.heard.Close...)
	}
	joined := &Heard{Text: join(q.Text, line)}
	for i, first := range firsts {
		for k, second := range seconds {
			if i+k > 0 {
				joined.Close = append(joined.Close, join(first, second))
			}
		}
	}
	// One that is a reading by itself stands for the whole.
	joined.Close = slices.Concat(joined.Close, firsts[1:], seconds[1:])
	h.heard = joined
}

// tapped hears a button. It acts once: its question must still be pending.
func (h *hearing) tapped() {
	q, pending := h.tappedOf(), h.c.Question
	if q == nil || q.Number != h.m.Question {
		h.reply(answer{lines: []string{h.say("tap.old")}, unheard: true})
		return
	}
	i := h.m.Choice - 1
	if h.m.Choice == 0 {
		i = slices.IndexFunc(q.Buttons, func(b Button) bool { return b.Text == h.m.Text })
	}
	if i < 0 || i >= len(q.Buttons) {
		h.reply(answer{lines: []string{h.say("tap.old")}, unheard: true})
		return
	}
	if q.Job != "" && (h.job == nil || q.Job != h.job.ID) {
		h.c.Question = nil
		h.reply(answer{lines: []string{h.say("tap.otherjob")}, unheard: true})
		return
	}
	h.c.Question = nil
	if q.Kind == heardAsked {
		h.reply(h.tappedHeard(q, i))
		return
	}
	if (q.Kind == askedBack || q.Kind == doubted) && q.Message != "" {
		// The reading belongs to the message that was asked about: an edit of
		// that message finds it.
		h.message = q.Message
		if q.Line > 0 {
			h.line = q.Line
		}
	}
	if h.job != nil && !q.Station.IsZero() && (q.Kind == askedBack || q.Kind == doubted) && q.Station != h.c.Asked {
		h.at(q.Station)
	}
	// What waits for "who holds the rod", a rod's test, and whether a figure is
	// meant are kept until they are answered; so is a doubtful reading.
	if q.Kind == whoHolds || q.Kind == testScrap || q.Kind == sure || q.Kind == openEarly || q.Kind == stoodOn || q.Kind == surprised || q.Kind == doubted || q.Kind == keptAt || q.Kind == spokenFirst || laserTests[q.Kind].steps != nil {
		h.c.Question = q
	}
	if a, ok := h.confirmTapped(q.Buttons[i].Text); ok {
		h.reply(a)
		return
	}
	if m := phrase.Parse(h.context(), q.Buttons[i].Text); q.Kind == offered && m.Kind == phrase.Command && looks[m.Command] {
		h.c.Question = pending // what only shows something leaves the others on offer
	}
	h.reply(h.hearLine(q.Buttons[i].Text))
}

// whoHolds asks a second person how they come to send readings. The line waits
// for its station, at; the next one is for the station behind it.
func (h *hearing) whoHolds(line string, at reduce.Station, moves bool) answer {
	q := &Question{Kind: whoHolds, Job: h.job.ID}
	if h.waiting() {
		q.Held = slices.Clone(h.c.Question.Held)
	}
	q.Buttons = []Button{
		{h.say("who.tookover.button"), "took over"},
		{h.say("who.another.button"), "another rod"},
	}
	// In a text of several lines the next one meets this question too.
	h.c.Question = q
	if len(q.Held) >= maxHeld {
		return answer{lines: []string{h.say("who.full", maxHeld)}, question: q, unheard: true}
	}
	q.Held = append(q.Held, Held{h.message, h.line, line, h.c.Asked, h.checking(h.c.Asked), h.heard, h.job.Seq, h.countsNow()})
	if moves && !h.aside && walked(at) {
		h.advance(at)
	}
	return answer{lines: []string{h.whoLine(h.newestHeld(q.Held))}, question: q, unheard: true, waits: true}
}

// whoLine asks who holds the rod, and says what waits for that.
func (h *hearing) whoLine(waits string) string {
	key, out := Key("who"), h.rodsOut()
	if len(out) > 1 {
		key = "who.several"
	}
	var names []string
	for _, r := range out {
		names = append(names, h.rodName(r))
	}
	return h.say(key, strings.Join(names, ", "), waits)
}

// newestHeld names the lines of the newest message that waits, and how many
// waited before them.
func (h *hearing) newestHeld(held []Held) string {
	n := slices.IndexFunc(held, func(l Held) bool { return l.Message == held[len(held)-1].Message })
	if n > 0 {
		return h.say("who.before", h.listHeld(held[n:]), n)
	}
	return h.listHeld(held)
}

// listHeld names the lines that wait, each with its station.
func (h *hearing) listHeld(held []Held) string {
	var names []string
	for _, l := range held {
		c := h.context()
		c.Asked = l.Station
		if m := phrase.Parse(c, l.Text); m.Named || l.Station.IsZero() {
			names = append(names, l.Text)
		} else {
			names = append(names, h.name(l.Station)+" "+l.Text)
		}
	}
	return strings.Join(shorten(names, maxListed, func(n int) string { return h.say("more", n) }), ", ")
}

// waiting says whether lines wait to be told who holds the rod.
func (h *hearing) waiting() bool {
	q := h.c.Question
	return q != nil && q.Kind == whoHolds && len(q.Held) > 0 && h.job != nil && q.Job == h.job.ID
}

// rodsOut are the rods that others hold in the present set-up.
func (h *hearing) rodsOut() []Rod {
	return slices.DeleteFunc(slices.Clone(h.job.Rods), func(r Rod) bool {
		return r.Setup != h.job.setup() || r.By == h.m.From.ID
	})
}

// rodName is a rod by its number and kind: "rod 1 (direct rod)".
func (h *hearing) rodName(r Rod) string {
	return h.say("rod.name", r.ID, h.say(Key("rod."+r.Kind.String())))
}

// tookOver gives this person the rod that another held. Where several are out
// it asks which.
func (h *hearing) tookOver(phrase.Meaning) answer {
	if len(h.job.Rods) == 0 {
		h.takeNewRod(h.kind())
		return h.heardHeld(answer{next: true})
	}
	if held, ok := h.heldRod(); ok && held.Setup == h.job.setup() {
		return answer{lines: []string{h.say("who.already", held.ID)}, next: true}
	}
	switch out := h.rodsOut(); len(out) {
	case 0:
		return h.takeOver(h.job.Rods[len(h.job.Rods)-1])
	case 1:
		return h.takeOver(out[0])
	default:
		q := &Question{Kind: whoHolds, Job: h.job.ID, Stage: whichRod}
		if h.waiting() {
			q.Held = slices.Clone(h.c.Question.Held)
		}
		for _, r := range out {
			q.Buttons = append(q.Buttons, Button{h.rodName(r), h.say("matter.rod", r.ID)})
		}
		h.c.Question = q
		return answer{lines: []string{h.say("who.which")}, question: q, unheard: true}
	}
}

// whichRod is the stage of whoHolds that asks which of several rods it was.
const whichRod = 1

// namedRod is the rod that a line names where it was asked which one was taken
// over.
func (h *hearing) namedRod(line string) (Rod, bool) {
	q := h.c.Question
	if q == nil || q.Kind != whoHolds || q.Stage != whichRod || h.job == nil || q.Job != h.job.ID {
		return Rod{}, false
	}
	out := h.rodsOut()
	i := slices.IndexFunc(out, func(r Rod) bool {
		return strings.EqualFold(line, Say("en", "matter.rod", r.ID)) || strings.EqualFold(line, Say("es", "matter.rod", r.ID))
	})
	if i < 0 {
		return Rod{}, false
	}
	return out[i], true
}

// takeOver gives this person a rod that another held.
func (h *hearing) takeOver(r Rod) answer {
	h.emit(RodTaken{Rod: r.ID, Setup: r.Setup, Kind: r.Kind, By: h.m.From.ID})
	if !h.waiting() {
		h.advance(h.job.last)
	}
	return h.heardHeld(answer{lines: []string{h.say("who.tookover", r.ID)}, next: true})
}

// anotherRod gives this person a rod of their own.
func (h *hearing) anotherRod(phrase.Meaning) answer {
	if held, ok := h.heldRod(); ok && held.Setup == h.job.setup() && len(h.job.Rods) > 1 {
		return answer{lines: []string{h.say("who.already", held.ID)}, next: true}
	}
	h.takeNewRod(h.kind())
	r, _ := h.heldRod()
	a := answer{lines: []string{h.say("who.another", r.ID, h.name(h.job.Reference))}, next: true}
	return h.heardHeld(a)
}

// heardHeld hears the lines that waited, each as the message it was and at the
// station that was asked for when it was sent.
func (h *hearing) heardHeld(a answer) answer {
	q := h.c.Question
	h.c.Question = nil
	if q == nil || q.Kind != whoHolds {
		return a
	}
	message, line, heard := h.message, h.line, h.heard
	for _, held := range q.Held {
		h.message, h.line, h.heard, h.counted = held.Message, held.Line, held.Heard, held.Counts
		if !held.Station.IsZero() {
			h.c.Asked = held.Station
		}
		h.c.Checks = reduce.Station{}
		if held.Check {
			h.c.Checks = held.Station
		}
		if line := h.overtaken(held); line != "" {
			a.lines = append(a.lines, line)
			continue
		}
		b := h.hearLine(held.Text)
		if b.holds && len(b.lines) > 0 {
			b.lines[0] = h.name(b.about) + ": " + strings.TrimPrefix(b.lines[0], h.name(b.about)+": ")
			h.passOver(b.about)
		}
		a.lines = append(a.lines, b.lines...)
		a.picture = a.picture || b.picture
		a.figures = append(a.figures, b.figures...)
		if b.question != nil {
			a.question = b.question
		}
		if len(b.buttons) > 0 {
			a.buttons = b.buttons
		}
	}
	h.message, h.line, h.heard, h.counted = message, line, heard, nil
	h.nameButtons(a.question)
	return a
}

// overtaken says that a line which waited is not kept, for it would now replace
// what somebody else has read there since; "" where it would not.
func (h *hearing) overtaken(held Held) string {
	m := phrase.Parse(h.context(), held.Text)
	s, value, reads := m.Station, m.Value, m.Kind == phrase.Reading
	if arg, ok := m.Arg.(phrase.ReadingArg); ok && m.Command == phrase.CmdCorrect {
		s, value, reads = arg.Station, arg.Value, true
	}
	rod, ok := h.heldRod()
	if !ok || held.Check || !reads && m.Kind != phrase.Ask || m.Command == phrase.CmdCheck {
		return ""
	}
	r, ok := h.job.live(slot{h.job.Round, rod.ID, s, false})
	if !ok || r.Seq <= held.Seq || r.By == h.m.From.ID {
		return ""
	}
	h.goOn(s)
	said := held.Text
	if reads {
		said = h.rodText(rod, value)
	}
	return h.say("held.newer", h.name(s), h.stands(r), said)
}

func (h *hearing) testButton() Button {
	return Button{h.say("test.button"), "test rod"}
}

// scraps are thicknesses for example, by unit.
var scraps = map[reduce.Unit]string{reduce.UnitInch: "3/4", reduce.UnitFoot: "0.06 ft", reduce.UnitMillimetre: "18 mm"}

// testRod begins the ten-second test of which way a rod counts: the reference
// read bare, then the same spot on a scrap of known thickness.
func (h *hearing) testRod(phrase.Meaning) answer {
	rod, ok := h.heldRod()
	ref := h.job.resolve(h.job.Reference)
	if ok && rod.Setup == h.job.setup() {
		if r, read := h.job.live(slot{h.job.Round, rod.ID, ref, false}); read {
			return answer{
				lines:    []string{h.say("test.thickness", h.name(ref), scraps[h.job.Unit])},
				question: &Question{Kind: testScrap, Job: h.job.ID, Stage: 1, Station: ref, Values: []reduce.Length{r.Value}},
			}
		}
	}
	h.c.Asked = ref
	return answer{lines: []string{h.say("test.bare", h.name(ref))}, next: true}
}

// testStep takes the answers of a rod's test. What means something else by
// itself is left to do so.
func (h *hearing) testStep(line string, m phrase.Meaning) (answer, bool) {
	q := h.c.Question
	if q == nil || q.Kind != testScrap || h.job == nil || q.Job != h.job.ID || m.Kind == phrase.Command || m.Named {
		return answer{}, false
	}
	again := *q
	again.Values = slices.Clone(q.Values)
	if q.Stage == 1 {
		// "18 mm" by itself is what a standard rod may show, too: here it is the
		// scrap, if a scrap can be that thick.
		t, _, ok := phrase.ParseLength(h.context(), line)
		if !ok || m.Kind == phrase.Reading && h.kind() == reduce.Direct || t > reduce.Foot {
			if !hasFigure(m) && m.Kind != phrase.Reading {
				return answer{}, false
			}
			return answer{lines: []string{h.say("test.notthick", line, scraps[h.job.Unit])}, question: &again, unheard: true}, true
		}
		if t < reduce.Inch/4 {
			return answer{lines: []string{h.say("test.thin", line)}, question: &again, unheard: true}, true
		}
		again.Stage, again.Values = 2, append(again.Values, t)
		return answer{lines: []string{h.say("test.raised", h.name(q.Station))}, question: &again}, true
	}
	if m.Kind == phrase.Ask && len(m.Answers) > 0 {
		again.Buttons = nil
		for _, text := range h.answers(m) {
			again.Buttons = append(again.Buttons, Button{text, text})
		}
		return answer{lines: []string{h.why(m)}, question: &again, unheard: true}, true
	}
	if m.Kind != phrase.Reading || len(q.Values) != 2 {
		return answer{}, false
	}
	return h.testResult(q.Values[0], q.Values[1], m.Value), true
}

// testResult judges a rod's test: a direct rod must rise by the thickness, a
// standard one fall by it, to within a quarter of it.
func (h *hearing) testResult(bare, thickness, raised reduce.Length) answer {
	rod, ok := h.heldRod()
	if !ok {
		return h.noJob()
	}
	change := raised - bare
	want := thickness
	if !rod.Rises() {
		want = -thickness
	}
	passed, flipped := (change-want).Abs() <= thickness/4, (change+want).Abs() <= thickness/4
	if !passed && !flipped {
		// Still in the test: the next number is for the scrap again.
		return answer{
			lines:    []string{h.say("test.neither", h.amount(change), h.amount(thickness))},
			question: &Question{Kind: testScrap, Job: h.job.ID, Station: h.job.resolve(h.job.Reference), Stage: 2, Values: []reduce.Length{bare, thickness}},
		}
	}
	h.emit(RodTested{Rod: rod.ID, Thickness: thickness, Bare: bare, Raised: raised, Passed: passed})
	if passed {
		return answer{lines: []string{h.say("test.passed")}, next: true}
	}
	return answer{
		lines:   []string{h.say("test.flipped", h.amount(thickness))},
		buttons: []Button{{h.say("test.flip.button"), "flip rod"}},
	}
}

// flipRod counts this person's rod the other way, for all that it read.
func (h *hearing) flipRod(phrase.Meaning) answer {
	rod, ok := h.heldRod()
	if !ok {
		return answer{lines: []string{h.say("norod")}, unheard: true}
	}
	h.emit(RodFlipped{Rod: rod.ID, Flipped: !rod.Flipped})
	return answer{lines: []string{h.say("flipped", rod.ID)}, next: true}
}
