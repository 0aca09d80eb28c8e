package session

import "rodcall/reduce"

// ToShow is what a drawing shows of a station's elevation in a round: the
// deviation from the datum, or before a datum has a height the elevation less
// design. ok is false where it cannot be held against the others: the plate's
// thickness is not known.
func (v View) ToShow(s StationView, round int, elevation reduce.Length) (height reduce.Length, ok bool) {
	than := v.Job.Round
	if v.Level != nil {
		than = v.Job.DatumRound
	}
	more, ok := v.Job.thicker(round, than)
	if !ok {
		return 0, false
	}
	height = elevation - s.Design - more
	if v.Level != nil {
		height -= *v.Level
	}
	return height, true
}

// Rounds are all rounds of the job, the present one last.
func (j *Job) Rounds() []PastRound { return j.rounds() }

// SayRound says, of a further round, what of it is as it was read before, what
// was touched and not read since, and how rounds on different surfaces are
// compared.
func (v View) SayRound(lang string) []string {
	j := v.Job
	var lines []string
	carried, class := 0, map[string]bool{}
	for _, s := range v.Stations {
		if s.Carried && walked(s.Station) {
			carried++
		}
	}
	for _, r := range j.rounds() {
		class[j.stood(r.Round)] = true
	}
	if j.Round > 1 {
		lines = append(lines, Say(lang, "paper.sum.round", j.Round, v.SayStanding(lang, j.Surface, j.BoltsTight), carried))
	}
	if again := v.touched(); len(again) > 0 {
		lines = append(lines, Say(lang, "paper.sum.again", v.SayStations(lang, again)))
	}
	if class[""] && len(class) > 1 && v.Datum != nil {
		if t, ok := j.figure(FigurePlate); ok {
			lines = append(lines, Say(lang, "paper.sum.plate", v.SayMeasure(lang, t.Length)))
		} else {
			lines = append(lines, Say(lang, "paper.sum.plate.unknown"))
		}
	}
	return lines
}

// SayStanding is what the rod stood on in a round: "on shims", "on the plate,
// bolts loose".
func (v View) SayStanding(lang, surface string, tight bool) string {
	on := Say(lang, Key("paper.surface."+surface))
	switch {
	case surface != "plate":
		return on
	case tight:
		return on + ", " + Say(lang, "paper.bolts.tight")
	}
	return on + ", " + Say(lang, "paper.bolts.loose")
}

// offLevel is a height as a place, of the level to build to: "1/16 above the
// level".
func (v View) offLevel(lang string, h, finest reduce.Length) string {
	amount := sayAmountIn(lang, v.Job, h, finest)
	switch {
	case showsNothing(v.Job.Unit, h, finest):
		return Say(lang, "paper.level-on")
	case h > 0:
		return Say(lang, "paper.level-above", amount)
	}
	return Say(lang, "paper.level-below", amount)
}
