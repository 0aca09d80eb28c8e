package phrase

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
)

// amount is one amount in a line, without a side.
type amount struct {
	value reduce.Length
	text  string // as it may be said again: "1 3/8"
	why   Why    // Code set: it cannot be
	ways  []string
	bare  bool // a number without a unit, which may be inches, feet or digits run together
	whole bool // bare, and a whole number
	run   string
	dec   decimal.Decimal // bare: the number
	feet  bool            // feet were said
	frac  bool            // a fraction of an inch was said
	shade int
	odd   bool          // "a low quarter": is low the side, or a light quarter?
	side  int           // with odd
	mils  bool          // "mil": millimetres to one, thousandths to another
	unit  reduce.Length // the unit that was said, 0 for none
}

// term is a number or a fraction in a line.
type term struct {
	num, den int64 // den 0: not a fraction
	dec      decimal.Decimal
	whole    bool
	digits   string
	shade    int
	odd      int
	next     int
}

// termAt reads a number or a fraction.
func termAt(items []item, i int) (t term, ok bool) {
	if i >= len(items) {
		return t, false
	}
	if items[i].Class == Article {
		j := i + 1
		for ; j < len(items); j++ {
			switch items[j].Class {
			case HeavyWord:
				t.shade = 1
				continue
			case ShyWord:
				t.shade = -1
				continue
			case LowWord:
				t.odd = -1
				continue
			case HighWord:
				t.odd = 1
				continue
			}
			break
		}
		if j < len(items) && items[j].Class == Part {
			t.num, t.den, t.next = 1, items[j].Num, j+1
			return t, true
		}
		if j == i+1 && j < len(items) && items[j].Class == UnitWord {
			return term{dec: decimal.NewFromInt(1), whole: true, next: j}, true
		}
		return term{}, false
	}
	if items[i].Class == Part {
		if strings.HasSuffix(items[i].text, "s") {
			return t, false // eighths: how many?
		}
		return term{num: 1, den: items[i].Num, next: i + 1}, true
	}
	d, ok := decimalOf(items[i])
	if !ok {
		return t, false
	}
	n, whole := items[i].number()
	t = term{dec: d, whole: whole, next: i + 1}
	if items[i].Class == digits {
		t.digits = items[i].text
	}
	if !whole {
		return t, true
	}
	if i+2 < len(items) && items[i+1].is("/") {
		if den, ok := items[i+2].number(); ok {
			return term{num: n, den: den, next: i + 3, digits: t.digits}, true
		}
	}
	if i+1 < len(items) && counts(n, items[i+1]) {
		return term{num: n, den: items[i+1].Num, next: i + 2, digits: t.digits}, true
	}
	return t, true
}

// counts says that n counts the parts behind it: three eighths, three eighth.
// In "eight quarter low" it does not.
func counts(n int64, it item) bool {
	return it.Class == Part && (n == 1 || len(it.text) == 1 || strings.HasSuffix(it.text, "s") || n%2 == 1 && n < it.Num)
}

// isFraction: a term with a slash or a part; a denominator of 0 was written
// too, and is refused later.
func (t term) isFraction(items []item, i int) bool {
	return t.den != 0 || t.next-i == 3 && items[i+1].is("/")
}

// joined passes over what may stand between a whole number and its fraction:
// "and", a tight dash. ok is false where nothing may follow.
func joined(items []item, i int) int {
	if i < len(items) && (items[i].Class == AndWord || items[i].is("-") && !items[i].before && !items[i].after) {
		if items[i].is("-") && i+1 < len(items) && items[i+1].Class == Part {
			return i // 1-half
		}
		return i + 1
	}
	return i
}

// joinedFeet is joined behind a count of feet, where a comma or a loose dash
// may stand too: 4' - 7".
func joinedFeet(items []item, i int) int {
	if i < len(items) && items[i].is(",") {
		i++
	}
	if i < len(items) && items[i].is("-") && items[i].before == items[i].after {
		return i + 1
	}
	return joined(items, i)
}

func unitAt(items []item, i int) (reduce.Length, int) {
	if i < len(items) && items[i].Class == UnitWord {
		n := i + 1
		if n < len(items) && items[n].is(".") && !items[n].before {
			n++ // 4 ft. 7 in.
		}
		return items[i].Length, n
	}
	// half an inch, half of an inch
	j := i
	for j < len(items) && (items[j].Class == Article || items[j].text == "of" || items[j].text == "de") {
		j++
	}
	if j > i && j < len(items) && items[j].Class == UnitWord {
		return items[j].Length, j + 1
	}
	return 0, i
}

// unitNames are the units as answers write them.
var unitNames = map[reduce.Length]string{
	reduce.Inch: "in", reduce.Foot: "ft", reduce.Millimetre: "mm", reduce.Centimetre: "cm", reduce.Metre: "m",
}

// parts of an inch that rules show.
var shownParts = map[int64]bool{2: true, 4: true, 8: true, 16: true, 32: true, 64: true}

// checkFraction judges a fraction of an inch.
func (a *amount) checkFraction(t term, whole bool) {
	text := fmt.Sprintf("%d/%d", t.num, t.den)
	switch {
	case !shownParts[t.den]:
		a.why = Why{WhyNoPart, []string{text}}
	case t.num >= t.den:
		a.why = Why{WhyTwoWays, []string{text}}
		s := strconv.FormatInt(t.num, 10)
		for i := 1; i < len(s) && len(s) <= 4 && !whole; i++ {
			if n, _ := strconv.ParseInt(s[i:], 10, 64); n > 0 && n < t.den && s[i] != '0' {
				a.ways = append(a.ways, fmt.Sprintf("%s %d/%d", s[:i], n, t.den))
			}
		}
		switch {
		case whole || t.num >= 12*t.den:
		case t.num%t.den == 0:
			a.ways = append(a.ways, fmt.Sprintf("%d in", t.num/t.den))
		default:
			a.ways = append(a.ways, fmt.Sprintf("%d %d/%d", t.num/t.den, t.num%t.den, t.den))
		}
	}
}

// amountAt reads an amount; ok is false where none begins.
func (c Context) amountAt(items []item, i int) (a amount, next int, ok bool) {
	start := i
	// inch and a half
	if items[i].Class == UnitWord && (items[i].Length == reduce.Inch || items[i].Length == reduce.Centimetre || items[i].Length == reduce.Metre) && i+1 < len(items) && items[i+1].Class == AndWord {
		if f, ok := termAt(items, i+2); ok && f.isFraction(items, i+2) {
			unit := items[i].Length
			a.set(decimal.NewFromInt(1), f, unit)
			if unit != reduce.Inch {
				a.unit, a.text = unit, a.text+" "+unitNames[unit]
			}
			return a, f.next, true
		}
	}
	t, ok := termAt(items, i)
	if !ok && items[i].Class == Article && i+1 < len(items) && items[i+1].Class == AndWord {
		// Una y media: the inch is understood.
		if f, ok := termAt(items, i+2); ok && f.isFraction(items, i+2) {
			a.set(decimal.NewFromInt(1), f, reduce.Inch)
			u, n := unitAt(items, f.next)
			a.unit = u
			return a, n, u == 0 || u == reduce.Inch
		}
	}
	if !ok {
		return a, i, false
	}
	if t.isFraction(items, i) {
		a.shade, a.odd, a.side = t.shade, t.odd != 0, t.odd
		a.set(decimal.Zero, t, reduce.Inch)
		u, j := unitAt(items, t.next)
		if u != 0 && u != reduce.Inch && a.why.Code == "" {
			a.value, a.why = lengthOf(t, u)
			a.text += " " + unitNames[u]
		}
		a.unit = u
		return a, j, true
	}
	u, j := unitAt(items, t.next)
	switch {
	case u == reduce.Foot:
		return c.feet(items, t, j, start)
	case u != 0 && u != reduce.Inch:
		if k := joined(items, j); k > j && t.whole && items[j].Class == AndWord {
			if f, ok := termAt(items, k); ok && f.isFraction(items, k) { // un centimetro y medio
				if v, n := unitAt(items, f.next); v == 0 {
					a.set(t.dec, f, u)
					a.text += " " + unitNames[u]
					a.unit = u
					return a, n, true
				}
			}
		}
		a.value, a.why = ofDecimal(t.dec, u)
		a.text = t.dec.String() + " " + unitNames[u]
		a.unit = u
		if items[start].spelled && items[start].Lang == "es" && items[t.next].text == "mil" {
			// Dos mil: two thousand, or 2 mm?
			a.why = Why{WhyTwoWays, []string{spanText(items[start:j])}}
			a.ways = []string{t.dec.Mul(decimal.NewFromInt(1000)).String(), a.text}
			return a, j, true
		}
		a.mils = c.Unit != reduce.UnitMillimetre && (items[t.next].text == "mil" || items[t.next].text == "mils")
		return a, j, true
	}
	if k := joined(items, j); t.whole {
		if f, ok := termAt(items, k); ok && f.isFraction(items, k) && (k > j || f.shade == 0) {
			a.set(t.dec, f, reduce.Inch)
			if k == j && u == 0 && items[k].Class == Part && a.why.Code == "" {
				// Eight quarter: 8 1/4, or was a word lost?
				a.why, a.ways = Why{WhyTwoWays, []string{spanText(items[start:f.next])}}, []string{a.text}
			}
			if k == j && u == 0 && items[start].Class == Cardinal && items[k].Class == digits && a.why.Code == "" {
				// This one 3/8: nobody says 1 3/8 so.
				part := fmt.Sprintf("%d/%d", f.num, f.den)
				a.why, a.ways = Why{WhyTwoWays, []string{spanText(items[start:f.next])}}, []string{part, a.text}
			}
			v, n := unitAt(items, f.next)
			switch {
			case v == 0 || v == reduce.Inch:
			case u == 0 && a.why.Code == "": // 4 1/2 ft
				a.set(t.dec, f, v)
				a.text += " " + unitNames[v]
			default: // 4 in 1/2 ft
				a.why = Why{WhyTwoWays, []string{spanText(items[start:n])}}
			}
			a.unit = max(u, v)
			return a, n, true
		}
		// Feet and inches without their marks: 4-7-3/8, four seven and three
		// eighths. Two numbers alone are not told apart.
		if w, ok := termAt(items, k); ok && w.whole && u == 0 && c.Rod == reduce.Standard {
			m := joined(items, w.next)
			if f, ok := termAt(items, m); ok && f.isFraction(items, m) {
				a.setFeet(t.dec, w.dec, f)
				_, n := unitAt(items, f.next)
				return a, n, true
			}
		}
		// 1 38: whole inches, then a fraction as digits run together.
		if w, ok := termAt(items, j); ok && w.whole && w.digits != "" && u == 0 && c.Rod == reduce.Direct && c.Unit == reduce.UnitInch {
			if fs := runs(w.digits); len(fs) == 1 {
				a.set(t.dec, fs[0], reduce.Inch)
				return a, w.next, true
			}
		}
	}
	if u == reduce.Inch {
		a.value, a.why = ofDecimal(t.dec, u)
		a.text, a.unit = t.dec.String()+" in", u
		return a, j, true
	}
	a.bare, a.whole, a.dec, a.run, a.text = true, t.whole, t.dec, t.digits, spanText(items[start:j])
	return a, j, true
}

// feet reads what follows a count of feet: inches, and a fraction.
func (c Context) feet(items []item, t term, j, start int) (a amount, next int, ok bool) {
	a.feet = true
	a.value, a.why = ofDecimal(t.dec, reduce.Foot)
	a.text = spanText(items[start:j])
	if !t.whole {
		return a, j, true
	}
	k := joinedFeet(items, j)
	w, ok := termAt(items, k)
	if !ok {
		return a, j, true
	}
	if w.isFraction(items, k) {
		a.setFeet(t.dec, decimal.Zero, w)
		u, n := unitAt(items, w.next)
		if u == 0 && k > j && items[k-1].Class == AndWord && a.why.Code == "" {
			// Four foot and a half: of a foot, or of an inch?
			whole := t.dec.Add(decimal.NewFromInt(w.num).Div(decimal.NewFromInt(w.den)))
			a.why, a.ways = Why{WhyTwoWays, []string{spanText(items[start:n])}}, []string{whole.String() + " ft", a.text}
		}
		return a, n, true
	}
	u, n := unitAt(items, w.next)
	if u != 0 && u != reduce.Inch {
		return a, j, true
	}
	if u == 0 && !w.whole && strings.HasPrefix(w.digits, ".") {
		// 4'.5: of a foot, or of an inch?
		a.why = Why{WhyTwoWays, []string{spanText(items[start:n])}}
		a.ways = []string{t.dec.String() + w.digits + " ft", t.dec.String() + "' 0" + w.digits + "\""}
		return a, n, true
	}
	m := joined(items, n)
	if f, ok := termAt(items, m); ok && f.isFraction(items, m) && w.whole {
		a.setFeet(t.dec, w.dec, f)
		_, n := unitAt(items, f.next)
		return a, n, true
	}
	a.setFeet(t.dec, w.dec, term{den: 2})
	return a, n, true
}

// set makes the amount of whole units and a fraction of one.
func (a *amount) set(whole decimal.Decimal, f term, unit reduce.Length) {
	a.frac = true
	a.text = fmt.Sprintf("%d/%d", f.num, f.den)
	if !whole.IsZero() {
		a.text = whole.String() + " " + a.text
	}
	a.checkFraction(f, !whole.IsZero())
	if a.why.Code != "" {
		return
	}
	w, why := ofDecimal(whole, unit)
	v, bad := lengthOf(f, unit)
	if why.Code == "" {
		why = bad
	}
	a.value, a.why = w+v, why
}

// setFeet makes the amount of feet, inches and a fraction of an inch.
func (a *amount) setFeet(feet, inches decimal.Decimal, f term) {
	a.feet, a.why = true, Why{}
	a.text = fmt.Sprintf("%s' %s", feet, inches)
	if f.num != 0 {
		a.text += fmt.Sprintf(" %d/%d", f.num, f.den)
	}
	a.text += "\""
	if inches.GreaterThanOrEqual(decimal.NewFromInt(12)) {
		a.why = Why{WhyInches, []string{inches.String()}}
		return
	}
	if f.num != 0 {
		if a.checkFraction(f, true); a.why.Code != "" {
			return
		}
	}
	for _, p := range []struct {
		d decimal.Decimal
		u reduce.Length
	}{{feet, reduce.Foot}, {inches, reduce.Inch}} {
		v, why := ofDecimal(p.d, p.u)
		if why.Code != "" {
			a.why = why
			return
		}
		if p.u == reduce.Foot {
			a.value = 0
		}
		a.value += v
	}
	if f.num != 0 {
		v, why := lengthOf(f, reduce.Inch)
		a.value, a.why = a.value+v, why
	}
}

func lengthOf(f term, unit reduce.Length) (reduce.Length, Why) {
	l, err := reduce.Fraction(f.num, f.den, unit)
	return l, whyLength(err, func() string { return fmt.Sprintf("%d/%d", f.num, f.den) })
}

func ofDecimal(d decimal.Decimal, unit reduce.Length) (reduce.Length, Why) {
	l, err := reduce.FromDecimal(d, unit)
	return l, whyLength(err, d.String)
}

func whyLength(err error, text func() string) Why {
	switch {
	case err == nil:
		return Why{}
	case errors.Is(err, reduce.ErrTooFine):
		return Why{WhyTooFine, []string{text()}}
	}
	return Why{WhyReach, []string{text(), ""}}
}

// runs reads digits run together as fractions: 38 is 3/8, 316 is 3/16. Those
// that could be two things give both.
func runs(s string) []term {
	var out []term
	if len(s) < 2 || len(s) > 4 {
		return nil
	}
	at := func(s string) (n int64) {
		n, _ = strconv.ParseInt(s, 10, 64)
		return n
	}
	for i := 1; i < len(s); i++ {
		if n, d := at(s[:i]), at(s[i:]); s[i] != '0' && s[0] != '0' && shownParts[d] && n%2 == 1 && n < d {
			out = append(out, term{num: n, den: d})
		}
	}
	return out
}

// mixedRuns reads digits run together as whole inches and a fraction: 138 is
// 1 3/8.
func mixedRuns(s string) []string {
	var out []string
	for i := 1; i < len(s)-1; i++ {
		for _, f := range runs(s[i:]) {
			if n, err := strconv.Atoi(s[:i]); err == nil && n > 0 && n < 12 {
				out = append(out, fmt.Sprintf("%d %d/%d", n, f.num, f.den))
			}
		}
	}
	return out
}

// spanText puts items together as they were written.
func spanText(items []item) string {
	s := ""
	for i, it := range items {
		if i > 0 && it.before {
			s += " "
		}
		if it.Class == Cardinal {
			it.text = strconv.FormatInt(it.Num, 10)
		}
		s += it.text
	}
	return s
}
