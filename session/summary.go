package session

import (
	"strconv"
	"strings"

	"rodcall/reduce"
)

// Lists of stations in a summary or a drawing's head name this many.
const maxNamed = 12

// Summary is the job as it stands, for the chat: a dozen short lines of plain
// text, and three more where steps or falls are designed. Of the tolerances that
// it names, one is of the concrete and one of the sill from its datum.
func (v View) Summary(lang string) string {
	j := v.Job
	job := Key("paper.sum.job")
	if j.Outline.Empty() {
		job = "paper.sum.job-free"
	}
	first := Say(lang, job, j.Name, v.Read, v.Read+len(v.Left), v.Count)
	if v.Unchecked > 0 {
		first += " " + Say(lang, "paper.sum.unchecked", v.Unchecked)
	}
	if len(v.Off) > 0 {
		first += " " + Say(lang, "paper.sum.off", v.SayStations(lang, v.Off))
	}
	if len(v.Lost) > 0 {
		first += " " + Say(lang, "paper.sum.lost", v.SayStations(lang, v.Lost))
	}
	if v.Count > 0 {
		first += " " + v.sayLaser(lang, "paper.sum.laser", "paper.sum.laser.none")
	}
	lines := []string{first}
	if !j.walking() {
		lines = append(lines, j.sayUnseen(lang)...)
	}
	if j.Count > 0 && j.walking() {
		lines = append(lines, Say(lang, "count.summary", Say(lang, Key("setting.count."+strconv.Itoa(j.Count)))))
	}
	if signed := v.SaySigned(lang); signed != "" {
		lines = append(lines, Say(lang, "paper.sum.signed", signed))
	}
	if kept := v.sayKept(lang); kept != "" {
		lines = append(lines, kept)
	}
	switch {
	case v.Count == 0:
		lines = append(lines, Say(lang, "paper.sum.nothing"))
	case len(v.Levels.Elevations) == 0:
		lines = append(lines, Say(lang, "paper.sum.reference", v.SayReference(lang)))
	}
	if len(j.Design) > 0 {
		lines = append(lines, Say(lang, "paper.sum.design", v.SayDesigns(lang)))
	}
	pairIn := j.Finest
	if e := v.Extent; e != nil {
		finest, about := v.extentShown()
		if p := v.Worst; p != nil && p.Difference == e.Range && !about {
			pairIn = finest // the same difference, said the same way
		}
		apart := v.measureIn(lang, e.Range, finest)
		if about {
			apart = Say(lang, "about", apart)
		}
		lines = append(lines, Say(lang, "paper.sum.extent",
			SayStation(lang, j, e.High.Station), v.spot(lang, e.High, finest),
			SayStation(lang, j, e.Low.Station), v.spot(lang, e.Low, finest), apart))
	}
	if p := v.Worst; p != nil {
		difference := v.measureIn(lang, p.Difference, pairIn)
		if v.WorstBand != nil {
			difference = Say(lang, "paper.sum.band", difference, v.SayBand(lang, *v.WorstBand))
		}
		lines = append(lines, Say(lang, "paper.sum.pair", v.SayDistance(lang, reduce.PairReach), difference,
			SayStation(lang, j, p.High.Station), SayStation(lang, j, p.Low.Station), v.SayDistance(lang, p.Distance)))
		if j.Surface == "concrete" {
			// It judges the concrete, not a sill.
			lines = append(lines, Say(lang, "paper.sum.published", v.published(lang)))
		}
	}
	lines = append(lines, v.SaySections(lang)...)
	if v.Datum != nil {
		tolerance := Key("paper.sum.tolerance")
		if !j.ToleranceSet {
			tolerance = "paper.sum.tolerance-ours"
		}
		lines = append(lines, Say(lang, "paper.sum.datum", v.SayDatum(lang), Say(lang, tolerance, v.SayTolerance(lang))))
		if moves := v.moves(lang); moves != "" {
			if plan, ok := v.PlatePlan(); ok {
				moves = strings.TrimRight(moves+" "+v.SayForLine(lang, plan), " ")
			}
			lines = append(lines, moves)
		}
	}
	if apart := v.Apart(); len(apart) > 0 {
		lines = append(lines, Say(lang, "paper.sum.apart", v.SayStations(lang, apart)))
	}
	if len(v.Left) > 0 && v.Count > 0 {
		lines = append(lines, Say(lang, "paper.sum.unread", v.SayStations(lang, v.Left)))
	}
	if halves := j.otherHalves(); len(halves) > 0 && v.Count > 0 {
		lines = append(lines, Say(lang, "left.halves", v.SayStations(lang, halves)))
	}
	if open := j.Heard(); len(open) > 0 {
		lines = append(lines, Say(lang, "paper.heard", len(open), v.SayHeard(lang, open)))
	}
	lines = append(lines, v.SayRound(lang)...)
	lines = append(lines, v.sayWork(lang)...)
	if len(v.Untied) > 0 && len(v.Levels.Elevations) > 0 {
		lines = append(lines, Say(lang, "paper.sum.untied", v.SayStations(lang, v.Untied), v.SayReference(lang)))
	}
	return strings.Join(lines, "\n")
}

// spot says a high or low spot's height of the reference.
func (v View) spot(lang string, s reduce.Spot, finest reduce.Length) string {
	if j := v.Job; s.Station == j.resolve(j.Reference) && j.Round == 1 {
		return Say(lang, "paper.sum.the-reference")
	}
	if j := v.Job; j.Round > 1 && v.Level != nil {
		// The reference does not stand at 0 any more: the level is what counts.
		if more, ok := j.thicker(j.Round, j.DatumRound); ok {
			return v.offLevel(lang, s.Height-*v.Level-more, finest)
		}
	}
	return v.heightIn(lang, s.Height, finest)
}

// moves says how many stations are on, to be raised and to be lowered, with
// the biggest of each; "" while no station has a move.
func (v View) moves(lang string) string {
	t := v.tally()
	if t.on+t.raise+t.lower+t.unsure == 0 {
		return ""
	}
	up := Say(lang, "paper.raise") + " 0"
	if t.up != nil {
		up = Say(lang, "paper.sum.raise", t.raise, v.SayMeasure(lang, *t.up.Move), SayStation(lang, v.Job, t.up.Station))
	}
	down := Say(lang, "paper.lower") + " 0"
	if t.down != nil {
		down = Say(lang, "paper.sum.lower", t.lower, v.SayMeasure(lang, *t.down.Move), SayStation(lang, v.Job, t.down.Station))
	}
	parts := []string{Say(lang, "paper.sum.on", t.on), up, down}
	if t.unsure > 0 {
		parts = append(parts, Say(lang, "paper.sum.unsure", t.unsure))
	}
	line := strings.Join(parts, " · ") + "."
	if t.loose != nil && *t.loose.Band > 0 {
		line += " " + Say(lang, "paper.sum.good", v.SayBand(lang, *t.loose.Band))
	}
	return line
}

// ConcreteTolerance of a foundation's level: no point more than 1/2 in higher
// or lower than any point within 20 ft (published residential remodelling
// performance standard, foundation level; read on a copy).
const ConcreteTolerance = reduce.Inch / 2

// published says how the worst pair stands to the published tolerance.
func (v View) published(lang string) string {
	switch v.WorstVerdict {
	case reduce.On:
		return Say(lang, "paper.sum.published.on")
	case reduce.Raise, reduce.Lower:
		return Say(lang, "paper.sum.published.over")
	case reduce.Unsure, reduce.Unread:
	}
	return Say(lang, "paper.sum.published.unsure")
}

// SayBand is a band with its unit, rounded up to the job's finest amount: it
// promises no more than it holds.
func (v View) SayBand(lang string, band reduce.Length) string {
	f := v.Job.Finest
	return v.SayMeasure(lang, (band+f-1)/f*f)
}

// Reference is the full name of the station whose elevation is 0.
func (v View) Reference() string { return v.SayReference("en") }

// SayReference is its name in a language.
func (v View) SayReference(lang string) string {
	return SayStation(lang, v.Job, v.Job.resolve(v.Job.Reference))
}

// SameLevel says that a height shows as nothing in the job's finest amount.
func (v View) SameLevel(h reduce.Length) bool {
	return showsNothing(v.Job.Unit, h, v.Job.Finest)
}

// SayMeasure is an amount with its unit: "3/8 in".
func (v View) SayMeasure(lang string, h reduce.Length) string {
	if h != 0 && v.SameLevel(h) {
		// Too little to show as anything but nothing.
		return Say(lang, "paper.under", v.measureIn(lang, v.Job.Finest, v.Job.Finest))
	}
	return v.measureIn(lang, h, v.Job.Finest)
}

func (v View) measureIn(lang string, h, finest reduce.Length) string {
	amount := sayAmountIn(lang, v.Job, h, finest)
	if v.Job.Unit == reduce.UnitInch {
		return inUnit(lang, reduce.UnitInch, amount)
	}
	return amount
}

// sayHeight is a height as a place, of the reference: "3/8 above c1".
func (v View) sayHeight(lang string, h reduce.Length) string {
	return v.heightIn(lang, h, v.Job.Finest)
}

func (v View) heightIn(lang string, h, finest reduce.Length) string {
	amount := sayAmountIn(lang, v.Job, h, finest)
	switch {
	case showsNothing(v.Job.Unit, h, finest):
		return Say(lang, "paper.level-with", v.SayReference(lang))
	case h > 0:
		return Say(lang, "paper.above", amount, v.SayReference(lang))
	}
	return Say(lang, "paper.below", amount, v.SayReference(lang))
}

// SayDistance is a distance in plan in feet or metres, to a tenth: "14.4 ft".
func (v View) SayDistance(lang string, d reduce.Length) string {
	mark := v.Job.Mark()
	return inMark(lang, mark, d.RoundTo(mark/10).Decimal(mark).String())
}

// SayDatum is the level to build to in words: "high spot c4, 1/8 above c1".
// It is "" before one is chosen.
func (v View) SayDatum(lang string) string {
	if v.Datum == nil {
		return ""
	}
	if v.Datum.Choice == reduce.DatumFixed {
		return v.sayHeight(lang, v.Datum.Level)
	}
	at := v.DatumAt
	if c := v.Datum.Choice; c == reduce.DatumFewest || c == reduce.DatumLeast {
		words := Say(lang, Key("paper.datum."+string(c)))
		if v.Level == nil {
			return Say(lang, "paper.datum.unread", words)
		}
		return Say(lang, "paper.datum.at", words, v.sayHeight(lang, *v.Level))
	}
	if v.Level == nil {
		// The station that would give the level has none yet.
		switch v.Datum.Choice {
		case reduce.DatumHigh:
			return Say(lang, "paper.datum.no-high")
		case reduce.DatumStation:
			at = v.Job.resolve(v.Datum.Station)
		case reduce.DatumFirst, reduce.DatumFixed, reduce.DatumFewest, reduce.DatumLeast:
			at = reduce.Corner(1)
			if all := v.Job.Outline.Stations(); len(all) > 0 {
				at = all[0]
			}
		}
	}
	words := Say(lang, Key("paper.datum."+string(v.Datum.Choice)), SayStation(lang, v.Job, at))
	switch {
	case v.Level == nil:
		return Say(lang, "paper.datum.unread", words)
	case *v.Level == 0:
		return words
	}
	return Say(lang, "paper.datum.at", words, v.sayHeight(lang, *v.Level))
}

// SayStations lists stations by name, the first twelve of many.
func (v View) SayStations(lang string, all []reduce.Station) string {
	var names []string
	for _, s := range all[:min(len(all), maxNamed)] {
		names = append(names, SayStation(lang, v.Job, s))
	}
	list := strings.Join(names, ", ")
	if more := len(all) - len(names); more > 0 {
		return Say(lang, "paper.list", list, strconv.Itoa(more))
	}
	return list
}
