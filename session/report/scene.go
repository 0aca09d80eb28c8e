package report

import (
	"slices"
	"time"

	"rodcall/reduce"
	"rodcall/render"
	"rodcall/session"
	"rodcall/session/phrase"
)

// Scene is the drawing of a job as data, in language lang ("en", "es"), made
// at the given time, which stands on it in its own location. Only one line
// tells of rods: the same heights give the same drawing but for it.
func Scene(j *session.Job, lang string, made time.Time) render.Scene {
	d := drawing{v: j.View(), job: j, lang: lang}
	scene := render.Scene{Title: j.Name, Lines: d.head(made)}
	if j.Outline.Empty() {
		scene.Marks, scene.Strip = d.free()
	} else {
		for _, l := range j.Outline.Loops {
			scene.Loops = append(scene.Loops, render.Ring{Name: session.SayLoop(d.lang, l.Name), Corners: slices.Clone(l.Corners)})
		}
		scene.Other = d.hollow()
		aside, notes := d.asides(), d.steps()
		for _, s := range d.v.Stations {
			if !s.Placed {
				continue
			}
			m := d.mark(s, s.At)
			at, beside := aside[s.Station]
			if beside {
				m.At = at
			}
			// The first mark at a step says so, and is named.
			spot := s.Station.At(0)
			m.Note = notes[spot]
			m.Corner = m.Corner || m.Note != "" || beside || s.Station.Half != 0
			delete(notes, spot)
			scene.Marks = append(scene.Marks, m)
		}
		scene.Strip = d.strip(d.runs())
		scene.ScaleBar, scene.ScaleBarText = d.scaleBar()
	}
	scene.Stamp = d.stamp()
	scene.Key = d.key(scene.Marks)
	scene.MoreText = d.say("paper.more")
	return scene
}

// stamp says who signed the job off, where a signature stands.
func (d *drawing) stamp() string {
	if d.job.Signed == nil {
		return ""
	}
	return d.v.SaySigned(d.lang)
}

// drawing is a scene in the making.
type drawing struct {
	v    session.View
	job  *session.Job
	lang string
	// units says that amounts name theirs; on a drawing its head does.
	units bool
}

func (d *drawing) say(key session.Key, args ...any) string { return session.Say(d.lang, key, args...) }

// settled says that the datum has a height: marks then tell moves.
func (d *drawing) settled() bool { return d.v.Level != nil }

// height is what the strip shows of a station: its deviation, or before a
// datum is chosen its elevation less design. ok is false where it has none.
func (d *drawing) height(s session.StationView) (h reduce.Length, ok bool) {
	switch {
	case s.Elevation == nil:
		return 0, false
	case s.Deviation != nil:
		return *s.Deviation, true
	}
	return d.v.ToShow(s, s.Round, *s.Elevation)
}

// mark is a station on the plan.
func (d *drawing) mark(s session.StationView, at reduce.Point) render.Mark {
	m := render.Mark{
		Name:   session.SayStation(d.lang, d.job, s.Station),
		At:     at,
		Corner: s.Station.IsCorner(),
		Pier:   s.Station.Kind == reduce.Pier,
		Status: d.status(s),
	}
	h, known := d.height(s)
	if known {
		m.Off = h
	}
	switch m.Status {
	case render.StatusUnread:
		m.Word = d.say("paper.unread")
		if s.Read {
			m.Word = d.say("paper.not-tied")
		}
	case render.StatusOn:
		m.Word = d.say("paper.level")
		if d.settled() {
			m.Word = d.say("paper.on")
		}
	case render.StatusHigh:
		m.Word = d.say("paper.high")
		if d.settled() {
			m.Word = d.say("paper.stays")
		}
	case render.StatusLow:
		m.Word = d.say("paper.low")
	case render.StatusRaise:
		m.Word = d.say("paper.raise")
	case render.StatusLower:
		m.Word = d.say("paper.lower")
	case render.StatusUnsure:
		// A close call still names a move, unless it was signed off as it is.
		signed := d.job.Signed != nil
		switch {
		case h == 0:
			m.Word, known = d.say("paper.on"), false
		case h > 0 && (signed || d.stays(h-d.v.Loose(s))):
			m.Word = d.say("paper.high")
		case h > 0:
			m.Word = d.say("paper.lower")
		case signed:
			m.Word = d.say("paper.low")
		default:
			m.Word = d.say("paper.raise")
		}
	}
	if known && m.Status != render.StatusOn {
		m.Amount = d.amount(h)
	}
	return m
}

// stays says that a spot so high is left as it is, since so much may not be
// ground.
func (d *drawing) stays(h reduce.Length) bool { return h > d.job.LevelRules().Grind }

// amount is a height without its side. A tolerance under the finest amount can ask for a move that shows as nothing.
func (d *drawing) amount(h reduce.Length) string {
	if h != 0 && d.v.SameLevel(h) {
		return d.say("paper.under", d.figure(d.job.Finest))
	}
	return d.figure(h)
}

// figure is an amount; on a drawing without its unit, which the head names.
func (d *drawing) figure(h reduce.Length) string {
	if d.units {
		return session.SayAmount(d.lang, d.job, h)
	}
	return phrase.SayAmount(d.lang, d.job.Unit, d.job.Unit.Amount(h, d.job.Finest))
}

// status is what a mark's shape tells.
func (d *drawing) status(s session.StationView) render.Status {
	switch s.Verdict {
	case reduce.On:
		return render.StatusOn
	case reduce.Raise:
		return render.StatusRaise
	case reduce.Lower:
		if h, known := d.height(s); known && d.stays(h-d.v.Loose(s)) {
			return render.StatusHigh
		}
		return render.StatusLower
	case reduce.Unsure:
		return render.StatusUnsure
	case reduce.Unread:
		return render.StatusUnread
	}
	h, known := d.height(s)
	switch {
	case !known:
		return render.StatusUnread // read, but not tied to the reference
	case d.v.SameLevel(h):
		return render.StatusOn
	case h > 0:
		return render.StatusHigh
	}
	return render.StatusLow
}

// key explains the statuses that the marks have, in one order.
func (d *drawing) key(marks []render.Mark) []render.KeyEntry {
	ref := d.v.SayReference(d.lang)
	on := d.say("paper.key.level", ref)
	if d.settled() {
		on = d.say("paper.key.on", d.v.SayTolerance(d.lang))
	}
	high := d.say("paper.key.high", ref)
	if d.settled() {
		high = d.say("paper.key.stays")
	}
	var out []render.KeyEntry
	for _, e := range []render.KeyEntry{
		{Status: render.StatusHigh, Text: high},
		{Status: render.StatusRaise, Text: d.say("paper.key.raise")},
		{Status: render.StatusOn, Text: on},
		{Status: render.StatusLow, Text: d.say("paper.key.low", ref)},
		{Status: render.StatusLower, Text: d.say("paper.key.lower")},
		{Status: render.StatusUnsure, Text: d.say("paper.key.unsure")},
		{Status: render.StatusUnread, Text: d.unread()},
	} {
		if slices.ContainsFunc(marks, func(m render.Mark) bool { return m.Status == e.Status }) {
			out = append(out, e)
		}
	}
	return out
}

// unread is what a mark without a height may be.
func (d *drawing) unread() string {
	switch {
	case len(d.v.Untied) == 0 && d.job.Round > 1:
		return d.say("paper.key.unread-round", d.job.Round)
	case len(d.v.Untied) == 0:
		return d.say("paper.key.unread")
	case len(d.v.Left) == 0:
		return d.say("paper.key.not-tied")
	}
	return d.say("paper.key.unread-two")
}
