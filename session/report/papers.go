package report

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"rodcall/reduce"
	"rodcall/render"
	"rodcall/session"
)

// ErrNotFound says that no round tells how the concrete was found.
var ErrNotFound = errors.New("nothing was read on concrete in the first round")

// maxPages of a job's papers.
const maxPages = 3

// WritePDF writes the job's papers as PDF, one to three pages: the drawing,
// the summary, how and by whom it was measured; the stations; level notes,
// rounds and sign-off; behind them, on pages of their own, the notes and photos
// that were kept. It is made at the given time, which stands on it in its own
// location. The same job, time and sources give the same bytes.
func WritePDF(w io.Writer, j *session.Job, lang string, made time.Time, src Sources) error {
	return writePaper(w, Papers(j, lang, made, src))
}

// WriteFound writes how the foundation was found, before any shim, as one page
// of PDF. It returns ErrNotFound where nothing tells that.
func WriteFound(w io.Writer, j *session.Job, lang string, made time.Time, src Sources) error {
	p, ok := Found(j, lang, made, src)
	if !ok {
		return ErrNotFound
	}
	return writePaper(w, p)
}

func writePaper(w io.Writer, p render.Paper) error {
	if err := render.WritePDF(w, &p); err != nil {
		return fmt.Errorf("write the papers: %w", err)
	}
	return nil
}

// paper is a paper in the making.
type paper struct {
	drawing
	src  Sources
	made time.Time
	out  render.Paper
}

func newPaper(j *session.Job, lang string, made time.Time, src Sources) *paper {
	p := &paper{drawing: drawing{v: j.View(), job: j, lang: lang, units: true}, src: src, made: made}
	p.out = render.Paper{
		Sheet: render.Letter, Title: j.Name, Made: p.say("papers.made", made.Format("2006-01-02 15:04 MST")),
		PageText: p.say("papers.page"), Lang: lang, Created: made, Most: maxPages,
		Foot: src.Head.say(lang, j, digitsFoot), Keywords: src.Head.mark(j),
	}
	if j.Unit == reduce.UnitMillimetre {
		p.out.Sheet = render.A4
	}
	return p
}

func (p *paper) add(blocks ...render.Block) { p.out.Blocks = append(p.out.Blocks, blocks...) }

// text adds paragraphs, with people's names put in.
func (p *paper) text(lines ...string) {
	for _, l := range lines {
		p.add(render.Text(session.NamePeople(p.lang, l, p.job.People(), p.src.Names)))
	}
}

func (p *paper) heading(key session.Key) { p.add(render.Heading(p.say(key))) }

// picture adds the drawing, whose head is told in words elsewhere.
func (p *paper) picture() {
	scene := Scene(p.job, p.lang, p.made)
	scene.Title, scene.Lines, scene.Stamp = "", nil, ""
	if len(scene.Marks) > 0 {
		p.add(&render.Picture{Scene: &scene})
	}
}

// Papers are a job's papers as data.
func Papers(j *session.Job, lang string, made time.Time, src Sources) render.Paper {
	p := newPaper(j, lang, made, src)
	p.picture()
	p.heading("papers.summary")
	p.text(strings.Split(p.v.Summary(lang), "\n")...)
	p.text(p.facts())
	p.readers()
	p.heading("papers.mind")
	p.text(p.mind()...)
	if len(p.v.Stations) > 0 {
		p.add(render.Break{})
		p.stations()
	}
	p.shims()
	p.notes()
	p.rounds()
	p.sign()
	p.anchor()
	p.kept(src.Photos)
	return p.out
}

// Found is how the foundation was found, as data: one page that stands alone.
// ok is false where nothing tells that.
func Found(j *session.Job, lang string, made time.Time, src Sources) (paper render.Paper, ok bool) {
	j = j.AsFound()
	if j == nil {
		return render.Paper{}, false
	}
	p := newPaper(j, lang, made, src)
	p.out.Title, p.out.Most = p.say("found.title", j.Name), 1
	p.picture()
	p.text(p.v.SayFound(lang)...)
	p.text(p.facts())
	p.stations()
	p.anchor()
	return p.out, true
}

// anchor says which event the paper was made from, with the whole of its hash.
func (p *paper) anchor() {
	if h := p.src.Head; h.Seq > 0 {
		p.text(p.say("papers.head", h.Seq, p.job.ID, h.digits(len(h.Hash.String()))))
	}
}

// facts say in one line how it was measured, and which spots need a word.
func (p *paper) facts() string {
	facts := []string{p.say("papers.units", p.say("paper.unit."+session.Key(p.job.Unit.String()))), p.rods(),
		p.say("papers.standing", p.v.SayStanding(p.lang, p.job.Surface, p.job.BoltsTight))}
	if design := p.designLine(); design != "" {
		facts = append(facts, design)
	}
	if p.job.Outline.Empty() {
		facts = append(facts, p.say("paper.free"))
	}
	return strings.Join(append(facts, p.lists()...), " · ")
}

// mind are the cautions that apply, and what the papers do not say.
func (p *paper) mind() []string {
	var lines []string
	var up reduce.Length
	for _, s := range p.v.Stations {
		if s.Move != nil && s.Verdict != reduce.On {
			up = max(up, *s.Move)
		}
	}
	if p.v.Grinds() && p.job.LevelRules().Grind > 0 {
		lines = append(lines, p.say("caution.dust"))
	}
	if gap := p.job.PlateOptions().Gap; up > gap {
		lines = append(lines, p.say("caution.gap", p.v.SayMeasure(p.lang, gap)))
	}
	return append(lines, p.say("papers.govern"))
}

// maxReaders bounds those who are listed on a page.
const maxReaders = 8

// readers say who read what: one line a person and rod. Who is forgotten is
// known by the rod alone.
func (p *paper) readers() {
	type reader struct {
		by  session.PersonID
		rod int
	}
	type share struct {
		reader
		n           int
		first, last time.Time
	}
	var all []share
	for _, r := range p.job.Readings() {
		if r.Void {
			continue
		}
		k := reader{r.By, r.Rod}
		i := slices.IndexFunc(all, func(s share) bool { return s.reader == k })
		if i < 0 {
			i = len(all)
			all = append(all, share{reader: k, first: r.At})
		}
		all[i].n++
		all[i].last = r.At
	}
	if len(all) == 0 {
		return
	}
	p.heading("papers.readers")
	for _, s := range all[:min(len(all), maxReaders)] {
		var rod session.Rod
		if i := slices.IndexFunc(p.job.Rods, func(r session.Rod) bool { return r.ID == s.rod }); i >= 0 {
			rod = p.job.Rods[i]
		}
		numbered := p.say("rod.name", s.rod, p.say("rod."+session.Key(rod.Kind.String())))
		words := p.say("paper.rod." + session.Key(rod.Kind.String()))
		who := p.src.Names(s.by)
		switch {
		case who == "":
			who = numbered
		case slices.ContainsFunc(p.job.Rods, func(r session.Rod) bool { return r.ID != rod.ID && r.Setup == rod.Setup && r.By == rod.By }):
			words = numbered // its set-up and who held it do not tell which
		}
		p.text(p.say("papers.reader", who, words, rod.Setup, s.n, p.span(s.first, s.last)))
	}
	if more := len(all) - maxReaders; more > 0 {
		p.text(p.say("papers.reader.more", more))
	}
}

// span says from when to when, in the location of the paper's time.
func (p *paper) span(first, last time.Time) string {
	first, last = first.In(p.made.Location()), last.In(p.made.Location())
	const day = "2006-01-02"
	from, to := first.Format(day+" 15:04"), last.Format(day+" 15:04")
	switch {
	case from == to:
		return from
	case first.Format(day) == last.Format(day):
		to = last.Format("15:04")
	}
	return p.say("papers.from-to", from, to)
}
