package report

import (
	"slices"

	"rodcall/reduce"
	"rodcall/render"
	"rodcall/session"
)

// notes is the level notes of the present round.
func (p *paper) notes() {
	n := p.v.LevelNotes(p.lang)
	if len(n.Runs) == 0 {
		return
	}
	p.add(render.Break{})
	p.heading("papers.notes")
	p.text(n.Of, p.say("papers.notes.signs"))
	for _, r := range n.Runs {
		t := &render.Table{Head: r.Rows[0], LeftOut: p.say("papers.notes.left")}
		for c := range t.Head {
			t.Right = append(t.Right, c > 0)
		}
		for i, row := range r.Rows[1:] {
			line := render.Row{Cells: row}
			if i == len(r.Rows)-2 {
				line.Weight = 1 // the sums, without which nothing can be checked
			}
			t.Rows = append(t.Rows, line)
		}
		p.add(t)
		p.text(r.Foot...)
	}
	p.text(n.Foot...)
}

// rounds says of each round what the rod stood on and how much of the sill was
// read.
func (p *paper) rounds() {
	p.heading("papers.rounds")
	read := map[int]map[reduce.Station]bool{}
	for _, r := range p.job.Readings() {
		if r.Void || !onSill(r.Station) {
			continue
		}
		if read[r.Round] == nil {
			read[r.Round] = map[reduce.Station]bool{}
		}
		read[r.Round][r.Station] = true
	}
	for _, k := range append(slices.Clip(p.job.Past), session.PastRound{Round: p.job.Round, Surface: p.job.Surface, Tight: p.job.BoltsTight}) {
		p.text(p.say("papers.round", k.Round, p.v.SayStanding(p.lang, k.Surface, k.Tight), len(read[k.Round])))
	}
}

// sign says what was signed off, by whom and when; or that nobody did, and
// what is still a close call or unchecked.
func (p *paper) sign() {
	p.heading("papers.sign")
	all := p.job.Signatures()
	if n := len(all); n > 0 {
		if all[n-1].Stands() {
			p.text(p.v.SaySignature(p.lang, all[n-1])...)
		} else {
			p.text(p.v.SaySigned(p.lang))
		}
		return
	}
	p.text(p.say("papers.not-signed"))
	var unsure, loose []reduce.Station
	for _, s := range p.v.Stations {
		if !onSill(s.Station) {
			continue
		}
		if s.Verdict == reduce.Unsure {
			unsure = append(unsure, s.Station)
		}
		if s.Elevation != nil && !s.Checked {
			loose = append(loose, s.Station)
		}
	}
	if len(unsure) > 0 {
		p.text(p.say("papers.still.unsure", p.v.SayStations(p.lang, unsure)))
	}
	if len(loose) > 0 {
		p.text(p.say("papers.still.checking", p.v.SayStations(p.lang, loose)))
	}
}
