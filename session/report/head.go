package report

import (
	"slices"
	"strings"
	"time"

	"rodcall/reduce"
	"rodcall/session"
)

// head is the lines under a drawing's title, one fact each.
func (d *drawing) head(made time.Time) []string {
	v, j := d.v, d.job
	free := j.Outline.Empty()
	count := session.Key("paper.count")
	switch {
	case free:
		count = "paper.count-free"
	case j.Round > 1:
		count = "paper.count-round"
	}
	lines := []string{
		d.say(count, v.Read, v.Read+len(v.Left), v.Count, made.Format("2006-01-02 15:04 MST"), j.Round),
		d.reference(),
		d.rods(),
		v.SayLaser(d.lang),
	}
	if v.Datum != nil {
		tolerance := session.Key("paper.tolerance")
		if !j.ToleranceSet {
			tolerance = "paper.tolerance-ours"
		}
		lines = append(lines,
			d.say("paper.datum", v.SayDatum(d.lang)),
			d.say(tolerance, v.SayTolerance(d.lang)))
	}
	if design := d.designLine(); design != "" {
		lines = append(lines, design)
	}
	// Concrete with the bolts loose is how a foundation is walked first.
	switch {
	case j.Round > 1:
		lines = append(lines, d.say("paper.round", j.Round, v.SayStanding(d.lang, j.Surface, j.BoltsTight)))
		lines = append(lines, v.SayRound(d.lang)[1:]...)
	case j.Surface != "concrete" || j.BoltsTight:
		lines = append(lines, d.surface())
	}
	if open := len(j.Heard()); open > 0 {
		lines = append(lines, d.say("paper.heard.count", open))
	}
	if signed := v.SaySigned(d.lang); signed != "" && j.Signed == nil {
		lines = append(lines, signed)
	}
	if free {
		lines = append(lines, d.say("paper.free"))
	}
	return append(lines, d.lists()...)
}

// reference says what heights are of, and what they are counted in.
func (d *drawing) reference() string {
	ref := d.v.SayReference(d.lang)
	unit := d.say("paper.unit." + session.Key(d.job.Unit.String()))
	switch {
	case d.v.Count > 0 && len(d.v.Levels.Elevations) == 0:
		return d.say("paper.no-reference", ref)
	case d.settled():
		return d.say("paper.reference", ref, unit)
	}
	return d.say("paper.reference-of", ref, unit)
}

// rods says what kinds of rod the readings were taken with.
func (d *drawing) rods() string {
	var kinds []string
	for _, kind := range []reduce.RodKind{reduce.Direct, reduce.Standard} {
		for _, flipped := range []bool{false, true} {
			if !slices.ContainsFunc(d.job.Rods, func(r session.Rod) bool { return r.Kind == kind && r.Flipped == flipped }) {
				continue
			}
			words := d.say("paper.rod." + session.Key(kind.String()))
			if flipped {
				words = d.say("paper.rod.flipped", words)
			}
			kinds = append(kinds, words)
		}
	}
	if len(kinds) == 0 {
		return d.say("paper.rod.none")
	}
	return strings.Join(kinds, " · ")
}

// surface says what the rod stood on, and how the bolts were.
func (d *drawing) surface() string {
	bolts := session.Key("paper.bolts.loose")
	if d.job.BoltsTight {
		bolts = "paper.bolts.tight"
	}
	return d.say("paper.surface", d.say("paper.surface."+session.Key(d.job.Surface)), d.say(bolts))
}

// lists names the stations whose marks need a word of explanation, and those
// that have no place on the drawing.
func (d *drawing) lists() []string {
	var dark []reduce.Station
	for _, s := range d.v.Stations {
		if s.NoBeam {
			dark = append(dark, s.Station)
		}
	}
	var lines []string
	if len(dark) > 0 {
		lines = append(lines, d.say("paper.no-beam", d.v.SayStations(d.lang, dark)))
	}
	// Where the reference itself is not read, nothing is tied: said already.
	if len(d.v.Untied) > 0 && len(d.v.Levels.Elevations) > 0 {
		lines = append(lines, d.say("paper.untied", d.v.SayReference(d.lang), d.v.SayStations(d.lang, d.v.Untied)))
	}
	if len(d.v.Lost) > 0 {
		lines = append(lines, d.say("paper.off-outline", d.v.SayStations(d.lang, d.v.Lost)))
	}
	return lines
}
