package session

import (
	"math"
	"slices"
	"strconv"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// quality says how well the readings agree, and what nothing checks.
func (h *hearing) quality(phrase.Meaning) answer {
	v := h.job.View()
	if len(v.Levels.Elevations) == 0 {
		return answer{lines: []string{h.say("quality.nothing")}, next: true}
	}
	s := v.Solution
	lines := []string{h.agreement(v)}
	if len(h.job.Setups) > 1 || len(h.job.Known) > 1 {
		for _, u := range s.SetUps {
			ties := h.list(v.Ties(u.ID))
			switch {
			case !u.Tied:
				lines = append(lines, h.say("quality.loose", u.ID))
			case u.Misclosure == nil:
				lines = append(lines, h.say("quality.open", u.ID, ties))
			default:
				lines = append(lines, h.say("quality.setup", u.ID, ties, h.fine(u.Misclosure.Abs())))
			}
		}
	}
	lines = append(lines, h.farthest(v)...)
	if at, band, ok := v.leastSure(); ok {
		lines = append(lines, h.say("quality.band", h.name(at), v.SayBand(h.lang, band), h.name(v.from())))
	}
	if loose := v.unchecked(); len(loose) > 0 {
		lines = append(lines, h.say("quality.unchecked", h.list(loose)))
	}
	if s.NoCone && h.once("cone") {
		lines = append(lines, h.say("quality.cone"))
	}
	return answer{lines: lines, next: true}
}

// Scatter within these, in terms of what the budget expects, is as expected.
const (
	tightScatter = 0.5
	wideScatter  = 1.5
)

// agreement says how much more was read than needed, and how it agrees.
func (h *hearing) agreement(v View) string {
	s := v.Solution
	if s.DegreesOfFreedom == 0 {
		return h.say("quality.none", len(v.Adjusted))
	}
	times := math.Sqrt(s.VarianceFactor)
	key := Key("quality.as")
	switch {
	case times < tightScatter:
		key = "quality.less"
	case times > wideScatter:
		key = "quality.worse"
	}
	return h.say("quality.more", len(v.Adjusted), s.DegreesOfFreedom) + " " + h.say(key, strconv.FormatFloat(times, 'f', 1, 64))
}

// farthest tells of the reading that agrees least with the rest.
func (h *hearing) farthest(v View) []string {
	worst := -1
	for i, r := range v.Solution.Residuals {
		if r.Normalised != 0 && (worst < 0 || math.Abs(r.Normalised) > math.Abs(v.Solution.Residuals[worst].Normalised)) {
			worst = i
		}
	}
	if worst < 0 {
		return nil
	}
	r := v.Solution.Residuals[worst]
	side := Key("quality.too-high")
	if r.Value < 0 {
		side = "quality.too-low"
	}
	times := math.Abs(r.Normalised)
	lines := []string{h.say("quality.far", h.name(v.Adjusted[worst].Station), h.fine(r.Value.Abs()), h.say(side), strconv.FormatFloat(times, 'f', 1, 64))}
	if times > reduce.CriticalNormalised {
		lines = append(lines, h.say("quality.unlikely"))
	}
	return lines
}

// leastSure is the station of the walk whose height above where deviations are
// measured from is known least, and its band.
func (v View) leastSure() (at reduce.Station, band reduce.Length, ok bool) {
	from := v.from()
	for _, s := range v.Stations {
		if s.Elevation == nil || !walked(s.Station) {
			continue
		}
		if u, has := v.Solution.Difference(s.Station, from); has && u.Band() > band {
			at, band, ok = s.Station, u.Band(), true
		}
	}
	return at, band, ok
}

// unchecked are the stations with a height that nothing checks.
func (v View) unchecked() []reduce.Station {
	var out []reduce.Station
	for _, s := range v.Stations {
		if s.Elevation != nil && walked(s.Station) && !s.Checked {
			out = append(out, s.Station)
		}
	}
	slices.SortFunc(out, reduce.Compare)
	return out
}
