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
			case u.Misclosure == nil && v.unlikely(u.ID):
				lines = append(lines, h.say("quality.apart", u.ID, ties))
			case u.Misclosure == nil && v.checkedSetup(u.ID):
				lines = append(lines, h.say("quality.checked", u.ID, ties))
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

// checkedSetup says whether a reading that ties a set-up could be left out and
// still be worked out from the others.
func (v View) checkedSetup(setup int) bool {
	ties := v.Ties(setup)
	for i, r := range v.Solution.Residuals {
		o := v.Adjusted[i]
		rod, _ := v.Job.rod(o.Rod)
		if rod.Setup == setup && r.Redundancy > 0 && slices.Contains(ties, o.Station) {
			return true
		}
	}
	return false
}

// scatterLimits are the ratios of the scatter found to the one expected between
// which 98 of 100 lie by chance alone, for so many readings more than needed:
// the square root of chi-square over its degrees of freedom, by the cube of a
// normal variable (E. B. Wilson and M. M. Hilferty, 1931; from memory).
func scatterLimits(freedom int) (low, high float64) {
	const quantile = 2.326 // one in a hundred lies beyond it
	n := 2 / (9 * float64(freedom))
	cube := func(z float64) float64 { return math.Pow(max(0, 1-n+z*math.Sqrt(n)), 3) }
	return math.Sqrt(cube(-quantile)), math.Sqrt(cube(quantile))
}

// agreement says how much more was read than needed, and how it agrees.
func (h *hearing) agreement(v View) string {
	s := v.Solution
	if s.DegreesOfFreedom == 0 {
		return h.say("quality.none", len(v.Adjusted))
	}
	times := math.Sqrt(s.VarianceFactor)
	low, high := scatterLimits(s.DegreesOfFreedom)
	key := Key("quality.as")
	switch {
	case times < low:
		key = "quality.less"
	case times > high:
		key = "quality.worse"
	}
	return h.say("quality.more", len(v.Adjusted), s.DegreesOfFreedom) + " " + h.say(key, strconv.FormatFloat(times, 'f', 1, 64))
}

// leastAgree is the reading that agrees least with the rest, by its place in
// Adjusted (-1 for none) and how many times what is usual it is off, and the
// stations of all that agree as little: a single check cannot tell which one is
// off.
func (v View) leastAgree() (worst int, most float64, alike []reduce.Station) {
	worst = -1
	for i, r := range v.Solution.Residuals {
		if w := math.Abs(r.Normalised); w > most {
			worst, most = i, w
		}
	}
	if worst < 0 {
		return worst, most, nil
	}
	for i, r := range v.Solution.Residuals {
		if s := v.Adjusted[i].Station; math.Abs(r.Normalised) > 0.999*most && !slices.Contains(alike, s) {
			alike = append(alike, s)
		}
	}
	slices.SortFunc(alike, reduce.Compare)
	return worst, most, alike
}

// Apart are the stations whose readings agree least with the rest, where that is
// by more than readings explain. What is read there twice is no check.
func (v View) Apart() []reduce.Station {
	_, most, alike := v.leastAgree()
	if most <= reduce.CriticalNormalised {
		return nil
	}
	return alike
}

// farthest tells of the reading that agrees least with the rest, or of all that
// agree as little.
func (h *hearing) farthest(v View) []string {
	worst, most, alike := v.leastAgree()
	if worst < 0 {
		return nil
	}
	times := strconv.FormatFloat(most, 'f', 1, 64)
	if len(alike) > 1 {
		if most <= reduce.CriticalNormalised {
			return nil
		}
		return []string{h.say("quality.either", h.list(alike), times)}
	}
	r := v.Solution.Residuals[worst]
	side := Key("quality.too-high")
	if r.Value < 0 {
		side = "quality.too-low"
	}
	lines := []string{h.say("quality.far", h.name(v.Adjusted[worst].Station), h.fine(r.Value.Abs()), h.say(side), times)}
	if most > reduce.CriticalNormalised {
		lines = append(lines, h.say("quality.unlikely"))
	}
	return lines
}

// leastSure is the station of the walk whose height above where deviations are
// measured from is known least, and its band.
func (v View) leastSure() (at reduce.Station, band reduce.Length, ok bool) {
	for _, s := range v.Stations {
		if s.Elevation == nil || !walked(s.Station) {
			continue
		}
		if u, has := v.Deviates(s.Station); has && u.Band() > band {
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
