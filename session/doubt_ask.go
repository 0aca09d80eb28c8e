package session

import (
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// doubted asks whether a reading is meant that its neighbours make unlikely.
const doubted = "doubt"

// maxSlips is how many likely slips are offered beside "keep it".
const maxSlips = 3

// askDoubt asks a reading back that its neighbours make unlikely. It does not
// where the crew confirms it: by the button, by the same again, or once before.
func (h *hearing) askDoubt(rod Rod, s reduce.Station, value reduce.Length, m phrase.Meaning) (answer, bool) {
	h.confirms = false
	if a, ask := h.askHalf(rod, s, value, m); ask {
		return a, true
	}
	d, ok := h.unlikely(rod, s, value)
	if !ok {
		return answer{}, false
	}
	if d.confirmed || h.confirmsNow(s, value) {
		h.confirms = true
		return answer{}, false
	}
	if h.waiting() {
		return answer{}, false // one question at a time
	}
	if d.foreseen && h.keepAlike(s, d.height+h.job.design.At(s)) {
		return answer{}, false
	}
	corrects := m.Command == phrase.CmdCorrect
	q := &Question{Kind: doubted, Job: h.job.ID, Station: s, Text: m.Said, Message: h.message, Line: h.line, Values: []reduce.Length{value}}
	if text, ok := h.fitsOther(d, rod, s, value, corrects); ok {
		q.Buttons = append(q.Buttons, Button{text, text})
	}
	if text, ok := h.inFeet(d, rod, s, value, corrects); ok {
		q.Buttons = append(q.Buttons, Button{text, text})
	}
	if text, ok := h.uncounted(rod, s, m); ok {
		q.Buttons = append(q.Buttons, Button{text, text})
	}
	for _, slip := range h.suspect(d, rod, s, value).Slips() {
		if len(q.Buttons) == maxSlips {
			break
		}
		at := s
		if slip.Kind == reduce.SkippedOne {
			at = slip.Station
		}
		if text, ok := h.readingText(rod, at, slip.Value, corrects); ok {
			q.Buttons = append(q.Buttons, Button{text, text})
			if slip.Kind == reduce.SwappedTwo {
				q.Values = append(q.Values, slip.Value)
			}
		}
	}
	if text, ok := h.sameAgain(rod, s, value, m); ok {
		q.Buttons = append(q.Buttons, Button{h.say("doubt.keep"), text})
	}
	h.noteUnheard()
	ref := h.of(s)
	heard := h.height(d.height)
	if rod.Kind == reduce.Standard || rod.Flipped {
		heard += h.say("echo.rod", h.rodText(rod, value))
	}
	key := Key("doubt")
	if d.foreseen {
		key = "doubt.foreseen"
	}
	lines := []string{h.say(key, h.name(s), heard, h.height(d.expect.RoundTo(h.job.Finest)), ref)}
	if d.first {
		first := h.job.resolve(h.job.Reference)
		if text, ok := h.readingText(rod, first, value, true); ok {
			lines = append(lines, h.say("doubt.first", h.name(first), text))
		}
	}
	return answer{lines: lines, question: q, unheard: true, about: s, holds: true}, true
}

// inFeet is a reading whose inches have two figures as feet and inches, where that
// fits: 46 for 4' 6".
func (h *hearing) inFeet(d doubt, rod Rod, s reduce.Station, value reduce.Length, corrects bool) (string, bool) {
	n := value / reduce.Inch
	if rod.Kind != reduce.Standard || h.job.Unit != reduce.UnitInch || n < 10 || n > 99 {
		return "", false
	}
	meant := n/10*reduce.Foot + n%10*reduce.Inch + value%reduce.Inch
	if (meant - d.Reading(rod.Rod, value)).Abs() > d.Limit {
		return "", false
	}
	return h.readingText(rod, s, meant, corrects)
}

// fitsOther is the reading of the other of two heights at a spot, where an
// unlikely one fits that.
func (h *hearing) fitsOther(d doubt, rod Rod, s reduce.Station, value reduce.Length, corrects bool) (string, bool) {
	if _, step := h.job.design.StepAt(s); !step || corrects {
		return "", false
	}
	half := s.Half
	if half == 0 {
		half = h.job.design.Own(s)
	}
	if half == 0 {
		return "", false
	}
	other := s.At(0).At(reduce.Top + reduce.Bottom - half)
	expect, ok := h.job.foreseen(h.job.spotOf(other))
	if !ok {
		expect = d.expect + h.job.design.At(other)
	}
	if e, tied := h.job.sight(rod.ID, value, other); !tied || (e-expect).Abs() > d.Limit {
		return "", false
	}
	return h.readingText(rod, other, value, false)
}

// confirmsNow says that it was asked about just this reading last.
func (h *hearing) confirmsNow(s reduce.Station, value reduce.Length) bool {
	q := h.c.Question
	return q != nil && q.Kind == doubted && q.Job == h.job.ID && q.Station == s && len(q.Values) > 0 && q.Values[0] == value
}

// suspect is what is known round a doubtful reading.
func (h *hearing) suspect(d doubt, rod Rod, s reduce.Station, value reduce.Length) reduce.Suspect {
	out := reduce.Suspect{
		Rod: rod.Rod, Unit: h.job.Unit, Finest: h.job.Finest, Value: value,
		Expected: d.Reading(rod.Rod, value), Limit: d.Limit, Scatter: d.Scatter,
	}
	if next, ok := h.walk().next(s); ok && next.Kind == reduce.Wall && next != s {
		up := h.job.design.At(next) - h.job.design.At(s)
		if !rod.Rises() {
			up = -up
		}
		out.Next, out.NextExpected = next, out.Expected+up
		if d.foreseen {
			out.Next = reduce.Station{}
			if f, ok := h.job.foreseen(next); ok {
				out.Next = next
				out.NextExpected, _ = h.job.shouldRead(rod, next, f)
			}
		}
	}
	if d.at == 0 {
		return out
	}
	before := d.row[:d.at]
	last := before[len(before)-1].Station
	r, read := h.job.live(slot{h.job.Round, rod.ID, last, false})
	was, _ := reduce.Unlikely(before, len(before)-1, h.job.noise(), nil)
	if read && was.Limit > 0 {
		out.Previous, out.PreviousValue, out.PreviousExpected = last, r.Value, was.Reading(rod.Rod, r.Value)
	}
	return out
}

// swapped offers, once the one of two swapped readings is put right, to put the
// other right too.
func (h *hearing) swapped(rod Rod, s reduce.Station, value reduce.Length) []Button {
	q := h.c.Question
	if q == nil || q.Kind != doubted || q.Job != h.job.ID || q.Station != s || len(q.Values) < 2 || q.Values[1] != value {
		return nil
	}
	before, _, _ := h.walk().beside(s, 1)
	if len(before) == 0 {
		return nil
	}
	text, ok := h.readingText(rod, before[0].Station, q.Values[0], true)
	if !ok {
		return nil
	}
	return []Button{{text, text}}
}

// readingText is a reading as it may be sent to mean just that.
func (h *hearing) readingText(rod Rod, s reduce.Station, value reduce.Length, corrects bool) (string, bool) {
	shown := []string{h.rodText(rod, value)}
	if rod.Kind == reduce.Direct && h.job.Unit == reduce.UnitInch && value.Abs() >= reduce.Inch {
		// c2 8 1/16 low may be 8 ft past c2, 8 low eight sixteenths.
		key := Key("high")
		if value < 0 {
			key = "low"
		}
		shown = append(shown, h.say(key, inUnit(h.lang, reduce.UnitInch, strings.ReplaceAll(h.amount(value), " ", "-"))))
	}
	for _, what := range shown {
		text := h.name(s) + " " + what
		if corrects {
			text = h.say("answer.correct", h.name(s), what)
		}
		if h.means(text, s, value, corrects) {
			return text, true
		}
	}
	return "", false
}

// sameAgain is a reading said again, with its station.
func (h *hearing) sameAgain(rod Rod, s reduce.Station, value reduce.Length, m phrase.Meaning) (string, bool) {
	corrects := m.Command == phrase.CmdCorrect
	if (m.Named || corrects) && h.means(m.Said, s, value, corrects) {
		return m.Said, true
	}
	if text := h.name(s) + " " + m.Said; h.means(text, s, value, corrects) {
		return text, true
	}
	return h.readingText(rod, s, value, corrects)
}

// means says whether a line gives this reading.
func (h *hearing) means(line string, s reduce.Station, value reduce.Length, corrects bool) bool {
	m := phrase.Parse(h.context(), line)
	if arg, ok := m.Arg.(phrase.ReadingArg); ok && m.Command == phrase.CmdCorrect {
		return corrects && arg.Station == s && arg.Value == value
	}
	return !corrects && m.Kind == phrase.Reading && m.Named && m.Station == s && m.Value == value
}
