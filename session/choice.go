package session

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// LevelRules are what levels to build to are weighed by: the tolerance, and
// what the crew set for grinding and shims. Until they do nothing may be ground
// and shims have no limit.
func (s *Settings) LevelRules() reduce.LevelRules {
	rules := reduce.LevelRules{Tolerance: s.Tolerance, Ratio: reduce.DefaultGrindRatio}
	if f, ok := s.figure(FigureGrindCost); ok {
		rules.Ratio = f.Count
	}
	if f, ok := s.figure(FigureGrindMost); ok {
		rules.Grind = f.Length
	}
	if f, ok := s.figure(FigureShimMost); ok {
		rules.Shim = f.Length
	}
	return rules
}

// Choices are the levels that can be built to, with what each costs, as
// reduce.LevelChoices orders them; the named station and the fixed height are
// those of the datum, where it is such. There are none while nothing has a
// height.
func (v View) Choices() []reduce.LevelChoice {
	var named reduce.Station
	var fixed *reduce.Length
	if d := v.Datum; d != nil {
		switch d.Choice {
		case reduce.DatumStation:
			named = d.Station
		case reduce.DatumFixed:
			fixed = &d.Level
		case reduce.DatumFirst, reduce.DatumHigh, reduce.DatumFewest, reduce.DatumLeast:
		}
	}
	return reduce.LevelChoices(v.Spots, v.holder(v.Job.first()), v.holder(named), fixed, v.Job.LevelRules())
}

// first is the first station of the walk.
func (j *Job) first() reduce.Station {
	if all := j.stations(); len(all) > 0 {
		return all[0]
	}
	return reduce.Corner(1)
}

// Offer is a level to choose and the words for it. Choices that come to one
// level are one offer.
type Offer struct {
	reduce.LevelChoice
	Name string // "high spot c3", "fewest spots · least work, 1/16 high"
}

// Offers are the Choices, in words.
func (v View) Offers(lang string) []Offer {
	var out []Offer
	searched := func(c reduce.LevelChoice) bool {
		return c.Choice == reduce.DatumFewest || c.Choice == reduce.DatumLeast
	}
	for _, c := range v.Choices() {
		var name string
		switch {
		case c.Choice == reduce.DatumFixed:
			name = v.SayHigh(lang, c.Level)
		case searched(c):
			name = Say(lang, Key("datum."+string(c.Choice)+".button"))
		default:
			name = Say(lang, Key("choice."+string(c.Choice)), SayStation(lang, v.Job, c.Station))
		}
		if i := slices.IndexFunc(out, func(o Offer) bool { return o.Level == c.Level }); i >= 0 {
			out[i].Name += " · " + name
			continue
		}
		out = append(out, Offer{c, name})
	}
	for i, o := range out {
		// No station says how high it is.
		if searched(o.LevelChoice) {
			out[i].Name = Say(lang, "choice.at", o.Name, v.SayHigh(lang, o.Level))
		}
	}
	return out
}

// SayHigh is a height of the reference: "3/8 high", "level".
func (v View) SayHigh(lang string, l reduce.Length) string {
	switch {
	case v.SameLevel(l):
		return Say(lang, "level")
	case l > 0:
		return Say(lang, "high", SayAmount(lang, v.Job, l))
	}
	return Say(lang, "low", SayAmount(lang, v.Job, l))
}

// sayCost is what a choice costs: how many spots to move, the shims and the
// grinding that they take, and what is beyond the limits.
func (v View) sayCost(lang string, c reduce.LevelChoice) string {
	rules, close := v.Job.LevelRules(), v.closeCalls(c)
	var parts []string
	if c.Touched() == 0 {
		parts = append(parts, Say(lang, "choice.nothing"))
	}
	if c.Raise.Spots > 0 {
		parts = append(parts, Say(lang, "choice.raise", c.Raise.Spots, v.SayMeasure(lang, c.Raise.Total)))
	}
	if c.Lower.Spots > 0 {
		parts = append(parts, Say(lang, "choice.lower", c.Lower.Spots, v.SayMeasure(lang, c.Lower.Total)),
			Say(lang, "choice.work", v.SayMeasure(lang, c.Work())))
	}
	switch {
	case c.Lower.Past > 0 && rules.Grind == 0:
		parts = append(parts, Say(lang, "choice.nogrind"))
	case c.Lower.Past > 0:
		parts = append(parts, Say(lang, "choice.overgrind", c.Lower.Past, v.SayMeasure(lang, rules.Grind)))
	}
	if c.Raise.Past > 0 {
		parts = append(parts, Say(lang, "choice.overshim", c.Raise.Past, v.SayMeasure(lang, rules.Shim)))
	}
	if close > 0 {
		parts = append(parts, Say(lang, "choice.close", close))
	}
	return strings.Join(parts, "; ")
}

// closeCalls counts the stations that would be nearer to the tolerance than
// readings are sure, at a level: moved or not, they are named as such once it is
// chosen.
func (v View) closeCalls(c reduce.LevelChoice) int {
	base := v.base(c.Station, v.Job.Round) // it is chosen now
	n := 0
	for _, s := range v.Spots {
		if u, ok := v.Solution.Difference(v.key(s.Station), base); ok && reduce.Decide(s.Height-c.Level, v.Job.Tolerance, u) == reduce.Unsure {
			n++
		}
	}
	return n
}

// SayRules says what levels are weighed by.
func (v View) SayRules(lang string) string {
	rules := v.Job.LevelRules()
	times := decimal.New(rules.Ratio, -2).String()
	out := Say(lang, "choice.rules.nogrind")
	if rules.Grind > 0 {
		out = Say(lang, "choice.rules.grind", v.SayMeasure(lang, rules.Grind), times)
	}
	if rules.Shim > 0 {
		out += ", " + Say(lang, "choice.rules.shim", v.SayMeasure(lang, rules.Shim))
	}
	return out
}

// choiceLines lay the levels side by side, one a line.
func (h *hearing) choiceLines(v View) []string {
	lines := []string{h.say("choice.head", v.SayRules(h.lang))}
	for _, o := range v.Offers(h.lang) {
		lines = append(lines, h.say("choice.line", o.Name, v.sayCost(h.lang, o.LevelChoice)))
	}
	if c := v.Choices(); !c[len(c)-1].Obeys() {
		lines = append(lines, h.say("choice.none"))
	}
	return lines
}

// offerDatum lays the levels to choose from side by side. While something else
// is asked for they can wait, and only their buttons are there.
func (h *hearing) offerDatum(v View, a *answer, wait bool) {
	if v.Extent == nil || h.job.Datum != nil {
		return
	}
	h.showChoices(v, a, wait)
}

func (h *hearing) showChoices(v View, a *answer, wait bool) {
	a.buttons = nil
	for _, c := range []reduce.DatumChoice{reduce.DatumFirst, reduce.DatumHigh, reduce.DatumFewest, reduce.DatumLeast} {
		a.buttons = append(a.buttons, Button{h.say(Key("datum." + string(c) + ".button")), "datum " + string(c)})
	}
	a.buttons = append(a.buttons, Button{h.say("picture.button"), "picture"})
	if wait {
		return
	}
	a.lines = append(a.lines, h.choiceLines(v)...)
	a.lines = append(a.lines, h.say("datum.which"))
	a.figures = append(a.figures, PictureChoices)
}

// choices lays the levels side by side when asked to.
func (h *hearing) choices(phrase.Meaning) answer {
	v := h.job.View()
	if v.Extent == nil {
		return answer{lines: []string{h.say("datum.noheights", h.name(h.job.Reference))}, unheard: true, next: true}
	}
	a := answer{lines: h.unweighed(v)}
	h.weighs = true
	h.showChoices(v, &a, false)
	return a
}

// unweighed names the stations that no level is weighed by, for they are not read.
func (h *hearing) unweighed(v View) []string {
	if left := v.unread(); len(left) > 0 {
		return []string{h.say("choice.unread", len(left), h.list(left))}
	}
	return nil
}

// Unweighed says on a picture of the levels which stations they are not weighed
// by, for those are not read: "not read, not weighed: c1+4, c1+8"; "" for none.
func (v View) Unweighed(lang string) string {
	if left := v.unread(); len(left) > 0 {
		return Say(lang, "paper.choices.unread", v.SayStations(lang, left))
	}
	return ""
}

// grindCost sets what grinding counts against shimming.
func (h *hearing) grindCost(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.CostArg)
	if !ok {
		return h.refuse(m)
	}
	h.emit(PlanSet{What: FigureGrindCost, Count: arg.Hundredths})
	return h.weighedAnew(h.say("grind.cost", decimal.New(arg.Hundredths, -2).String()))
}

// grindMost sets how much may be ground off a spot.
func (h *hearing) grindMost(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.LimitArg)
	if !ok {
		return h.refuse(m)
	}
	h.emit(PlanSet{What: FigureGrindMost, Length: arg.Length})
	if arg.Length == 0 {
		return h.weighedAnew(h.say("grind.none"))
	}
	a := h.weighedAnew(h.say("grind.most", h.measure(arg.Length)))
	if h.once("caution.dust") {
		a.lines = append(a.lines, h.say("caution.dust"))
	}
	return a
}

// shimMost sets how much may be put under at a spot.
func (h *hearing) shimMost(m phrase.Meaning) answer {
	arg, ok := m.Arg.(phrase.LimitArg)
	if !ok {
		return h.refuse(m)
	}
	h.emit(PlanSet{What: FigureShimMost, Length: arg.Length, Clear: arg.None})
	if arg.None {
		return h.weighedAnew(h.say("shim.any"))
	}
	return h.weighedAnew(h.say("shim.most", h.measure(arg.Length)))
}

// weighedAnew tells what a new rule makes of the datum, or of the levels to
// choose from.
func (h *hearing) weighedAnew(line string) answer {
	a := answer{lines: []string{line}, next: true}
	if h.job.Datum == nil {
		if !h.job.walking() {
			v := h.job.View()
			a.lines = append(a.lines, h.unweighed(v)...)
			h.offerDatum(v, &a, false)
		}
		return a
	}
	v := h.job.View()
	if v.Level == nil {
		return a
	}
	if c := v.Datum.Choice; c == reduce.DatumFewest || c == reduce.DatumLeast {
		a.lines, a.picture = append(a.lines, h.datumLine(v)), true
	}
	a.lines = append(a.lines, h.verdicts(v)...)
	return a
}

// pastLimits says which moves of the datum are beyond what may be ground and
// shimmed, and what it would take to allow them. It is about the concrete: what
// stands too high on shims or on the plate is brought down by taking shims out.
func (h *hearing) pastLimits(v View) []string {
	if h.job.Surface != "concrete" {
		return nil
	}
	rules := h.job.LevelRules()
	high, low := 0, 0
	var grind, shim reduce.Length
	for _, s := range v.Stations {
		switch {
		case s.Verdict == reduce.Lower && -*s.Move > rules.Grind:
			high, grind = high+1, max(grind, -*s.Move)
		case s.Verdict == reduce.Raise && rules.Shim > 0 && *s.Move > rules.Shim:
			low, shim = low+1, max(shim, *s.Move)
		}
	}
	// What it would take must be enough as it is shown.
	enough := func(l reduce.Length) string {
		f := h.job.Finest
		return h.amount((l + f - 1) / f * f)
	}
	var out []string
	if c := v.Datum.Choice; c == reduce.DatumFewest || c == reduce.DatumLeast {
		if tops, ok := reduce.NewTops(v.spotsOf(h.job.DatumRound)); ok && !tops.At(*v.Level, rules).Obeys() {
			out = append(out, h.say("choice.none"))
		}
	}
	switch {
	case high > 0 && rules.Grind == 0:
		out = append(out, h.say("limit.nogrind", high, enough(grind)))
	case high > 0:
		out = append(out, h.say("limit.grind", high, h.measure(rules.Grind), enough(grind)))
	}
	if low > 0 {
		out = append(out, h.say("limit.shim", low, h.measure(rules.Shim), enough(shim)))
	}
	return out
}
