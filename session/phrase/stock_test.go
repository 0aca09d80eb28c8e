package phrase_test

import (
	"fmt"
	"strings"
	"testing"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// argText is a command's argument in short, lengths in millimetres.
func argText(a phrase.Arg) string {
	var out []string
	switch a := a.(type) {
	case phrase.StockArg:
		for _, s := range a.Sizes {
			n := fmt.Sprint("x", s.Count)
			if s.Plenty {
				n = "plenty"
			}
			out = append(out, s.Size.String()+" "+n)
		}
		if a.Clear {
			out = append(out, "none")
		}
	case phrase.CountArg:
		out = append(out, fmt.Sprint(a.Count, a.Clear))
	case phrase.BagArg:
		out = append(out, fmt.Sprint(a.Millilitres, " ml"))
	case phrase.LengthArg:
		out = append(out, a.Length.String())
	case phrase.Text:
		out = append(out, string(a))
	case phrase.StationArg:
		out = append(out, a.Station.Name(reduce.Foot))
	case phrase.ShimmedArg:
		for _, s := range a.Stations {
			out = append(out, s.Name(reduce.Foot))
		}
		if !a.To.IsZero() {
			out = append(out, "to "+a.To.Name(reduce.Foot))
		}
		if a.All {
			out = append(out, "all")
		}
		if a.Out {
			out = append(out, "out")
		}
		if a.None {
			out = append(out, "none")
		}
		if a.Amount != 0 {
			out = append(out, "by "+a.Amount.String())
		}
	}
	return strings.Join(out, ", ")
}

// TestShimWords: what is said about shims, as crews may write it.
func TestShimWords(t *testing.T) {
	const (
		in = reduce.UnitInch
		mm = reduce.UnitMillimetre
		ft = reduce.UnitFoot
	)
	for _, c := range []struct {
		unit    reduce.Unit
		message string
		command phrase.CommandName
		want    string
	}{
		{in, "stock 1/16 x20, 1/8 x40, 1/4", phrase.CmdStock, "1.5875 x20, 3.175 x40, 6.35 plenty"},
		{in, "stock 1/16 x 20; 1/8 x40 and 1/4 plenty", phrase.CmdStock, "1.5875 x20, 3.175 x40, 6.35 plenty"},
		{in, "stock 1/16x20,1/8x40,1/4", phrase.CmdStock, "1.5875 x20, 3.175 x40, 6.35 plenty"},
		{in, "stock 20 of 1/16, 40 pieces of 1/8", phrase.CmdStock, "1.5875 x20, 3.175 x40"},
		{in, "stock 20 x 1/16", phrase.CmdStock, "1.5875 x20"},
		{in, "stock 1/16 x0", phrase.CmdStock, "1.5875 x0"},
		{in, "stock 3 mm x10, 1 1/2 in x2", phrase.CmdStock, "3 x10, 38.1 x2"},
		{ft, "stock 1/16 x20, 1/4", phrase.CmdStock, "1.5875 x20, 6.35 plenty"},
		{mm, "stock 1 x20, 2 x30, 5", phrase.CmdStock, "1 x20, 2 x30, 5 plenty"},
		{mm, "existencias 0,5 mm x20, 2", phrase.CmdStock, "0.5 x20, 2 plenty"},
		{in, "existencias 20 de 1/16, 40 piezas de 1/8 y 1/4 muchas", phrase.CmdStock, "1.5875 x20, 3.175 x40, 6.35 plenty"},
		{in, "stock none", phrase.CmdStock, "none"},
		{in, "existencias ninguna", phrase.CmdStock, "none"},
		{in, "stock", phrase.CmdStock, ""},
		{in, "stack at most 3", phrase.CmdStackMost, "3 false"},
		{in, "apilar a lo más 3 piezas", phrase.CmdStackMost, "3 false"},
		{in, "stack at most ours", phrase.CmdStackMost, "0 true"},
		{in, "spares 15 %", phrase.CmdSpares, "15 false"},
		{in, "repuestos 5 por ciento", phrase.CmdSpares, "5 false"},
		{in, "spares none", phrase.CmdSpares, "0 false"},
		{in, "grout 0.5 ft3 a bag", phrase.CmdGrout, "14158 ml"}, // 0.5 × 28316.846592
		{in, "grout 0.5 ft³", phrase.CmdGrout, "14158 ml"},
		{in, "grout 0.4", phrase.CmdGrout, "11327 ml"}, // 11326.7386368
		{mm, "grout 12", phrase.CmdGrout, "12000 ml"},
		{mm, "mortero 12,5 litros por saco", phrase.CmdGrout, "12500 ml"},
		{in, "plate width 5 1/2", phrase.CmdPlateWidth, "139.7"},
		{mm, "ancho de solera 140", phrase.CmdPlateWidth, "140"},
		{in, "shims", phrase.CmdShims, ""},
		{in, "shims c3", phrase.CmdShims, "c3"},
		{in, "shims all", phrase.CmdShims, "all"},
		{in, "calzas todas", phrase.CmdShims, "all"},
		{in, "start shimming", phrase.CmdShimFrom, ""},
		{in, "calzar desde c3+8", phrase.CmdShimFrom, "c3+8"},
		{in, "shimmed", phrase.CmdShimmed, "c1+8"},
		{in, "shimmed c3+8", phrase.CmdShimmed, "c3+8"},
		{in, "shimmed corner three", phrase.CmdShimmed, "c3"},
		{in, "shimmed c3+8 c4 c4+4", phrase.CmdShimmed, "c3+8, c4, c4+4"},
		{in, "shimmed c3+8, c4 and p1", phrase.CmdShimmed, "c3+8, c4, p1"},
		{in, "shimmed c3 to c4", phrase.CmdShimmed, "c3, to c4"},
		{in, "shimmed c3+40 to c4+8", phrase.CmdShimmed, "c4, to c4+8"},
		{in, "calzado c3 hasta c4", phrase.CmdShimmed, "c3, to c4"},
		{in, "shimmed c3+8 1/4", phrase.CmdShimmed, "c3+8, by 6.35"},
		{in, "shimmed c3+8 1 1/16 in", phrase.CmdShimmed, "c3+8, by 26.9875"},
		{in, "calcé c3+8 6 mm", phrase.CmdShimmed, "c3+8, by 6"},
		{in, "shimmed c3+9'4\"", phrase.CmdShimmed, "c3+9.3333"},
		{in, "shimmed 1/4", phrase.CmdShimmed, "by 6.35"},
		{in, "shimmed all", phrase.CmdShimmed, "all"},
		{in, "c3+8 shimmed", phrase.CmdShimmed, "c3+8"},
		{in, "c3+8 shimmed 1/4", phrase.CmdShimmed, "c3+8, by 6.35"},
		{in, "shimmed c3+8 -1/8", phrase.CmdShimmed, "c3+8, out, by 3.175"},
		{in, "c3+8 took out 1/8", phrase.CmdShimmed, "c3+8, out, by 3.175"},
		{in, "took out c3+8 1/8", phrase.CmdShimmed, "c3+8, out, by 3.175"},
		{in, "took out 1/8 at c3+8", phrase.CmdShimmed, "c3+8, out, by 3.175"},
		{in, "took out c3+8", phrase.CmdShimmed, "c3+8, out"},
		{in, "took out c3+8 all", phrase.CmdShimmed, "c3+8, out, none"},
		{in, "unshim c3+8", phrase.CmdShimmed, "c3+8, out, none"},
		{in, "unshim c3+8 1/8", phrase.CmdShimmed, "c3+8, out, by 3.175"},
		{in, "saqué 1/8 en c3+8", phrase.CmdShimmed, "c3+8, out, by 3.175"},
		{in, "sacamos 1/8 de c3+8", phrase.CmdShimmed, "c3+8, out, by 3.175"},
		{in, "c3+8 saqué 1/8", phrase.CmdShimmed, "c3+8, out, by 3.175"},
		{in, "quita calzas c3+8", phrase.CmdShimmed, "c3+8, out, none"},
		{in, "quita calzas de c3+8", phrase.CmdShimmed, "c3+8, out, none"},
		{in, "shimmed c3+8 0", phrase.CmdShimmed, "c3+8, none"},
		{in, "shimmed c3+8 none", phrase.CmdShimmed, "c3+8, none"},
		{in, "calzado c3+8 nada", phrase.CmdShimmed, "c3+8, none"},
	} {
		m := phrase.Parse(yard(t, reduce.Direct, c.unit), c.message)
		if got := argText(m.Arg); m.Kind != phrase.Command || m.Command != c.command || got != c.want {
			t.Errorf("%q: %s %s %q, want %q (%v)", c.message, phrase.KindName(m), m.Command, got, c.want, m.Why)
		}
	}
}

// TestShimWordsRefused: bad input, each with its reason.
func TestShimWordsRefused(t *testing.T) {
	for message, code := range map[string]phrase.WhyCode{
		"stock foo":                    phrase.WhyCommandForm,
		"stock 1/8 x-2":                phrase.WhyCommandForm,
		"stock 1/8 x20, 1/8":           phrase.WhyShimSizes,
		"stock 5 in":                   phrase.WhyShimSizes,
		"stock 0 x20":                  phrase.WhyShimSizes,
		"stock 1/8 x2000000":           phrase.WhyBetween,
		"stock 1/8 x99999999999999999": phrase.WhyBetween,
		"stock 1, 2, 3, 1/2, 1/4, 3/4, 1/8, 3/8, 5/8, 7/8, 1/16": phrase.WhyShimSizes,
		"stack at most 0":          phrase.WhyBetween,
		"stack at most 9":          phrase.WhyBetween,
		"stack at most -1":         phrase.WhyBetween,
		"stack at most two":        phrase.WhyCommandForm,
		"spares 101":               phrase.WhyBetween,
		"spares lots":              phrase.WhyCommandForm,
		"grout 900 ft3":            phrase.WhyBetween,
		"grout 0":                  phrase.WhyBetween,
		"grout a lot":              phrase.WhyCommandForm,
		"plate width 30":           phrase.WhyBetween,
		"shimmed c9":               phrase.WhyNoStation,
		"shimmed c3+90":            phrase.WhyPastEnd,
		"shimmed c3 to":            phrase.WhyCommandForm,
		"shimmed c3 to c4 to c1":   phrase.WhyCommandForm,
		"shimmed to c3":            phrase.WhyCommandForm,
		"shimmed c3 c4 to c1":      phrase.WhyCommandForm,
		"shimmed c3+8 and a bit":   phrase.WhyCommandForm,
		"took out c3+8 0":          phrase.WhyNotPositive,
		"took out c3+8 -1/8":       phrase.WhyNotPositive,
		"took out 1/8":             phrase.WhyCommandForm,
		"shimmed c3+8 6 ft":        phrase.WhyBetween,
		"shims c9":                 phrase.WhyNoStation,
		"shim from nowhere":        phrase.WhyCommandForm,
		"stock 1/8 x2 x3":          phrase.WhyCommandForm,
		"existencias 20 de madera": phrase.WhyCommandForm,
	} {
		m := phrase.Parse(yard(t, reduce.Direct, reduce.UnitInch), message)
		if m.Kind != phrase.Refuse || m.Why.Code != code {
			t.Errorf("%q: %s %v %v, want %s", message, phrase.KindName(m), m.Why, argText(m.Arg), code)
		}
	}
}
