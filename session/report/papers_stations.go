package report

import (
	"cmp"
	"slices"
	"strings"

	"rodcall/reduce"
	"rodcall/render"
	"rodcall/session"
)

// column is one column of a table of stations.
type column struct {
	head  string
	right bool
	cell  func(session.StationView) string
}

// stations is the table of all stations, in the order of the export. A column
// in which nothing stands is left out.
func (p *paper) stations() {
	all := p.v.Stations
	columns := slices.DeleteFunc(p.columns(), func(c column) bool {
		return !slices.ContainsFunc(all, func(s session.StationView) bool { return c.cell(s) != "" && c.cell(s) != noHeight })
	})
	t := &render.Table{LeftOut: p.say("papers.stations.left")}
	for _, c := range columns {
		t.Head, t.Right = append(t.Head, c.head), append(t.Right, c.right)
	}
	for _, s := range all {
		r := render.Row{}
		if onSill(s.Station) {
			r.Status = p.status(s)
		}
		if h, known := p.height(s); known {
			r.Weight = int64(h.Abs())
		}
		for _, c := range columns {
			r.Cells = append(r.Cells, c.cell(s))
		}
		t.Rows = append(t.Rows, r)
	}
	p.heading("papers.stations")
	p.add(t)
}

// noHeight stands for a height that is not known.
const noHeight = "·"

// maxRounds are the rounds before the present one that have a column, the last
// ones.
const maxRounds = 3

func (p *paper) columns() []column {
	of := session.Key("papers.col.of")
	if p.job.Surface == "plate" && p.job.Round > 1 {
		of = "papers.col.of-plate"
	}
	columns := []column{
		{p.say("papers.col.station"), false, func(s session.StationView) string { return session.SayStation(p.lang, p.job, s.Station) }},
		{p.say(of, p.v.SayReference(p.lang)), true, func(s session.StationView) string {
			if s.Elevation == nil {
				return noHeight
			}
			return p.side(*s.Elevation, "paper.level")
		}},
	}
	for n := max(1, p.job.Round-maxRounds); n < p.job.Round; n++ {
		columns = append(columns, column{p.say("papers.col.round", n), true, func(s session.StationView) string {
			i := slices.IndexFunc(s.Rounds, func(r session.RoundHeight) bool { return r.Round == n })
			if i < 0 || s.Rounds[i].Elevation == nil {
				return noHeight
			}
			return p.side(*s.Rounds[i].Elevation, "paper.level")
		}})
	}
	heard, apart := p.job.HeardAt(), p.v.Apart()
	return append(columns, []column{
		{p.say("papers.col.design"), true, func(s session.StationView) string {
			if s.Design == 0 {
				return ""
			}
			return p.side(s.Design, "paper.level")
		}},
		{p.say("papers.col.deviation"), true, func(s session.StationView) string {
			if s.Deviation == nil {
				return ""
			}
			return p.side(*s.Deviation, "paper.on")
		}},
		{p.say("papers.col.band"), true, func(s session.StationView) string {
			if s.Band == nil || *s.Band == 0 {
				return ""
			}
			f := p.job.Finest // rounded up: it promises no more than it holds
			return session.SayAmount(p.lang, p.job, (*s.Band+f-1)/f*f)
		}},
		{p.say("papers.col.move"), false, p.move},
		{p.say("papers.col.set"), true, func(s session.StationView) string {
			if !s.Touched {
				return ""
			}
			amount := session.SayAmount(p.lang, p.job, s.Set)
			if s.Set < 0 {
				return p.say("papers.taken-out", amount)
			}
			return amount
		}},
		{p.say("papers.col.checked"), false, func(s session.StationView) string {
			switch {
			case slices.Contains(apart, s.Station):
				return p.say("papers.apart")
			case !s.Checked:
				return ""
			}
			return p.say("papers.checked")
		}},
		{p.say("papers.col.heard"), false, func(s session.StationView) string {
			if !heard[s.Station] {
				return ""
			}
			return p.say("papers.heard")
		}},
	}...)
}

// side is a height in words: "3/8 low"; level is what none is called.
func (p *paper) side(h reduce.Length, level session.Key) string {
	switch cmp.Compare(h, 0) {
	case 1:
		if !p.v.SameLevel(h) {
			return p.say("high", session.SayAmount(p.lang, p.job, h))
		}
	case -1:
		if !p.v.SameLevel(h) {
			return p.say("low", session.SayAmount(p.lang, p.job, h))
		}
	}
	return p.say(level)
}

// move is what is to be done at a station, in the words that stand at its mark
// on the drawing; of a spot that nothing asks to move, how it stands is told in
// the columns before.
func (p *paper) move(s session.StationView) string {
	m := p.mark(s, reduce.Point{})
	words := strings.TrimSpace(m.Word + " " + m.Amount)
	switch m.Status {
	case render.StatusHigh, render.StatusLow:
		if s.Verdict == "" {
			return ""
		}
	case render.StatusOn:
		if s.Verdict == "" {
			return ""
		}
	case render.StatusUnread:
		if s.NoBeam {
			words = p.say("papers.dark")
		}
	case render.StatusUnsure:
		words = p.say("papers.close", words)
	case render.StatusRaise, render.StatusLower:
	}
	return words
}
