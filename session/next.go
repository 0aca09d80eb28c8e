package session

import (
	"slices"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// comes is what a job needs next.
type comes string

// What may come next, in the order in which it is looked for; "" where the job
// is signed off and nothing does.
const (
	comesHeights comes = "heights" // nothing has a height yet
	comesWalk    comes = "walk"    // the walk of this round is not over
	comesLevel   comes = "level"   // no level is chosen, or it is not known
	comesThick   comes = "thick"   // the round is on a plate of unknown thickness
	comesUnread  comes = "unread"  // the walk was ended, and so much of it is unread that the level may be another
	comesShims   comes = "shims"   // shims are to be set or taken out
	comesHeard   comes = "heard"   // what was heard is to be confirmed, before the shims there can be planned
	comesRound   comes = "round"   // shims were set, and nobody has read there since
	comesOut     comes = "out"     // something is outside the tolerance, and no shims mend it
	comesTie     comes = "tie"     // stations are read, and nothing ties them
	comesPlate   comes = "plate"   // the plate is to be laid
	comesBolts   comes = "bolts"   // its bolts are to be tightened
	comesRead    comes = "read"    // stations that matter are not read on the plate
	comesSign    comes = "sign"    // it can be signed off
)

// coming is what a job needs next until it is signed off.
type coming struct {
	what comes
	at   []reduce.Station // what it is about
	n    int              // how many spots that is
}

// coming finds what the job as it stands needs next. Nothing else decides
// whether it can be signed off, what is offered at a turn of the work, or what
// a summary says is left.
func (v View) coming() coming {
	j := v.Job
	of := func(what comes, at []reduce.Station) coming { return coming{what, at, len(at)} }
	switch {
	case j.Signed != nil:
		return coming{}
	case v.Extent == nil && v.Level == nil:
		return of(comesHeights, nil)
	case j.walking():
		return of(comesWalk, v.Left)
	case v.Level == nil:
		return of(comesLevel, nil)
	}
	if _, known := j.thicker(j.Round, j.DatumRound); !known {
		return of(comesThick, nil)
	}
	out, touched := v.outside(), v.touched()
	if left := v.leftOut(); len(left) > 0 && len(touched) == 0 {
		return of(comesUnread, left)
	}
	if j.Surface == "concrete" || j.Surface != surfacePlate && len(out) > 0 || len(out) > 0 && len(touched) == 0 {
		if p, ok := v.ShimPlan(); ok {
			t := p.tally(v)
			if n := t.left + len(t.out); n > 0 {
				return coming{what: comesShims, n: n}
			}
		}
		if open := v.heardAt(); len(open) > 0 {
			return of(comesHeard, open)
		}
	}
	var off []reduce.Station
	for _, s := range out {
		off = append(off, s.Station)
	}
	untied := slices.DeleteFunc(slices.Clone(v.Untied), func(s reduce.Station) bool { return !walked(s) || !j.placed(s) })
	owed := v.owed()
	switch {
	case len(touched) > 0:
		return of(comesRound, touched)
	case len(off) > 0:
		return of(comesOut, off)
	case len(untied) > 0:
		return of(comesTie, untied)
	case j.Surface != surfacePlate:
		return of(comesPlate, nil)
	case !j.BoltsTight:
		return of(comesBolts, nil)
	case len(owed) > 0:
		return of(comesRead, owed)
	case v.measuredOn() == 0:
		return of(comesHeights, nil)
	}
	return of(comesSign, nil)
}

// measuredOn counts the stations that are held against the level by what was
// read: not the one that the round hangs on, which is at the level that it
// should have because it was taken to be.
func (v View) measuredOn() int {
	hung, n := v.hungOn(), 0
	for _, s := range v.Stations {
		if walked(s.Station) && v.Job.placed(s.Station) && s.Deviation != nil && s.Station != hung {
			n++
		}
	}
	return n
}

// hungOn is the one station that the heights of the present round hang on,
// where nothing off the sill does; zero where something checks them.
func (v View) hungOn() reduce.Station {
	r, j := v.adjusted.record, v.Job
	if j.Round == 1 || r.reads == nil || r.hangs[j.Round] != hangsOnForeseen {
		return reduce.Station{}
	}
	return j.resolve(j.Reference)
}

// owed are the stations that must have been read before the plate is signed
// off, and were not: what this round asked for, all corners, and wherever shims
// were set. In the first round, which asks for all, a station between the
// corners of each wall will do beside them. What the beam does not reach is not
// among them.
func (v View) owed() []reduce.Station {
	j := v.Job
	wanted := map[reduce.Station]bool{}
	if j.Round > 1 {
		for _, s := range j.Walk {
			wanted[s] = true
		}
	} else {
		for _, wall := range v.byWall() {
			between := slices.DeleteFunc(slices.Clone(wall), reduce.Station.IsCorner)
			read := func(s reduce.Station) bool { return v.dueNot(s) }
			if len(between) > 0 && !slices.ContainsFunc(between, read) {
				wanted[between[len(between)/2]] = true
			}
		}
	}
	var out []reduce.Station
	for _, s := range v.Stations {
		k := s.Station
		if !walked(k) || !j.placed(k) || s.Deviation != nil || s.NoBeam {
			continue
		}
		if wanted[k] || k.IsCorner() && !j.Outline.Empty() || k.Kind == reduce.Pier && j.Round == 1 || len(v.adjusted.record.sets[k]) > 0 {
			out = append(out, k)
		}
	}
	return out
}

// leftOut are the stations that a walk of concrete or shims was ended without,
// where the level may be another once they are read: a corner or a pier is among
// them, or most of the walk and all that lies between two corners. Those out of
// the beam are not.
func (v View) leftOut() []reduce.Station {
	unread := v.unread()
	owed := slices.DeleteFunc(v.owed(), func(s reduce.Station) bool { return !slices.Contains(unread, s) })
	ends := slices.ContainsFunc(owed, func(s reduce.Station) bool { return s.IsCorner() || s.Kind == reduce.Pier })
	if v.Job.Surface == surfacePlate || !ends && (len(owed) == 0 || len(unread) <= v.Read) {
		return nil
	}
	return unread
}

// unread are the stations of the walk that nobody read and the beam reaches.
func (v View) unread() []reduce.Station {
	return slices.DeleteFunc(slices.Clone(v.Left), func(s reduce.Station) bool { return slices.Contains(v.Job.NoBeam, s) })
}

// dueNot says that a station is read against the level, or cannot be.
func (v View) dueNot(s reduce.Station) bool {
	return slices.ContainsFunc(v.Stations, func(k StationView) bool {
		return k.Station == s && (k.Deviation != nil || k.NoBeam)
	})
}

// comesNext says what comes next, and offers it.
func (h *hearing) comesNext(a *answer) {
	v := h.job.View()
	c := v.coming()
	switch c.what {
	case "", comesWalk, comesHeights:
		return
	case comesLevel:
		if len(a.buttons) > 0 {
			return // they are the levels
		}
	case comesThick:
		if len(a.buttons) == 0 {
			h.askPlate(a)
		}
		return
	case comesHeard:
		h.offerHeard(a)
		return
	case comesUnread, comesTie, comesShims, comesRound, comesOut, comesPlate, comesBolts, comesRead, comesSign:
	}
	a.lines = append(a.lines, h.say(Key("comes."+string(c.what)), c.n, h.list(c.at), h.measure(h.job.Tolerance)))
	if bare := v.bare(); c.what == comesOut && len(bare) > 0 {
		a.lines = append(a.lines, h.say("out.bare", h.list(bare)))
		h.offer(a, Button{h.say("sign.button.choices"), "choices"})
	}
	h.offerComing(c, a)
	if left := v.lot(); c.what == comesSign && len(left) > 0 {
		again := Button{h.say("lot.button", len(left)), commandWord(h.lang, phrase.CmdReshoot)}
		if !slices.Contains(a.buttons, again) {
			a.lines, a.buttons = append(a.lines, h.say("comes.lot", len(left), h.list(left))), append(a.buttons, again)
		}
	}
}

// offerComing offers the messages that bring what comes next, before what is
// offered already.
func (h *hearing) offerComing(c coming, a *answer) {
	kept := a.buttons
	a.buttons = nil
	word := func(names ...phrase.CommandName) {
		for _, n := range names {
			text := commandWord(h.lang, n)
			a.buttons = append(a.buttons, Button{text, text})
		}
	}
	say := func(label string) { a.buttons = append(a.buttons, Button{label, label}) }
	switch c.what {
	case "", comesHeights, comesWalk:
	case comesHeard:
		h.offerConfirm(a, h.job.Heard())
	case comesLevel:
		a.buttons = append(a.buttons, Button{h.say("sign.button.choices"), "choices"},
			Button{h.say("datum.first.button"), "datum first"}, Button{h.say("datum.high.button"), "datum high"})
	case comesThick:
		h.askPlate(a)
	case comesTie:
		at := h.tyingPoint()
		a.buttons = append(a.buttons, Button{h.say("comes.read.button", h.name(at)), h.name(at)})
	case comesShims:
		a.buttons = append(a.buttons, Button{h.say("sign.button.shims"), commandWord(h.lang, phrase.CmdShims)},
			Button{h.say("shim.button"), commandWord(h.lang, phrase.CmdShimFrom)})
		if h.job.Surface != "concrete" {
			word(phrase.CmdRound)
		}
	case comesRound:
		word(phrase.CmdRound)
	case comesOut:
		if len(h.job.View().bare()) < c.n {
			a.buttons = append(a.buttons, Button{h.say("sign.button.shims"), commandWord(h.lang, phrase.CmdShims)})
		}
		word(phrase.CmdRound)
	case comesPlate:
		say(h.say("surface.plate.button"))
	case comesBolts:
		say(h.say("bolts.tight.button"))
	case comesRead, comesUnread:
		at := h.name(c.at[0])
		a.buttons = append(a.buttons, Button{h.say("comes.read.button", at), at})
	case comesSign:
		word(phrase.CmdSign)
	}
	for _, b := range kept {
		h.offer(a, b)
	}
}

// offer adds a button that is not there yet.
func (h *hearing) offer(a *answer, b Button) {
	if !slices.ContainsFunc(a.buttons, func(k Button) bool { return k.Text == b.Text }) {
		a.buttons = append(a.buttons, b)
	}
}

// tyingPoint is where a rod that nothing ties should be read: the point off the
// sill that was read before, or else the reference.
func (h *hearing) tyingPoint() reduce.Station {
	at := h.job.resolve(h.job.Reference)
	for k := range h.job.slots {
		if k.station.Kind == reduce.Benchmark && !h.job.empty[k] && (at.Kind != reduce.Benchmark || k.station.Number < at.Number) {
			at = k.station
		}
	}
	return at
}

// atRest says that nothing is asked for: what comes next may be said.
func (h *hearing) atRest(a answer) bool {
	return h.job != nil && a.next && !a.unheard && a.question == nil && h.c.Asked.IsZero() && !h.job.walking() && !h.waiting()
}
