// Stand-ins so that the rooms above compile: delete this file when the real ones land.

package phrase

import "rodcall/reduce"

const WhyStationOnly WhyCode = "station-only"

func SayAmount(lang string, u reduce.Unit, a reduce.Amount) string { return a.Figure }
func ParseLength(c Context, s string) (reduce.Length, Why, bool)   { return 0, Why{}, false }
