package phrase

import (
	"strconv"
	"strings"

	"rodcall/reduce"
)

// AmountWords is an amount as it is said aloud, in words of the table, and read
// again: "three eighths", "two inches", "uno y tres octavos". The side is left
// to the caller.
func AmountWords(lang string, unit reduce.Unit, a reduce.Amount) string {
	lang = tableLang(lang)
	said := a.Figure
	switch {
	case unit != reduce.UnitInch:
		said += " " + unitWord(lang, unit, a.Figure)
	case strings.Contains(a.Figure, "/"):
		said = mixedWords(lang, a.Figure)
	default:
		said = wholeWords(lang, a.Figure) + " " + unitWord(lang, unit, a.Figure)
	}
	switch {
	case a.Shade > 0:
		said += " " + textOf(lang, HeavyWord)
	case a.Shade < 0:
		said += " " + textOf(lang, ShyWord)
	}
	return said
}

// RodWords is a figure of a standard rod, as reduce.Unit.RodFigure shows it, as
// it is said aloud: "four feet seven and three eighths inches".
func RodWords(lang string, unit reduce.Unit, figure string) string {
	lang = tableLang(lang)
	if unit != reduce.UnitInch {
		return figure + " " + unitWord(lang, unit, figure)
	}
	feet, inches, _ := strings.Cut(strings.TrimSuffix(figure, `"`), "' ")
	said := ""
	if feet != "0" {
		said = wholeWords(lang, feet) + " " + unitWord(lang, reduce.UnitFoot, feet) + " "
	}
	return said + mixedWords(lang, inches) + " " + unitWord(lang, unit, inches)
}

func tableLang(lang string) string {
	if lang == "es" {
		return lang
	}
	return "en"
}

// mixedWords is "3/8", "1 3/8" or "7" in words. A half in Spanish is said with
// its unit, for "medio bajo" is "rather low".
func mixedWords(lang, figure string) string {
	whole, fraction, both := strings.Cut(figure, " ")
	if !both {
		if whole, fraction = "", figure; !strings.Contains(figure, "/") {
			return wholeWords(lang, figure)
		}
	}
	num, den, _ := strings.Cut(fraction, "/")
	n, _ := strconv.ParseInt(num, 10, 64)
	d, _ := strconv.ParseInt(den, 10, 64)
	if lang != "es" || n < 30 {
		num = wholeWords(lang, num) // "treinta y tres" parts may be 30 and three
	}
	said := num + " " + partWord(lang, d, n != 1)
	if lang == "es" && n == 1 {
		said = textOf(lang, Article) + " " + partWord(lang, d, false)
		if d == 2 {
			said = "media" // of the inch
			if whole == "" {
				said += " " + unitWord(lang, reduce.UnitInch, "1")
			}
		}
	}
	if whole == "" {
		return said
	}
	return wholeWords(lang, whole) + " " + textOf(lang, AndWord) + " " + said
}

// wholeWords is a whole number in words, up to 99; others keep their digits,
// which a voice reads as well.
func wholeWords(lang, figure string) string {
	n, err := strconv.ParseInt(figure, 10, 64)
	if err != nil || n > 99 {
		return figure
	}
	if w := numberWord(lang, n); w != "" {
		return w
	}
	tens, ones := numberWord(lang, n/10*10), numberWord(lang, n%10)
	switch {
	case n < 20 || tens == "" || ones == "":
		return figure
	case lang == "es":
		return tens + " " + textOf(lang, AndWord) + " " + ones
	}
	return tens + " " + ones
}

func numberWord(lang string, n int64) string {
	for _, w := range words {
		if w.Class == Cardinal && w.Lang == lang && w.Num == n {
			return w.Text
		}
	}
	return ""
}

// partWord is the word for a part, "eighth" or "eighths"; of two the one that is
// written in words of its own, as it is spoken.
func partWord(lang string, den int64, many bool) string {
	best := ""
	for _, w := range words {
		if w.Class != Part || w.Lang != lang || w.Num != den || strings.HasSuffix(w.Text, "s") != many {
			continue
		}
		if best == "" || strings.Contains(w.Text, " ") && !strings.Contains(best, " ") {
			best = w.Text
		}
	}
	return best
}

// unitWord is the word for a unit behind a figure: "inch" behind 1 and "inches"
// behind all others.
func unitWord(lang string, unit reduce.Unit, figure string) string {
	lengths := map[reduce.Unit]reduce.Length{reduce.UnitInch: reduce.Inch, reduce.UnitFoot: reduce.Foot, reduce.UnitMillimetre: reduce.Millimetre}
	one := figure == "1" || strings.HasPrefix(figure, "1/") && unit == reduce.UnitInch
	word := map[[2]string][2]string{
		{"en", "in"}: {"inch", "inches"}, {"en", "ft"}: {"foot", "feet"}, {"en", "mm"}: {"millimeter", "millimeters"},
		{"es", "in"}: {"pulgada", "pulgadas"}, {"es", "ft"}: {"pie", "pies"}, {"es", "mm"}: {"milimetro", "milimetros"},
	}[[2]string{lang, unit.String()}]
	at := 1
	if one {
		at = 0
	}
	for _, w := range words {
		if w.Class == UnitWord && w.Lang == lang && w.Length == lengths[unit] && w.Text == word[at] {
			return strings.Replace(w.Text, "milimetro", "milímetro", 1) // the table is in folded spelling
		}
	}
	return unit.String()
}
