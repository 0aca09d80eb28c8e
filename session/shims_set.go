package session

import (
	"slices"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// shimFrom begins the setting of shims: spot by spot, wall by wall, from a
// station that is named or from where the walk left off.
func (h *hearing) shimFrom(m phrase.Meaning) answer {
	_, p, a, ok := h.shimPlan()
	if !ok {
		return a
	}
	if left := h.job.View().Left; h.job.walking() && len(left) > 0 {
		return answer{lines: []string{h.say("shim.walk", len(left), h.list(left))}, next: true, unheard: true,
			buttons: []Button{{h.say("shim.done.button"), commandWord(h.lang, phrase.CmdDone)}}}
	}
	if !slices.ContainsFunc(p.Points, ShimPoint.Left) {
		return h.shims(phrase.Meaning{})
	}
	at := h.job.last
	if arg, named := m.Arg.(phrase.StationArg); named {
		at = arg.Station
	}
	h.c.Asked, h.c.Checks, h.c.Shim = reduce.Station{}, reduce.Station{}, nil
	h.shimAt(at)
	return answer{next: true}
}

// nameStep names the next stop of whoever sets shims: what is laid there, what
// the rod should read then, and what is laid up to the station after it.
func (h *hearing) nameStep(a *answer) {
	v, p, _, ok := h.shimPlan()
	if !ok {
		return
	}
	s, ok := h.nextStep(&p)
	if !ok {
		switch {
		case slices.ContainsFunc(p.Points, ShimPoint.Left):
			a.lines = append(append(a.lines, h.say("shim.out")), h.shortLines(v, &p)...)
		case slices.ContainsFunc(p.Points, func(b ShimPoint) bool { return b.Set }):
			a.lines = append(a.lines, h.say("shim.end"))
			a.buttons = append(a.buttons, Button{h.say("shim.round.button"), commandWord(h.lang, phrase.CmdRound)})
		}
		h.c.Shim = nil
		return
	}
	b := p.Points[s.at]
	name := h.name(b.Station)
	if b.ready() {
		a.lines = append(a.lines, h.say("shim.step", b.Name, v.SayStack(h.lang, b.Fit.Stack), h.raise(v, b.Fit)))
		if reads, ok := h.thenReads(v, b); ok {
			a.lines[len(a.lines)-1] += " " + h.say("shim.reads", reads)
		}
	}
	var behind []string
	for _, i := range s.behind {
		if b := p.Points[i]; b.ready() {
			behind = append(behind, b.Name+" "+v.SayStack(h.lang, b.Fit.Stack))
		}
	}
	if len(behind) > 0 {
		key := Key("shim.behind")
		if !b.ready() {
			key = "shim.behind.only"
		}
		list := strings.Join(shorten(behind, maxListed, func(n int) string { return h.say("more", n) }), ", ")
		a.lines = append(a.lines, h.say(key, list, name))
	}
	shimmed := commandWord(h.lang, phrase.CmdShimmed) + " "
	a.buttons = append(a.buttons, Button{h.say("shim.set.button"), shimmed + name})
	if to, ok := h.wallEnd(&p, s); ok {
		text := h.say("shim.to", h.name(to))
		a.buttons = append(a.buttons, Button{h.say("shim.wall.button", h.name(to)), shimmed + name + " " + text})
	}
	a.buttons = append(a.buttons, Button{h.say("shim.skip.button"), commandWord(h.lang, phrase.CmdSkip)})
}

// raise says how much a stack makes, and how that rounds its amount where it
// shows.
func (h *hearing) raise(v View, f reduce.Fit) string {
	switch over := f.Over(); {
	case over.Abs() <= h.job.Finest/8:
		return h.say("raise", h.amount(f.Makes))
	case over > 0:
		return h.say("shim.over", v.sayFine(h.lang, f.Amount), v.sayFine(h.lang, over))
	default:
		return h.say("shim.under", v.sayFine(h.lang, f.Amount), v.sayFine(h.lang, over))
	}
}

// thenReads is what this person's rod should read at a station once its shims
// are set; ok is false where nothing tells.
func (h *hearing) thenReads(v View, b ShimPoint) (string, bool) {
	rod, ok := h.heldRod()
	i := slices.IndexFunc(v.Stations, func(s StationView) bool { return s.Station == b.Station && s.Elevation != nil })
	if !ok || i < 0 || rod.Setup != h.job.setup() {
		return "", false
	}
	value, tied := h.job.shouldRead(rod, b.Station, *v.Stations[i].Elevation+b.Fit.Makes)
	return h.rodText(rod, value), tied
}

// wallEnd is the corner at which the wall of a stop ends, in the direction of
// the walk, where that is farther than the stop and what lies behind it.
func (h *hearing) wallEnd(p *ShimPlan, s shimStep) (reduce.Station, bool) {
	steps := p.steps(h.c.Backward)
	from := slices.IndexFunc(steps, func(k shimStep) bool { return k.at == s.at })
	more := false
	for _, k := range steps[from+1:] {
		at := p.Points[k.at].Station
		if !sameLoop(h.job.Outline, at, p.Points[s.at].Station) {
			break
		}
		more = more || p.Points[k.at].ready()
		if at.IsCorner() {
			return at, more
		}
		more = more || p.left(k)
	}
	return reduce.Station{}, false
}

// shimmed notes where shims were set, and how much.
func (h *hearing) shimmed(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.ShimmedArg)
	if !ok {
		return h.refuse(m)
	}
	_, p, a, ok := h.shimPlan()
	if !ok {
		return a
	}
	no := func(key Key, args ...any) answer {
		return answer{lines: []string{h.say(key, args...)}, unheard: true, next: true}
	}
	var spots []int // in the plan
	at := reduce.Station{}
	switch {
	case arg.All:
		for i := range p.Points {
			spots = append(spots, i)
		}
	case len(arg.Stations) == 0:
		if !h.shimming() {
			return no("shimmed.which")
		}
		s, left := h.nextStep(&p)
		if !left {
			return answer{next: true}
		}
		at = p.Points[s.at].Station
		spots = append(spots, s.at)
		if arg.Amount == 0 {
			spots = append(spots, s.behind...)
		}
	default:
		for k, s := range arg.Stations {
			i, planned := h.job.meant(&p, s)
			if !planned {
				return h.shimmedOff(s, arg.Amount)
			}
			at = p.Points[i].Station
			switch {
			case !arg.To.IsZero():
				to, planned := h.job.meant(&p, arg.To)
				if !planned {
					return no("shimmed.nowhere", h.name(arg.To))
				}
				spots, at = p.run(i, to, h.c.Backward), p.Points[to].Station
			case arg.Amount > 0 || !p.Points[i].station():
				spots = append(spots, i)
			default:
				spots = append(spots, i)
				for _, st := range p.steps(h.c.Backward) {
					// What lies up to the next station was named with it.
					if st.at == i && len(arg.Stations) == k+1 {
						spots = append(spots, st.behind...)
					}
				}
			}
		}
	}
	return h.setShims(&p, spots, at, arg)
}

// shimmedOff notes shims at a spot that the plan has none at.
func (h *hearing) shimmedOff(s reduce.Station, amount reduce.Length) answer {
	switch {
	case !walked(s) || !h.job.placed(s):
		return answer{lines: []string{h.say("shimmed.nowhere", h.name(s))}, unheard: true, next: true}
	case amount == 0:
		return answer{lines: []string{h.say("shimmed.unplanned", h.name(s))}, unheard: true, next: true}
	}
	h.emit(Shimmed{Round: h.job.Round, Spots: []ShimSet{{Station: s, Amount: amount}}})
	return answer{lines: []string{h.say("shimmed.amount", h.name(s), h.amount(amount))}, next: true}
}

// setShims notes shims at spots of the plan: what was said, or what was planned
// where something is left.
func (h *hearing) setShims(p *ShimPlan, spots []int, at reduce.Station, arg phrase.ShimmedArg) answer {
	var sets []ShimSet
	var names []string
	for _, i := range spots {
		b := p.Points[i]
		switch {
		case arg.Amount > 0:
			// What lies there already is corrected, not laid twice.
			if by := arg.Amount - b.Laid; by != 0 {
				sets, names = append(sets, ShimSet{Station: b.Station, Amount: by}), append(names, b.Name)
			}
		case b.ready(), b.Left() && (arg.All || slices.Contains(arg.Stations, b.Station)):
			// What the stock does not reach counts only where it was named.
			sets, names = append(sets, ShimSet{Station: b.Station, Amount: b.Fit.Makes, Stack: b.Fit.Stack}), append(names, b.Name)
		}
	}
	if len(sets) == 0 {
		return h.nothingSet(p, spots, arg.All)
	}
	corrects := slices.ContainsFunc(spots, func(i int) bool { return p.Points[i].Set })
	h.emit(Shimmed{Round: h.job.Round, Spots: sets})
	h.wasWalking = false
	if h.c.Asked.IsZero() {
		if corrects && h.shimming() {
			at = h.c.Shim.At // whoever corrects an amount goes on where they were
		}
		h.shimAt(at)
		h.c.Shim.Skipped = slices.DeleteFunc(slices.Clone(h.c.Shim.Skipped), func(s reduce.Station) bool {
			return slices.ContainsFunc(sets, func(k ShimSet) bool { return k.Station == s })
		})
	}
	list := strings.Join(shorten(names, maxListed, func(n int) string { return h.say("more", n) }), ", ")
	line := h.say("shimmed", list)
	if arg.Amount > 0 {
		line = h.say("shimmed.amount", list, h.amount(arg.Amount))
	}
	return answer{lines: []string{line}, next: true}
}

// nothingSet says why nothing is to be set at spots.
func (h *hearing) nothingSet(p *ShimPlan, spots []int, all bool) answer {
	key := Key("shimmed.none")
	name := ""
	for _, i := range spots {
		b := p.Points[i]
		if name == "" {
			name = b.Name
		}
		switch {
		case b.Set:
			key, name = "shimmed.already", b.Name
		case b.Engineer:
			key, name = "shimmed.engineer", b.Name
		case !b.Known:
			key, name = "shimmed.unread", b.Name
		default:
			continue
		}
		break
	}
	if all && key == "shimmed.none" {
		key = "shimmed.none.all"
	}
	return answer{lines: []string{h.say(key, name)}, unheard: true, next: true}
}

// skipShim passes over the stop that was named last.
func (h *hearing) skipShim() answer {
	_, p, a, ok := h.shimPlan()
	if !ok {
		return a
	}
	s, ok := h.nextStep(&p)
	if !ok {
		return answer{next: true}
	}
	at := p.Points[s.at].Station
	steps := p.steps(h.c.Backward)
	next := *h.c.Shim
	next.At = p.Points[steps[(slices.IndexFunc(steps, func(k shimStep) bool { return k.at == s.at })+1)%len(steps)].at].Station
	if !slices.Contains(next.Skipped, at) {
		next.Skipped = append(slices.Clip(next.Skipped), at)
	}
	h.c.Shim = &next
	if again, _ := h.nextStep(&p); again.at == s.at {
		return answer{lines: []string{h.say("shim.skip.last", h.name(at))}}
	}
	return answer{lines: []string{h.say("shim.skip", h.name(at))}, next: true}
}

// shimsLeft says what is still to be set.
func (h *hearing) shimsLeft() answer {
	v, p, a, ok := h.shimPlan()
	if !ok {
		return a
	}
	var stops []reduce.Station
	for _, s := range p.steps(h.c.Backward) {
		if p.left(s) {
			stops = append(stops, p.Points[s.at].Station)
		}
	}
	t := p.tally(v)
	if t.left == 0 {
		return answer{lines: []string{h.say("shims.done", t.set)}, next: true}
	}
	if len(stops) == 0 {
		return answer{lines: h.shortLines(v, &p), next: true}
	}
	lines := []string{h.say("shim.left", p.Dealt.Made, h.list(stops), p.Dealt.Pieces, v.SayShims(h.lang, p.Dealt.Used))}
	return answer{lines: append(lines, h.shortLines(v, &p)...), next: true}
}
