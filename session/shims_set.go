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
	if !slices.ContainsFunc(p.Points, ShimPoint.todo) {
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
		a.lines = append(a.lines, h.stepLine(v, b))
		if reads, ok := h.thenReads(v, b); ok {
			a.lines[len(a.lines)-1] += " " + h.say("shim.reads", reads)
		}
	}
	var behind []string
	for _, i := range s.behind {
		if b := p.Points[i]; b.ready() {
			behind = append(behind, h.spotName(b)+" "+h.listed(v, b))
		}
	}
	if len(behind) > 0 {
		key := Key("shim.behind")
		if !b.ready() {
			key = "shim.behind.only"
		}
		a.lines = append(a.lines, h.say(key, h.shortly(behind), name))
	}
	shimmed := h.shimmedWord()
	a.buttons = append(a.buttons, Button{h.say("shim.set.button"), shimmed + name})
	if to, ok := h.wallEnd(&p, s); ok {
		text := h.say("shim.to", h.name(to))
		a.buttons = append(a.buttons, Button{h.say("shim.wall.button", h.name(to)), shimmed + name + " " + text})
	}
	a.buttons = append(a.buttons, Button{h.say("shim.skip.button"), commandWord(h.lang, phrase.CmdSkip)})
}

// stepLine says what is to be done at a point.
func (h *hearing) stepLine(v View, b ShimPoint) string {
	switch {
	case b.Out > 0:
		return h.say("shim.step.out", h.spotName(b), h.takeOut(v, b.Out, b.Lies, b.Pieces))
	case b.Lies != 0:
		return h.say("shim.step.add", h.spotName(b), v.SayStack(h.lang, b.Fit.Stack), v.SayLaid(h.lang, b.Lies, b.Pieces), h.raise(v, b.Fit))
	}
	return h.say("shim.step", h.spotName(b), v.SayStack(h.lang, b.Fit.Stack), h.raise(v, b.Fit))
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
	value, tied := h.job.shouldRead(rod, b.Station, *v.Stations[i].Elevation+b.Laid+b.Fit.Makes-b.Out)
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

// shimmed notes where shims were set or taken out, and how much.
func (h *hearing) shimmed(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.ShimmedArg)
	if !ok {
		return h.refuse(m)
	}
	v, p, a, ok := h.shimPlan()
	if !ok {
		return a
	}
	no := func(key Key, args ...any) answer {
		return answer{lines: []string{h.say(key, args...)}, unheard: true, next: true}
	}
	if gap := h.job.PlateOptions().Gap; arg.Amount > gap && !h.sure(arg.Amount) {
		return h.askThick(m.Said, arg.Amount, gap)
	}
	if arg.Amount > 0 && arg.Amount.RoundTo(h.job.Finest) == 0 {
		return no("shimmed.fine", v.SaySize(h.lang, arg.Amount), h.finest(), h.shimmedExample())
	}
	plain := arg.Amount == 0 && !arg.None && !arg.Out // as planned
	set := shimming{plan: &p, arg: arg, outs: arg.All || !arg.To.IsZero() || len(arg.Stations) == 0}
	stop, left := shimStep{at: -1}, false
	if h.shimming() {
		stop, left = h.nextStep(&p)
	}
	switch {
	case arg.All:
		for i := range p.Points {
			set.spots = append(set.spots, i)
		}
	case len(arg.Stations) == 0:
		if !h.shimming() {
			return no("shimmed.which", h.shimmedExample())
		}
		if !left {
			return answer{next: true}
		}
		set.at = p.Points[stop.at].Station
		set.spots = append(set.spots, stop.at)
		if plain {
			set.spots = append(set.spots, stop.behind...)
			set.passed = p.passed(stop, h.c.Backward)
		}
	default:
		for _, s := range arg.Stations {
			i, planned := h.job.meant(&p, s)
			if !planned {
				return h.shimmedOff(s, arg)
			}
			set.at = p.Points[i].Station
			set.outs = set.outs || left && stop.at == i
			if !arg.To.IsZero() {
				to, planned := h.job.meant(&p, arg.To)
				if !planned {
					return no("shimmed.nowhere", h.name(arg.To), h.shimmedExample())
				}
				run, joined := p.run(h.job.Outline, i, to, h.c.Backward)
				if !joined {
					return no("shimmed.apart", h.name(s), h.name(arg.To))
				}
				set.spots, set.at = run, p.Points[to].Station
				continue
			}
			set.named = append(set.named, i)
			set.spots = append(set.spots, i)
			if !plain || !p.Points[i].station() {
				continue
			}
			for _, st := range p.steps(h.c.Backward) {
				// What lies up to the next station was named with it.
				if st.at == i {
					set.spots = append(set.spots, st.behind...)
				}
			}
			if left && stop.at == i {
				set.passed = p.passed(stop, h.c.Backward)
			}
		}
	}
	set.spots = firsts(set.spots)
	return h.setShims(v, set)
}

// askThick asks whether more is meant than shims are for. Its button sends the
// same line again; so may the person.
func (h *hearing) askThick(line string, l, gap reduce.Length) answer {
	a := answer{lines: []string{h.say("shimmed.sure", h.measure(l), h.measure(gap))}, unheard: true}
	if !h.waiting() { // one question at a time
		a.question = &Question{Kind: sure, Job: h.job.ID, Text: line, Values: []reduce.Length{l},
			Buttons: []Button{{h.say("tolerance.sure.button", h.measure(l)), line}}}
	}
	return a
}

// shimmedWord begins telling where shims were set.
func (h *hearing) shimmedWord() string {
	return strings.TrimSuffix(commandWord(h.lang, phrase.CmdShimmed), "…")
}

// shimmedExample is an example of telling where shims were set, at a station
// that this job has.
func (h *hearing) shimmedExample() string {
	word := h.shimmedWord()
	all := h.job.Outline.Stations()
	if i := slices.IndexFunc(all, func(s reduce.Station) bool { return s.Kind == reduce.Wall && !s.IsCorner() }); i >= 0 {
		return word + h.name(all[i])
	}
	return word + h.name(reduce.Corner(1))
}

// shimming is what is told of shims, found in the plan.
type shimming struct {
	plan   *ShimPlan
	arg    phrase.ShimmedArg
	spots  []int          // places in the plan, in its order
	named  []int          // those of spots that were named one by one
	passed []int          // points without shims on hand that the walk goes past
	outs   bool           // what is to be taken out there is done too
	at     reduce.Station // where the person is then
}

// shimmedOff notes shims at a spot at which the plate has no bearing point.
func (h *hearing) shimmedOff(s reduce.Station, arg phrase.ShimmedArg) answer {
	no := func(key Key, args ...any) answer {
		return answer{lines: []string{h.say(key, args...)}, unheard: true, next: true}
	}
	by, lies := arg.Amount, h.job.laidAt(s).Amount
	switch {
	case !walked(s) || !h.job.placed(s):
		return no("shimmed.nowhere", h.name(s), h.shimmedExample())
	case arg.None:
		by = -lies
	case arg.Out:
		by = -by
	case by == 0:
		return no("shimmed.unplanned", h.name(s))
	}
	switch {
	case by == 0 && lies == 0 || -by > lies:
		return h.lacks(s, lies)
	case by == 0:
		return no("shimmed.howmuch", h.name(s), h.amount(lies))
	}
	h.emit(Shimmed{Round: h.job.Round, Spots: []ShimSet{{Station: s, Amount: by, Out: by < 0}}})
	if by < 0 {
		return answer{lines: []string{h.say("shimmed.out", h.name(s)+" "+h.amount(by))}, next: true}
	}
	return answer{lines: []string{h.say("shimmed.amount", h.name(s), h.amount(by))}, next: true}
}

// lacks says that less lies at a spot than is to be taken out.
func (h *hearing) lacks(s reduce.Station, lies reduce.Length) answer {
	a := answer{lines: []string{h.say("shimmed.nothing", h.name(s))}, unheard: true, next: true}
	if lies > 0 {
		a.lines[0] = h.say("shimmed.less", h.name(s), h.amount(lies))
	}
	return a
}

// told is what was said of one point, as it is to be noted; why is the refusal
// where it cannot be.
func (h *hearing) told(b ShimPoint, arg phrase.ShimmedArg) (set ShimSet, why *answer) {
	set.Station, set.Out = b.Station, arg.None || arg.Out
	switch {
	case arg.None:
		set.Amount = -b.Lies
	case arg.Out && arg.Amount == 0:
		set.Amount = -b.Out
	case arg.Out:
		set.Amount = -arg.Amount
	default:
		// What lies there already is corrected, not laid twice.
		set.Amount = arg.Amount - b.Laid
	}
	if !arg.Out {
		return set, nil
	}
	switch {
	case b.Lies == 0 || b.Lies+set.Amount < 0:
		a := h.lacks(b.Station, b.Lies)
		return set, &a
	case set.Amount == 0:
		return set, &answer{lines: []string{h.say("shimmed.howmuch", h.name(b.Station), h.amount(b.Lies))}, unheard: true, next: true}
	}
	return set, nil
}

// setShims notes shims at spots of the plan: what was said, or what was planned
// where something is left.
func (h *hearing) setShims(v View, s shimming) answer {
	p, arg := s.plan, s.arg
	var sets []ShimSet
	var laid, out, high []string
	short := s.passed
	plain := arg.Amount == 0 && !arg.None && !arg.Out
	for _, i := range s.spots {
		b := p.Points[i]
		switch {
		case !plain:
			set, why := h.told(b, arg)
			switch {
			case why != nil:
				return *why
			case set.Amount == 0:
				continue
			}
			sets = append(sets, set)
			if arg.None || arg.Out {
				out = append(out, h.spotName(b)+" "+h.amount(set.Amount))
				continue
			}
			if laid = append(laid, h.spotName(b)); b.Known && !b.Set && b.Concrete > h.job.Tolerance {
				high = append(high, h.spotName(b)+" "+h.sided(b.Concrete))
			}
		case b.Out > 0 && s.outs:
			sets, out = append(sets, ShimSet{Station: b.Station, Amount: -b.Out}), append(out, h.spotName(b)+" "+h.amount(b.Out))
		case b.Left() && (!b.Short || slices.Contains(s.named, i)):
			// What the stock does not reach counts only where it was named.
			sets, laid = append(sets, ShimSet{Station: b.Station, Amount: b.Fit.Makes, Stack: b.Fit.Stack}), append(laid, h.spotName(b))
		case b.Left():
			short = append(short, i)
		}
	}
	if len(sets) == 0 {
		return h.nothingSet(v, s)
	}
	corrects := slices.ContainsFunc(s.spots, func(i int) bool { return p.Points[i].Set })
	h.emit(Shimmed{Round: h.job.Round, Spots: sets})
	h.wasWalking = false
	if h.c.Asked.IsZero() {
		at := s.at
		if corrects && h.shimming() {
			at = h.c.Shim.At // whoever corrects an amount goes on where they were
		}
		h.shimAt(at)
		h.c.Shim.Skipped = slices.DeleteFunc(slices.Clone(h.c.Shim.Skipped), func(s reduce.Station) bool {
			return slices.ContainsFunc(sets, func(k ShimSet) bool { return k.Station == s })
		})
	}
	a := answer{next: true}
	add := func(key Key, names []string, args ...any) {
		if len(names) > 0 {
			a.lines = append(a.lines, h.say(key, append([]any{h.shortly(names)}, args...)...))
		}
	}
	if plain {
		add("shimmed", laid)
	} else {
		add("shimmed.amount", laid, h.amount(arg.Amount))
	}
	add("shimmed.out", out)
	add("shimmed.on.high", high)
	add("shimmed.short", h.pointNames(p, firsts(short)))
	if arg.All {
		a.lines = append(a.lines, h.say("shimmed.all.undo"))
	}
	return a
}

// firsts drops the places that stand in a list before.
func firsts(list []int) []int {
	met := map[int]bool{}
	return slices.DeleteFunc(list, func(i int) bool {
		again := met[i]
		met[i] = true
		return again
	})
}

// pointNames are the names of points by their places in a plan.
func (h *hearing) pointNames(p *ShimPlan, points []int) []string {
	var out []string
	for _, i := range points {
		out = append(out, h.spotName(p.Points[i]))
	}
	return out
}

// idle is why nothing was set at points, and which.
type idle struct {
	key, one Key // of several, of one alone
	points   []int
}

// nothingSet says why nothing is to be set at spots.
func (h *hearing) nothingSet(v View, s shimming) answer {
	a := answer{unheard: true, next: true}
	if s.arg.None {
		a.lines = []string{h.say("shimmed.nothing", h.shortly(h.pointNames(s.plan, s.spots)))}
		return a
	}
	if s.arg.Amount > 0 {
		a.lines, a.unheard = []string{h.say("shimmed.same", h.shortly(h.pointNames(s.plan, s.spots)), h.amount(s.arg.Amount))}, false
		return a
	}
	why := []*idle{
		{key: "idle.set", one: "shimmed.already"}, {key: "idle.out", one: "idle.out.one"}, {key: "idle.high", one: "idle.high.one"},
		{key: "idle.engineer", one: "shimmed.engineer"}, {key: "idle.unread", one: "shimmed.unread"}, {key: "idle.heard", one: "shimmed.heard"},
		{key: "idle.short", one: "idle.short"}, {key: "idle.on", one: "shimmed.none"},
	}
	const set, out, high, engineer, unread, heard, short, on = 0, 1, 2, 3, 4, 5, 6, 7
	open := v.heardAt()
	for _, i := range s.spots {
		b, k := s.plan.Points[i], on
		switch {
		case b.Set:
			k = set
		case !b.Known && slices.Contains(open, b.Unread):
			k = heard
		case !b.Known:
			k = unread
		case b.Out > 0:
			k = out
		case b.Target > h.job.Tolerance || b.Ground() > 0 && !v.SameLevel(b.Ground()):
			k = high
		case b.Engineer:
			k = engineer
		case b.Left():
			k = short
		}
		why[k].points = append(why[k].points, i)
	}
	why = slices.DeleteFunc(why, func(w *idle) bool { return len(w.points) == 0 })
	if len(why) == 0 {
		a.lines = []string{h.say("shimmed.which", h.shimmedExample())}
		return a
	}
	if len(s.named) == 1 {
		i := s.named[0]
		b := s.plan.Points[i]
		w := why[slices.IndexFunc(why, func(w *idle) bool { return slices.Contains(w.points, i) })]
		if w.key != "idle.on" || len(why) == 1 {
			a.lines = []string{h.say(w.one, h.spotName(b), h.amount(b.Concrete), h.amount(b.Out), v.SayLaid(h.lang, b.Lies, b.Pieces))}
			return a
		}
	}
	a.lines = []string{h.say("idle")}
	for _, w := range why {
		a.lines = append(a.lines, h.say(w.key, h.shortly(h.pointNames(s.plan, w.points))))
	}
	return a
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
	if t.left+len(t.out) == 0 {
		return answer{lines: []string{h.say("shims.done", t.set)}, next: true}
	}
	var lines []string
	if p.Dealt.Made > 0 {
		lines = []string{h.say("shim.left", p.Dealt.Made, h.list(stops), p.Dealt.Pieces, v.SayShims(h.lang, p.Dealt.Used))}
	}
	if len(t.out) > 0 {
		lines = append(lines, h.say("shims.out", h.outs(v, t.out)))
	}
	return answer{lines: append(lines, h.shortLines(v, &p)...), next: true}
}
