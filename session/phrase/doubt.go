package phrase

import (
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
)

// other is another way to read a line: a station, and what is said of it.
type other struct {
	station reduce.Station
	rest    []item
}

// feetInches reads feet and inches past a corner, c1+3'6": rest begins with
// the unit of the feet. used is how many items the distance takes, 0 where it
// is feet alone. sure is false where the inches may be the reading.
func feetInches(feet reduce.Length, rest []item) (past reduce.Length, used int, sure bool) {
	_, j := unitAt(rest, 0)
	k := joinedFeet(rest, j)
	w, ok := termAt(rest, k)
	if !ok || w.dec.GreaterThanOrEqual(decimal.NewFromInt(12)) {
		return 0, 0, false
	}
	inches, next := w.dec, w.next
	part := term{den: 1}
	switch {
	case w.isFraction(rest, k):
		inches, part = decimal.Zero, w
	case !w.whole:
	default:
		m := joined(rest, w.next)
		if f, ok := termAt(rest, m); ok && f.isFraction(rest, m) {
			// c1+3'6 1/8 low: 6 1/8, or 6 in and a reading? A mark behind the
			// fraction says that both are one length.
			if u, _ := unitAt(rest, f.next); u == reduce.Inch {
				part, next = f, f.next
			}
		}
	}
	l, err := reduce.FromDecimal(inches, reduce.Inch)
	if err != nil || part.den < 1 {
		return 0, 0, false
	}
	f, err := reduce.Fraction(part.num, part.den, reduce.Inch)
	if err != nil {
		return 0, 0, false
	}
	if d, ok := termAt(rest, next+1); ok && next < len(rest) && rest[next].is("-") && !rest[next].after && !d.isFraction(rest, next+1) {
		return 0, 0, false // c2+8' 4-7-3/8
	}
	u, n := unitAt(rest, next)
	if u != 0 && u != reduce.Inch {
		return 0, 0, false
	}
	if !hasAmount(rest[n:]) {
		if n == len(rest) && u == reduce.Inch && part.den == 1 {
			return feet + l, n, true // nothing but a station
		}
		if part.den > 1 && k == j && rest[k].before {
			return 0, 0, false // c1+3' 1 3/8" low
		}
		return feet + l + f, n, false
	}
	return feet + l + f, n, u == reduce.Inch
}

// dashed reads a figure that a dash joins to a corner, c1-4 1/4 low: the dash
// may be a plus, a minus or a range. nil where nothing stands behind the
// figure, so that it can only be the reading.
func dashed(corner reduce.Station, items []item, mark reduce.Length) []other {
	d := items[1]
	n := d.whole()
	if d.Class != digits || n == 0 {
		return nil
	}
	rest := items[2:]
	if u, j := unitAt(rest, 0); u == mark {
		rest = rest[j:]
	} else if u != 0 {
		return nil
	}
	if len(rest) == 0 || rest[0].is("/") || counts(n, rest[0]) || !hasAmount(rest) {
		return nil
	}
	past := corner
	past.Past = reduce.Length(n) * mark
	if n > int64(reduce.MaxStations) {
		return nil
	}
	return []other{{past, rest}, {corner, items}}
}

// halfPast reads a fraction behind a distance that has a reading behind it:
// c1+3 1/2 1/8 low. It is never taken silently.
func halfPast(corner reduce.Station, past reduce.Length, rest []item, mark reduce.Length) (other, bool) {
	k := joined(rest, 0)
	if k >= len(rest) || rest[k].Class != digits || len(rest) > 0 && rest[0].Class == AndWord {
		return other{}, false
	}
	f, ok := termAt(rest, k)
	if !ok || !f.isFraction(rest, k) || f.den <= f.num {
		return other{}, false
	}
	_, j := unitAt(rest, f.next)
	if u, _ := unitAt(rest, f.next); u != 0 && u != mark || !startsReading(rest[j:]) {
		return other{}, false
	}
	l, err := reduce.Fraction(f.num, f.den, mark)
	if err != nil {
		return other{}, false
	}
	corner.Past = named4(past+l, mark)
	return other{corner, rest[j:]}, true
}

// startsReading says that items begin with a figure or its sign.
func startsReading(items []item) bool {
	for len(items) > 0 && (items[0].is("-") || items[0].is("+") || items[0].is(",") || items[0].is(":") || items[0].Class == MinusWord || items[0].Class == PlusWord) {
		items = items[1:]
	}
	return beginsAmount(items) && items[0].Class != UnitWord
}

// otherUnit reads a distance past a corner in another unit than the one that
// walls are marked in: c1+3'6" in a metric job. It is never taken silently.
func otherUnit(corner reduce.Station, items []item, mark reduce.Length, out *named) bool {
	t, ok := termAt(items, 1)
	if !ok || t.isFraction(items, 1) {
		return false
	}
	u, j := unitAt(items, t.next)
	past, err := reduce.FromDecimal(t.dec, u)
	if err != nil {
		return false
	}
	if u == reduce.Foot && t.whole {
		if both, used, _ := feetInches(past, items[t.next:]); used > 0 {
			past, j = both, t.next+used
		}
	}
	if !hasAmount(items[j:]) {
		return false
	}
	corner.Past = named4(past, mark)
	out.others = []other{{corner, items[j:]}}
	return true
}

// named4 cuts a distance to the four decimals that a station's name shows, so
// that c1+3'7" and c1+3.5833 are one station.
func named4(past, mark reduce.Length) reduce.Length {
	l, err := reduce.FromDecimal(past.Decimal(mark).Round(4), mark)
	if err != nil {
		return past
	}
	return l
}

// offered writes other ways to read a line as lines. Those whose station does
// not exist, or that mean another one, are left out.
func (c Context) offered(m Meaning, others []other) []string {
	if c.trying {
		return nil
	}
	var out []string
	for _, o := range others {
		s, _, ok := c.resolve(o.station)
		if !ok {
			continue
		}
		for len(o.rest) > 1 && o.rest[0].Class == Filler {
			o.rest = o.rest[1:]
		}
		for n := len(o.rest); n > 1 && o.rest[n-1].Class == Filler; n-- {
			o.rest = o.rest[:n-1]
		}
		rest := strings.TrimRight(strings.TrimLeft(spanText(o.rest), " ,:;=-)"), " ,:;=(")
		if len(o.rest) > 0 && o.rest[0].is("-") && !o.rest[0].after {
			rest = "-" + rest
		}
		prefix := s.Name(c.Outline.Grid.Mark) + " "
		lines := c.thatRead(prefix + rest)
		if t := c.scan(o.rest); len(lines) == 0 && len(t.amounts) == 1 {
			lines = c.sided(m, prefix, t.amounts[0].text, t)
		}
		for _, l := range lines {
			c := c
			c.trying = true
			if m := Parse(c, l); m.Kind == Reading && m.Station == s {
				out = append(out, l)
			}
		}
	}
	return out
}

// placed is a station that stands somewhere in a line.
type placed struct {
	station    reduce.Station
	start, end int
}

// stationsIn finds every station that a line names, but not those that a spot
// is only compared with.
func stationsIn(items []item, mark reduce.Length) []placed {
	var out []placed
	for i := 0; i < len(items); i++ {
		if !stationWord(items[i]) {
			continue
		}
		n, ok := stationAt(items[i:], mark)
		if !ok || i > 0 && compared(items[:i]) && items[i-1].Class != unknown {
			continue
		}
		if len(n.rest) > 0 && (n.rest[0].is("/") && !n.rest[0].before || n.rest[0].Class == Part) {
			continue // C3/8
		}
		out = append(out, placed{n.station, i, i + n.end})
		i += n.end - 1
	}
	return out
}

// whichStation asks back where a line names more stations than the one that it
// begins with.
func (c Context) whichStation(m Meaning, items []item, n named, ok bool) (Meaning, bool) {
	least, words := 1, 0
	if ok {
		least = 2
	}
	for _, it := range items {
		if stationWord(it) {
			words++
		}
	}
	if words < least {
		return m, false
	}
	all := stationsIn(items, c.Outline.Grid.Mark)
	if len(all) < least {
		return m, false
	}
	for _, it := range items {
		if it.Class == PastWord {
			return m, false
		}
	}
	if before := items[:all[0].start]; hasAmount(before) && len(all) > 1 && ok && n.end == 0 {
		// 3/8 low at c2 c3
		var others []other
		for _, p := range all {
			others = append(others, other{p.station, before})
		}
		return m.ask(Why{WhyTwoStations, []string{m.Said}}, c.offered(m, others)...), true
	}
	if ok && n.end == 0 {
		return m, false
	}
	tail := len(items)
	var others []other
	for i := len(all) - 1; i >= 0; i-- {
		said := items[all[i].end:tail]
		switch {
		case hasAmount(said):
		case i+1 < len(all):
			said = others[0].rest // c2 c3 -1/8
		case len(all) == 1:
			said = items[:all[0].start] // grind 1/4 off c2
			for n := len(said); n > 1 && (said[n-1].Class == Filler || said[n-1].Class == unknown); n-- {
				said = said[:n-1]
			}
		}
		others = slices.Insert(others, 0, other{all[i].station, said})
		tail = all[i].start
	}
	answers := c.offered(m, others)
	if before := items[:all[0].start]; len(answers) == 0 && len(all) == 1 && hasAmount(before) {
		answers = c.offered(m, []other{{all[0].station, before}}) // 1/4 low at corner two and three
	}
	if len(answers) == 0 && len(all) < 2 {
		return m, false
	}
	return m.ask(Why{WhyTwoStations, []string{m.Said}}, answers...), true
}

// asOther asks back where a line could be any of several.
func (c Context) asOther(m Meaning, prefix string, n named) Meaning {
	last := n.others[len(n.others)-1]
	answers := c.offered(m, n.others)
	if first := n.rest[0]; first.is("-") && !first.before {
		s := c.scan(n.rest[1:])
		if len(s.amounts) == 1 {
			answers = c.offered(m, n.others[:1])
			answers = append(answers, c.sided(m, prefix, strings.Replace(s.amounts[0].text, " ", "-", 1), s)...)
		}
	}
	m.Station = last.station
	if len(n.others) == 1 {
		return m.ask(Why{WhyMeant, []string{m.Said, last.station.Name(c.Outline.Grid.Mark)}}, answers...)
	}
	return m.ask(Why{WhyTwoWays, []string{m.Said}}, answers...)
}

// tooBig refuses a figure with more digits than anything on a site has.
func (c Context) tooBig(items []item) (Why, bool) {
	for i, it := range items {
		whole, _, _ := strings.Cut(strings.Replace(it.text, ",", ".", 1), ".")
		if it.Class != digits || len(strings.TrimLeft(whole, "0")) <= 12 {
			continue
		}
		if i > 0 {
			switch items[i-1].Class {
			case CornerWord:
				return Why{WhyNoStation, []string{"c" + it.text, strconv.Itoa(c.Outline.Corners())}}, true
			case PierWord:
				return Why{WhyNoPier, []string{"p" + it.text, strconv.Itoa(len(c.Outline.Piers))}}, true
			case PlusWord:
				return Why{}, false
			}
			if items[i-1].is("+") {
				return Why{}, false // a station past any wall, or a reading
			}
		}
		return Why{WhyReach, []string{it.text, c.reach()}}, true
	}
	return Why{}, false
}

// numberedSpot asks back where a number stands behind a word for any spot:
// spot 3 3/8 low is c3, or 3 3/8.
func (c Context) numberedSpot(m Meaning, items []item) (Meaning, bool) {
	if len(items) > 3 && items[1].Class == PlusWord && items[0].whole() > 0 && startsReading(items[3:]) && !counted(items, 2) {
		// Two plus four a quarter low: a corner without its name.
		if d, ok := decimalOf(items[2]); ok {
			if past, err := reduce.FromDecimal(d, c.Outline.Grid.Mark); err == nil {
				answers := c.offered(m, []other{{reduce.Along(int(items[0].whole()), past), items[3:]}})
				if len(answers) > 0 {
					return m.ask(Why{WhyTwoWays, []string{m.Said}}, answers...), true
				}
			}
		}
	}
	if o, ok := nearStation(items, c.Outline.Grid.Mark); ok {
		if answers := c.offered(m, []other{o}); len(answers) > 0 {
			return m.ask(Why{WhyTwoWays, []string{m.Said}}, answers...), true
		}
	}
	if o, ok := numberSign(items); ok {
		if answers := c.offered(m, []other{o}); len(answers) > 0 {
			return m.ask(Why{WhyTwoWays, []string{m.Said}}, answers...), true
		}
	}
	for i := 0; i+2 < len(items); i++ {
		switch items[i].text {
		case "spot", "station", "punto", "estacion", "point", "la", "number", "numero":
		default:
			continue
		}
		n := items[i+1].whole()
		if rest := items[i+2:]; n > 0 && !rest[0].is("/") && !counts(n, rest[0]) && rest[0].Class != UnitWord && hasAmount(rest) {
			answers := c.offered(m, []other{{reduce.Corner(int(n)), rest}})
			s := c.scan(items[i+1:])
			if len(s.amounts) == 1 && s.unknown == "" {
				answers = append(answers, c.sided(m, "", s.amounts[0].text, s)...)
			}
			return m.ask(Why{WhyTwoWays, []string{m.Said}}, answers...), true
		}
	}
	return m, false
}

// numberSign reads a station whose number stands behind a sign or a word for
// one: corner #1, corner number one, c-1.
func numberSign(items []item) (other, bool) {
	if len(items) < 4 || items[0].Class != CornerWord && items[0].Class != PierWord {
		return other{}, false
	}
	switch items[1].text {
	case "#", "number", "no", "num", "numero", "(", "-", "nr":
	default:
		return other{}, false
	}
	n, rest := items[2].whole(), items[3:]
	if n == 0 || rest[0].is("/") || counts(n, rest[0]) || !hasAmount(rest) {
		return other{}, false
	}
	s := reduce.Corner(int(n))
	if items[0].Class == PierWord {
		s.Kind = reduce.Pier
	}
	return other{s, rest}, true
}

// nearStation reads what is nearly a station: c3.8 for c3+8, k3 for c3.
func nearStation(items []item, mark reduce.Length) (other, bool) {
	if len(items) < 3 || items[1].Class != digits || items[1].before || !hasAmount(items[2:]) || items[2].is("/") {
		return other{}, false
	}
	rest := items[2:]
	switch head, n := items[0], items[1].whole(); {
	case head.Class == CornerWord && n == 0:
		i := strings.IndexAny(items[1].text, ".,")
		if i < 0 {
			return other{}, false
		}
		corner, err := strconv.Atoi(items[1].text[:i])
		past, bad := strconv.Atoi(items[1].text[i+1:])
		if err != nil || bad != nil || past > reduce.MaxStations {
			return other{}, false
		}
		return other{reduce.Along(corner, reduce.Length(past)*mark), rest}, true
	case head.Class == unknown && len(head.text) < 4 && n > 0:
		return other{reduce.Corner(int(n)), rest}, true
	}
	return other{}, false
}
