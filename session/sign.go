package session

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// sign signs the job off as it stands, or says the one thing that is to be done
// first. Nothing overrides that: a crew whose tops stand is two messages away
// from a round on the plate, and a signature says where the rod stood.
func (h *hearing) sign(phrase.Meaning) answer {
	if s := h.job.Signed; s != nil {
		return answer{lines: []string{h.say("sign.already", person(s.By), when(s.At))}, unheard: true}
	}
	v := h.job.View()
	if a, ok := h.notReady(v); !ok {
		a.unheard = true
		return a
	}
	if a, open := h.heardFirst(); open {
		return a
	}
	h.emit(v.signature())
	h.c.Asked = reduce.Station{}
	a := answer{lines: h.job.View().SaySignature(h.lang, *h.job.Signed), picture: true}
	a.buttons = []Button{{h.say("sign.button.papers"), commandWord(h.lang, phrase.CmdPapers)}}
	if h.once("caution.sign") {
		a.lines = append(a.lines, h.say("caution.sign"))
	}
	return a
}

// notReady says what stands in the way of a signature, the first thing first,
// and offers the message that goes on; ok is true where nothing does.
func (h *hearing) notReady(v View) (a answer, ok bool) {
	c := v.coming()
	out, touched := v.outside(), v.touched()
	switch c.what {
	case comesSign, "":
		return answer{}, true
	case comesHeights:
		a.lines, a.next = []string{h.say("sign.nothing", h.name(h.job.Reference))}, true
		if h.job.Round > 1 {
			a.lines = []string{h.say("sign.nothing.round", h.job.Round)}
		}
	case comesWalk:
		a.lines = []string{h.say("sign.walk", h.job.Round, c.n, h.list(c.at))}
		if h.job.free() {
			a.lines = []string{h.say("sign.walk.free", h.job.Round)}
		}
		a.buttons, a.next = []Button{{h.say("sign.button.done"), "done"}}, true
	case comesLevel:
		a.lines = []string{h.say("sign.nodatum")}
	case comesUnread:
		a.lines = []string{h.say("sign.unread.walk", h.job.Round, c.n, h.list(c.at))}
	case comesThick:
		a.lines = []string{h.say("sign.thick")}
	case comesHeard:
		open := h.job.Heard()
		a.lines = []string{h.say("heard.sign", len(open), h.listOpen(open))}
	case comesTie:
		a.lines = []string{h.say("sign.untied", c.n, h.list(c.at), h.name(h.tyingPoint()))}
	case comesShims, comesRound, comesOut, comesPlate:
		switch {
		case len(touched) > 0:
			a.lines = []string{h.say("sign.touched", len(touched), h.list(touched))}
		case len(out) > 0:
			a.lines = []string{h.say("sign.outside", len(out), h.measure(h.job.Tolerance), h.listMoves(out))}
			bare := v.bare()
			if len(bare) < len(out) {
				a.lines = append(a.lines, h.say("sign.outside.next"))
			}
			if len(bare) > 0 {
				a.lines = append(a.lines, h.say("out.bare", h.list(bare)))
				a.buttons = []Button{{h.say("sign.button.choices"), "choices"}}
			}
		default:
			a.lines = []string{h.say("sign.surface", h.say(Key("paper.surface."+h.job.Surface)))}
		}
	case comesBolts:
		a.lines = []string{h.say("sign.loose")}
	case comesRead:
		a.lines = []string{h.say("sign.owed", c.n, h.list(c.at))}
	}
	if c.what == comesThick {
		a.buttons = h.plateButtons()
		return a, false
	}
	h.offerComing(c, &a)
	switch {
	case c.what == comesShims && len(touched)+len(out) == 0:
		h.offer(&a, Button{h.say("surface.plate.button"), h.say("surface.plate.button")})
	case c.what == comesShims:
		h.offer(&a, Button{h.say("sign.button.next round"), commandWord(h.lang, phrase.CmdRound)})
	}
	return a, false
}

// surfacePlate is the surface that a job is signed off on.
const surfacePlate = "plate"

// maxMoves are the moves named one by one where a job cannot be signed off.
const maxMoves = 6

// listMoves names what is outside the tolerance, with its move, the farthest
// off first.
func (h *hearing) listMoves(out []StationView) string {
	var parts []string
	for _, s := range out[:min(len(out), maxMoves)] {
		parts = append(parts, h.say("sign.move", h.name(s.Station), h.move(*s.Deviation, s.Verdict)))
	}
	if more := len(out) - len(parts); more > 0 {
		parts = append(parts, h.say("more", more))
	}
	return strings.Join(parts, ", ")
}

// outside are the stations that the datum asks to be moved, the farthest off
// first.
func (v View) outside() []StationView {
	var out []StationView
	for _, s := range v.Stations {
		if s.Verdict == reduce.Raise || s.Verdict == reduce.Lower {
			out = append(out, s)
		}
	}
	slices.SortStableFunc(out, func(a, b StationView) int { return cmp.Compare(b.Move.Abs(), a.Move.Abs()) })
	return out
}

// signature is what a signature of the job as it stands says.
func (v View) signature() Signed {
	j := v.Job
	s := Signed{Round: j.Round, Surface: j.Surface, Tight: j.BoltsTight, Level: *v.Level, Tolerance: j.Tolerance, Unchecked: v.Unchecked}
	hung := v.hungOn()
	for _, k := range v.Stations {
		switch {
		case !walked(k.Station) || !j.placed(k.Station):
		case k.Station == hung:
			continue
		case k.Deviation == nil:
			s.Unread++
		case k.Verdict == reduce.Unsure:
			s.Unsure++
		default:
			s.On++
		}
		if k.Deviation != nil && (s.Worst.IsZero() || k.Deviation.Abs() > s.Off.Abs()) {
			s.Worst, s.Off = k.Station, *k.Deviation
		}
	}
	s.Reshot = len(j.reshot())
	if j.LaserCheck != nil {
		s.Laser = j.LaserCheck.At
	}
	return s
}

// reshot are the stations that a check was read of in this round.
func (j *Job) reshot() map[reduce.Station]bool {
	out := map[reduce.Station]bool{}
	for _, r := range j.present() {
		if r.Check && walked(r.Station) {
			out[r.Station] = true
		}
	}
	return out
}

// SaySignature says what was signed off, by whom and when, a line for each
// fact: of a signature that stands. Names are put in by NamePeople.
func (v View) SaySignature(lang string, s Signature) []string {
	j := v.Job
	lines := []string{
		Say(lang, "sign.by", j.Name, person(s.By), when(s.At)),
		Say(lang, "sign.what", s.Round, Say(lang, Key("paper.surface."+s.Surface)), v.bolts(lang, s.Tight), s.On,
			v.SayMeasure(lang, s.Tolerance), v.SayDatum(lang)),
	}
	if !v.SameLevel(s.Off) {
		lines = append(lines, Say(lang, "sign.worst", SayStation(lang, j, s.Worst), v.saySide(lang, s.Off)))
	}
	var close, before, unread []reduce.Station
	for _, k := range v.Stations {
		switch {
		case !walked(k.Station) || !j.placed(k.Station):
		case k.Deviation == nil && k.Round > 0:
			before = append(before, k.Station)
		case k.Deviation == nil:
			unread = append(unread, k.Station)
		case k.Verdict == reduce.Unsure:
			close = append(close, k.Station)
		}
	}
	for _, k := range []struct {
		key Key
		at  []reduce.Station
	}{{"sign.unsure", close}, {"sign.unchecked", v.unchecked()}, {"sign.apart", v.Apart()}, {"sign.before", before}, {"sign.unread", unread}} {
		if len(k.at) > 0 {
			lines = append(lines, Say(lang, k.key, len(k.at), v.SayStations(lang, k.at)))
		}
	}
	if at := v.hungOn(); !at.IsZero() {
		lines = append(lines, Say(lang, "sign.hangs", SayStation(lang, j, at)))
	}
	if open := j.Heard(); len(open) > 0 {
		lines = append(lines, Say(lang, "paper.heard", len(open), v.SayHeard(lang, open)))
	}
	lines = append(lines, Say(lang, "sign.readers", v.sayReaders(lang)))
	if left := v.lot(); len(left) > 0 {
		lines = append(lines, Say(lang, "sign.lot", len(left), v.SayStations(lang, left)))
	}
	return append(append(lines, j.sayUnseen(lang)...), v.sayLaser(lang, "paper.sum.laser", "paper.sum.laser.none"))
}

// sayReaders names who read in the present round, and with which rod.
func (v View) sayReaders(lang string) string {
	type reader struct {
		by  PersonID
		rod int
	}
	var seen []reader
	var parts []string
	for _, r := range v.Job.present() {
		k := reader{r.By, r.Rod}
		rod, ok := v.Job.rod(r.Rod)
		if !ok || slices.Contains(seen, k) {
			continue
		}
		seen = append(seen, k)
		parts = append(parts, Say(lang, "sign.reader", person(k.by), Say(lang, "rod.name", k.rod, Say(lang, Key("rod."+rod.Kind.String())))))
	}
	return strings.Join(parts, ", ")
}

func (v View) bolts(lang string, tight bool) string {
	if tight {
		return Say(lang, "paper.bolts.tight")
	}
	return Say(lang, "paper.bolts.loose")
}

// saySide is a deviation in words: "1/16 low", "on".
func (v View) saySide(lang string, deviation reduce.Length) string {
	if v.SameLevel(deviation) {
		return Say(lang, "paper.on")
	}
	return v.SayHigh(lang, deviation)
}

// SaySigned says in one line how the job stands with its newest signature: who
// signed it off and when, and what re-opened it. It is "" for a job that nobody
// signed.
func (v View) SaySigned(lang string) string {
	all := v.Job.Signatures()
	if len(all) == 0 {
		return ""
	}
	s := all[len(all)-1]
	if s.Stands() {
		return Say(lang, "paper.signed", person(s.By), when(s.At), s.Round)
	}
	return Say(lang, "paper.reopened", person(s.By), when(s.At), person(s.Reopened.By), when(s.Reopened.At))
}

// touched are the stations that shims were set at since they were read last.
func (v View) touched() []reduce.Station {
	var out []reduce.Station
	for _, s := range v.Stations {
		if s.Touched {
			out = append(out, s.Station)
		}
	}
	return out
}

// reopened says, once, that what this message did has re-opened a job that was
// signed off.
func (h *hearing) reopened() []string {
	was := h.signed
	if was == nil || h.job == nil {
		return nil
	}
	i := slices.IndexFunc(h.job.Superseded, func(s Signature) bool { return s.Seq == was.Seq })
	if i < 0 {
		return nil
	}
	h.signed = nil
	return []string{h.say("sign.reopened", person(was.By), when(was.At))}
}

// when is a time as it is told in a chat.
func when(t time.Time) string { return t.UTC().Format("2006-01-02 15:04 UTC") }
