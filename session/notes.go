package session

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// maxNotes are the lines of level notes that one message shows.
const maxNotes = 40

// notes shows the readings as level notes.
func (h *hearing) notes(phrase.Meaning) answer {
	text := h.job.View().Notes(h.lang)
	if lines := strings.Split(text, "\n"); len(lines) > maxNotes {
		text = strings.Join(lines[:maxNotes], "\n") + "\n" + h.say("notes.more", len(lines)-maxNotes)
	}
	return answer{lines: []string{text}, next: true}
}

// LevelNotes are the readings of a round as level notes, in words.
type LevelNotes struct {
	Of   string // what elevations are above, and what figures count in
	Runs []NotesRun
	Foot []string // what else is to be said
}

// NotesRun is a run of level notes.
type NotesRun struct {
	// Rows are its lines under their heads, which are the first; columns that
	// hold nothing are left out.
	Rows [][]string
	Foot []string // its arithmetic check, and its misclosure
}

// LevelNotes are the readings of all rounds as level notes: station, BS,
// HI, IS, FS, elevation and correction, in metres in metric jobs, else in feet,
// with the arithmetic check at the foot. Corrections are spread as books do;
// where that differs from the adjustment by least squares, it is said. Without
// runs there are none yet.
func (v View) LevelNotes(lang string) LevelNotes {
	survey, readings := v.Job.survey(v.Adjusted, v.adjusted.record)
	survey.Known = v.Job.given(readings, v.adjusted.record)
	book, err := reduce.NewLevelBook(survey)
	if err != nil || len(book.Runs) == 0 {
		return LevelNotes{}
	}
	absolute := len(survey.Known) > 0
	head := Say(lang, "notes.of", v.SayReference(lang))
	if absolute {
		head = Say(lang, "notes.above")
	}
	out := LevelNotes{Of: head + ", " + v.bookUnit(lang)}
	turned := false
	for _, r := range book.Runs {
		out.Runs = append(out.Runs, NotesRun{v.page(lang, r), v.foot(lang, r)})
		turned = turned || slices.ContainsFunc(r.Notes, func(n reduce.Note) bool { return n.Turned })
	}
	if turned {
		out.Foot = append(out.Foot, Say(lang, "notes.turned"))
	}
	if line := v.besideLeastSquares(lang, book, absolute); line != "" {
		out.Foot = append(out.Foot, line)
	}
	if len(book.Left) > 0 {
		out.Foot = append(out.Foot, Say(lang, "notes.left", strings.Trim(fmt.Sprint(book.Left), "[]")))
	}
	if open := v.Job.Heard(); len(open) > 0 {
		out.Foot = append(out.Foot, Say(lang, "paper.heard", len(open), v.SayHeard(lang, open)))
	}
	return out
}

// Notes are the level notes as plain text, in columns.
func (v View) Notes(lang string) string {
	n := v.LevelNotes(lang)
	if len(n.Runs) == 0 {
		return Say(lang, "notes.nothing")
	}
	out := []string{v.Job.Name + ": " + n.Of}
	for _, r := range n.Runs {
		out = append(out, "")
		out = append(out, columns(r.Rows)...)
		out = append(out, r.Foot...)
	}
	return strings.Join(append(out, n.Foot...), "\n")
}

// page is a run in columns, their heads first; columns that hold nothing are
// left out.
func (v View) page(lang string, r reduce.Run) [][]string {
	rows := [][]string{strings.Split(Say(lang, "notes.columns"), "|")}
	figure := func(l *reduce.Length) string {
		if l == nil {
			return ""
		}
		return v.bookFigure(*l)
	}
	for _, n := range r.Notes {
		correction, adjusted := "", ""
		if n.Correction != 0 {
			correction = v.bookFigure(n.Correction)
		}
		if r.Misclosure != nil {
			adjusted = v.bookFigure(n.Adjusted())
		}
		name := SayStation(lang, v.Job, n.Station)
		if n.Station.Epoch > 0 {
			name = Say(lang, "notes.round", name, n.Station.Epoch+1)
		}
		rows = append(rows, []string{name, figure(n.BS), figure(n.HI), figure(n.IS), figure(n.FS),
			v.bookFigure(n.Elevation), correction, adjusted})
	}
	rows = append(rows, []string{Say(lang, "notes.sum"), v.bookFigure(r.BackSum), "", "", v.bookFigure(r.ForeSum), "", "", ""})
	used := make([]bool, len(rows[0]))
	for _, row := range rows[1:] {
		for c, cell := range row {
			used[c] = used[c] || c == 0 || cell != ""
		}
	}
	for i, row := range rows {
		var kept []string
		for c, cell := range row {
			if used[c] {
				kept = append(kept, cell)
			}
		}
		rows[i] = kept
	}
	return rows
}

// columns sets rows in columns, the first to the left, the others to the right.
func columns(rows [][]string) []string {
	wide := make([]int, len(rows[0]))
	for _, row := range rows {
		for c, cell := range row {
			wide[c] = max(wide[c], utf8.RuneCountInString(cell))
		}
	}
	var out []string
	for _, row := range rows {
		var b strings.Builder
		for c, cell := range row {
			pad := strings.Repeat(" ", wide[c]-utf8.RuneCountInString(cell))
			if c == 0 {
				b.WriteString(cell + pad)
			} else {
				b.WriteString("  " + pad + cell)
			}
		}
		out = append(out, strings.TrimRight(b.String(), " "))
	}
	return out
}

// foot is the arithmetic check of a run, and its misclosure.
func (v View) foot(lang string, r reduce.Run) []string {
	key := Key("notes.check")
	if !r.Agrees() {
		key = "notes.wrong"
	}
	lines := []string{Say(lang, key, v.bookFigure(r.BackSum-r.ForeSum), v.bookFigure(r.RiseSum-r.FallSum), v.bookFigure(r.Last-r.First))}
	if r.Misclosure == nil {
		return append(lines, Say(lang, "notes.open"))
	}
	return append(lines, Say(lang, "notes.misclosure", v.bookFigure(*r.Misclosure), r.Pages))
}

// bookFigure is a length as it stands in a book: feet to 0.001 (to 0.0001 where
// the rod shows inches) or metres to a millimetre.
func (v View) bookFigure(l reduce.Length) string {
	switch v.Job.Unit {
	case reduce.UnitMillimetre:
		return l.Decimal(reduce.Metre).StringFixedBank(3)
	case reduce.UnitFoot:
		return l.Decimal(reduce.Foot).StringFixedBank(3)
	case reduce.UnitInch:
	}
	return l.Decimal(reduce.Foot).StringFixedBank(4)
}

// bookUnit is what the figures of a book count in.
func (v View) bookUnit(lang string) string {
	if v.Job.Unit == reduce.UnitMillimetre {
		return Say(lang, "notes.metres")
	}
	return Say(lang, "notes.feet")
}

// besideLeastSquares says where a book's corrected elevations are not what the
// adjustment gives: a book puts the whole correction of a set-up on its
// intermediate sights too.
func (v View) besideLeastSquares(lang string, book reduce.LevelBook, absolute bool) string {
	step := reduce.Millimetre / 2
	if v.Job.Unit != reduce.UnitMillimetre {
		step = reduce.Foot / 2000
	}
	var differ []reduce.Station
	most := reduce.Length(0)
	for _, r := range book.Runs {
		for _, n := range r.Notes {
			e, ok := v.adjusted.all.Elevations[n.Station]
			if absolute {
				e, ok = v.adjusted.heights[n.Station]
			}
			d := (n.Adjusted() - e).Abs()
			if !ok || d <= step {
				continue
			}
			most = max(most, d)
			if !slices.Contains(differ, n.Station) {
				differ = append(differ, n.Station)
			}
		}
	}
	if len(differ) == 0 {
		return ""
	}
	return Say(lang, "notes.differ", v.bookFigure(most), v.SayStations(lang, differ))
}
