package session

import (
	"slices"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// command is what the bot does on one of the commands that phrase knows.
type command struct {
	name     phrase.CommandName
	needsJob bool
	leads    bool // only for those who may lead: see mayLead
	atOnce   bool // done at once where it is spoken; all others are to be tapped first
	run      func(*hearing, phrase.Meaning) answer
}

// commands is the one table of what each command does: dispatch, guard and
// help come from it. Their words and examples are phrase's.
var commands = map[phrase.CommandName]command{}

func init() {
	for _, c := range []command{
		{phrase.CmdNew, false, false, false, (*hearing).newJob},
		{phrase.CmdJobs, false, false, false, (*hearing).jobs},
		{phrase.CmdHelp, false, false, true, (*hearing).help},
		{phrase.CmdLanguage, false, false, true, (*hearing).language},
		{phrase.CmdNo, false, false, true, (*hearing).no},
		{phrase.CmdYes, false, false, true, (*hearing).yes},
		{phrase.CmdAloud, false, false, true, (*hearing).aloud},
		{phrase.CmdCount, true, false, false, (*hearing).count},
		{phrase.CmdNote, true, false, false, (*hearing).note},
		{phrase.CmdKept, true, false, true, (*hearing).keptList},

		{phrase.CmdOutline, true, false, false, (*hearing).outline},
		{phrase.CmdLoop, true, false, false, (*hearing).loop},
		{phrase.CmdPiers, true, false, false, (*hearing).piers},
		{phrase.CmdSpacing, true, false, false, (*hearing).spacing},
		{phrase.CmdRod, true, false, false, (*hearing).setRod},
		{phrase.CmdUnits, true, false, false, (*hearing).units},
		{phrase.CmdReference, true, false, false, (*hearing).reference},
		{phrase.CmdSurface, true, false, false, (*hearing).surface},
		{phrase.CmdBolts, true, false, false, (*hearing).bolts},
		{phrase.CmdTolerance, true, false, false, (*hearing).tolerance},

		{phrase.CmdCorrect, true, false, true, (*hearing).correct},
		{phrase.CmdCheck, true, false, true, (*hearing).check},
		{phrase.CmdUndo, true, false, true, (*hearing).undo},
		{phrase.CmdSkip, true, false, true, (*hearing).skip},
		{phrase.CmdNoBeam, true, false, false, (*hearing).noBeam},
		{phrase.CmdOtherWay, true, false, true, (*hearing).otherWay},
		{phrase.CmdRepeat, true, false, true, (*hearing).repeat},
		{phrase.CmdLeft, true, false, true, (*hearing).left},
		{phrase.CmdMore, true, false, false, (*hearing).more},
		{phrase.CmdSummary, true, false, true, (*hearing).summary},
		{phrase.CmdPicture, true, false, true, (*hearing).picture},
		{phrase.CmdOriginal, true, false, true, (*hearing).original},
		{phrase.CmdDone, true, false, false, (*hearing).done},
		{phrase.CmdDatum, true, true, false, (*hearing).datum},

		{phrase.CmdKnown, true, false, false, (*hearing).knownHeight},
		{phrase.CmdWeights, true, false, false, (*hearing).weights},
		{phrase.CmdLaser, true, false, false, (*hearing).laser},
		{phrase.CmdBudget, true, false, false, (*hearing).budget},
		{phrase.CmdQuality, true, false, true, (*hearing).quality},
		{phrase.CmdNotes, true, false, true, (*hearing).notes},

		{phrase.CmdMoved, true, false, false, (*hearing).moved},
		{phrase.CmdBumped, true, false, false, (*hearing).bumped},
		{phrase.CmdCheckEvery, true, false, false, (*hearing).checkEvery},
		{phrase.CmdBreak, true, false, true, (*hearing).pause},
		{phrase.CmdCheckLaser, true, false, true, (*hearing).checkLaser},
		{phrase.CmdTwoPegs, true, false, false, (*hearing).twoPegs},
		{phrase.CmdHeadings, true, false, false, (*hearing).fourHeadings},
		{phrase.CmdHalfTurn, true, false, false, (*hearing).halfTurn},
		{phrase.CmdReshoot, true, false, false, (*hearing).reshoot},
		{phrase.CmdTookOver, true, false, false, (*hearing).tookOver},
		{phrase.CmdAnotherRod, true, false, false, (*hearing).anotherRod},
		{phrase.CmdTestRod, true, false, false, (*hearing).testRod},
		{phrase.CmdFlipRod, true, false, false, (*hearing).flipRod},

		{phrase.CmdChoices, true, false, true, (*hearing).choices},
		{phrase.CmdGrindCost, true, false, false, (*hearing).grindCost},
		{phrase.CmdGrindMost, true, false, false, (*hearing).grindMost},
		{phrase.CmdShimMost, true, false, false, (*hearing).shimMost},

		{phrase.CmdStep, true, false, false, (*hearing).step},
		{phrase.CmdFall, true, false, false, (*hearing).fall},

		{phrase.CmdBearing, true, false, false, (*hearing).bearing},
		{phrase.CmdBoltPlaces, true, false, false, (*hearing).boltPlaces},
		{phrase.CmdPosts, true, false, false, (*hearing).posts},
		{phrase.CmdSplices, true, false, false, (*hearing).splices},
		{phrase.CmdBend, true, false, false, (*hearing).bend},

		{phrase.CmdStock, true, false, false, (*hearing).stock},
		{phrase.CmdShims, true, false, true, (*hearing).shims},
		{phrase.CmdShimFrom, true, false, false, (*hearing).shimFrom},
		{phrase.CmdShimmed, true, false, false, (*hearing).shimmed},
		{phrase.CmdStackMost, true, false, false, (*hearing).stackMost},
		{phrase.CmdSpares, true, false, false, (*hearing).spares},
		{phrase.CmdPlateWidth, true, false, false, (*hearing).plateWidth},
		{phrase.CmdGrout, true, false, false, (*hearing).grout},

		{phrase.CmdRound, true, false, false, (*hearing).nextRound},
		{phrase.CmdPlate, true, false, false, (*hearing).plateThick},
		{phrase.CmdStill, true, false, false, (*hearing).still},

		{phrase.CmdSign, true, true, false, (*hearing).sign},

		{phrase.CmdPapers, true, false, true, (*hearing).papers},
		{phrase.CmdAsFound, true, false, true, (*hearing).asFound},
	} {
		commands[c.name] = c
	}
}

// command does what a command says. Known words for what this version cannot
// do yet are told so, and store nothing.
func (h *hearing) command(m phrase.Meaning) answer {
	c, ok := commands[m.Command]
	switch {
	case !ok:
		return answer{lines: []string{h.say("notyet", m.Said)}, unheard: true}
	case c.needsJob && h.job == nil:
		return h.noJob()
	case c.leads && !h.mayLead():
		return h.notLead()
	}
	if a, first := h.tapsFirst(m, c); first {
		return a
	}
	return c.run(h, m)
}

func (h *hearing) newJob(m phrase.Meaning) answer {
	name, _ := m.Arg.(phrase.Text)
	n := shortName(string(name))
	if n == "" {
		return answer{lines: []string{h.say("new.noname")}, unheard: true}
	}
	if len(h.events) > 0 {
		return answer{lines: []string{h.say("new.first")}, unheard: true}
	}
	if i := slices.IndexFunc(h.chat.Jobs, func(j JobHeader) bool { return strings.EqualFold(j.Name, n) }); i >= 0 {
		return answer{lines: []string{h.say("new.taken", n)}, unheard: true,
			question: &Question{Kind: offered, Buttons: []Button{{h.say("job.button", n), "job " + n}}}}
	}
	dropped := h.dropHeld("no.held")
	h.job = NewJob()
	h.wasWalking = true
	opened := Opened{Job: h.m.FreshID, Chat: h.chat.ID, Name: n}
	if !h.m.Private {
		opened.Lang = AnswerLang(false, h.c.Lang, "")
	}
	h.emit(opened)
	h.emit(SetupOpened{Setup: 1})
	h.chat.Current = h.job.ID
	h.c.Question, h.c.Unread = nil, nil
	h.settle()
	lines := append(dropped, h.say("new", n), h.say("new.outline"))
	if h.m.Deaf {
		lines = append(lines, h.say("deaf"))
	}
	return answer{lines: lines}
}

// shortName is a job's name as it is kept: one line, no longer than fits a
// drawing's title.
func shortName(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	if r := []rune(s); len(r) > maxNameRune {
		s = string(r[:maxNameRune-1]) + "…"
	}
	return s
}

// jobs lists the chat's jobs, or goes back to one of them.
func (h *hearing) jobs(m phrase.Meaning) answer {
	name, named := m.Arg.(phrase.Text)
	if !named {
		return h.listJobs()
	}
	n := shortName(string(name))
	found := slices.IndexFunc(h.chat.Jobs, func(j JobHeader) bool { return strings.EqualFold(j.Name, n) })
	if found < 0 {
		var like []int
		for i, j := range h.chat.Jobs {
			if strings.HasPrefix(strings.ToLower(j.Name), strings.ToLower(n)) {
				like = append(like, i)
			}
		}
		if len(like) != 1 {
			a := h.listJobs()
			a.lines = append([]string{h.say("job.none", n)}, a.lines...)
			a.unheard = true
			return a
		}
		found = like[0]
	}
	if len(h.events) > 0 {
		return answer{lines: []string{h.say("new.first")}, unheard: true}
	}
	j := h.chat.Jobs[found]
	if h.job != nil && h.job.ID == j.ID {
		return answer{lines: []string{h.say("job.already", j.Name)}, next: true}
	}
	lines := h.dropHeld("no.held")
	h.chat.Current = j.ID
	h.job = nil // what follows belongs to a job that is not at hand
	h.lang = AnswerLang(h.m.Private, h.person, j.Lang)
	lines = append(lines, h.say("job", j.Name, h.progress(j)))
	h.c.Question = nil
	// Read and named in whatever mark, a distance along a wall stays as it was.
	if next, err := reduce.ParseStation(j.Next, reduce.Foot); err == nil && j.State == StateWalk {
		lines = append(lines, h.say("next", sayHalf(h.lang, next.At(0).Name(reduce.Foot), next.Half)))
	}
	return answer{lines: lines}
}

func (h *hearing) listJobs() answer {
	if len(h.chat.Jobs) == 0 {
		return h.noJob()
	}
	jobs := h.chat.Jobs
	var lines []string
	if over := len(jobs) - 20; over > 0 {
		lines = append(lines, h.say("jobs.older", over))
		jobs = jobs[over:]
	}
	for _, j := range jobs {
		key := Key("jobs.line")
		if j.ID == h.chat.Current {
			key = "jobs.current"
		}
		lines = append(lines, h.say(key, j.Name, h.say(Key("state."+string(j.State))), h.progress(j)))
	}
	return answer{lines: lines}
}

// progress says how much of a job is read, and what is left where that can be
// known.
func (h *hearing) progress(j JobHeader) string {
	if j.Free {
		return h.say("progress.free", j.Read)
	}
	return h.say("progress", j.Read, j.Left)
}

func (h *hearing) no(phrase.Meaning) answer {
	if h.searching() {
		h.resume()
		h.c.Question = nil
		return answer{lines: []string{h.say("bump.left")}, next: true}
	}
	if r, ok := h.denied(); ok {
		return h.deny(r)
	}
	if h.c.Question == nil {
		return h.asksWhatNo()
	}
	lines := h.dropHeld("no.held")
	h.c.Question = nil
	return answer{lines: append([]string{h.say("no")}, lines...), next: true}
}

// asksWhatNo says that nothing was being asked. Where a reading of this person's
// from before the laser was moved is open, whether it was right is asked again.
func (h *hearing) asksWhatNo() answer {
	r, ok := h.newest()
	if !ok || r.By != h.m.From.ID {
		return answer{lines: []string{h.say("no.nothing")}, next: true}
	}
	q := h.heardQuestion(r, h.closeTo(r.Seq), true)
	no := h.say("heard.no")
	q.Buttons = append(q.Buttons, Button{no, no})
	return answer{lines: []string{h.say("no.heard", h.nameIn(r.Station, r.Round), h.heardText(r))}, question: q, next: true}
}

// dropHeld lets go of lines that wait for who holds the rod, and says so with
// key; the walk is back where the first of them belonged.
func (h *hearing) dropHeld(key Key) []string {
	if !h.waiting() {
		return nil
	}
	held := h.c.Question.Held
	h.c.Question = nil
	h.backTo(held[0].Station)
	return []string{h.say(key, h.listHeld(held))}
}

func (h *hearing) skip(phrase.Meaning) answer {
	s := h.c.Asked
	switch {
	case h.shimming():
		return h.skipShim()
	case s.IsZero():
		return answer{lines: []string{h.say("skip.nothing")}}
	}
	if h.checking(s) {
		h.resume()
		h.nextOfLot(s)
		a := answer{lines: []string{h.say("skip.check", h.name(s))}, next: true}
		h.offerAtRest(&a)
		return a
	}
	if h.tying(s) && !h.aside {
		return h.skipTie(s)
	}
	if h.job.readNow()[s] && (walked(s) || h.aside) {
		if !h.aside {
			h.advance(s)
		}
		return answer{lines: []string{h.say("skip.read", h.name(s))}, next: true}
	}
	if !walked(s) {
		h.resume()
		h.c.Skip = s
		return answer{lines: []string{h.say("skip.off", h.name(s))}, next: true}
	}
	if !slices.Contains(h.c.Skipped, s) {
		h.c.Skipped = append(h.c.Skipped, s)
	}
	h.advance(s)
	h.c.Skip = s
	if h.c.Asked == s {
		return answer{lines: []string{h.say("skip.last", h.name(s))}}
	}
	return answer{lines: []string{h.say("skip", h.name(s))}, next: true}
}

func (h *hearing) noBeam(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.StationArg)
	s := arg.Station
	if !ok || s.IsZero() {
		s = h.c.Asked
	}
	if s.IsZero() {
		return answer{lines: []string{h.say("nostation", m.Said)}, unheard: true}
	}
	if !slices.Contains(h.job.NoBeam, s) {
		h.emit(NoBeam{Station: s})
	}
	if h.tying(s) {
		h.skipTie(s)
	} else if s == h.c.Asked && walked(s) {
		h.advance(s)
	} else if s == h.c.Asked {
		h.resume()
	}
	key := Key("nobeam")
	if h.job.readNow()[s] {
		key = "nobeam.read"
	}
	return answer{lines: []string{h.say(key, h.name(s))}, next: true}
}

func (h *hearing) otherWay(phrase.Meaning) answer {
	h.c.Turned, h.c.From = true, h.c.Asked
	h.c.Backward = !h.c.Backward
	if !h.job.last.IsZero() {
		h.advance(h.job.last)
	}
	return answer{lines: []string{h.say("otherway")}, next: true}
}

func (h *hearing) repeat(phrase.Meaning) answer {
	q := h.pending()
	switch {
	case q != nil && (q.Kind != offered || !h.c.Asked.IsZero()):
		return h.askedAgain(q)
	case h.c.Asked.IsZero() && !h.shimming():
		return h.left(phrase.Meaning{})
	}
	return answer{next: true}
}

func (h *hearing) left(phrase.Meaning) answer {
	if h.shimming() || h.c.Asked.IsZero() && h.job.State() == StateShim {
		return h.shimsLeft()
	}
	if h.job.free() {
		return answer{lines: []string{h.say("left.free", len(h.job.readNow()))}, next: true}
	}
	v := h.job.View()
	halves := h.job.otherHalves()
	if len(v.Left) == 0 {
		a := answer{lines: []string{h.say("left.none", v.Read)}}
		if len(halves) > 0 {
			a.lines = append(a.lines, h.say("left.halves", h.list(halves)))
		}
		if len(v.Lost) > 0 {
			a.lines = append(a.lines, h.say("outline.lost", h.list(v.Lost)))
		}
		return a
	}
	lines := []string{h.say("left", len(v.Left), h.list(v.Left))}
	if len(halves) > 0 {
		lines = append(lines, h.say("left.halves", h.list(halves)))
	}
	if len(v.Off) > 0 {
		lines = append(lines, h.say("left.off", h.list(v.Off)))
	}
	if len(v.Lost) > 0 {
		lines = append(lines, h.say("outline.lost", h.list(v.Lost)))
	}
	var dark []reduce.Station
	for _, s := range v.Left {
		if slices.Contains(h.job.NoBeam, s) {
			dark = append(dark, s)
		}
	}
	if len(dark) > 0 {
		lines = append(lines, h.say("left.nobeam", h.list(dark)))
	}
	return answer{lines: lines, next: true}
}

func (h *hearing) summary(phrase.Meaning) answer {
	a := answer{lines: []string{h.job.View().Summary(h.lang)}}
	if len(h.job.Notes) > 0 {
		a.lines = append(a.lines, h.say("kept.hint"))
	}
	h.offerConfirm(&a, h.job.Heard())
	return a
}

func (h *hearing) picture(phrase.Meaning) answer {
	if len(h.job.readNow()) == 0 && h.job.Outline.Empty() {
		return answer{lines: []string{h.say("picture.nothing")}, next: true}
	}
	return answer{picture: true}
}

// original sends the drawing as the file it is, to be kept or printed.
func (h *hearing) original(m phrase.Meaning) answer {
	a := h.picture(m)
	a.original = a.picture
	return a
}

func (h *hearing) done(phrase.Meaning) answer {
	if h.shimming() {
		return h.shimmed(phrase.Meaning{Arg: phrase.ShimmedArg{}})
	}
	v := h.job.View()
	if v.Count == 0 {
		return answer{lines: []string{h.say("done.nothing")}, next: true, unheard: true}
	}
	if h.job.RoundEnded {
		return answer{lines: []string{h.say("done.already")}, next: true}
	}
	h.emit(RoundEnded{Round: h.job.Round})
	h.wasWalking = false
	h.c.Asked = reduce.Station{}
	a := answer{lines: []string{h.say("done", v.Read)}, next: true}
	if len(v.Left) > 0 {
		a.lines = append(a.lines, h.say("done.left", len(v.Left), h.list(v.Left)))
	}
	if len(v.Untied) > 0 {
		a.lines = append(a.lines, h.say("untied", h.list(v.Untied), h.name(h.job.Reference)))
	}
	a.lines = append(a.lines, h.job.sayUnseen(h.lang)...)
	if h.waiting() {
		q := *h.c.Question
		a.lines, a.question = append(a.lines, h.say("who.done", h.listHeld(q.Held))), &q
	}
	if h.job.Round > 1 {
		h.atRoundEnd(v, &a, false)
		h.offerHeard(&a)
		return a
	}
	a.lines = append(a.lines, h.extent(v)...)
	h.atEnd(v, &a, false)
	h.offerHeard(&a)
	return a
}
