package phrase_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// mixedForm writes sixty-fourths of an inch in lowest terms: "1", "3/8"; whole
// inches and fraction stand apart by sep.
func mixedForm(n int64, sep string) string {
	whole, num, den := n/64, n%64, int64(64)
	if num == 0 {
		return fmt.Sprint(whole)
	}
	for num%2 == 0 {
		num, den = num/2, den/2
	}
	if whole == 0 {
		return fmt.Sprintf("%d/%d", num, den)
	}
	return fmt.Sprintf("%d%s%d/%d", whole, sep, num, den)
}

var numberWords = strings.Fields("zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen")

var spanishWords = strings.Fields("cero uno dos tres cuatro cinco seis siete ocho nueve diez once doce trece catorce quince")

// inWords writes eighths and sixteenths of an inch as they are said; ok is
// false for what has finer parts.
func inWords(n int64, spanish bool) (s string, ok bool) {
	whole, num, den := n/64, n%64, int64(64)
	for num > 0 && num%2 == 0 {
		num, den = num/2, den/2
	}
	words, and, inches := numberWords, " and ", " inches"
	parts := map[int64][2]string{2: {"half", ""}, 4: {"quarter", "quarters"}, 8: {"eighth", "eighths"}, 16: {"sixteenth", "sixteenths"}}
	one := map[int64]string{2: "a ", 4: "a ", 8: "an ", 16: "a "}
	if spanish {
		words, and, inches = spanishWords, " y ", " pulgadas"
		parts = map[int64][2]string{2: {"medio", ""}, 4: {"cuarto", "cuartos"}, 8: {"octavo", "octavos"}, 16: {"dieciseisavo", "dieciseisavos"}}
		one = map[int64]string{2: "un ", 4: "un ", 8: "un ", 16: "un "}
	}
	if num == 0 {
		return words[whole] + inches, whole > 1
	}
	part, ok := parts[den]
	if !ok {
		return "", false
	}
	if num == 1 {
		s = one[den] + part[0]
	} else {
		s = words[num] + " " + part[1]
	}
	if whole > 0 {
		s = words[whole] + and + s
	}
	return s, true
}

func parsesTo(t *rapid.T, c phrase.Context, line string, want reduce.Length) {
	m := phrase.Parse(c, line)
	if m.Kind != phrase.Reading || m.Value != want {
		t.Errorf("%q: %s %v (why %v), want a reading of %v", line, phrase.KindName(m), m.Value, m.Why, want)
	}
}

// TestDirectFormsReadBack: one value, in every form that a crew writes it in.
func TestDirectFormsReadBack(t *testing.T) {
	c := yard(t, reduce.Direct, reduce.UnitInch)
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Int64Range(1, 12*64).Draw(t, "sixty-fourths")
		low := rapid.Bool().Draw(t, "low")
		v := reduce.Length(n) * reduce.SixtyFourth
		sign, word, spanish := "+", "high", "alto"
		if low {
			v, sign, word, spanish = -v, "-", "low", "bajo"
		}
		at := rapid.SampledFrom([]string{"", "c3 ", "c3: ", "2+8 ", "8 past c3 ", "esquina dos, "}).Draw(t, "station")
		lines := []string{
			sign + mixedForm(n, " ") + `"`, sign + mixedForm(n, "-") + " in", mixedForm(n, " ") + " in " + word, mixedForm(n, "-") + `" ` + spanish,
			sign + v.Abs().Decimal(reduce.Inch).String() + " in", v.Abs().Decimal(reduce.Inch).String() + `" ` + word,
			sign + v.Abs().Decimal(reduce.Millimetre).String() + "mm", v.Abs().Decimal(reduce.Millimetre).String() + " mm " + spanish,
			strings.Replace(v.Abs().Decimal(reduce.Centimetre).String(), ".", ",", 1) + " cm " + word,
		}
		if n%64 != 0 {
			lines = append(lines, sign+mixedForm(n, " "), mixedForm(n, "-")+" "+word)
		}
		if s, ok := inWords(n, false); ok {
			lines = append(lines, s+" "+word, map[bool]string{true: "minus ", false: "plus "}[low]+s)
		}
		if s, ok := inWords(n, true); ok && !strings.HasSuffix(s, "medio") {
			lines = append(lines, s+" "+spanish, map[bool]string{true: "menos ", false: "más "}[low]+s)
		}
		for _, l := range lines {
			if at == "c3 " && n > 64 {
				// c3 +1 3/8, c3 8 3/8 low: it may be a distance. Asked back,
				// never misread.
				if m := phrase.Parse(c, at+l); m.Kind == phrase.Ask {
					continue
				}
			}
			parsesTo(t, c, at+l, v)
		}
	})
}

// TestStandardFormsReadBack: the same for feet and inches.
func TestStandardFormsReadBack(t *testing.T) {
	c := yard(t, reduce.Standard, reduce.UnitInch)
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Int64Range(12*64, 25*12*64).Draw(t, "sixty-fourths")
		v := reduce.Length(n) * reduce.SixtyFourth
		feet, in := n/(12*64), n%(12*64)
		at := rapid.SampledFrom([]string{"", "c3 ", "c3: ", "2+8 ", "esquina dos, "}).Draw(t, "station")
		lines := []string{
			fmt.Sprintf(`%d' %s"`, feet, mixedForm(in, " ")), fmt.Sprintf(`%d'-%s"`, feet, mixedForm(in, "-")),
			fmt.Sprintf(`%d ft %s in`, feet, mixedForm(in, " ")), fmt.Sprintf(`%d pies %s pulgadas`, feet, mixedForm(in, " ")),
			mixedForm(n, " ") + `"`, mixedForm(n, "-") + " inches",
			v.Decimal(reduce.Inch).String() + " in", v.Decimal(reduce.Millimetre).String() + " mm", v.Decimal(reduce.Metre).String() + " m",
		}
		if n%64 != 0 && in >= 64 {
			lines = append(lines, fmt.Sprintf("%d-%s", feet, mixedForm(in, "-")), mixedForm(n, " "))
		}
		for _, l := range lines {
			parsesTo(t, c, at+l, v)
		}
	})
}

// TestSideWordsAreOpposite: on a direct rod the other word for the side is the
// other sign.
func TestSideWordsAreOpposite(t *testing.T) {
	pairs := [][2]string{
		{"low", "high"}, {"minus", "plus"}, {"below level", "above level"}, {"raise", "cut"}, {"bajo", "alto"}, {"menos", "más"},
		{"needs to come up", "needs to come down"}, {"hay que subir", "hay que bajar"}, {"súbele", "bájale"}, {"-", "+"},
	}
	in := map[reduce.Unit]phrase.Context{}
	for _, u := range []reduce.Unit{reduce.UnitInch, reduce.UnitFoot, reduce.UnitMillimetre} {
		in[u] = yard(t, reduce.Direct, u)
	}
	behind := map[string]bool{"low": true, "below level": true, "bajo": true}
	rapid.Check(t, func(t *rapid.T) {
		c := in[rapid.SampledFrom([]reduce.Unit{reduce.UnitInch, reduce.UnitFoot, reduce.UnitMillimetre}).Draw(t, "unit")]
		p := rapid.SampledFrom(pairs).Draw(t, "words")
		amount := rapid.SampledFrom([]string{"3/8", "1 and 3/8", `1/2"`, "9.5 mm", "0.03 ft", "an eighth", "tres octavos", "1/4 heavy", "1/4 shy", "⅝"}).Draw(t, "amount")
		at := rapid.SampledFrom([]string{"", "c3 ", "c2+8 "}).Draw(t, "station")
		line := func(word string) string {
			if behind[p[0]] {
				return at + amount + " " + word
			}
			return at + word + " " + amount
		}
		if p[0] == "-" {
			line = func(sign string) string { return at + sign + strings.TrimPrefix(amount, "an ") }
		}
		low, high := phrase.Parse(c, line(p[0])), phrase.Parse(c, line(p[1]))
		if low.Kind != phrase.Reading || high.Kind != phrase.Reading || low.Value >= 0 || low.Value != -high.Value || low.Station != high.Station {
			t.Errorf("%q: %v (%v), %q: %v (%v)", line(p[0]), low.Value, low.Why, line(p[1]), high.Value, high.Why)
		}
	})
}
