package session

import (
	"errors"
	"slices"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// step takes a step of the design, or the tolerance of steps.
func (h *hearing) step(m phrase.Meaning) answer {
	switch arg := m.Arg.(type) {
	case phrase.DesignArg:
		return h.design(m, arg, false)
	case phrase.StepToleranceArg:
		h.emit(PlanSet{What: FigureStepTolerance, Length: arg.Length, Clear: arg.Clear})
		key := Key("step.tolerance")
		if arg.Clear {
			key = "step.tolerance.same"
		}
		return answer{lines: append([]string{h.say(key, h.measure(h.job.StepTolerance()))}, h.sections()...), next: true}
	}
	return h.refuse(m)
}

// fall takes a fall of the design.
func (h *hearing) fall(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.DesignArg)
	if !ok {
		return h.refuse(m)
	}
	return h.design(m, arg, true)
}

func (h *hearing) design(m phrase.Meaning, arg phrase.DesignArg, fall bool) answer {
	set := DesignSet{From: arg.From, To: arg.To, Rise: arg.Rise, Run: arg.Run, Fall: fall, Clear: arg.Clear}
	if arg.Loop != "" {
		set.Loop, set.To = true, reduce.Station{}
	}
	if arg.Clear {
		return h.clearDesign(m, set)
	}
	part := h.job.part(set)
	if err := reduce.CheckDesign(h.job.Outline, part); err != nil {
		return h.badDesign(m, err)
	}
	if len(h.job.Design) >= reduce.MaxDesignParts {
		return answer{lines: []string{h.say("design.bad.many", len(h.job.Design))}, unheard: true, next: true}
	}
	was := h.job.design
	h.emit(set)
	h.settle()
	v := h.job.View()
	n := 0
	of := len(h.job.design.Parts()) - 1 // the newest
	for _, s := range h.job.stations() {
		if h.job.design.Part(s) == of {
			n++
		}
	}
	lines := []string{h.say("design.set", v.SayPart(h.lang, set), v.SayReference(h.lang), max(n, 1))}
	if ref := h.job.resolve(h.job.Reference); h.job.design.Part(ref) == of && !fall && set.Rise != 0 {
		lines = append(lines, h.say("design.reference", h.name(ref), v.SayDesign(h.lang, -set.Rise)))
	}
	lines = append(lines, h.twoHeights(part, was)...)
	if h.once("design.check") {
		lines = append(lines, h.say("design.unlevel"))
	}
	if h.job.Datum != nil {
		lines = append(lines, h.verdicts(v)...)
	}
	return answer{lines: lines, next: true}
}

// twoHeights says where a step or a fall leaves two heights at one spot, and
// what a reading there by the spot's name alone is of; not where it was so by
// the design before.
func (h *hearing) twoHeights(part reduce.DesignPart, was *reduce.Design) []string {
	var out []string
	for i, s := range []reduce.Station{part.From, part.To} {
		if part.Loop || i > 0 && s == part.From {
			break
		}
		if _, ok := h.job.design.StepAt(s); !ok || s.Kind != reduce.Wall {
			continue
		}
		if _, old := was.StepAt(s); old && was.Own(s) == h.job.design.Own(s) {
			continue
		}
		top, bottom := h.name(s.At(reduce.Top)), h.name(s.At(reduce.Bottom))
		if own := h.job.design.Own(s); own != 0 {
			out = append(out, h.say("design.twice", h.name(s), top, bottom, h.name(s.At(own))))
		} else {
			out = append(out, h.say("design.twice.own", h.name(s), top, bottom))
		}
		if !s.IsCorner() {
			out = append(out, h.say("design.midwall", h.name(s)))
		}
		if line, ok := h.wasRead(s); ok {
			out = append(out, line)
		}
	}
	return out
}

// wasRead says, of a spot that was read before a step came there, that its
// reading is of the other height.
func (h *hearing) wasRead(s reduce.Station) (string, bool) {
	for _, rod := range slices.Backward(h.job.Rods) {
		r, ok := h.job.live(slot{h.job.Round, rod.ID, s, false})
		if !ok {
			continue
		}
		if other, is := h.otherHalf(rod, s, r.Value); is {
			if text, ok := h.readingText(rod, other, r.Value, false); ok {
				return h.say("design.wasread", h.name(s), h.name(other), text), true
			}
		}
		return "", false
	}
	return "", false
}

// otherHalf is the half of a spot whose design a reading lies nearer to than to
// that of the spot itself.
func (h *hearing) otherHalf(rod Rod, s reduce.Station, value reduce.Length) (reduce.Station, bool) {
	if s.Half != 0 || s.Kind != reduce.Wall {
		return reduce.Station{}, false
	}
	d := h.job.design
	own := d.Own(s)
	e, tied := h.job.sight(rod.ID, value, s)
	if own == 0 || !tied {
		return reduce.Station{}, false
	}
	other := s.At(reduce.Top + reduce.Bottom - own)
	return other, (e - d.At(other)).Abs() < (e - d.At(s)).Abs()
}

// askHalf asks which of two heights at one spot was read, where the spot was
// named alone and the reading lies nearer to the height that is not its own.
func (h *hearing) askHalf(rod Rod, s reduce.Station, value reduce.Length, m phrase.Meaning) (answer, bool) {
	other, ask := h.otherHalf(rod, s, value)
	if !ask || h.waiting() {
		return answer{}, false
	}
	corrects := m.Command == phrase.CmdCorrect
	q := &Question{Kind: askedBack, Job: h.job.ID, Station: s, Text: m.Said, Message: h.message, Line: h.line}
	for _, k := range []reduce.Station{other, s.At(h.job.design.Own(s))} {
		if text, ok := h.readingText(rod, k, value, corrects && k != other); ok {
			q.Buttons = append(q.Buttons, Button{text, text})
		}
	}
	h.noteUnheard()
	return answer{lines: []string{h.say("half.which", h.name(s), h.name(other))}, question: q, unheard: true, about: s, holds: true}, true
}

// noSuchHalf refuses one of two heights at a spot where no step is.
func (h *hearing) noSuchHalf(m phrase.Meaning) (answer, bool) {
	if h.job == nil || m.Station.Half == 0 {
		return answer{}, false
	}
	if _, ok := h.job.design.StepAt(m.Station); ok {
		return answer{}, false
	}
	h.noteUnheard()
	name := h.name(m.Station.At(0))
	return answer{lines: []string{h.say("half.none", name, h.say("answer.step.here", name, h.stepAmount()))}, unheard: true}, true
}

// clearDesign takes back a step or a fall, or all of them.
func (h *hearing) clearDesign(m phrase.Meaning, set DesignSet) answer {
	kind := "step"
	if set.Fall {
		kind = "fall"
	}
	var gone []string
	v := View{Job: h.job}
	for _, b := range h.job.Design {
		if b.Fall == set.Fall && (set.From.IsZero() || set.sameEnds(b)) {
			gone = append(gone, v.SayPart(h.lang, b))
		}
	}
	switch {
	case len(gone) > 0:
	case set.From.IsZero():
		return answer{lines: []string{h.say(Key("design.nothing." + kind))}, next: true}
	default:
		return answer{lines: []string{h.say("design.nothing.here", m.Said)}, unheard: true, next: true}
	}
	h.emit(set)
	h.settle()
	a := answer{lines: []string{h.say("design.gone", strings.Join(gone, "; "))}, next: true}
	if h.job.Datum != nil {
		a.lines = append(a.lines, h.verdicts(h.job.View())...)
	}
	return a
}

// badDesign says why a step or a fall cannot be, with one that can.
func (h *hearing) badDesign(m phrase.Meaning, err error) answer {
	var bad *reduce.DesignError
	if !errors.As(err, &bad) {
		return h.refuse(m)
	}
	like := h.stepExample(bad.Part.Falls())
	from, to := h.name(bad.Part.From), h.name(bad.Part.To)
	key := Key("design.bad." + string(bad.Fault))
	a := answer{unheard: true, next: true}
	switch bad.Fault {
	case reduce.DesignNoStation:
		a.lines = []string{h.say(key, m.Said, h.job.Outline.Corners(), len(h.job.Outline.Piers), like)}
	case reduce.DesignTwoLoops, reduce.DesignTwoWalls:
		a.lines = []string{h.say(key, from, to, like)}
	case reduce.DesignOffWalk, reduce.DesignOneSpot, reduce.DesignTooSteep:
		a.lines = []string{h.say(key, m.Said, like)}
	}
	return a
}

// stepAmount is an amount of a step, for an example.
func (h *hearing) stepAmount() string {
	amount := map[reduce.Unit]string{reduce.UnitInch: "8", reduce.UnitFoot: "0.67", reduce.UnitMillimetre: "200"}[h.job.Unit]
	return inUnit(h.lang, h.job.Unit, amount)
}

// stepExample is a step or a fall that this job takes.
func (h *hearing) stepExample(fall bool) string {
	from, to := "c2", "c3"
	if fall {
		rate := map[reduce.Unit]Key{
			reduce.UnitInch: "answer.fall.rate", reduce.UnitFoot: "answer.fall.rate.feet", reduce.UnitMillimetre: "answer.fall.rate.metric",
		}[h.job.Unit]
		if h.job.Outline.Empty() {
			from, to = "c2", "c2+8"
		}
		return h.say("answer.fall.example", from, to, h.say(rate))
	}
	return h.say("answer.step.example", from, to, h.stepAmount())
}

// sections says how level each section is, and how the steps came out.
func (h *hearing) sections() []string { return h.job.View().SaySections(h.lang) }

// designLost says which steps and falls a changed outline has no place for.
func (h *hearing) designLost() []string {
	lost := h.job.lostDesign()
	if len(lost) == 0 {
		return nil
	}
	var out []string
	for _, b := range lost {
		out = append(out, View{Job: h.job}.SayPart(h.lang, b))
	}
	return []string{h.say("design.lost", strings.Join(out, "; "))}
}
