package session

import (
	"errors"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// maxMends is how many changes are named that would close an outline.
const maxMends = 3

// badWalls says why walls cannot be an outline, and which one change would make
// them one. The first wall begins at corner first.
func (h *hearing) badWalls(err error, w phrase.Walls, first int) answer {
	var gap *reduce.GapError
	a := h.badShape(err)
	if errors.As(err, &gap) {
		a.lines = []string{h.say("shape.gap", h.finely(gap.Length()), h.direction(gap), h.name(reduce.Corner(first)))}
	}
	offer := func(legs []reduce.Leg, key Key, args ...any) {
		text := w.Rewritten(legs)
		again, ok := phrase.Parse(h.context(), text).Arg.(phrase.Walls)
		if !ok {
			return
		}
		if _, err := reduce.Trace(again.Legs); err == nil {
			a.buttons = append(a.buttons, Button{h.say(key, args...), text})
		}
	}
	if legs, ok := reduce.InnerAngles(w.Legs); ok {
		a.lines = append(a.lines, h.say("mend.inner"))
		offer(legs, "mend.inner.button")
	}
	mends := reduce.Mends(w.Legs)
	for i, m := range mends {
		if i == maxMends {
			a.lines = append(a.lines, h.say("mend.more", len(mends)-i))
			break
		}
		from, to := h.name(reduce.Corner(first+m.Wall-1)), h.name(reduce.Corner(first+m.Wall%len(w.Legs)))
		was := w.Legs[m.Wall-1]
		if m.Length > 0 {
			length := h.walled(m.Length, w)
			a.lines = append(a.lines, h.say("mend.length", from, to, length, h.walled(was.Length, w)))
			offer(m.Apply(w.Legs), "mend.length.button", from, to, length)
			continue
		}
		a.lines = append(a.lines, h.say("mend.turn", to, h.turn(m.Turn), h.turn(was.Turn)))
		offer(m.Apply(w.Legs), "mend.turn.button", to, h.turn(m.Turn))
	}
	return a
}

// direction says which way a gap runs, seen along the first wall.
func (h *hearing) direction(gap *reduce.GapError) string {
	var parts []string
	part := func(l, other reduce.Length, plus, minus Key) {
		switch {
		case l.RoundTo(h.job.Mark()/100) == 0 && l.Abs() < other.Abs(): // next to nothing
		case l > 0:
			parts = append(parts, h.say(plus, h.finely(l)))
		case l < 0:
			parts = append(parts, h.say(minus, h.finely(-l)))
		}
	}
	part(gap.DX, gap.DY, "gap.ahead", "gap.back")
	part(gap.DY, gap.DX, "gap.left", "gap.right")
	return strings.Join(parts, h.say("gap.and"))
}

// finely is a length in plan that is not shown as none.
func (h *hearing) finely(l reduce.Length) string {
	if l.RoundTo(h.job.Mark()/100) != 0 {
		return h.distance(l)
	}
	return h.planLength(l, h.job.Mark())
}

// planLength is a length in plan to four places of feet or metres.
func (h *hearing) planLength(l, mark reduce.Length) string {
	return inMark(h.lang, mark, l.Decimal(mark).Round(4).String())
}

// walled is the length of a wall as it was given, in what it was given in.
func (h *hearing) walled(l reduce.Length, w phrase.Walls) string {
	if w.Metric {
		return h.planLength(l, reduce.Metre)
	}
	return h.planLength(l, reduce.Foot)
}

// turn says a turn: left, right 45°.
func (h *hearing) turn(t reduce.Turn) string {
	side := Key("turn.left")
	if t < 0 {
		side = "turn.right"
	}
	if t == reduce.Left || t == reduce.Right {
		return h.say(side)
	}
	return h.say("turn.angle", h.say(side), phrase.TurnText(t))
}

// spreadGap says what walls with angles do not quite close by, where it shows.
func (h *hearing) spreadGap(w phrase.Walls) []string {
	gap, allowed := reduce.Closing(w.Legs)
	if gap.RoundTo(h.job.Finest) == 0 {
		return nil
	}
	return []string{h.say("outline.spread", h.amount(gap), h.amount(allowed))}
}
