package session

import (
	"cmp"
	"slices"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// joistRange is how far apart joists and studs may stand: 4 in to 8 ft, or
// 100 mm to 2.4 m.
func joistRange(u reduce.Unit) (least, most reduce.Length) {
	if u == reduce.UnitMillimetre {
		return 100 * reduce.Millimetre, 2400 * reduce.Millimetre
	}
	return 4 * reduce.Inch, 8 * reduce.Foot
}

// bearing says how far apart the joists or studs stand.
func (h *hearing) bearing(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.FigureArg)
	if !ok {
		return h.refuse(m)
	}
	if arg.Clear {
		return h.clearFigure(FigureBearing, "bearing.ours", h.measure(h.job.plateDefaults().Spacing))
	}
	if least, most := joistRange(h.job.Unit); arg.Length < least || arg.Length > most {
		return h.refuseIn("bearing.range", m, h.measure(least), h.measure(most))
	}
	h.emit(PlanSet{What: FigureBearing, Length: arg.Length})
	return h.plateAnew(h.say("bearing", h.measure(arg.Length)))
}

// Limits of a bend that is a plate's.
const (
	leastSpan = 300 * reduce.Millimetre
	mostSpan  = 30 * reduce.Metre
	mostSteep = 20 // the span over the hollow
)

// bend says how much hollow the plate may have under how long a straightedge.
func (h *hearing) bend(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.FigureArg)
	if !ok {
		return h.refuse(m)
	}
	if arg.Clear {
		return h.clearFigure(FigureBend, "bend.ours", h.rate(h.job.plateDefaults().Bend))
	}
	rate := reduce.BendRate{Rise: arg.Length, Span: arg.Run}
	if rate.Span < leastSpan || rate.Span > mostSpan || rate.Rise > rate.Span/mostSteep {
		return h.refuseIn("bend.range", m, h.rate(rate))
	}
	h.emit(PlanSet{What: FigureBend, Length: rate.Rise, Run: rate.Span})
	return h.plateAnew(h.say("bend", h.rate(rate)))
}

// rate is how fast a plate may bend, in words: "1/16 in under 8 ft".
func (h *hearing) rate(r reduce.BendRate) string {
	return View{Job: h.job}.sayRate(h.lang, r)
}

func (v View) sayRate(lang string, r reduce.BendRate) string {
	finest := v.Job.Finest
	if r.Rise.RoundTo(finest) != r.Rise { // 1/16 in is 0.005 ft
		finest = map[reduce.Unit]reduce.Length{reduce.UnitInch: reduce.SixtyFourth}[v.Job.Unit]
		if finest == 0 {
			finest = v.Job.Finest / 10
		}
	}
	return Say(lang, "bend.rate", v.measureIn(lang, r.Rise, finest), v.SayDistance(lang, r.Span))
}

// clearFigure makes a figure of the plan ours again.
func (h *hearing) clearFigure(what PlanFigure, key Key, ours string) answer {
	if _, had := h.job.figure(what); had {
		h.emit(PlanSet{What: what, Clear: true})
	}
	return h.plateAnew(h.say(key, ours))
}

// boltPlaces, posts and splices say where those are.
func (h *hearing) boltPlaces(m phrase.Meaning) answer { return h.setPlaces(m, placesBolts) }
func (h *hearing) posts(m phrase.Meaning) answer      { return h.setPlaces(m, placesPosts) }
func (h *hearing) splices(m phrase.Meaning) answer    { return h.setPlaces(m, placesSplices) }

func (h *hearing) setPlaces(m phrase.Meaning, what string) answer {
	arg, ok := m.Arg.(phrase.PlacesArg)
	if !ok {
		return h.refuse(m)
	}
	was, had := h.job.places(what)
	switch {
	case arg.Clear && !had:
		return answer{lines: []string{h.say(Key("places.nothing."+what), h.exampleFor(m))}, next: true}
	case arg.Clear:
		h.emit(PlacesSet{What: what, Clear: true})
		return h.plateAnew(h.say(Key("places.none." + what)))
	case h.job.Outline.Empty():
		return h.refuseIn("places.nowalls", m)
	case arg.Every > 0 && (arg.Every < reduce.Foot || arg.Every > reduce.BoltSpacing):
		return h.refuseIn("bolts.range", m, h.distance(reduce.Foot), h.distance(reduce.BoltSpacing))
	}
	h.emit(PlacesSet{What: what, At: arg.At, Every: arg.Every})
	if arg.Every > 0 {
		n := len(h.job.PlateOptions().Bolts)
		return h.plateAnew(h.say("bolts.every", h.distance(arg.Every), n))
	}
	line := h.say(Key("places."+what), h.list(arg.At))
	if gone := slices.DeleteFunc(slices.Clone(was.At), func(s reduce.Station) bool { return slices.Contains(arg.At, s) }); len(gone) > 0 {
		line += " " + h.say("places.instead", h.list(gone))
	}
	return h.plateAnew(line)
}

// refuseIn refuses a figure of the plate: what was heard, why, and an example.
func (h *hearing) refuseIn(key Key, m phrase.Meaning, args ...any) answer {
	return answer{lines: []string{h.say(key, append([]any{m.Said, h.exampleFor(m)}, args...)...)}, unheard: true, next: true}
}

// plateAnew tells what a new figure makes of the plate, once there is a level to
// build to.
func (h *hearing) plateAnew(line string) answer {
	a := answer{lines: []string{line}, next: true}
	v := h.job.View()
	if plan, ok := v.PlatePlan(); ok {
		unknown := 0
		for _, p := range plan.Points {
			if !p.Known {
				unknown++
			}
		}
		a.lines = append(a.lines, h.say("plate.points", len(plan.Points)))
		if unknown > 0 && len(plan.Unread) > 0 {
			a.lines = append(a.lines, h.say("plate.unknown", unknown, h.list(plan.Unread)))
		}
		for _, line := range []string{v.SayForLine(h.lang, plan), v.SayBends(h.lang, plan)} {
			if line != "" {
				a.lines = append(a.lines, line)
			}
		}
	}
	return a
}

// SayForLine names the stations that are within the tolerance and are raised
// all the same, by what shows in the job's finest amount, so that the plate has no
// hollow; "" where there are none.
func (v View) SayForLine(lang string, plan reduce.PlatePlan) string {
	var names []reduce.Station
	var most reduce.Length
	for _, s := range plan.Spots {
		if s.ForLine && s.Amount().RoundTo(v.Job.Finest) > 0 {
			names, most = append(names, s.Station), max(most, s.Amount())
		}
	}
	switch len(names) {
	case 0:
		return ""
	case 1:
		return Say(lang, "plate.forline", SayStation(lang, v.Job, names[0]), SayAmount(lang, v.Job, most))
	}
	return Say(lang, "plate.forlines", v.SayStations(lang, names), SayAmount(lang, v.Job, most))
}

// maxBends is how many bends are named.
const maxBends = 4

// SayBends names the stations where the planned plate bends more than it may,
// the worst first; "" where it bends nowhere too much.
func (v View) SayBends(lang string, plan reduce.PlatePlan) string {
	var parts []string
	for _, b := range slices.SortedStableFunc(slices.Values(plan.Bends), func(a, b reduce.Bend) int { return cmp.Compare(b.Over, a.Over) }) {
		if b.Over.RoundTo(v.Job.Finest) == 0 {
			continue
		}
		key := Key("plate.hump")
		if b.Rise < 0 {
			key = "plate.hollow"
		}
		parts = append(parts, Say(lang, key, SayStation(lang, v.Job, b.Station), SayAmount(lang, v.Job, b.Rise)))
	}
	if len(parts) == 0 {
		return ""
	}
	list := strings.Join(parts[:min(len(parts), maxBends)], ", ")
	if more := len(parts) - maxBends; more > 0 {
		list = Say(lang, "paper.list", list, more)
	}
	return Say(lang, "plate.bends", v.sayRate(lang, v.Job.PlateOptions().Bend), list)
}
