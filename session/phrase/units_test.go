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
			{"-3/8", ".", "reading", "-9.525", ""}, {"-1", ".", "reading", "-304.8", ""}, {"0.03", ".", "ask", "", ""}, {"c1+.03", ".", "ask", "", "c1 +.03"}, {"-3", ".", "refuse", "", ""},
			{"0.02 up", ".", "ask", "", "0.02 ft low | 0.02 ft high"}, {"raise 0.02", ".", "reading", "-6.096", ""},
		}},
		{reduce.Direct, reduce.UnitMillimetre, []row{
			{"-9", ".", "reading", "-9", ""}, {"9 low", ".", "reading", "-9", ""}, {"9 bajo", ".", "reading", "-9", ""}, {"-9,5", ".", "reading", "-9.5", ""},
			{"nueve bajo", ".", "reading", "-9", ""},
			{"9 1/2 low", ".", "ask", "", "9.5 mm low | 9 1/2 in low"}, {"nueve y medio bajo", ".", "ask", "", "9.5 mm bajo | 9 1/2 in bajo"},
			{"c2 +3", "c2", "ask", "", "c2 3 mm high"}, {"9 to 10 low", ".", "ask", "", "9 mm low | 10 mm low"}, {"five mil low", ".", "reading", "-5", ""}, {"-1 cm", ".", "reading", "-10", ""}, {"9", ".", "ask", "", ""},
			{"2 up", ".", "ask", "", "2 mm low | 2 mm high"}, {"20 or so", ".", "ask", "", "20 mm low | 20 mm high"}, {"about 3 low", ".", "ask", "", "3 mm low"},
			{"3 low high", ".", "ask", "", "3 mm low | 3 mm high"}, {"c3 2 arriba o abajo", "c3", "ask", "", "c3 2 mm bajo | c3 2 mm alto"},
			{"-400", ".", "refuse", "", ""}, {"5 heavy low", ".", "ask", "", "5 mm low | 5 mm high"}, {"-3/8 in", ".", "reading", "-9.525", ""},
		}},
		{reduce.Standard, reduce.UnitMillimetre, []row{
			{"1412", ".", "reading", "1412", ""}, {"1.412 m", ".", "reading", "1412", ""}, {"1,412", ".", "ask", "", ""}, {"1.412", ".", "ask", "", ""},
			{"c2 1412", "c2", "reading", "1412", ""}, {"-1412", ".", "ask", "", ""}, {"9000", ".", "refuse", "", ""},
			{"mil cuatrocientos doce", ".", "reading", "1412", ""}, {"dos mil trescientos cuarenta y cinco", ".", "reading", "2345", ""},
			{"esquina dos mil cuatrocientos doce", "c2", "reading", "1412", ""}, {"one thousand four hundred and twelve", ".", "reading", "1412", ""},
			{"fourteen hundred twelve", ".", "reading", "1412", ""}, {"uno punto cuatro uno dos metros", ".", "reading", "1412", ""},
			{"1412 and a half", ".", "ask", "", "1412.5 mm"}, {"one four one two", ".", "refuse", "", ""},
			{"dos mil", ".", "ask", "", "2000 | 2 mm"}, {"dos mil cien", ".", "reading", "2100", ""}, {"metro y medio", ".", "reading", "1500", ""}, {"14 12", ".", "refuse", "", ""},
			{"about 1412", ".", "ask", "", "1412 mm"}, {"26 ft", ".", "refuse", "", ""}, {"300", ".", "reading", "300", ""},
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

// TestFeetPastACornerInMetres: in a job whose walls are marked in metres, feet
// past a corner are never a station by themselves.
func TestFeetPastACornerInMetres(t *testing.T) {
	c := yard(t, reduce.Direct, reduce.UnitMillimetre)
	o := *c.Outline
	o.Grid = reduce.GridFor(reduce.UnitMillimetre)
	c.Outline = &o
	for _, r := range []row{
		{"c1+3'6\" 1/8 low", ".", "ask", "", "c1+1.0668 1/8 low"}, {"c1 + 3 ft 6 in 1/8 low", ".", "ask", "", "c1+1.0668 1/8 low"},
		{"c1+2'-6\" -1/4", ".", "ask", "", "c1+0.762 -1/4"}, {"c1+3'6\"", ".", "refuse", "", ""}, {"3'6\" past c1 1/8 low", ".", "ask", "", "c1+1.0668 1/8 low"},
		{"c1+100'6\" 1/8 low", ".", "refuse", "", ""},
	} {
		checkRow(t, c, r)
	}
}
