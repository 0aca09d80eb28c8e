package session

import (
	"fmt"
	"slices"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// Limits on one message: what is beyond them is not read, and said so.
const (
	maxLines    = 200
	maxUnheard  = 12
	maxHeld     = 40
	maxTold     = 40
	maxListed   = 12 // stations named one by one in a list
	maxNameRune = 60
)

// Hear answers one message. job is the job that the message is about (the
// chat's current one, or the one named by what it replies to), nil where there
// is none; neither it nor chat is changed. Hear never fails: what it cannot
// read it says so.
func Hear(chat Chat, job *Job, c Conversation, m Message) Outcome {
	h := newHearing(chat, job, c, m)
	switch m.Kind {
	case Said:
		h.said()
	case Edited:
		h.edited()
	case Tapped:
		h.tapped()
	case Joined:
		h.joined()
	case Wordless:
		h.wordless()
	case Spoken:
		h.voice()
	case Showed:
		h.showed()
	}
	if h.listen != nil || h.fetch {
		return Outcome{Chat: chat, Conversation: c, Listen: h.listen, Fetch: h.fetch}
	}
	if h.askRights {
		return Outcome{Chat: chat, Conversation: c, AskRights: true}
	}
	return h.outcome()
}

// hearing is one message on its way through Hear.
type hearing struct {
	chat Chat
	job  *Job // a scratch copy, nil where there is none
	c    Conversation
	m    Message
	lang string // of the answers: see tune
	// person is the person's language for this message, which is answered in one;
	// begun: a line of it was heard already.
	person string
	begun  bool

	// message and line that events are put down to: those that first brought
	// the text, where it had to wait for an answer.
	message string
	line    int
	// aside: the message mends one station; the walk stays at kept.
	aside bool
	kept  reduce.Station

	// page is what more… asked for: it stands on the keys of this reply only.
	page *page

	// behind is the station that follows the last line heard anew in an edit.
	behind reduce.Station

	// heard is what the line at hand was heard as, in a voice note; nil where it
	// was typed or tapped. spoke are the readings that were heard in this message.
	heard    *Heard
	spoke    []uint64
	toldOpen bool // what was heard and is not firm was listed

	// counted is what digits alone counted when the line at hand was sent, where
	// that may be longer ago; nil for what they count now.
	counted *int

	// looked and acted: of its lines some only showed something, and some did
	// more; refused: its command was not done, and changed nothing.
	looked, acted, refused bool
	weighs                 bool // the answer hangs on heights: see tellOpen

	// confirms: the reading at hand was asked about, and is meant.
	confirms bool

	wasWalking bool
	was        *Job       // as it was before this message; nil once it was told what that did to the level
	planned    string     // the job that had an outline before this message; "" once it was told to be gone
	signed     *Signature // what stood before this message; nil once it was told to be re-opened
	askRights  bool       // see Outcome.AskRights
	listen     *Listening // see Outcome.Listen
	fetch      bool       // see Outcome.Fetch
	events     []Event
	remarks    []string // said with the next reply, whatever else is left out of it
	common     string   // said behind them, once a message: what is off alike
	replies    []Reply
}

// answer is what one line is answered with.
type answer struct {
	lines    []string
	question *Question // to be asked with it; its Buttons are shown
	buttons  []Button  // offered with it, where there is no question
	picture  bool
	original bool          // the picture as the file it is
	figures  []PictureKind // other pictures than the drawing
	next     bool          // say what is asked for next
	unheard  bool          // nothing came of the line
	// about is the station that an unheard line was meant for, and holds that
	// it was plainly a reading: see meantFor.
	about reduce.Station
	holds bool
	waits bool // the line waits for the answer to question
	keeps bool // a dialogue that is going on stays where it is
}

func newHearing(chat Chat, job *Job, c Conversation, m Message) *hearing {
	h := &hearing{chat: chat, c: c, m: m, message: m.ID, line: 1}
	h.chat.Jobs = slices.Clone(chat.Jobs)
	h.c.Skipped = slices.Clone(c.Skipped)
	h.c.Unread = slices.Clone(c.Unread)
	h.c.Told = slices.Clone(c.Told)
	h.c.Heard = slices.Clone(c.Heard)
	if c.Question != nil {
		q := *c.Question
		h.c.Question = &q
	}
	if job != nil {
		h.job = job.scratch()
		h.wasWalking, h.signed, h.was = h.job.walking(), h.job.Signed, job
		if !h.job.Outline.Empty() {
			h.planned = h.job.ID
		}
	}
	if c.Lang == "" {
		h.c.Lang = m.Lang
	}
	h.person = h.c.Lang
	h.tune()
	if h.c.Question != nil {
		h.relabel(h.c.Question)
	}
	h.settle()
	return h
}

func (h *hearing) walk() *walk {
	return &walk{job: h.job, read: h.job.doneNow(), backward: h.c.Backward, skipped: h.c.Skipped}
}

// say fills a text of the catalogue: the one for the job's unit, where there is
// one, for its examples are in that.
func (h *hearing) say(key Key, args ...any) string {
	if h.job != nil {
		if own, ok := byUnit[unitKey{key, h.job.Unit}]; ok {
			key = own
		}
	}
	return Say(h.lang, key, args...)
}

// emit puts an event into the outcome and into the scratch job.
func (h *hearing) emit(b Body) {
	e := Event{Seq: h.job.Seq + 1, At: h.m.At.UTC(), By: h.m.From.ID, Message: h.message, Line: h.line, Body: b}
	if err := h.job.Apply(e); err != nil {
		// Only a fault of this program can bring this about; the caller keeps
		// the message and goes on with the next.
		panic(fmt.Sprintf("session: own event refused: %v", err))
	}
	h.tune()
	h.events = append(h.events, e)
}

func (h *hearing) outcome() Outcome {
	o := Outcome{Events: h.events, Chat: h.chat, Conversation: h.c, Replies: h.replies}
	if len(h.events) > 0 {
		o.Job = h.job.ID
		header := h.job.Header()
		i := slices.IndexFunc(o.Chat.Jobs, func(j JobHeader) bool { return j.ID == header.ID })
		if i < 0 {
			o.Chat.Jobs = append(o.Chat.Jobs, header)
		} else {
			o.Chat.Jobs[i] = header
		}
	}
	return o
}

// said hears a text: a line, or several.
func (h *hearing) said() {
	lines := textLines(h.m.Text)
	if h.m.Overheard && !slices.ContainsFunc(lines[:min(len(lines), maxLines)], h.meant) {
		return
	}
	switch len(lines) {
	case 0:
		h.reply(answer{lines: []string{h.say("empty")}})
	case 1:
		h.aim()
		a := h.hearLine(lines[0])
		h.dueCheck(&a)
		h.reply(a)
	default:
		h.hearLines(lines)
	}
}

// textLines are the lines of a text that hold something.
func textLines(text string) []string {
	var out []string
	for _, l := range strings.FieldsFunc(text, func(r rune) bool { return r == '\n' || r == '\r' || r == '\u2028' }) {
		if l = strings.TrimSpace(l); l != "" {
			out = append(out, l)
		}
	}
	return out
}

// aim turns a reply to an older message to the station which that was about.
func (h *hearing) aim() {
	if h.job == nil {
		return
	}
	if at := h.repliedTo(); !at.IsZero() && at != h.c.Asked {
		h.at(at)
	}
}

// repliedTo is the station that the message which this one replies to was about;
// zero where it replies to none.
func (h *hearing) repliedTo() (at reduce.Station) {
	if h.m.ReplyTo != "" {
		if rs := h.job.hist.ofMessage(h.m.ReplyTo); len(rs) > 0 {
			at = rs[len(rs)-1].Station
		} else if i := slices.IndexFunc(h.c.Unread, func(u Unheard) bool { return u.Message == h.m.ReplyTo }); i >= 0 {
			at = h.c.Unread[i].Station
		} else if kept := h.keptOf(h.m.ReplyTo); len(kept) > 0 {
			at = h.job.resolve(kept[0].Station)
		}
	} else if h.m.Asked.Job == h.job.ID {
		at = h.job.resolve(h.m.Asked.Station)
	}
	return at
}

// at makes the line about one station, leaving the walk where it is.
func (h *hearing) at(s reduce.Station) {
	h.aside = true
	h.c.Asked, h.kept = s, h.c.Asked
}

// shorten keeps the first and the last of a long list.
func shorten(list []string, keep int, more func(n int) string) []string {
	if len(list) <= keep {
		return list
	}
	out := slices.Clone(list[:keep-3])
	out = append(out, more(len(list)-keep+1))
	return append(out, list[len(list)-2:]...)
}

// looks are the commands that only show something: undo reaches past them.
var looks = map[phrase.CommandName]bool{
	phrase.CmdLeft: true, phrase.CmdMore: true, phrase.CmdRepeat: true, phrase.CmdSummary: true, phrase.CmdPicture: true,
	phrase.CmdOriginal: true, phrase.CmdHelp: true, phrase.CmdLanguage: true,
	phrase.CmdQuality: true, phrase.CmdNotes: true, phrase.CmdKept: true, phrase.CmdPapers: true, phrase.CmdAsFound: true, phrase.CmdChoices: true,
}

// hearLine hears one line and does what it says.
func (h *hearing) hearLine(line string) answer {
	h.page = nil
	if a, ok := h.chosen(line); ok {
		return a
	}
	m := phrase.Parse(h.context(), line)
	if a, none := h.noSuchHalf(m); none {
		return a
	}
	if m.Kind == phrase.Ask || m.Kind == phrase.Refuse {
		if joined, ok := h.join(line); ok {
			m = joined
		}
	} else if named, ok := h.answered(m); ok {
		m = named
	}
	h.learnLanguage(line, m)
	h.begun = true
	if a, not := h.byVoiceNot(m); not {
		return a
	}
	if a, ok := h.testStep(line, m); ok {
		return a
	}
	if a, ok := h.laserStep(line, m); ok {
		return a
	}
	if m.Kind == phrase.Command && looks[m.Command] {
		h.looked = true
	} else {
		h.acted = true
	}
	if m.Kind == phrase.Reading || m.Kind == phrase.Command && m.Command != phrase.CmdUndo && !looks[m.Command] {
		h.c.Skip, h.c.Turned, h.c.From = reduce.Station{}, false, reduce.Station{}
	}
	switch m.Kind {
	case phrase.Reading:
		if h.job == nil {
			return h.noJob()
		}
		if h.checking(m.Station) {
			if a, ask := h.askWhich(m); ask {
				return a
			}
			return h.takeCheck(m.Station, m.Value, m)
		}
		h.leaveSearch("")
		return h.reading(m)
	case phrase.Command:
		at, n := h.c, len(h.events)
		h.leaveSearch(m.Command)
		a := h.command(m)
		if h.refused = a.unheard && len(h.events) == n; h.refused && h.c.Asked != at.Asked && !at.Asked.IsZero() && at.Asked == at.Checks {
			h.c.Asked, h.c.Resume, h.c.Checks, h.c.Named = at.Asked, at.Resume, at.Checks, at.Named
			a.next = true // the check shot is still asked for
		}
		if looks[m.Command] && h.shimming() && a.question == nil && len(a.buttons) == 0 {
			a.next = true // the spot is named again, with its buttons
		}
		return a
	case phrase.Ask:
		return h.askBack(m)
	case phrase.Refuse:
	}
	return h.refuse(m)
}

// chosen takes a line that is, to the letter, one of the answers to a question;
// none that was spoken.
func (h *hearing) chosen(line string) (answer, bool) {
	if h.heard != nil {
		return answer{}, false
	}
	if r, ok := h.namedRod(line); ok {
		return h.takeOver(r), true
	}
	if a, ok := h.stoodStep(line); ok {
		return a, true
	}
	if a, ok := h.keptStep(line); ok {
		return a, true
	}
	if a, ok := h.keepStep(line); ok {
		return a, true
	}
	return h.surpriseStep(line)
}

func (h *hearing) context() phrase.Context {
	if h.job == nil {
		u := reduce.UnitInch
		return phrase.Context{Rod: reduce.Direct, Unit: u, Finest: u.Finest(), Outline: &reduce.Outline{Grid: reduce.GridFor(u)}}
	}
	c := phrase.Context{
		Rod: h.kind(), Unit: h.job.Unit, Finest: h.job.Finest,
		Outline: h.job.Outline, Asked: h.c.Asked, Count: h.job.Count,
	}
	if h.counted != nil {
		c.Count = *h.counted
	}
	return c
}

// askBack asks what a line meant. Nothing is stored but the question.
func (h *hearing) askBack(m phrase.Meaning) answer {
	if h.job == nil {
		return h.noJob()
	}
	if m.Named && m.Why.Code == phrase.WhyStationOnly {
		if m.Command == phrase.CmdCheck {
			return h.goCheck(m.Station)
		}
		return h.goTo(m.Station)
	}
	if m.Why.Code == phrase.WhyGood {
		if a, ok := h.agreed(m); ok {
			return a
		}
	}
	about, holds := h.meantFor(m)
	if h.waiting() && holds {
		return h.whoHolds(m.Said, about, true)
	}
	h.noteUnheard()
	if m.Station.IsZero() && len(m.Answers) > 0 && !slices.ContainsFunc(m.Answers, func(a string) bool {
		k := phrase.Parse(h.context(), a)
		return k.Kind != phrase.Reading || !k.Station.IsZero()
	}) {
		// Whatever is answered would be a reading of no station.
		return answer{lines: []string{h.say("nostation", m.Said)}, unheard: true}
	}
	q := &Question{Kind: askedBack, Job: h.job.ID, Station: h.c.Asked, Text: m.Said, Message: h.message, Spoken: h.heard != nil, Counts: h.countsNow()}
	if h.heard != nil {
		q.Close = h.heard.Close
	}
	if m.Named {
		q.Station = m.Station
	}
	for _, a := range h.answers(m) {
		if m.Why.Code == phrase.WhyGood { // a button that keeps a reading says which
			if a = h.name(h.c.Asked) + " " + h.say("level"); !h.means(a, h.c.Asked, 0, false) {
				continue
			}
		}
		q.Buttons = append(q.Buttons, Button{a, a})
	}
	if h.waiting() {
		q = nil // one question at a time
	}
	return answer{lines: []string{h.why(m)}, question: q, unheard: true, about: about, holds: holds}
}

func (h *hearing) refuse(m phrase.Meaning) answer {
	if h.job == nil && m.Command == "" {
		return h.noJob()
	}
	if m.Why.Code != phrase.WhySquare {
		h.noteUnheard()
	}
	a := answer{lines: []string{h.why(m)}, unheard: true}
	if m.Why.Code == phrase.WhySquare {
		a.lines = append(a.lines, h.tapeShould()...)
	}
	if f := inchFinest(m); f != "" && h.job != nil && h.job.Unit != reduce.UnitInch {
		a.lines = []string{h.say("finest.inches", f, h.say(Key("unit."+h.job.Unit.String())))}
	}
	a.about, a.holds = h.meantFor(m)
	return a
}

func (h *hearing) why(m phrase.Meaning) string {
	args := make([]any, len(m.Why.Args))
	for i, a := range m.Why.Args {
		args[i] = a
		if !strings.Contains(strings.ToLower(m.Said), strings.ToLower(a)) { // what was said stays as it was
			args[i] = translate(h.lang, a)
		}
	}
	if own := h.example(m); own != "" {
		for i, a := range m.Why.Args {
			if a == phraseExamples[m.Command] {
				args[i] = own
			}
		}
	}
	if code := m.Why.Code; onWalls[m.Command] && (code == phrase.WhyNoStation || code == phrase.WhyPastEnd) {
		// The example of a reading is none of the command.
		return h.say(Key("why."+string(code)+".at"), append(args, h.exampleFor(m))...)
	}
	return h.say(Key("why."+string(m.Why.Code)), args...)
}

func (h *hearing) noJob() answer {
	return answer{lines: []string{h.say("nojob")}, unheard: true}
}

// noteUnheard remembers where a line that gave no reading belonged: an edit
// will mend it there.
func (h *hearing) noteUnheard() {
	if h.job != nil && !h.c.Asked.IsZero() {
		h.noteUnheardAt(h.c.Asked)
	}
}

func (h *hearing) noteUnheardAt(s reduce.Station) {
	h.forgetUnheard(h.message, h.line)
	h.c.Unread = append(h.c.Unread, Unheard{h.message, h.line, s, h.job.Seq})
	if n := len(h.c.Unread); n > maxUnheard {
		h.c.Unread = h.c.Unread[n-maxUnheard:]
	}
}

func (h *hearing) forgetUnheard(message string, line int) {
	h.c.Unread = slices.DeleteFunc(h.c.Unread, func(u Unheard) bool { return u.Message == message && u.Line == line })
}

// reply puts an answer into words and into the outcome.
func (h *hearing) reply(a answer) {
	if h.aside {
		h.c.Asked, h.aside = h.kept, false
	}
	h.askHeard(&a)
	rest := h.atRest(a)
	a.lines = slices.Concat(a.lines, h.levelMoved(), h.reopened(), h.outlineGone(), h.remarks)
	if h.common != "" {
		a.lines = append(a.lines, h.common)
	}
	h.remarks, h.common = nil, ""
	switch {
	case a.next && h.shimming():
		h.nameStep(&a)
	case rest:
		h.comesNext(&a)
	}
	h.tellOpen(&a)
	var next []string
	if a.next && h.job != nil {
		next = h.nextLine()
	}
	if a.question == nil && len(a.buttons) > 0 && h.waiting() {
		// What is offered has to wait until it is told who holds the rod.
		again := *h.c.Question
		a.question = &again
		next = append(next, h.say("who.first"))
	}
	sign := ""
	keys, has := h.board()
	if has {
		sign = h.keySign(keys)
	}
	if a.next && h.job != nil && h.checking(h.c.Asked) && !h.c.Named && len(a.buttons) == 0 && sign == "" {
		word := commandWord(h.lang, phrase.CmdSkip)
		a.buttons = []Button{{word, word}}
	}
	q := a.question
	// Lines that wait to be told who holds the rod are not dropped for an
	// offer.
	waiting := h.waiting()
	// In a group that is not overheard an answer has to be a reply; a message
	// with buttons cannot ask for one.
	reply := h.m.Deaf && a.next && h.job != nil && !h.c.Asked.IsZero()
	stays, more := h.stays(a), (*Question)(nil)
	switch {
	case q != nil || len(a.buttons) == 0 || waiting || reply:
	case stays:
		more = h.also(a.buttons)
	default:
		q = &Question{Kind: offered, Station: h.c.Asked, Buttons: a.buttons}
		if h.job != nil {
			q.Job = h.job.ID
		}
	}
	// A message carries buttons or keys: behind an offer the station is asked for
	// in one of its own, which has the keys.
	apart := (q != nil && q.Kind == offered || more != nil) && len(a.lines) > 0 && len(next) > 0 && sign != "" && sign != h.c.Keys
	r := h.worded(a.lines)
	if !apart {
		r = h.worded(append(a.lines, next...))
	}
	if q != nil {
		h.relabel(q)
	}
	switch {
	case more != nil:
		r.Question, r.Buttons = more.Number, more.Buttons
	case q != nil:
		if q.Kind != offered || q.Number == 0 {
			h.c.Number++
			q.Number = h.c.Number
		}
		h.c.Question = q
		r.Question, r.Buttons = q.Number, q.Buttons
	case waiting, stays, a.keeps && h.inDialogue():
	case !a.unheard || h.c.Question != nil && (h.c.Question.Kind == askedBack || h.c.Question.Kind == sure) && h.m.Kind != Tapped:
		// What was asked back is joined to the very next message or not at all:
		// later ones are about something else.
		h.c.Question = nil
	}
	if r.Text != "" {
		h.putKeys(&r, keys, sign)
		h.replies = append(h.replies, r)
	}
	if apart {
		r = h.worded(next)
		h.putKeys(&r, keys, sign)
		h.replies = append(h.replies, r)
	}
	for _, k := range a.figures {
		h.replies = append(h.replies, Reply{Picture: h.job.ID, Kind: k, Live: string(k), Lang: h.lang})
	}
	if a.picture {
		h.replies = append(h.replies, Reply{Picture: h.job.ID, Original: a.original, Live: liveName(a), Lang: h.lang})
	}
}

// outlineGone asks for an outline where this message took it back.
func (h *hearing) outlineGone() []string {
	if h.planned == "" || h.job == nil || h.job.ID != h.planned || !h.job.Outline.Empty() {
		return nil
	}
	h.planned = ""
	return []string{h.say("new.outline")}
}

// worded is a reply of some lines, about the station asked for.
func (h *hearing) worded(lines []string) Reply {
	r := Reply{Text: strings.Join(lines, "\n"), Lang: h.lang}
	if h.job != nil && !h.c.Asked.IsZero() {
		r.Asks = Place{h.job.ID, h.c.Asked}
	}
	if strings.Contains(r.Text, personOpen) {
		r.People = h.job.People()
	}
	return r
}

// liveName: of two drawings that are not sent yet one is enough, for each shows
// the job as it stands when it is sent.
func liveName(a answer) string {
	if a.original {
		return "original"
	}
	return "picture"
}

// nextLine says what is asked for next.
func (h *hearing) nextLine() []string {
	if h.c.Asked.IsZero() {
		return nil
	}
	key := Key("next")
	if h.checking(h.c.Asked) {
		if !h.c.Named {
			if h.c.Resume.IsZero() {
				return []string{h.say("check.shot", h.name(h.c.Asked))}
			}
			return []string{h.say("check.shot.then", h.name(h.c.Asked), h.name(h.c.Resume))}
		}
		return []string{h.say("next.check", h.name(h.c.Asked))}
	}
	if h.tying(h.c.Asked) {
		return []string{h.tieLine()}
	}
	if line := h.foreseenLine(h.c.Asked); line != "" {
		return []string{line}
	}
	if h.job.free() && !h.job.last.IsZero() {
		key = "next.free"
	}
	if own := h.job.design.Own(h.c.Asked); own != 0 && h.c.Asked.Half == 0 {
		return []string{h.say("next.half", h.name(h.c.Asked), h.name(h.c.Asked.At(own)))}
	}
	return []string{h.say(key, h.name(h.c.Asked))}
}

func (h *hearing) name(s reduce.Station) string { return SayStation(h.lang, h.job, s) }

// SayStation is a station's name in a language: "c5 top", "c5 superior".
func SayStation(lang string, j *Job, s reduce.Station) string {
	return sayHalf(lang, j.StationName(s.At(0)), s.Half)
}

// SayLoop is a loop's name as it is shown: where nobody gave it one it is a word
// like others.
func SayLoop(lang, name string) string {
	if name == "house" {
		return Say(lang, "paper.house")
	}
	if n, unnamed := strings.CutPrefix(name, "loop "); unnamed && strings.Trim(n, "0123456789") == "" {
		return Say(lang, "paper.loop", n)
	}
	return name
}

// sayHalf says which of a spot's two heights is meant, if either.
func sayHalf(lang, spot string, half reduce.Half) string {
	switch half {
	case reduce.Top:
		return Say(lang, "half.top", spot)
	case reduce.Bottom:
		return Say(lang, "half.bottom", spot)
	}
	return spot
}
