package phrase_test

import (
	"testing"

	"rodcall/reduce"
)

// TestUnitsOfTheJob: what a number without a unit counts in, in jobs that
// count in decimal feet and in millimetres. Ours, by the logic of the tables.
func TestUnitsOfTheJob(t *testing.T) {
	for _, k := range []struct {
		rod  reduce.RodKind
		unit reduce.Unit
		rows []row
	}{
		{reduce.Direct, reduce.UnitFoot, []row{
			{"-0.03", ".", "reading", "-9.144", ""}, {"0.02 high", ".", "reading", "6.096", ""}, {".05 low", ".", "reading", "-15.24", ""},
			{"c3 -0.03", "c3", "reading", "-9.144", ""}, {"c3 +0.03", "c3", "reading", "9.144", ""}, {"-0,03", ".", "reading", "-9.144", ""},
			{"-3/8", ".", "reading", "-9.525", ""}, {"-1", ".", "reading", "-304.8", ""}, {"0.03", ".", "ask", "", ""}, {"-3", ".", "refuse", "", ""},
			{"0.02 up", ".", "ask", "", ""}, {"raise 0.02", ".", "reading", "-6.096", ""},
		}},
		{reduce.Direct, reduce.UnitMillimetre, []row{
			{"-9", ".", "reading", "-9", ""}, {"9 low", ".", "reading", "-9", ""}, {"9 bajo", ".", "reading", "-9", ""}, {"-9,5", ".", "reading", "-9.5", ""},
			{"nueve bajo", ".", "reading", "-9", ""}, {"five mil low", ".", "reading", "-5", ""}, {"-1 cm", ".", "reading", "-10", ""}, {"9", ".", "ask", "", ""},
			{"-400", ".", "refuse", "", ""}, {"5 heavy low", ".", "ask", "", ""}, {"-3/8 in", ".", "reading", "-9.525", ""},
		}},
		{reduce.Standard, reduce.UnitMillimetre, []row{
			{"1412", ".", "reading", "1412", ""}, {"1.412 m", ".", "reading", "1412", ""}, {"1,412", ".", "ask", "", ""}, {"1.412", ".", "ask", "", ""},
			{"c2 1412", "c2", "reading", "1412", ""}, {"-1412", ".", "ask", "", ""}, {"9000", ".", "refuse", "", ""},
		}},
		{reduce.Standard, reduce.UnitFoot, []row{
			{"4.62", ".", "reading", "1408.176", ""}, {"4,62", ".", "reading", "1408.176", ""}, {"c2 4.62", "c2", "reading", "1408.176", ""},
			{"4' 7\"", ".", "reading", "1397", ""}, {"26.1", ".", "refuse", "", ""},
		}},
	} {
		for _, r := range k.rows {
			checkRow(t, yard(t, k.rod, k.unit), r)
		}
	}
}
