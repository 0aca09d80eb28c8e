package session

import (
	"slices"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// keptAt is the kind of question whose button moves a photo to another station.
const keptAt = "kept"

// orReading is the stage of keptAt that asks whether what was written with a
// photo is a reading.
const orReading = 1

// maxCaption is how many characters are kept of what was written with a photo.
const maxCaption = 300

// caption is what was written with a photo.
type caption struct {
	station reduce.Station // that it names, zero for none
	text    string         // to be kept
	line    string         // to be heard: a reading, or one gone wrong; "" for none
	lines   []string       // to be heard each by itself, "" for those that are not; nil where line is heard
	cut     bool           // text is not all of it
	maybe   []Button       // readings that it may be as well, each with its station
	why     string         // why it cannot be; "" where it can
}

// showed keeps a photo with a station: the one that was written with it, else
// the one that it replies to, else the one that this person read last, else the
// one asked for.
func (h *hearing) showed() {
	if h.job == nil {
		if !h.m.Overheard {
			h.reply(h.noJob())
		}
		return
	}
	album := h.c.Album
	more := album != nil && h.m.Album != "" && album.ID == h.m.Album && album.Job == h.job.ID
	text := strings.Join(strings.Fields(h.m.Text), " ")
	if h.m.Overheard && !more && (text == "" || !slices.ContainsFunc(append(textLines(h.m.Text), text), h.meant) && !h.namesStation(text)) {
		return
	}
	at, guessed := h.repliedTo(), false
	if !at.IsZero() && at != h.c.Asked {
		h.at(at)
	}
	c := h.captionLines(textLines(h.m.Text))
	if !c.station.IsZero() {
		at = c.station
	}
	if at.IsZero() && more {
		at = album.Station
	}
	if at.IsZero() && c.line == "" {
		at, guessed = h.spotHere(), true
	}
	if at.IsZero() {
		at, guessed = h.c.Asked, false
	}
	switch {
	case c.why != "":
		h.reply(answer{lines: []string{h.say("photo.refused", c.why)}, unheard: true, keeps: true})
		return
	case at.IsZero():
		h.reply(answer{lines: []string{h.say("photo.where")}, unheard: true, keeps: true})
		return
	case h.m.Photo == nil:
		h.fetch = true
		return
	}
	asked := h.c.Asked
	a := answer{next: true, keeps: true}
	switch {
	case c.lines != nil:
		a = h.hearEach(c.lines)
	case c.line != "":
		a = h.hearLine(c.line)
		h.dueCheck(&a)
	}
	if fail := h.m.Photo.Fail; fail != "" {
		a.lines = append(a.lines, h.say(Key("photo."+string(fail))))
		h.reply(a)
		return
	}
	// A line of its own: behind all that the caption could be.
	h.message, h.line = h.m.ID, photoLine
	h.emit(Noted{Round: h.job.Round, Station: at, Text: c.text, Photo: h.m.Photo.Hash})
	h.inAlbum(at)
	h.c.Skip, h.c.Turned, h.c.From = reduce.Station{}, false, reduce.Station{} // undo takes back the photo
	if more && c.line == "" && text == "" {
		return // said with the first
	}
	a.lines = append(a.lines, h.say("photo.kept", h.name(at)))
	if c.cut {
		a.lines = append(a.lines, h.say("photo.cut", maxCaption))
	}
	if c.line == "" {
		a.next = h.asksOn()
		if h.askReading(c, text, h.m.ID, &a) {
			h.reply(a)
			return
		}
		if guessed && at != asked && !asked.IsZero() && !h.m.Deaf && !h.waiting() && !h.inDialogue() {
			other := h.say("photo.instead", h.name(asked))
			a.question = &Question{Kind: keptAt, Job: h.job.ID, Station: asked, Message: h.m.ID, Buttons: []Button{{other, other}}}
		}
	}
	h.reply(a)
}

// photoLine is the line of its message that a photo is put down to: no caption
// has so many.
const photoLine = maxLines + 1

// caption reads what was written with a photo. What is a reading by itself is
// heard as one.
func (h *hearing) caption(text string) caption {
	if text == "" {
		return caption{}
	}
	m := phrase.Parse(h.context(), text)
	_, reads := m.Arg.(phrase.ReadingArg)
	named := m.Command == phrase.CmdNoBeam || m.Command == phrase.CmdShimmed
	switch {
	case m.Kind == phrase.Reading, m.Kind == phrase.Command && (reads || named && m.Named),
		m.Kind == phrase.Ask && (m.Why.Code == phrase.WhyNoSide || m.Why.Code == phrase.WhyRodNumber):
		return caption{station: m.Station, line: text}
	case m.Command == phrase.CmdNote && m.Kind == phrase.Ask:
		m = phrase.Parse(h.context(), m.Answers[len(m.Answers)-1]) // beside a photo it is the note
	case m.Command != phrase.CmdNote:
		m = phrase.Caption(h.context(), text)
	}
	arg, ok := m.Arg.(phrase.NoteArg)
	if !ok {
		return caption{why: h.why(m)}
	}
	out := caption{text: arg.Text, maybe: h.readingsIn(text)}
	if m.Named {
		out.station = m.Station
	}
	if r := []rune(out.text); len(r) > maxCaption {
		out.text, out.cut = string(r[:maxCaption-1])+"…", true
	}
	return out
}

// captionLines reads what was written with a photo in several lines. Where it is
// no reading as a whole, and some lines are, each is heard as in any message; the
// others are kept.
func (h *hearing) captionLines(lines []string) caption {
	whole := strings.Join(strings.Fields(strings.Join(lines, " ")), " ")
	all := h.caption(whole)
	if all.line != "" || len(lines) < 2 {
		return all
	}
	out := caption{lines: slices.Clone(lines)}
	var rest []string
	for i, l := range lines {
		k := h.caption(l)
		reads := k.line != ""
		if out.station.IsZero() {
			out.station = k.station
		}
		if reads && out.line == "" {
			out.line = l
		}
		if !reads && k.text != "" {
			rest = append(rest, l)
		}
		// A station by itself is the one of the lines behind it.
		if !reads && k.why == "" && len(k.maybe) == 0 && (k.station.IsZero() || k.text != "") {
			out.lines[i] = ""
		}
	}
	if out.line == "" {
		return all
	}
	if len(rest) > 0 {
		k := h.caption(strings.Join(rest, " "))
		out.text, out.cut = k.text, k.cut
	}
	return out
}

// readingsIn are the readings that a text with a figure beside other words may
// hold.
func (h *hearing) readingsIn(text string) []Button {
	m := phrase.Parse(h.context(), text)
	if m.Kind != phrase.Ask || m.Command != "" || m.Why.Code == phrase.WhyNoAmount {
		return nil
	}
	var out []Button
	for _, a := range h.answers(m) {
		k := phrase.Parse(h.context(), a)
		if k.Kind != phrase.Reading || k.Station.IsZero() || k.Value == 0 {
			continue
		}
		if !k.Named {
			a = h.name(k.Station) + " " + a
		}
		out = append(out, Button{a, a})
	}
	return out
}

// askReading asks whether what was written with a photo is a reading or only a
// note. It is false where it can be no reading, and where another question waits.
func (h *hearing) askReading(c caption, text, message string, a *answer) bool {
	if len(c.maybe) == 0 || h.m.Deaf || h.waiting() || h.inDialogue() {
		return false
	}
	note := h.say("photo.note.button")
	a.lines = append(a.lines, h.say("photo.reading", text))
	a.question = &Question{Kind: keptAt, Stage: orReading, Job: h.job.ID, Message: message, Buttons: append(slices.Clip(c.maybe), Button{note, note})}
	return true
}

// readStep takes what was written with a photo as the reading whose button was
// tapped, and moves the photo to its station; the last button leaves it a note.
func (h *hearing) readStep(q *Question, i int) answer {
	h.c.Question = nil
	if i == len(q.Buttons)-1 {
		return answer{lines: []string{h.say("photo.note")}, next: h.asksOn()}
	}
	line := q.Buttons[i].Text
	at := phrase.Parse(h.context(), line).Station
	moved := h.moveKept(q.Message, at)
	h.message, h.line = q.Message, 1 // an edit of the photo's words finds it
	a := h.hearLine(line)
	if moved > 0 {
		a.lines = append(a.lines, h.say("photo.kept", h.name(at)))
	}
	return a
}

// namesStation says that a text names one station of the job.
func (h *hearing) namesStation(text string) bool {
	m := phrase.Caption(h.context(), text)
	return m.Kind == phrase.Command && m.Named
}

// inAlbum remembers the album that a photo came in.
func (h *hearing) inAlbum(at reduce.Station) {
	if h.m.Album == "" {
		return
	}
	next := Album{ID: h.m.Album, Job: h.job.ID, Station: at}
	if old := h.c.Album; old != nil && old.ID == next.ID {
		next.Messages = slices.Clone(old.Messages)
	}
	next.Messages = append(next.Messages, h.m.ID)
	h.c.Album = &next
}

// keptStep moves a photo, and what came with it in an album, to the station
// whose button was tapped.
func (h *hearing) keptStep(line string) (answer, bool) {
	q := h.c.Question
	if q == nil || q.Kind != keptAt || h.job == nil || q.Job != h.job.ID {
		return answer{}, false
	}
	i := slices.IndexFunc(q.Buttons, func(b Button) bool { return strings.EqualFold(line, b.Text) })
	switch {
	case i < 0:
		return answer{}, false
	case q.Stage == orReading:
		return h.readStep(q, i), true
	}
	h.c.Question = nil
	if h.moveKept(q.Message, q.Station) == 0 {
		return answer{lines: []string{h.say("photo.gone")}, unheard: true}, true
	}
	return answer{lines: []string{h.say("photo.kept", h.name(q.Station))}, next: h.asksOn()}, true
}

// moveKept moves the photo of a message, and what came with it in an album, to a
// station, and counts what it moved.
func (h *hearing) moveKept(message string, to reduce.Station) int {
	messages := []string{message}
	if b := h.c.Album; b != nil && slices.Contains(b.Messages, message) {
		messages = b.Messages
		moved := *b
		moved.Station = to
		h.c.Album = &moved
	}
	own, at := h.message, h.line
	moved := 0
	for _, id := range messages {
		for _, n := range h.keptOf(id) {
			seq, ok := h.keptStepOf(n)
			if !ok || !n.Shows() || h.job.resolve(n.Station) == to {
				continue
			}
			h.message, h.line = id, photoLine
			h.emit(Restored{Seq: seq})
			n.Station = to
			h.emit(n.Noted)
			moved++
		}
	}
	h.message, h.line = own, at
	return moved
}

// keptFollows moves the photo of a message along with a reading that its words
// gave, from the station which both were of, and says so.
func (h *hearing) keptFollows(message string, from, to reduce.Station) []string {
	if !slices.ContainsFunc(h.keptOf(message), func(n Note) bool { return n.Shows() && h.job.resolve(n.Station) == from }) ||
		h.moveKept(message, to) == 0 {
		return nil
	}
	return []string{h.say("photo.kept", h.name(to))}
}

// showedIn says that a photo of a message is kept.
func (h *hearing) showedIn(message string) bool {
	return slices.ContainsFunc(h.keptOf(message), func(n Note) bool { return n.Shows() })
}

// editCaption hears what is now written with a photo that is kept. It is false
// where that is, or was, a line that is heard: a reading.
func (h *hearing) editCaption() bool {
	kept := h.keptOf(h.m.ID)
	i := slices.IndexFunc(kept, func(n Note) bool { return n.Shows() })
	if i < 0 || len(h.job.hist.ofMessage(h.m.ID)) > 0 {
		return false
	}
	old := kept[i]
	was := h.job.resolve(old.Station)
	h.at(was)
	text := strings.Join(strings.Fields(h.m.Text), " ")
	c := h.caption(text)
	h.c.Asked, h.aside = h.kept, false
	if c.line != "" {
		return false
	}
	if c.station.IsZero() {
		c.station = was
	}
	seq, ok := h.keptStepOf(old)
	switch {
	case c.why != "":
		h.reply(answer{lines: []string{h.say("note.stays", h.name(was), c.why)}, unheard: true, keeps: true})
	case c.station == was && c.text == old.Text:
	case !ok:
		h.reply(answer{lines: []string{h.say("edit.later", h.m.Text)}, unheard: true, keeps: true})
	default:
		h.line = photoLine
		h.emit(Restored{Seq: seq, Edit: true})
		h.emit(Noted{Round: old.Round, Station: c.station, Text: c.text, Photo: old.Photo})
		a := answer{lines: []string{h.say("photo.changed", h.name(c.station))}, keeps: true}
		h.askReading(c, text, h.m.ID, &a)
		h.reply(a)
	}
	return true
}
