package report

import (
	"math"
	"slices"

	"rodcall/reduce"
	"rodcall/session"
)

// documentOf gathers the export of a job.
func documentOf(j *session.Job, src Sources) document {
	names := src.Names
	v := j.View()
	readings := j.Readings()
	d := document{
		Schema: 1,
		Job: jobDoc{
			ID:        j.ID,
			Name:      j.Name,
			Chat:      j.Chat,
			Unit:      j.Unit,
			Finest:    reduce.FinestName(j.Unit, j.Finest),
			Round:     j.Round,
			Surface:   j.Surface,
			State:     v.State,
			Reference: v.Reference(),
		},
		Datum:        datumOf(v),
		Tolerance:    j.Tolerance,
		ToleranceSet: j.ToleranceSet,
		Weights:      "budget",
		Known:        []knownDoc{},
		Quality:      qualityDoc{Redundancy: v.Solution.DegreesOfFreedom},
		Setups:       setupsOf(v),
		Rods:         []rodDoc{},
		Stations:     []stationDoc{},
		Readings:     []readingDoc{},
		Summary:      summaryOf(v),
		Laid:         laidOf(j),
		Signatures:   []signatureDoc{},
		Events:       j.Seq,
	}
	d.Design, d.Steps = designOf(j), stepsOf(v)
	if src.Head.Seq > 0 {
		d.Chain = &chainDoc{src.Head.Seq, src.Head.Hash}
	}
	if j.Alike {
		d.Weights = "setups"
	}
	for _, k := range j.Known {
		d.Known = append(d.Known, knownDoc{j.StationName(k.Station), k.Height})
	}
	if d.Quality.Redundancy > 0 {
		f := math.Round(v.Solution.VarianceFactor*1000) / 1000
		d.Quality.VarianceFactor = &f
	}
	for _, r := range j.Rods {
		out := rodDoc{ID: r.ID, Setup: r.Setup, By: known(names(r.By)), Kind: r.Kind, Flipped: r.Flipped}
		if c, tied := v.Levels.Constants[r.ID]; tied {
			out.Constant = &c
		}
		d.Rods = append(d.Rods, out)
	}
	plan, stacks := planOf(v)
	d.Plan = plan
	for _, s := range v.Stations {
		d.Stations = append(d.Stations, stationOf(j, s))
		if stack := stacks[s.Station]; stack != nil {
			d.Stations[len(d.Stations)-1].Shims = stack
		}
	}
	d.keep(v, names)
	for _, r := range readings {
		out := readingDoc{
			Seq: r.Seq, Round: r.Round, Rod: r.Rod, Station: j.StationName(r.Station),
			Value: r.Value, Kind: "reading", Said: r.Said,
			By: known(names(r.By)), At: instant(r.At), Message: known(r.Message), Void: r.Void,
		}
		if r.Check {
			out.Kind = "check"
		}
		if r.Spoken {
			firm := !r.Provisional()
			out.Spoken, out.Firm = &r.Spoken, &firm
		}
		d.Readings = append(d.Readings, out)
	}
	for _, s := range j.Signatures() {
		out := signatureDoc{By: known(names(s.By)), At: instant(s.At), Round: s.Round, Event: s.Seq, Standing: s.Stands()}
		if !s.Stands() {
			at := instant(s.Reopened.At)
			out.Reopened = &at
		}
		d.Signatures = append(d.Signatures, out)
	}
	return d
}

// keep puts notes and photos to their stations.
func (d *document) keep(v session.View, names Names) {
	for _, n := range v.Job.Kept() {
		out := noteDoc{Text: n.Text, By: known(names(n.By)), At: instant(n.At), Round: n.Round}
		if n.Shows() {
			out.Photo = known(n.Photo.String())
		}
		// v.Stations are those of the export, in the same order.
		if i := slices.IndexFunc(v.Stations, func(s session.StationView) bool { return s.Station == n.Station }); i >= 0 {
			d.Stations[i].Notes = append(d.Stations[i].Notes, out)
			continue
		}
		out.Station = v.Job.StationName(n.Station)
		d.Notes = append(d.Notes, out)
	}
}

// datumOf is the datum as chosen, and its level as far as it is known.
func datumOf(v session.View) *datumDoc {
	if v.Datum == nil {
		return nil
	}
	at := v.DatumAt
	if at.IsZero() && v.Datum.Choice == reduce.DatumStation {
		at = v.Datum.Station
	}
	return &datumDoc{Choice: v.Datum.Choice, Station: known(v.Job.StationName(at)), Level: v.Level}
}

// setupsOf lists the set-ups and the stations that tie each: the reference,
// those of known height, and what was read from an earlier set-up too. One tie
// checks nothing, so there is no misclosure to tell.
func setupsOf(v session.View) []setupDoc {
	j := v.Job
	out := []setupDoc{}
	for i, s := range j.Setups {
		tied := []string{}
		for _, st := range v.Ties(s.ID) {
			tied = append(tied, j.StationName(st))
		}
		d := setupDoc{ID: s.ID, Opened: instant(s.Opened), TiedBy: tied}
		if i < len(v.Solution.SetUps) {
			d.Misclosure = v.Solution.SetUps[i].Misclosure
		}
		if s.Laser != nil {
			d.X, d.Y = &s.Laser.X, &s.Laser.Y
		}
		out = append(out, d)
	}
	return out
}

func stationOf(j *session.Job, s session.StationView) stationDoc {
	out := stationDoc{
		Name:      s.Name,
		Loop:      known(s.Loop),
		Design:    s.Design,
		Elevation: s.Elevation,
		Deviation: s.Deviation,
		Height:    s.Height,
		Band:      s.Band,
		Move:      s.Move,
		Checked:   s.Checked,
		Shims:     []string{},
		Rounds:    []roundDoc{},
		NoBeam:    s.NoBeam,
		Carried:   s.Carried,
		Predicted: s.Predicted,
	}
	if s.Placed {
		out.X, out.Y = &s.At.X, &s.At.Y
	}
	if s.Verdict != "" {
		out.Verdict = &s.Verdict
	}
	for _, r := range s.Rounds {
		out.Rounds = append(out.Rounds, roundDoc{r.Round, r.Elevation})
	}
	return out
}

func summaryOf(v session.View) summaryDoc {
	spot := func(s reduce.Spot) spotDoc { return spotDoc{v.Job.StationName(s.Station), s.Height} }
	out := summaryDoc{Read: v.Read, Left: len(v.Left), Unchecked: v.Unchecked}
	if e := v.Extent; e != nil {
		high, low := spot(e.High), spot(e.Low)
		out.High, out.Low, out.Range = &high, &low, &e.Range
	}
	if p := v.Worst; p != nil {
		out.Pair = &pairDoc{spot(p.High), spot(p.Low), p.Difference, p.Distance, v.WorstBand}
	}
	return out
}
