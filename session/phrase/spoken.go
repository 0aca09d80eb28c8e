package phrase

import (
	"strings"

	"rodcall/reduce"
)

// Spoken is a way to say a length, in words alone: "three eighths". Text may
// be empty where it is a part of an amount that can be left out.
type Spoken struct {
	Text  string
	Value reduce.Length
}

// SpokenAmount is a family of ways to say an amount: one of each list, in
// order, whose values add up.
type SpokenAmount [][]Spoken

// How far the amounts go that are said aloud; what lies beyond can be typed.
const (
	spokenInches = 2  // of a direct rod
	spokenMost   = 60 // of a direct rod: hundredths of a foot, or millimetres
	spokenFeet   = 12 // of a standard rod
	spokenPart   = reduce.Inch / 16
)

// SpokenAmounts are the amounts that a rod in this unit is read to, as they are
// said in English, without a side. A direct rod: to 2 in by sixteenths, to
// 0.60 ft by hundredths, to 60 mm by millimetres. A standard one: to 12 ft by
// sixteenths or hundredths, or from 100 to 3999 mm. Nothing finer than
// c.Finest is among them.
func SpokenAmounts(c Context) []SpokenAmount {
	standard := c.Rod == reduce.Standard
	switch {
	case standard && c.Unit == reduce.UnitFoot:
		return []SpokenAmount{{spokenWholes(0, spokenFeet, reduce.Foot), spokenPlaces(99, true)}}
	case standard && c.Unit == reduce.UnitMillimetre:
		return spokenMillimetres()
	case standard:
		return spokenRod(c.Finest)
	case c.Unit == reduce.UnitFoot:
		return []SpokenAmount{
			{spokenPlaces(spokenMost, false)},
			{spokenWholes(0, 0, reduce.Foot), spokenPlaces(spokenMost, true)},
		}
	case c.Unit == reduce.UnitMillimetre:
		one, many := unitWords(reduce.UnitMillimetre)
		return []SpokenAmount{
			{spokenWholes(1, spokenMost, reduce.Millimetre)},
			{spokenWholes(2, spokenMost, reduce.Millimetre), {{many, 0}}},
			{spokenWholes(1, 1, reduce.Millimetre), {{one, 0}}},
		}
	}
	return spokenInch(c.Finest)
}

func unitWords(u reduce.Unit) (one, many string) {
	return unitWord("en", u, "1"), unitWord("en", u, "2")
}

// spokenInch are small amounts: three eighths of an inch, an inch and a half.
func spokenInch(finest reduce.Length) []SpokenAmount {
	one, many := unitWords(reduce.UnitInch)
	and := []Spoken{{textOf("en", AndWord), 0}}
	ones := []Spoken{{"an " + one, reduce.Inch}, {cardinalText(1) + " " + one, reduce.Inch}}
	bare := spokenWholes(1, 1, reduce.Inch)
	out := []SpokenAmount{
		{spokenParts(finest, true), {{"", 0}, {one, 0}, {"of an " + one, 0}}},
		{append(bare, ones...), and, spokenParts(finest, false)},
		{ones},
	}
	if half := reduce.Inch / 2; finest == 0 || half%finest == 0 {
		out = append(out, SpokenAmount{{{textOf("en", Part), half}}, {{"an " + one, 0}}}) // half an inch
	}
	for n := int64(2); n <= spokenInches; n++ {
		out = append(out, SpokenAmount{spokenWholes(n, n, reduce.Inch), {{many, 0}, {one, 0}}})
	}
	return out
}

// spokenParts are the fractions of an inch: three eighths, a quarter; bare: half
// too.
func spokenParts(finest reduce.Length, bare bool) []Spoken {
	var out []Spoken
	for k := int64(1); k < int64(reduce.Inch/spokenPart); k++ {
		v := reduce.Length(k) * spokenPart
		if finest > 0 && v%finest != 0 {
			continue
		}
		num, den := k, int64(reduce.Inch/spokenPart)
		for num%2 == 0 {
			num, den = num/2, den/2
		}
		for _, w := range words {
			if w.Class != Part || w.Lang != "en" || w.Num != den || pluralPart(w.Text) != (num > 1) {
				continue
			}
			out = append(out, Spoken{cardinalText(num) + " " + w.Text, v})
			if num > 1 {
				continue
			}
			if bare {
				out = append(out, Spoken{w.Text, v})
			}
			for _, a := range words {
				// an eighth, a quarter
				if a.Class == Article && a.Lang == "en" && (len(a.Text) > 1) == (w.Text[0] == 'e') {
					out = append(out, Spoken{a.Text + " " + w.Text, v})
				}
			}
		}
	}
	return out
}

// spokenRod are readings of a rod in feet and inches: four foot seven and three
// eighths, four seven and three eighths.
func spokenRod(finest reduce.Length) []SpokenAmount {
	bare, inches, parts := spokenWholes(0, spokenFeet, reduce.Foot), spokenWholes(0, 11, reduce.Inch), spokenParts(finest, false)
	one, many := unitWords(reduce.UnitFoot)
	and := []Spoken{{textOf("en", AndWord), 0}}
	var feet []Spoken
	for _, n := range bare {
		feet = append(feet, Spoken{n.Text + " " + one, n.Value}, Spoken{n.Text + " " + many, n.Value})
	}
	_, inchesWord := unitWords(reduce.UnitInch)
	in := []Spoken{{inchesWord, 0}}
	return []SpokenAmount{
		{feet, inches},
		{feet, inches, in},
		{feet, inches, and, parts},
		{feet, inches, parts},
		{feet, inches, in, and, parts},
		{bare, inches, and, parts},
	}
}

// spokenMillimetres are readings of a metric rod: one thousand four hundred and
// twelve.
func spokenMillimetres() []SpokenAmount {
	thousand, hundred := " "+numberWord("en", 1000), " "+numberWord("en", 100)
	var thousands, hundreds []Spoken
	for n := int64(1); n < 10; n++ {
		hundreds = append(hundreds, Spoken{cardinalText(n) + hundred, reduce.Length(n) * 100 * reduce.Millimetre})
		if n < 4 {
			thousands = append(thousands, Spoken{cardinalText(n) + thousand, reduce.Length(n) * reduce.Metre})
		}
	}
	link, rest := []Spoken{{"", 0}, {textOf("en", AndWord), 0}}, spokenWholes(1, 99, reduce.Millimetre)
	return []SpokenAmount{
		{hundreds},
		{thousands},
		{thousands, hundreds},
		{hundreds, link, rest},
		{thousands, link, rest},
		{thousands, hundreds, link, rest},
	}
}

// spokenPlaces are hundredths of a foot up to most, behind the whole feet:
// point six two, point sixty two, point six, and with oh point oh three.
func spokenPlaces(most int64, oh bool) []Spoken {
	var out []Spoken
	for n := int64(1); n <= most; n++ {
		v, tens, ones := reduce.Length(n)*reduce.Foot/100, cardinalText(n/10), cardinalText(n%10)
		out = append(out, Spoken{spokenPoint + " " + tens + " " + ones, v})
		switch {
		case n < 10 && oh:
			out = append(out, Spoken{spokenPoint + " oh " + ones, v})
		case n < 10:
		case n%10 == 0:
			out = append(out, Spoken{spokenPoint + " " + tens, v})
		default:
			out = append(out, Spoken{spokenPoint + " " + cardinalText(n), v})
		}
	}
	return out
}

// spokenPoint is the decimal point (isPoint).
const spokenPoint = "point"

func spokenWholes(from, to int64, unit reduce.Length) []Spoken {
	var out []Spoken
	for n := from; n <= to; n++ {
		out = append(out, Spoken{cardinalText(n), reduce.Length(n) * unit})
	}
	return out
}

// cardinalText is a number from 0 to 999 in English words.
func cardinalText(n int64) string {
	var out []string
	if n >= 100 {
		out = append(out, numberWord("en", n/100), numberWord("en", 100))
		n %= 100
		if n == 0 {
			return strings.Join(out, " ")
		}
	}
	if w := numberWord("en", n); w != "" {
		return strings.Join(append(out, w), " ")
	}
	return strings.Join(append(out, numberWord("en", n-n%10), numberWord("en", n%10)), " ")
}

// SayStation is how a station is said in English: "corner three plus eight", "c
// three plus eight", "pier one". A place that is not at whole marks, or is the top or
// bottom of a step, is not said: it can be typed.
func SayStation(s reduce.Station, mark reduce.Length) []string {
	class := map[reduce.StationKind]Class{reduce.Wall: CornerWord, reduce.Pier: PierWord, reduce.Benchmark: BenchWord, reduce.Turning: TurnWord}[s.Kind]
	past := s.Past / mark
	if class == 0 || s.Past%mark != 0 || s.Half != 0 || s.Number > 999 || past > 999 {
		return nil
	}
	var out []string
	langs := []string{"en"}
	if s.Kind == reduce.Wall {
		langs = []string{"en", ""} // p and t would be taken for c
	}
	for _, lang := range langs {
		text := textOf(lang, class)
		if s.Kind != reduce.Benchmark || s.Number > 1 {
			text += " " + cardinalText(int64(s.Number))
		}
		if past > 0 {
			text += " " + textOf("en", PlusWord) + " " + cardinalText(int64(past))
		}
		out = append(out, strings.TrimSpace(text))
	}
	return out
}

// SpokenWords are words that are said in amounts and stand in no table.
func SpokenWords() []string { return []string{spokenPoint, "oh", "of"} }
