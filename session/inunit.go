package session

import "rodcall/reduce"

// inUnit is a figure with the word of its unit: "3/8 in", "0.03 pies".
func inUnit(lang string, u reduce.Unit, figure string) string {
	return Say(lang, Key("figure."+u.String()), figure)
}

// inMark is a figure in what plans are measured in, feet or metres: "14.4 ft".
func inMark(lang string, mark reduce.Length, figure string) string {
	if mark == reduce.Metre {
		return Say(lang, "figure.m", figure)
	}
	return inUnit(lang, reduce.UnitFoot, figure)
}
