package session

import (
	"rodcall/reduce"
	"rodcall/session/phrase"
)

// extentShown is how an extent is shown: all three of its figures to one
// finest amount, at which the range is what the two heights as shown add up
// to. That is the job's own where it serves; elsewhere a finer one: 4.6 high
// and 9.6 low make 14.2, which whole millimetres would show as 5, 10 and 14.
// about says that no finer one serves either.
func (v View) extentShown() (finest reduce.Length, about bool) {
	e, u := v.Extent, v.Job.Unit
	step, least := reduce.Length(10), v.Job.Finest/100
	if u == reduce.UnitInch {
		step, least = 2, reduce.SixtyFourth
	}
	for f := v.Job.Finest; f >= least && f > 0; f /= step {
		if shown(u, e.High.Height, f)-shown(u, e.Low.Height, f) == shown(u, e.Range, f) {
			return f, false
		}
		if f%step != 0 {
			break
		}
	}
	return v.Job.Finest, true
}

// shown is the length that an amount says: rounded to finest, or half of one
// off where that has its word.
func shown(u reduce.Unit, l, finest reduce.Length) reduce.Length {
	if u.Amount(l, finest).Shade != 0 {
		return l
	}
	return l.RoundTo(finest)
}

// sayAmountIn is SayAmount to another finest amount than the job's.
func sayAmountIn(lang string, j *Job, l, finest reduce.Length) string {
	s := phrase.SayAmount(lang, j.Unit, j.Unit.Amount(l, finest))
	if j.Unit == reduce.UnitInch {
		return s
	}
	return inUnit(lang, j.Unit, s)
}

// extent says how far out the tops are.
func (h *hearing) extent(v View) []string {
	if v.Extent == nil {
		return nil
	}
	e := v.Extent
	finest, about := v.extentShown()
	height := func(l reduce.Length) string {
		key := Key("low")
		switch {
		case showsNothing(h.job.Unit, l, finest):
			return h.say("level")
		case l > 0:
			key = "high"
		}
		return h.say(key, sayAmountIn(h.lang, h.job, l, finest))
	}
	apart := sayAmountIn(h.lang, h.job, e.Range, finest)
	if about {
		apart = h.say("about", apart)
	}
	lines := []string{h.say("extent", h.name(e.High.Station), height(e.High.Height),
		h.name(e.Low.Station), height(e.Low.Height), apart)}
	return append(lines, v.SaySections(h.lang)...)
}

// showsNothing says that a length shows as nothing in the finest amount.
func showsNothing(u reduce.Unit, l, finest reduce.Length) bool {
	return l.RoundTo(finest) == 0 && u.Amount(l, finest).Shade == 0
}
