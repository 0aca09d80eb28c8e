package phrase

import (
	"errors"
	"strconv"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
)

// named is a station found in a line, and what is left of the line.
type named struct {
	station reduce.Station
	rest    []item
	end     int  // of the station in the line, 0 where it stood behind the reading
	plus    bool // its distance was written as "c3 +18": it may be a reading
	mark    reduce.Length
	fine    bool    // far is finer than anything can be measured
	far     string  // a distance that no wall has, as it was written
	others  []other // set: the line could be any of these
}

// findStation looks for a station at the head of a line, or behind a reading
// ("3/8 low at c3"). ok is false where none is named.
func findStation(items []item, mark reduce.Length) (named, bool) {
	if n, ok := pastCorner(items, mark); ok {
		return n, true
	}
	if n, ok := stationAt(items, mark); ok {
		return n, true
	}
	for i := 1; i+2 < len(items); i++ {
		// A quarter low, 8 ft past c2.
		if _, number := decimalOf(items[i]); !number || items[i+1].Class != PastWord && (items[i+1].Class != UnitWord || items[i+2].Class != PastWord) || !hasAmount(items[:i]) {
			continue
		}
		if n, ok := pastCorner(items[i:], mark); ok && onlyFillers(n.rest) && len(n.others) == 0 {
			n.rest, n.end = items[:i], 0
			return n, true
		}
	}
	for i := 1; i < len(items); i++ {
		if k := items[i].Class; k != CornerWord && k != PierWord && k != BenchWord && k != TurnWord || compared(items[:i]) {
			continue
		}
		n, ok := stationAt(items[i:], mark)
		if ok && len(n.rest) > 1 && n.station.IsCorner() && (n.rest[0].is("+") || n.rest[0].Class == PlusWord) && hasAmount(items[:i]) {
			// A quarter low at corner two plus four.
			if d, number := decimalOf(n.rest[1]); number {
				_, j := unitAt(n.rest, 2)
				if past, err := reduce.FromDecimal(d, mark); err == nil && (j == 2 || n.rest[2].Length == mark) {
					n.station.Past, n.rest, n.plus = past, n.rest[j:], false
				}
			}
		}
		if ok && onlyFillers(n.rest) {
			n.rest, n.end = items[:i], 0
			return n, true
		}
	}
	return named{}, false
}

// compared says that the station behind items is what a spot is compared
// with: "3/8 low of c1", "3/8 below c3".
func compared(items []item) bool {
	for i := len(items) - 1; i >= 0; i-- {
		it := items[i]
		switch it.text {
		case "the", "la", "el":
			continue
		case "of", "de", "del", "que", "arriba de", "arriba del", "abajo de", "abajo del", "encima", "debajo":
			return true
		}
		return measureWords[it.text] || it.Class == unknown
	}
	return false
}

func onlyFillers(items []item) bool {
	for _, it := range items {
		if it.Class != Filler && !it.is(".") && !it.is("!") {
			return false
		}
	}
	return true
}

// stationAt reads a station at the head of items: c3+8, c5 top, top of c5.
func stationAt(items []item, mark reduce.Length) (named, bool) {
	lead := 0
	if len(items) > 0 && items[0].Class == HalfWord {
		lead = 1
	}
	n, ok := spotAt(items[lead:], mark)
	n.end += lead
	switch {
	case !ok:
	case lead > 0 && n.station.Kind == reduce.Wall:
		n.station.Half = reduce.Half(items[0].Num)
	case lead > 0:
		return named{}, false
	case n.station.Kind == reduce.Wall && len(n.rest) > 0 && n.rest[0].Class == HalfWord && len(n.others) == 0 && !n.plus:
		n.station.Half, n.rest, n.end = reduce.Half(n.rest[0].Num), n.rest[1:], n.end+1
	}
	return n, ok
}

// spotAt reads a station without a half at the head of items.
func spotAt(items []item, mark reduce.Length) (named, bool) {
	i := 0
	for i < len(items) && items[i].Class == Filler {
		i++
	}
	if i >= len(items) {
		return named{}, false
	}
	head := items[i]
	var kind reduce.StationKind
	switch head.Class {
	case CornerWord:
		kind = reduce.Wall
	case PierWord:
		kind = reduce.Pier
	case TurnWord:
		kind = reduce.Turning
	case BenchWord:
		kind = reduce.Benchmark
	case digits:
		// 3+8: a corner without its letter.
		if i+2 < len(items) && items[i+1].is("+") && !items[i+1].before && !items[i+1].after && items[i+2].Class == digits && i+3 < len(items) {
			if n, ok := head.number(); ok && n < maxNumber {
				s := reduce.Corner(int(n))
				return along(s, items[i+1:], i+1, mark)
			}
		}
		return named{}, false
	default:
		return named{}, false
	}
	i++
	if i < len(items) {
		if n, ok := items[i].number(); ok && n < maxNumber && !(kind == reduce.Benchmark && (items[i].before || items[i].Class != digits)) {
			s := reduce.Station{Kind: kind, Number: int(n)}
			return along(s, items[i+1:], i+1, mark)
		}
		// corner too, corner to, corner for: as dictation spells them.
		if n, ok := misheard[items[i].text]; ok && head.Class == CornerWord && head.text != "c" {
			return along(reduce.Corner(n), items[i+1:], i+1, mark)
		}
	}
	if kind == reduce.Benchmark {
		return named{station: reduce.BenchmarkNumber(1), rest: items[i:], end: i, mark: mark}, true
	}
	return named{}, false
}

// maxNumber bounds the numbers of stations that are looked up at all: c0 and
// c99999 are stations that no outline has.
const maxNumber = 1_000_000_000

// misheard are numbers as dictation writes them behind the word corner.
var misheard = map[string]int{"to": 2, "too": 2, "for": 4, "won": 1, "tree": 3, "free": 3}

// along reads the distance past a corner: "+8", " + 8", "plus eight".
func along(s reduce.Station, items []item, end int, mark reduce.Length) (named, bool) {
	out := named{station: s, rest: items, end: end, mark: mark}
	if s.Kind != reduce.Wall || len(items) < 2 {
		return out, true
	}
	p, n := items[0], items[1]
	if p.is("-") && !p.before && !p.after {
		out.others = dashed(s, items, mark)
		return out, true
	}
	isPlus := p.is("+") || p.Class == PlusWord
	if !isPlus || n.Class != digits && n.Class != Cardinal {
		return out, true
	}
	if (p.is("+") && p.before == p.after || p.Class == PlusWord && mark == reduce.Metre) && len(items) > 2 && items[2].Class == UnitWord && items[2].Length != mark && otherUnit(s, items, mark, &out) {
		return out, true
	}
	if p.is("+") && !p.before && !p.after && len(items) > 2 && items[2].Class == UnitWord && items[2].Length != mark {
		// c1+6", c1+300mm: so far past the corner, or so high?
		if d, ok := decimalOf(n); ok {
			_, j := unitAt(items, 2)
			if l, err := reduce.FromDecimal(d, items[2].Length); err == nil && l >= mark/4 && l < mark && len(items) == j {
				past := s
				past.Past = named4(l, mark)
				out.others = []other{{past, nil}, {s, items}}
				return out, true
			}
		}
	}
	// +1/8, plus three eighths: a reading. +1 3/8 too.
	if len(items) > 2 && (items[2].is("/") || partOf(n, items[2]) || items[2].Class == UnitWord && items[2].Length != mark) {
		return out, true
	}
	// "c3+ 8 -1/8" too, but not "c3 +1-3/8".
	tight := p.is("+") && !p.before && (!p.after || hasAmount(items[2:]))
	loose := p.is("+") && p.before && p.after || p.Class == PlusWord
	d, ok := decimalOf(n)
	if !ok {
		if n.Class == digits && tight {
			out.far = n.text
		}
		return out, true
	}
	past, err := reduce.FromDecimal(d, mark)
	if err != nil {
		if tight || loose && hasAmount(items[2:]) {
			out.far, out.fine = n.text, errors.Is(err, reduce.ErrTooFine)
		}
		return out, true
	}
	rest := items[2:]
	if tight && len(rest) > 0 && rest[0].Class == digits && !rest[0].before {
		s.Past = past
		out.others = []other{{s, rest}} // c1+4.5.5 low
		return out, true
	}
	if tight && past > 0 && past <= mark/4 && len(rest) == 0 {
		out.others = []other{{s, items}} // c1+.03: nobody names a spot so near a corner
		return out, true
	}
	if p.before && !p.after && len(rest) > 0 && rest[0].is("-") && !rest[0].before {
		out.plus = true
		return out, true
	}
	if o, ok := halfPast(s, past, rest, mark); ok && (tight || loose) {
		out.others = []other{o}
		return out, true
	}
	if half, used := fractionBehind(rest); used > 0 {
		if !hasAmount(rest[used:]) {
			return out, true // plus one and three eighths
		}
		l, err := reduce.Fraction(half.num, half.den, mark)
		if err != nil {
			return out, true
		}
		past, rest, end = past+l, rest[used:], end+used
	}
	if len(rest) > 0 && rest[0].Class == UnitWord && rest[0].Length == reduce.Foot && mark == reduce.Foot && d.IsInteger() && (tight || loose || p.is("+")) {
		if both, used, sure := feetInches(past, rest); used > 0 {
			long := s
			long.Past = named4(both, mark)
			if !sure {
				short := s
				short.Past = past
				_, j := unitAt(rest, 0)
				out.others = []other{{long, rest[used:]}, {short, rest[j:]}}
				return out, true
			}
			out.station, out.rest, out.end = long, rest[used:], end+2+used
			return out, true
		}
	}
	if len(rest) > 0 && rest[0].Class == UnitWord && rest[0].Length == mark && !(rest[0].Text == "'") {
		rest = rest[1:]
		end++
	}
	if !tight && !(loose && hasAmount(rest)) {
		// "c3 +18", "c3 + 8" and nothing behind it.
		if p.is("+") && p.before && !p.after && hasAmount(rest) && !startsPart(rest) {
			out.station.Past, out.rest, out.end = past, rest, end+2
			return out, true
		}
		// Nobody names a spot so near a corner: c3 +0.03 ft is a reading.
		if p.is("+") && (past >= mark/4 || p.after) {
			out.plus = true
		}
		return out, true
	}
	out.station.Past, out.rest, out.end = past, rest, end+2
	return out, true
}

// partOf says that a number counts the parts behind it.
func partOf(number, part item) bool {
	n, ok := number.number()
	return ok && counts(n, part)
}

// fractionBehind reads "and a half" behind a whole number; used is 0 where
// there is none.
func fractionBehind(items []item) (f term, used int) {
	if len(items) == 0 || items[0].Class != AndWord {
		return f, 0
	}
	f, ok := termAt(items, 1)
	if !ok || !f.isFraction(items, 1) || f.shade != 0 || f.odd != 0 || f.den == 0 {
		return f, 0
	}
	return f, f.next
}

// startsPart says that items go on with a fraction: "3/8".
func startsPart(items []item) bool {
	return len(items) >= 2 && items[0].Class == digits && items[1].is("/")
}

// hasAmount says that a reading may stand in items.
func hasAmount(items []item) bool {
	for _, it := range items {
		switch it.Class {
		case digits, Cardinal, Part, OnWord:
			return true
		}
	}
	return false
}

// pastCorner reads "8 past c3", "3 ft 6 in past c1".
func pastCorner(items []item, mark reduce.Length) (named, bool) {
	i := 1
	for i < len(items) && items[i].Class != PastWord {
		i++
	}
	if i >= len(items) {
		return named{}, false
	}
	n, ok := stationAt(items[i+1:], mark)
	if !ok || !n.station.IsCorner() {
		return named{}, false
	}
	// Lengths are read as a standard rod's: nothing is said of a side.
	s := Context{Rod: reduce.Standard, Unit: reduce.UnitInch}.scan(items[:i])
	if len(s.amounts) != 1 || len(s.sides) > 0 || s.unknown != "" || s.vague != "" || s.broken || s.on || s.amounts[0].why.Code != "" {
		return named{}, false
	}
	a := s.amounts[0]
	past, unit := a.value, a.unit
	switch {
	case a.bare:
		l, err := reduce.FromDecimal(a.dec, mark)
		if err != nil {
			return named{}, false
		}
		past = l
	case a.feet:
		unit = reduce.Foot
	case a.frac && unit == 0: // 3 1/2 past c1
		l, err := reduce.FromDecimal(a.value.Decimal(reduce.Inch), mark)
		if err != nil {
			return named{}, false
		}
		past = l
	}
	n.station.Past = named4(past, mark)
	n.end += i + 1
	n.plus = false
	if mark == reduce.Metre && (unit == reduce.Foot || unit == reduce.Inch) {
		n.others = []other{{n.station, n.rest}}
	}
	return n, true
}

// decimalOf is an item's number, with a point.
func decimalOf(it item) (decimal.Decimal, bool) {
	if n, ok := it.number(); ok {
		return decimal.NewFromInt(n), true
	}
	if it.Class != digits || len(it.text) > 20 {
		return decimal.Decimal{}, false
	}
	text := []byte(it.text)
	for i := range text {
		if text[i] == ',' {
			text[i] = '.'
		}
	}
	d, err := decimal.NewFromString(string(text))
	return d, err == nil
}

// resolve checks a station against the outline.
func (c Context) resolve(s reduce.Station) (reduce.Station, Why, bool) {
	r, err := c.Outline.Resolve(s)
	if err == nil {
		return r, Why{}, true
	}
	mark := c.Outline.Grid.Mark
	name := s.Name(mark)
	var no *reduce.NoStationError
	switch {
	case !errors.As(err, &no):
		return s, Why{WhyNotUnderstood, []string{name}}, false
	case s.Kind == reduce.Pier:
		return s, Why{WhyNoPier, []string{name, strconv.Itoa(no.Piers)}}, false
	case no.Wall > 0:
		return s, Why{WhyPastEnd, []string{name, reduce.Corner(s.Number).Name(mark), no.Wall.Decimal(mark).String() + " " + unitNames[mark]}}, false
	}
	return s, Why{WhyNoStation, []string{name, strconv.Itoa(no.Corners)}}, false
}
