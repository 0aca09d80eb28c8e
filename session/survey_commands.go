package session

import (
	"strconv"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// knownHeight takes the height of a station above whatever the drawings count from.
func (h *hearing) knownHeight(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.KnownArg)
	if !ok {
		return h.refuse(m)
	}
	name := h.name(arg.Station)
	if arg.Clear {
		if _, had := h.job.known(arg.Station); !had {
			return answer{lines: []string{h.say("known.nothing", name)}, next: true}
		}
		h.emit(KnownSet{Station: arg.Station, Clear: true})
		return answer{lines: []string{h.say("known.none", name)}, next: true}
	}
	h.emit(KnownSet{Station: arg.Station, Height: arg.Height})
	a := answer{lines: []string{h.say("known", name, h.absolute(arg.Height))}, next: true}
	v := h.job.View()
	switch {
	case !h.job.readNow()[arg.Station]:
		a.lines = append(a.lines, h.say("known.unread", name))
	case v.Zero != nil:
		a.lines = append(a.lines, h.say("known.reference", v.SayReference(h.lang), h.absolute(*v.Zero)))
	}
	return a
}

// absolute is a height above what the drawings count from, in feet to 0.01 or
// metres to a millimetre: 29.230 m, 95.90 ft.
func (h *hearing) absolute(l reduce.Length) string {
	if h.job.Unit == reduce.UnitMillimetre {
		return inMark(h.lang, reduce.Metre, l.RoundTo(reduce.Millimetre).Decimal(reduce.Metre).StringFixed(3))
	}
	return inMark(h.lang, reduce.Foot, l.RoundTo(reduce.Foot/100).Decimal(reduce.Foot).StringFixed(2))
}

// weights says what counts how much in the adjustment.
func (h *hearing) weights(m phrase.Meaning) answer {
	w, ok := m.Arg.(phrase.Text)
	if !ok {
		return h.refuse(m)
	}
	h.emit(WeightsSet{Weights: string(w)})
	return answer{lines: []string{h.say(Key("weights." + string(w)))}, next: true}
}

// laser takes where the laser stands in the present set-up.
func (h *hearing) laser(m phrase.Meaning) answer {
	p, ok := m.Arg.(phrase.Points)
	if !ok || len(p) != 1 {
		return h.refuse(m)
	}
	h.emit(LaserPlaced{Setup: h.job.setup(), At: p[0]})
	return answer{lines: []string{h.say("laser", h.job.setup(), h.place(p[0]))}, next: true}
}

// place is a place in plan as it is sent: 20,14.
func (h *hearing) place(p reduce.Point) string {
	mark := h.job.Mark()
	return p.X.RoundTo(mark/100).Decimal(mark).String() + "," + p.Y.RoundTo(mark/100).Decimal(mark).String()
}

// budget shows the error budget, or sets a part of it.
func (h *hearing) budget(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.BudgetArg)
	if ok {
		set := BudgetSet{Part: string(arg.Part), Rise: arg.Rise, Run: arg.Run, Degrees: arg.Degrees.InexactFloat64()}
		trial := h.job.Settings
		trial.setBudget(set)
		if b := trial.ErrorBudget(); b.Receiver == 0 && b.Resolution == 0 {
			return answer{lines: []string{h.say("budget.nothing")}, unheard: true, next: true}
		}
		h.emit(set)
	}
	a := answer{lines: []string{h.budgetLine(h.job.Settings)}, next: true}
	if ok && h.job.Datum != nil {
		a.lines = append(a.lines, h.verdicts(h.job.View())...)
	}
	return a
}

// budgetLine is an error budget in words.
func (h *hearing) budgetLine(s Settings) string {
	b := s.ErrorBudget()
	key := Key("budget")
	if len(s.Budget) == 0 {
		key = "budget.ours"
	}
	return h.say(key, h.grade(b.Tilt), h.grade(b.Cone), h.fine(b.Receiver), h.fine(b.Resolution),
		strconv.FormatFloat(b.RodLean, 'f', -1, 64))
}

// budgetParts are the parts that the crew set, in words; "ours" for none.
func (h *hearing) budgetParts(s Settings) string {
	var out []string
	for _, p := range s.Budget {
		what := h.fine(p.Rise)
		switch phrase.BudgetPart(p.Part) {
		case phrase.BudgetBeam, phrase.BudgetCone:
			what = h.grade(reduce.Grade{Rise: p.Rise, Run: p.Run})
		case phrase.BudgetLean:
			what = strconv.FormatFloat(p.Degrees, 'f', -1, 64) + "°"
		case phrase.BudgetReceiver, phrase.BudgetReading:
		}
		out = append(out, h.say(Key("budget.part."+p.Part), what))
	}
	if len(out) == 0 {
		return h.say("setting.ours")
	}
	return strings.Join(out, ", ")
}

// grade is a slope in words: 1/16 in per 100 ft.
func (h *hearing) grade(g reduce.Grade) string {
	return h.say("grade", h.fine(g.Rise), h.distance(g.Run))
}

// fine is a small amount as exactly as crews say it, whatever the job's finest
// amount is: 1/32 in, 0.8 mm.
func (h *hearing) fine(l reduce.Length) string { return View{Job: h.job}.SayFine(h.lang, l) }

// SayFine is a small amount with its unit, to a quarter of the unit's usual
// finest amount or finer: 1/64 in, 0.001 ft, 0.1 mm.
func (v View) SayFine(lang string, l reduce.Length) string {
	finest := map[reduce.Unit]reduce.Length{
		reduce.UnitInch: reduce.SixtyFourth, reduce.UnitFoot: reduce.Foot / 1000, reduce.UnitMillimetre: reduce.Millimetre / 10,
	}[v.Job.Unit]
	if l > 0 && l < finest/2 {
		l = finest
	}
	return strings.TrimSpace(v.measureIn(lang, l.RoundTo(finest), finest))
}
