package phrase

import (
	"strconv"
	"strings"

	"rodcall/reduce"
)

// finish puts a meaning into its last form: a question has an answer to tap,
// else it is a refusal; where one answer is left, the question is whether that
// was meant; and a reason that shows an example shows one for this rod.
func (c Context) finish(m Meaning) Meaning {
	if m.Kind == Ask && !c.trying {
		switch {
		case len(m.Answers) == 0:
			m.Kind = Refuse
			switch code := m.Why.Code; {
			case code == WhyNoAmount, code == WhyGood, code == WhyRodNumber, code == WhyTwoStations, code == WhyFeetOrInches && c.Unit == reduce.UnitInch:
			default:
				m.Why = Why{WhyNotUnderstood, []string{m.Said}}
			}
		case len(m.Answers) == 1 && choices[m.Why.Code]:
			m.Why = Why{WhyMeant, []string{m.Said, m.Answers[0]}}
		}
	}
	if exampled[m.Why.Code] {
		m.Why.Args = append(m.Why.Args, c.Example())
	}
	return m
}

// choices are the reasons whose sentence asks which of several was meant.
var choices = map[WhyCode]bool{
	WhyTwoWays: true, WhyTwoAmounts: true, WhyTwoStations: true, WhyTwoSides: true, WhyMeant: true, WhyFeetOrInches: true, WhyMetres: true,
}

// exampled are the reasons whose last argument is an example of a reading.
var exampled = map[WhyCode]bool{
	WhyNotUnderstood: true, WhyNoAmount: true, WhyGood: true, WhyUnsure: true, WhyNoPart: true, WhyReach: true, WhyTooFine: true,
	WhyInches: true, WhyNoStation: true, WhyPastEnd: true, WhyTooLong: true, WhyTwoStations: true,
}

// Example is a reading that this rod can show, as it may be sent in any
// language.
func (c Context) Example() string {
	standard := c.Rod == reduce.Standard
	switch c.Unit {
	case reduce.UnitMillimetre:
		if standard {
			return "1412"
		}
		return "-9"
	case reduce.UnitFoot:
		if standard {
			return "4.62"
		}
		return "-0.03"
	case reduce.UnitInch:
	}
	if standard {
		return "4' 7 3/8\""
	}
	return "-3/8"
}

// small offers small amounts where a line has a side and no amount: the
// finest, its double and their double.
func (c Context) small(m Meaning, prefix string, s scan) []string {
	if c.Rod == reduce.Standard || c.trying || c.Finest <= 0 {
		return nil
	}
	side, ok := s.side()
	var out []string
	for _, n := range []reduce.Length{1, 2, 4} {
		text := strings.TrimPrefix(SayAmount(m.Lang, c.Unit, c.Unit.Amount(n*c.Finest, c.Finest)), "+")
		if !strings.ContainsAny(text, "/.") {
			text += " " + c.Unit.String()
		}
		if side == 0 || !ok || s.not != "" || s.either != "" {
			return append(c.answers(m, prefix, text, 0), out...)
		}
		out = append(out, c.sided(m, prefix, text, scan{sides: []int{side}})...)
	}
	return out
}

// threeNumbers reads three numbers side by side as whole inches and a
// fraction: 1 3 8 is 1 3/8. It is "" where they are none.
func threeNumbers(all []amount) string {
	if len(all) != 3 {
		return ""
	}
	for _, a := range all {
		if !a.bare || !a.whole {
			return ""
		}
	}
	num, den := all[1].dec.IntPart(), all[2].dec.IntPart()
	if !shownParts[den] || num < 1 || num >= den {
		return ""
	}
	return all[0].text + " " + strconv.FormatInt(num, 10) + "/" + strconv.FormatInt(den, 10)
}
