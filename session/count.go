package session

import (
	"strconv"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// count sets what digits alone count.
func (h *hearing) count(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.Text)
	if !ok {
		return h.refuse(m)
	}
	part, _ := strconv.Atoi(string(arg)) // none is no number
	switch {
	case part == 0 && h.job.Unit != reduce.UnitInch:
		return answer{lines: []string{h.say("count.none.same", h.say(Key("unit."+h.job.Unit.String())))}, next: true}
	case part != 0 && h.job.Unit != reduce.UnitInch:
		return answer{lines: []string{h.say("count.units", h.say(Key("unit."+h.job.Unit.String())))}, unheard: true, next: true}
	case part != 0 && !h.countFits(part):
		return answer{lines: []string{h.say("count.finest", h.finest(), "1/"+strconv.Itoa(part))}, unheard: true, next: true}
	}
	h.emit(CountSet{Part: part})
	a := answer{lines: []string{h.say("count.none")}, next: true}
	if part != 0 {
		a.lines = []string{h.countLine()}
		if h.kind() == reduce.Standard {
			a.lines = append(a.lines, h.say("count.standard"))
		}
	}
	return a
}

// countLine says what digits alone count, with an example.
func (h *hearing) countLine() string {
	six := 6 * reduce.Inch / reduce.Length(h.job.Count)
	return h.say("count", h.say(Key("setting.count."+strconv.Itoa(h.job.Count))),
		"6/"+strconv.Itoa(h.job.Count), h.amount(six))
}

// countFits says that one of the parts shows as what it is: the echo of a
// reading says the fraction in full.
func (h *hearing) countFits(part int) bool {
	return h.job.Unit == reduce.UnitInch && (reduce.Inch/reduce.Length(part))%h.job.Finest == 0
}

// uncounted is the reading that a line would be if its digits were not counted,
// as it may be sent to mean just that: 38 by habit, for 3/8. ok is false where it
// would be the same, or none.
func (h *hearing) uncounted(rod Rod, s reduce.Station, m phrase.Meaning) (text string, ok bool) {
	c := h.context()
	c.Asked, c.Rod = s, rod.Kind
	counted := phrase.Parse(c, m.Said)
	c.Count = 0
	k := phrase.Parse(c, m.Said)
	if sameMeaning(counted, k) {
		return "", false
	}
	corrects := m.Command == phrase.CmdCorrect
	if arg, is := k.Arg.(phrase.ReadingArg); is && corrects {
		return h.readingText(rod, s, arg.Value, true)
	}
	if k.Kind != phrase.Reading {
		return "", false
	}
	return h.readingText(rod, s, k.Value, false)
}

// countsNow is what digits alone count in the line at hand, 0 for no parts.
func (h *hearing) countsNow() *int {
	part := h.context().Count
	return &part
}

// endCount ends the counting of parts where the unit or the finest amount was
// just set so that it cannot go on.
func (h *hearing) endCount() []string {
	if h.job.Count == 0 || h.countFits(h.job.Count) {
		return nil
	}
	h.emit(CountSet{})
	return []string{h.say("count.ended")}
}
