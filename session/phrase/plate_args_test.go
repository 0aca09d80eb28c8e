package phrase_test

import (
	"fmt"
	"strings"
	"testing"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// TestPlateSettings: what is said of the plate, and what is heard, on a
// foundation of 40 x 28 ft. Lengths are in mm.
func TestPlateSettings(t *testing.T) {
	metric := yard(t, reduce.Direct, reduce.UnitMillimetre)
	o, err := reduce.Outline{Grid: reduce.GridFor(reduce.UnitMillimetre)}.WithLoop("", reduce.Point{}, reduce.Rectangle(12*reduce.Metre, 8*reduce.Metre))
	if err != nil {
		t.Fatal(err)
	}
	metric.Outline = &o
	jobs := map[string]phrase.Context{
		"in": yard(t, reduce.Direct, reduce.UnitInch), "ft": yard(t, reduce.Standard, reduce.UnitFoot), "mm": metric,
	}
	for _, c := range []struct{ job, text, want string }{
		{"in", "bearing 16", "bearing 406.4"}, {"in", "joists every 24 in", "bearing 609.6"}, {"in", "studs 16 oc", "bearing 406.4"},
		{"in", "bearing 19.2", "bearing 487.68"}, {"in", "bearing every 2 ft", "bearing 609.6"}, {"ft", "bearing 16", "bearing 406.4"},
		{"mm", "bearing 400", "bearing 400"}, {"in", "apoyos cada 16", "bearing 406.4 es"}, {"in", "vigas cada 60 cm", "bearing 600 es"},
		{"in", "bearing none", "bearing none"}, {"in", "bearing 0", "why not-positive"}, {"in", "bearing wide", "why command-form"},
		{"in", "bearing -16", "why command-form"}, {"in", "bearing", "why command-form"},

		{"in", "bend 1/16 in 8 ft", "bend 1.5875/2438.4"}, {"in", "bend 1/16 in in 8 ft", "bend 1.5875/2438.4"}, {"in", "bend 1/8 under 10", "bend 3.175/3048"},
		{"in", "bend at most 1/16 inch per 8'", "bend 1.5875/2438.4"}, {"mm", "bend 2 in 2.5 m", "bend 2/2500"}, {"mm", "bend 2 mm under 2.5", "bend 2/2500"},
		{"in", "flexión 1/16 en 8 pies", "bend 1.5875/2438.4 es"}, {"ft", "bend 0.005 in 8", "bend 1.524/2438.4"}, {"in", "bend none", "bend none"},
		{"in", "bend 0 in 8 ft", "bend 0/2438.4"}, {"in", "bend 1/16", "why command-form"}, {"in", "bend 1/16 in 0 ft", "why not-positive"},
		{"in", "bend a little in 8 ft", "why command-form"},

		{"in", "bolts at c1+2 c1+8", "bolt places c1+2 c1+8"}, {"in", "bolts at c1+2, c1+8 and c1+14", "bolt places c1+2 c1+8 c1+14"},
		{"in", "pernos en c1+2 y c1+8", "bolt places c1+2 c1+8 es"}, {"in", "bolts at c1+40", "bolt places c2"}, {"mm", "bolts at c1+0.3", "bolt places c1+0.3"},
		{"in", "bolts every 6", "bolt places every 1828.8"}, {"in", "bolts every 6 ft", "bolt places every 1828.8"}, {"in", "bolts every 72 in", "bolt places every 1828.8"},
		{"in", "bolts every 4'", "bolt places every 1219.2"}, {"mm", "bolts every 1.8", "bolt places every 1800"}, {"in", "pernos cada 6", "bolt places every 1828.8 es"},
		{"in", "no bolts", "bolt places none"}, {"in", "bolts at none", "bolt places none"}, {"in", "bolts none", "bolt places none"}, {"in", "sin pernos", "bolt places none es"},
		{"in", "bolts at c9", "why no-station"}, {"in", "bolts at c1+41", "why past-end"}, {"in", "bolts at p1", "why command-form"}, {"in", "bolts at", "why command-form"},
		{"in", "bolts at c1+2 c1+", "why command-form"}, {"in", "bolts every 0", "why not-positive"}, {"in", "bolts every other", "why command-form"},
		{"in", "bolts tight", "bolts tight"}, {"in", "bolts loose", "bolts loose"},

		{"in", "posts c2+8", "posts c2+8"}, {"in", "post at c2+8", "posts c2+8"}, {"in", "postes c2+8", "posts c2+8 es"}, {"in", "posts none", "posts none"},
		{"in", "no posts", "posts none"}, {"in", "posts everywhere", "why command-form"},
		{"in", "splices c1+16 c1+32", "splices c1+16 c1+32"}, {"in", "splice at c1+16", "splices c1+16"}, {"in", "empalmes c1+16", "splices c1+16 es"},
		{"in", "no splices", "splices none"}, {"in", "splices bm", "why command-form"},
	} {
		ctx := jobs[c.job]
		m := phrase.Parse(ctx, c.text)
		got := "why " + string(m.Why.Code)
		if m.Kind == phrase.Command {
			got = string(m.Command) + " " + sayPlate(m.Arg, ctx.Outline.Grid.Mark)
			if m.Lang == "es" {
				got += " es"
			}
		}
		if got != c.want {
			t.Errorf("%s, %q: %s, want %s", c.job, c.text, got, c.want)
		}
	}
}

func sayPlate(arg phrase.Arg, mark reduce.Length) string {
	switch a := arg.(type) {
	case phrase.FigureArg:
		switch {
		case a.Clear:
			return "none"
		case a.Run > 0:
			return a.Length.String() + "/" + a.Run.String()
		}
		return a.Length.String()
	case phrase.PlacesArg:
		switch {
		case a.Clear:
			return "none"
		case a.Every > 0:
			return "every " + a.Every.String()
		}
		var names []string
		for _, s := range a.At {
			names = append(names, s.Name(mark))
		}
		return strings.Join(names, " ")
	}
	return fmt.Sprint(arg)
}
