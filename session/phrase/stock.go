package phrase

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
)

// StockArg is what shims are on hand. Clear takes it back.
type StockArg struct {
	Sizes []reduce.Shim
	Clear bool
}

// CountArg is a number of things, or per cent. Clear takes it back.
type CountArg struct {
	Count int64
	Clear bool
}

// BagArg is what a bag of grout makes, in millilitres. Clear takes it back.
type BagArg struct {
	Millilitres int64
	Clear       bool
}

// ShimmedArg is where shims were set, and how much there; Amount is 0 where
// that was not said. To ends a run of stations that begins at the one of
// Stations. No Stations: the spot that was named last.
type ShimmedArg struct {
	Stations []reduce.Station
	To       reduce.Station
	All      bool // wherever something is left to be set
	// Out: so much was taken out; as planned where Amount is 0.
	Out bool
	// None: nothing lies there, or no more.
	None   bool
	Amount reduce.Length
}

func (StockArg) arg()   {}
func (CountArg) arg()   {}
func (BagArg) arg()     {}
func (ShimmedArg) arg() {}

// ours are the words that take a figure back.
const ours = "ours:ours default usual normal none nuestro nuestra nuestras ninguno ninguna nada"

// stockSeparators stand between sizes; a comma may be a decimal one as well.
var stockSeparators = regexp.MustCompile(`\s*;\s*|,\s+|\s+(?:and|y|e)\s+`)

var (
	sizeFirstRE  = regexp.MustCompile(`^(.+?)\s*[x*:=]\s*([0-9]+)$`)
	countFirstRE = regexp.MustCompile(`^([0-9]+)\s*(?:x|\*|(?:pieces |pcs |piezas )?(?:of|de))\s*(.+)$`)
	plentyRE     = regexp.MustCompile(`\s+(?:plenty|lots|muchas|muchos|bastantes|de sobra)$`)
)

// stock reads what shims are on hand: 1/16 x20, 1/8 x40, 1/4; 20 of 1/16; none.
func (c Context) stock(m Meaning, w way, rest string) Meaning {
	if _, clear := oneOf(rest, ours); clear {
		return m.do(w, StockArg{Clear: true})
	}
	var sizes []reduce.Shim
	for _, part := range stockSeparators.Split(rest, -1) {
		if s, ok := c.stockSize(part); ok {
			sizes = append(sizes, s)
			continue
		}
		for _, p := range strings.Split(part, ",") { // 1/16x20,1/8x40
			s, ok := c.stockSize(strings.TrimSpace(p))
			if !ok {
				return c.form(m, w)
			}
			sizes = append(sizes, s)
		}
	}
	bySize := slices.Clone(sizes)
	slices.SortFunc(bySize, func(a, b reduce.Shim) int { return int(b.Size - a.Size) })
	twice := slices.CompactFunc(bySize, func(a, b reduce.Shim) bool { return a.Size == b.Size })
	thickest, thinnest := sizes[0].Size, sizes[0].Size
	for _, s := range sizes {
		thickest, thinnest = max(thickest, s.Size), min(thinnest, s.Size)
		if s.Count > reduce.MaxShimCount {
			return c.between(m, w, "0", strconv.Itoa(reduce.MaxShimCount))
		}
	}
	if len(sizes) > reduce.MaxShimSizes || len(twice) < len(sizes) || thickest > reduce.MaxShimSize || thinnest <= 0 {
		return c.because(m, w, WhyShimSizes, strconv.Itoa(reduce.MaxShimSizes), c.lengthText(reduce.MaxShimSize), w.info.Example)
	}
	return m.do(w, StockArg{Sizes: sizes})
}

// stockSize reads one size with its count; without one there are plenty.
func (c Context) stockSize(text string) (reduce.Shim, bool) {
	text = plentyRE.ReplaceAllString(strings.TrimSpace(text), "")
	size, count := text, ""
	if g := sizeFirstRE.FindStringSubmatch(text); g != nil {
		size, count = g[1], g[2]
	} else if g := countFirstRE.FindStringSubmatch(text); g != nil {
		size, count = g[2], g[1]
	}
	l, _, ok := ParseLength(c, size)
	if !ok || count == "" {
		return reduce.Shim{Size: l, Plenty: true}, ok
	}
	n, err := strconv.Atoi(count)
	return reduce.Shim{Size: l, Count: n}, err == nil && n >= 0
}

// lengthText is a round length in the unit that shims are sold by.
func (c Context) lengthText(l reduce.Length) string {
	if c.Unit == reduce.UnitMillimetre {
		return l.Decimal(reduce.Millimetre).Floor().String() + " mm"
	}
	return l.Decimal(reduce.Inch).Floor().String() + " in"
}

// between refuses a number that lies outside its bounds.
func (c Context) between(m Meaning, w way, from, to string) Meaning {
	return c.because(m, w, WhyBetween, from, to, w.info.Example)
}

// count reads how many shims a stack may have, or how many in 100 are bought
// beyond the plan.
func (c Context) count(m Meaning, w way, rest string, from, to int64) Meaning {
	if _, clear := oneOf(rest, ours); clear && (from > 0 || strings.HasPrefix("ours default usual normal nuestro", rest)) {
		return m.do(w, CountArg{Clear: true})
	}
	rest = strings.TrimSpace(strings.TrimSuffix(rest, "%"))
	for _, behind := range []string{" percent", " per cent", " por ciento", " pieces", " shims", " piezas", " calzas"} {
		rest = strings.TrimSuffix(rest, behind)
	}
	if n, ok := oneOf(rest, "0:none no ninguna"); ok {
		rest = n
	}
	n, err := strconv.ParseInt(rest, 10, 64)
	switch {
	case err != nil && strings.Trim(rest, "0123456789-") != "":
		return c.form(m, w)
	case err != nil || n < from || n > to:
		return c.between(m, w, strconv.FormatInt(from, 10), strconv.FormatInt(to, 10))
	}
	return m.do(w, CountArg{Count: n})
}

var bagRE = regexp.MustCompile(`^([0-9.,]+)\s*(ft3|ft~|ft\^3|cu ft|cubic feet|cubic foot|cubic ft|pies3|pies cubicos|pie cubico|l|lt|liters?|litres?|litros?|dm3|ml)?\s*(?:(?:a|per|each|por|cada|el)\s+(?:bag|sack|saco|bolsa)|/\s*(?:bag|saco|bolsa))?$`)

// A bag makes something between these, in millilitres: ours, so that a slip of
// the thumb shows.
const minBag, maxBag = 1000, 100_000

// bag reads what a bag of grout makes: 0.5 ft3 a bag, 12 l.
func (c Context) bag(m Meaning, w way, rest string) Meaning {
	if _, clear := oneOf(rest, ours); clear {
		return m.do(w, BagArg{Clear: true})
	}
	g := bagRE.FindStringSubmatch(strings.TrimPrefix(rest, "makes "))
	if g == nil {
		return c.form(m, w)
	}
	d, err := decimal.NewFromString(strings.Replace(g[1], ",", ".", 1))
	if err != nil || len(g[1]) > 12 {
		return c.form(m, w)
	}
	// A cubic foot is 28.316846592 l exactly (the foot is 0.3048 m exactly).
	unit, bounds := decimal.New(28_316_846_592, -6), [2]string{"0.04", "3.5 ft3"}
	if u := g[2]; u == "" && c.Unit == reduce.UnitMillimetre || strings.HasPrefix(u, "l") || u == "dm3" {
		unit, bounds = decimal.NewFromInt(1000), [2]string{"1", "100 l"}
	} else if u == "ml" {
		unit, bounds = decimal.NewFromInt(1), [2]string{"1000", "100000 ml"}
	}
	ml := d.Mul(unit).Round(0).IntPart()
	if ml < minBag || ml > maxBag {
		return c.between(m, w, bounds[0], bounds[1])
	}
	return m.do(w, BagArg{Millilitres: ml})
}

// plateWidth reads how wide the plate is.
func (c Context) plateWidth(m Meaning, w way, rest string) Meaning {
	l, _, ok := ParseLength(c, strings.TrimSuffix(strings.TrimPrefix(rest, "is "), " wide"))
	switch {
	case !ok:
		return c.form(m, w)
	case l < reduce.Inch || l > 2*reduce.Foot:
		return c.between(m, w, c.lengthText(reduce.Inch), c.lengthText(2*reduce.Foot))
	}
	return m.do(w, LengthArg{l})
}

// outWays are the ways to say that shims were taken out.
var outWays = map[string]bool{
	"took out": true, "take out": true, "taken out": true, "pulled out": true, "saque": true, "sacamos": true,
	"unshim": true, "unshimmed": true, "quita calzas": true, "quite calzas": true, "quitar calzas": true, "quitamos calzas": true, "sin calzas": true,
}

// allOut are those of outWays that mean all that lies there where no amount is
// said.
var allOut = map[string]bool{
	"unshim": true, "unshimmed": true, "quita calzas": true, "quite calzas": true, "quitar calzas": true, "quitamos calzas": true, "sin calzas": true,
}

// stationFirst reads shims told with the station in front: c3+8 shimmed 1/4,
// c3+8 took out 1/8.
func (c Context) stationFirst(m Meaning, fields []string) (Meaning, bool) {
	if !slices.ContainsFunc(fields, func(f string) bool { return shimmedHeads[f] }) {
		return m, false
	}
	_, n := c.stationOf(fields)
	if n == 0 {
		return m, false
	}
	for k := min(maxWords, len(fields)-n); k > 0; k-- {
		head := strings.Join(fields[n:n+k], " ")
		w, ok := prefixWays[head]
		if ok && w.info.Name == CmdShimmed {
			return c.shimmed(m, w, head, strings.Join(slices.Concat(fields[:n], fields[n+k:]), " ")), true
		}
	}
	return m, false
}

// shimmed reads where shims were set: c3+8; c3+8 c4 c4+4; c3 to c4; c3+8 1/4;
// all; and where some were taken out: c3+8 -1/8, 1/8 at c3+8, c3+8 none.
func (c Context) shimmed(m Meaning, w way, head, rest string) Meaning {
	arg := ShimmedArg{Out: outWays[head]}
	if _, all := oneOf(rest, "all:all everything todo todos todas"); all && !arg.Out {
		return m.do(w, ShimmedArg{All: true})
	}
	fields := strings.FieldsFunc(rest, func(r rune) bool { return r == ' ' || r == ',' || r == ';' })
	fields, amount := c.amountFirst(fields)
	run := false
	for len(fields) > 0 {
		if _, joins := oneOf(fields[0], "and:and y"); joins && !run && len(arg.Stations) > 0 {
			fields = fields[1:]
			continue
		}
		if _, at := oneOf(fields[0], "at:at from en de"); at && len(arg.Stations) == 0 && len(fields) > 1 {
			fields = fields[1:]
			continue
		}
		if _, to := oneOf(fields[0], "to:to a al hasta through thru -"); to && !run && len(arg.Stations) == 1 && arg.To.IsZero() {
			run, fields = true, fields[1:]
			continue
		}
		s, n := c.stationOf(fields)
		if n == 0 {
			if run || amount != "" {
				return c.form(m, w)
			}
			amount = strings.Join(fields, " ")
			break
		}
		at, why, exists := c.resolve(s)
		if !exists {
			m.Kind, m.Why, m.Command, m.Lang = Refuse, why, w.info.Name, w.lang
			return m
		}
		if run {
			arg.To, run = at, false
		} else {
			arg.Stations = append(arg.Stations, at)
		}
		fields = fields[n:]
	}
	if run || !arg.To.IsZero() && len(arg.Stations) > 1 || arg.Out && len(arg.Stations) == 0 {
		return c.form(m, w)
	}
	m.Station = c.Asked
	if len(arg.Stations) > 0 {
		m.Station, m.Named = arg.Stations[0], true
	}
	return c.shimAmount(m, w, head, amount, arg)
}

// amountFirst takes an amount off the head of fields: 1/8 at c3+8.
func (c Context) amountFirst(fields []string) (rest []string, amount string) {
	for n := 1; n < len(fields); n++ {
		if _, at := oneOf(fields[n], "at:at from of en de"); at {
			text := strings.Join(fields[:n], " ")
			if _, _, ok := ParseLength(c, text); ok {
				return fields[n+1:], text
			}
		}
	}
	return fields, ""
}

// shimAmount reads how much was set or taken out.
func (c Context) shimAmount(m Meaning, w way, head, text string, arg ShimmedArg) Meaning {
	if text == "" {
		arg.None = allOut[head]
		return m.do(w, arg)
	}
	if _, none := oneOf(text, "none:none nothing ninguna ninguno nada"); none && !arg.Out {
		arg.None = true
		return m.do(w, arg)
	}
	if _, all := oneOf(text, "all:all everything todo todas all_of_it"); all && arg.Out {
		arg.None = true
		return m.do(w, arg)
	}
	for _, by := range []string{"by ", "out "} {
		text = strings.TrimPrefix(text, by)
	}
	text = strings.TrimSuffix(text, " out")
	text, minus := strings.CutPrefix(text, "-")
	l, _, ok := ParseLength(c, text)
	switch {
	case !ok:
		return c.form(m, w)
	case l == 0 && !arg.Out:
		arg.None = true
		return m.do(w, arg)
	case minus && !arg.Out && l > 0:
		arg.Out = true
	case minus || l <= 0:
		return c.because(m, w, WhyNotPositive)
	}
	if l > reduce.MaxStack*reduce.MaxShimSize {
		return c.between(m, w, "0", c.lengthText(reduce.MaxStack*reduce.MaxShimSize))
	}
	arg.Amount = l
	return m.do(w, arg)
}

// stationOf is the station at the head of fields and how many of them it takes:
// c3, corner three, c5 top. n is 0 where there is none.
func (c Context) stationOf(fields []string) (s reduce.Station, n int) {
	for n := min(4, len(fields)); n > 0; n-- {
		items := itemise(lex(strings.Join(fields[:n], " ")))
		k, ok := stationAt(items, c.Outline.Grid.Mark)
		if ok && items[0].Class != Filler && len(k.rest) == 0 && !k.plus && len(k.others) == 0 {
			return k.station, n
		}
	}
	return reduce.Station{}, 0
}
