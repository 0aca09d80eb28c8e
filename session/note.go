package session

import (
	"slices"
	"strings"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// note keeps a line of text with a station.
func (h *hearing) note(m phrase.Meaning) answer {
	arg, _ := m.Arg.(phrase.NoteArg)
	s := arg.Station
	if s.IsZero() {
		s = h.spotHere()
	}
	if s.IsZero() {
		return answer{lines: []string{h.say("note.where", h.exampleFor(m))}, unheard: true}
	}
	if slices.ContainsFunc(h.job.Notes, func(n Note) bool {
		return n.Text == arg.Text && !n.Shows() && n.Round == h.job.Round && h.job.resolve(n.Station) == s
	}) {
		return answer{lines: []string{h.say("note.same", h.name(s))}, next: h.asksOn(), keeps: true}
	}
	h.emit(Noted{Round: h.job.Round, Station: s, Text: arg.Text})
	h.forgetUnheard(h.message, h.line)
	return answer{lines: []string{h.say("note.kept", h.name(s))}, next: h.asksOn(), keeps: true}
}

// asksOn says that there is a station or a spot to be named again.
func (h *hearing) asksOn() bool { return !h.c.Asked.IsZero() || h.shimming() }

// spotHere is the spot where a person is who is asked for no station: the one
// whose shims come next, else the one that they read last in this round.
func (h *hearing) spotHere() reduce.Station {
	if h.shimming() {
		if p, ok := h.job.View().ShimPlan(); ok {
			if next, ok := h.nextStep(&p); ok {
				return p.Points[next.at].Station
			}
		}
	}
	return h.lastRead()
}

// lastRead is the station that this person read last in this round, of what
// counts; zero for none.
func (h *hearing) lastRead() reduce.Station {
	for _, r := range slices.Backward(h.job.hist.all()) {
		if r.By == h.m.From.ID && r.Round == h.job.Round && h.counts(r) {
			return r.Station
		}
	}
	return reduce.Station{}
}

// inDialogue says that a question is pending which later answers go on with:
// what is kept with a station meanwhile leaves it alone.
func (h *hearing) inDialogue() bool {
	q := h.c.Question
	return q != nil && q.Kind != askedBack && q.Kind != sure && q.Kind != offered && q.Kind != keptAt
}

// Shows says that a photo is kept, and no text by itself.
func (n Noted) Shows() bool { return n.Photo != Hash{} }

// keptOf lists the notes and photos that still stand of a message.
func (h *hearing) keptOf(message string) []Note {
	var out []Note
	for _, n := range h.job.Notes {
		if n.Message == message {
			out = append(out, n)
		}
	}
	return out
}

// keptIn is the note or photo that a step kept.
func (h *hearing) keptIn(s *step) (Note, bool) {
	for _, m := range s.sets {
		if m.kind != ofNote {
			continue
		}
		if i := slices.IndexFunc(h.job.Notes, func(n Note) bool { return noteOf(n.Seq) == m }); i >= 0 {
			return h.job.Notes[i], true
		}
	}
	return Note{}, false
}

// keptStepOf is the event of the step that an undo of a note or a photo puts
// back; ok is false where undo reaches no further back than behind it.
func (h *hearing) keptStepOf(n Note) (seq uint64, ok bool) {
	for _, s := range h.job.steps {
		if slices.Contains(s.sets, noteOf(n.Seq)) {
			return s.seq, true
		}
	}
	return 0, false
}

// undoKept takes back the notes and photos of a message of this person's, and
// what else that message read. ok is false where it kept none. Where a reading
// goes back to what it was before an edit, the photo stays with it.
func (h *hearing) undoKept(message string) (answer, bool) {
	a := answer{next: true}
	kept := func() []Note {
		return slices.DeleteFunc(h.keptOf(message), func(n Note) bool {
			_, ok := h.keptStepOf(n)
			return !ok || n.By != h.m.From.ID
		})
	}
	mine := kept()
	if len(mine) == 0 {
		return a, false
	}
	if seqs := h.countsOf(message); len(seqs) > 0 {
		a = h.undoReads(seqs)
		if len(h.countsOf(message)) > 0 {
			return a, true
		}
	}
	for ; len(mine) > 0; mine = kept() { // with what stood there before an edit
		seq, _ := h.keptStepOf(mine[0])
		h.emit(Restored{Seq: seq})
		if line := h.saidBack(mine[0]); !slices.Contains(a.lines, line) {
			a.lines = append(a.lines, line)
		}
	}
	return a, true
}

// keptBack says that an undo took back a note or a photo.
func (h *hearing) keptBack(now Settings, m matter) string {
	i := slices.IndexFunc(now.Notes, func(n Note) bool { return noteOf(n.Seq) == m })
	if i < 0 {
		return ""
	}
	return h.saidBack(now.Notes[i])
}

func (h *hearing) saidBack(n Note) string {
	key := Key("note.back")
	if n.Shows() {
		key = "photo.back"
	}
	return h.say(key, h.name(h.job.resolve(n.Station)))
}

// editNote puts what a note now says in its place, at the station and in the
// round that it was kept in where it names no other.
func (h *hearing) editNote(text string, old Note, step uint64) (answer, bool) {
	c, was := h.context(), h.job.resolve(old.Station)
	c.Asked = was
	m := phrase.Parse(c, text)
	arg, ok := m.Arg.(phrase.NoteArg)
	if !ok {
		why := h.say("edit.setting", text)
		if m.Command == phrase.CmdNote {
			why = h.why(m)
		}
		return answer{lines: []string{h.say("note.stays", h.name(was), why)}, unheard: true}, false
	}
	if arg.Text == old.Text && arg.Station == was {
		return answer{}, false
	}
	h.emit(Restored{Seq: step, Edit: true})
	h.emit(Noted{Round: old.Round, Station: arg.Station, Text: arg.Text})
	return answer{lines: []string{h.say("note.changed", h.name(arg.Station))}}, true
}

// Kept are the notes and photos of a job, each with its station as the outline
// now names it, in the order of the walk; those of one station oldest first.
func (j *Job) Kept() []Note {
	out := slices.Clone(j.Notes)
	at := map[reduce.Station]int{}
	for i, s := range j.stations() {
		at[s] = i
	}
	for i := range out {
		out[i].Station = j.resolve(out[i].Station)
	}
	slices.SortStableFunc(out, func(a, b Note) int {
		x, in := at[a.Station]
		y, too := at[b.Station]
		switch {
		case in && too:
			return x - y
		case in:
			return -1
		case too:
			return 1
		}
		return reduce.Compare(a.Station, b.Station)
	})
	return out
}

// sayKept says how many notes and photos are kept; "" for none.
func (v View) sayKept(lang string) string {
	notes, photos := 0, 0
	for _, n := range v.Job.Notes {
		if !n.Shows() {
			notes++
		} else {
			photos++
		}
	}
	var list []string
	if notes > 0 {
		list = append(list, Say(lang, "paper.sum.notes", notes))
	}
	if photos > 0 {
		list = append(list, Say(lang, "paper.sum.photos", photos))
	}
	if len(list) == 0 {
		return ""
	}
	return Say(lang, "paper.sum.kept", strings.Join(list, ", "))
}

// maxKept is how many lines of what is kept are listed in the chat.
const maxKept = 20

// keptList lists what is kept with stations, in walking order: each note with
// who kept it and when, and how many photos.
func (h *hearing) keptList(phrase.Meaning) answer {
	kept := h.job.Kept()
	if len(kept) == 0 {
		example := h.exampleFor(phrase.Meaning{Command: phrase.CmdNote})
		return answer{lines: []string{h.say("kept.none", example)}, next: h.asksOn()}
	}
	var lines []string
	photos := 0
	for i, n := range kept {
		if n.Shows() {
			photos++
		} else {
			lines = append(lines, h.say("kept.note", h.name(n.Station), n.Text, person(n.By), when(n.At)))
		}
		if photos > 0 && (i == len(kept)-1 || kept[i+1].Station != n.Station) {
			lines, photos = append(lines, h.say("kept.photos", h.name(n.Station), h.say("paper.sum.photos", photos))), 0
		}
	}
	if more := len(lines) - maxKept; more > 1 {
		lines = append(lines[:maxKept], h.say("kept.more", more))
	}
	return answer{lines: append([]string{h.job.View().sayKept(h.lang)}, lines...), next: h.asksOn()}
}
