package session

import (
	"slices"
	"strconv"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// keyMost is how many values stand on the keys at once, in rows of keyRow.
const (
	keyMost = 8
	keyRow  = 4
)

// keyPlaces are the places of a unit by which more… leads to a value, as it is
// read off a rod: first the wide one, then span, then in steps of step. first is
// the lowest wide one on the keys before a standard rod has read anything: a laser
// on its tripod stands 4 to 6 ft above what it is set up on (common practice, no
// source).
type keyPlaces struct{ wide, span, step, first reduce.Length }

var unitPlaces = map[reduce.Unit]keyPlaces{
	reduce.UnitInch:       {reduce.Foot, reduce.Inch, reduce.Inch / 16, reduce.Foot},
	reduce.UnitFoot:       {reduce.Foot, reduce.Foot / 10, reduce.Foot / 100, reduce.Foot},
	reduce.UnitMillimetre: {100 * reduce.Millimetre, 10 * reduce.Millimetre, reduce.Millimetre, 1100 * reduce.Millimetre},
}

// keyPlaces are those of a job: what is finer than a unit's usual step is typed,
// where it is not among the likely values. ok is false where the finest amount
// is too coarse for it: then the eight values reach far enough.
func (j *Job) keyPlaces() (p keyPlaces, ok bool) {
	p = unitPlaces[j.Unit]
	p.step = max(p.step, j.Finest)
	return p, p.span%p.step == 0 && p.span > p.step
}

const (
	// moreReach is how far around what is predicted more… leads.
	moreReach = 2 * reduce.Inch
	// moreMost is how many keys it shows at most, where little is known: on a
	// direct rod in inches and in feet all that it can read.
	moreMost = 24
)

// page says what stands on the keys in the place of the likely values: what
// more… or one of its keys asked for.
type page struct {
	arg phrase.MoreArg
	one bool // the values of arg; else keys that lead to them
}

// board is what stands on somebody's keys: values of the rod or, after more…,
// keys that lead to values.
type board struct {
	values []reduce.Length
	leads  []phrase.MoreArg
	onKey  bool // the word for 0 stands beside the commands
	more   bool // there are others
}

// board works out the keys of somebody who walks with a rod; ok is false where
// they have none.
func (h *hearing) board() (b board, ok bool) {
	if h.job == nil || h.c.Asked.IsZero() || h.shimming() || !h.job.walking() && !h.checking(h.c.Asked) {
		return b, false
	}
	if _, held := h.heldRod(); !held {
		return b, false
	}
	p, more := h.job.keyPlaces()
	value, near, known := h.predicted(h.c.Asked, false)
	b.more = more
	switch {
	case h.page != nil && more && h.page.one && h.page.arg.Wide:
		for at := h.page.arg.From; at < h.page.arg.From+p.wide; at += p.span {
			b.lead(h.kind(), phrase.MoreArg{From: at})
		}
	case h.page != nil && more && h.page.one:
		b.values = p.valuesOf(h.kind(), h.page.arg)
	case !known:
		for i := range keyMost {
			b.lead(h.kind(), phrase.MoreArg{From: p.first + reduce.Length(i)*p.wide, Wide: true})
		}
	case h.page != nil && more:
		b.leadAround(h.kind(), p, value, near)
	default:
		b.values = h.onKeys(value)
	}
	b.onKey = h.kind() == reduce.Direct && (h.page != nil || h.job.design.At(h.c.Asked) == 0) && !slices.Contains(b.values, 0)
	return b, true
}

// onKeys are the eight values around what is predicted, the lowest number first:
// multiples of the finest amount, so that each shows as what it is. They move by
// two at once, so that a key mostly stays where it was at the station before.
func (h *hearing) onKeys(value reduce.Length) []reduce.Length {
	var out []reduce.Length
	low := (value - (keyMost-1)*h.job.Finest/2).RoundTo(2 * h.job.Finest)
	for i := range keyMost {
		if v := low + reduce.Length(i)*h.job.Finest; h.kind().Reaches(v) {
			out = append(out, v)
		}
	}
	return out
}

// lead adds a key that leads to values that the rod can show.
func (b *board) lead(kind reduce.RodKind, a phrase.MoreArg) {
	if kind.Reaches(a.From) {
		b.leads = append(b.leads, a)
	}
}

// leadAround are keys that lead to all values near what is predicted, in the
// order of the rod's numbers.
func (b *board) leadAround(kind reduce.RodKind, p keyPlaces, value reduce.Length, near bool) {
	cell := func(v reduce.Length) int64 { // -1 in and what is lower begin with 1 low
		if v < 0 {
			return int64(v/p.span) - 1
		}
		return int64(v / p.span)
	}
	from, to := cell(value-moreReach), cell(value+moreReach)
	if !near {
		from = cell(value) - moreMost/2
		to = from + moreMost - 1
	}
	for n := max(from, to-moreMost+1); n <= to; n++ {
		at := reduce.Length(n) * p.span
		switch {
		case kind == reduce.Standard:
			b.lead(kind, phrase.MoreArg{From: at})
		case n < 0:
			b.lead(kind, phrase.MoreArg{From: at + p.span, Side: -1})
		default:
			b.lead(kind, phrase.MoreArg{From: at, Side: 1})
		}
	}
}

// valuesOf are the values that a key leads to, in the order of the rod's numbers.
func (p keyPlaces) valuesOf(kind reduce.RodKind, a phrase.MoreArg) []reduce.Length {
	var out []reduce.Length
	from := a.From - a.From%p.span
	for at := reduce.Length(0); at < p.span; at += p.step {
		v := from + at
		if a.Side < 0 {
			v = from - p.span + p.step + at
		}
		if kind.Reaches(v) && (v != 0 || kind == reduce.Standard) {
			out = append(out, v)
		}
	}
	return out
}

// keySign says which keys a board is, in few letters: the same sign is the same
// keys. It is worked out for every reply, the keys only where it changes.
func (h *hearing) keySign(b board) string {
	out := append(make([]byte, 0, 64), h.lang...)
	n := func(numbers ...int64) {
		for _, v := range numbers {
			out = strconv.AppendInt(append(out, ' '), v, 36)
		}
	}
	flag := func(is bool) int64 {
		if is {
			return 1
		}
		return 0
	}
	n(int64(h.kind()), int64(h.job.Unit), int64(h.job.Finest), flag(b.onKey), flag(b.more), flag(h.page != nil), int64(len(b.values)))
	if last := len(b.values) - 1; last >= 0 {
		n(int64(b.values[0]), int64(b.values[last]))
	}
	if last := len(b.leads) - 1; last >= 0 {
		for _, a := range []phrase.MoreArg{b.leads[0], b.leads[last]} {
			n(int64(a.From), int64(a.Side), flag(a.Wide))
		}
	}
	return string(out)
}

// keys are the ready answers, in rows that a thumb finds. Every key reads back as
// what it says.
func (h *hearing) keys(b board) (rows [][]string) {
	var keys []string
	for _, v := range b.values {
		keys = append(keys, h.keyText(v))
	}
	for _, a := range b.leads {
		keys = append(keys, h.leadText(a))
	}
	rows = slices.Collect(slices.Chunk(keys, keyRow))
	var last []string
	if b.onKey {
		last = append(last, h.say("level"))
	}
	switch {
	case len(b.leads) > 0 && h.page != nil:
		last = append(last, commandWord(h.lang, phrase.CmdRepeat)) // back to the likely ones
	case b.more && len(b.leads) == 0:
		last = append(last, commandWord(h.lang, phrase.CmdMore)+"…")
	}
	for _, c := range []phrase.CommandName{phrase.CmdUndo, phrase.CmdSkip} {
		last = append(last, commandWord(h.lang, c))
	}
	return append(rows, last)
}

// keyText is a value on a key.
func (h *hearing) keyText(v reduce.Length) string {
	rod := Rod{Rod: reduce.Rod{Kind: h.kind()}}
	switch {
	case rod.Kind == reduce.Direct && v == 0:
		return h.say("level")
	case rod.Kind == reduce.Direct && h.job.Unit == reduce.UnitInch && v%reduce.Inch == 0:
		// A bare whole number may be a count of parts.
		return h.say(map[bool]Key{true: "high", false: "low"}[v > 0], SayAmount(h.lang, h.job, v)+`"`)
	}
	return h.rodText(rod, v)
}

// leadText is a key that leads to values: more 1 low, more 4' 7".
func (h *hearing) leadText(a phrase.MoreArg) string {
	high, low := phrase.SideWords(h.lang)
	at := ""
	switch {
	case a.Side < 0 && a.From == 0:
		at = low
	case a.Side > 0 && a.From == 0:
		at = high
	case a.Wide && h.job.Unit == reduce.UnitMillimetre:
		at = a.From.Decimal(reduce.Metre).String() + " m"
	case a.Wide:
		at = inUnit(h.lang, reduce.UnitFoot, a.From.Decimal(reduce.Foot).String())
	case h.kind() == reduce.Direct:
		at = h.sided(a.From)
	default:
		at = h.keyText(a.From)
	}
	return commandWord(h.lang, phrase.CmdMore) + " " + at
}

// more shows other values on the keys: first those that lead to them, then the
// values of one of these. It stores nothing.
func (h *hearing) more(m phrase.Meaning) answer {
	arg, one := m.Arg.(phrase.MoreArg)
	h.page = &page{arg, one}
	b, ok := h.board()
	switch {
	case !ok:
		h.page = nil
		return answer{lines: []string{h.say("keys.none")}, next: true}
	case len(b.leads) > 0:
		return answer{lines: []string{h.say("keys.near", h.name(h.c.Asked))}}
	}
	return answer{lines: []string{h.say("keys.value", h.name(h.c.Asked))}}
}

// commandWords are the first way to say each command, English and Spanish.
var commandWords = func() map[phrase.CommandName][2]string {
	out := map[phrase.CommandName][2]string{}
	for _, c := range phrase.Commands() {
		w := [2]string{c.English[0], c.English[0]}
		if len(c.Spanish) > 0 {
			w[1] = c.Spanish[0]
		}
		out[c.Name] = w
	}
	return out
}()

// commandWord is the first way to say a command in a language.
func commandWord(lang string, name phrase.CommandName) string {
	if lang == "es" {
		return commandWords[name][1]
	}
	return commandWords[name][0]
}

// putKeys puts keys under a reply, where they are others than those that the
// person has before their eyes. Those that stay there while a message carries
// buttons are readings of what is asked for, too, and commands.
func (h *hearing) putKeys(r *Reply, b board, sign string) {
	if len(r.Buttons) > 0 || r.Text == "" || sign == h.c.Keys {
		return
	}
	h.c.Keys = sign
	if sign == "" {
		r.NoKeys = true
		return
	}
	r.Keys = h.keys(b)
}
