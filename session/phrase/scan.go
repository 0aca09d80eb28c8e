package phrase

import "rodcall/reduce"

// scan is what a line holds besides its station.
type scan struct {
	amounts []amount
	joined  []Class // what stands before each amount: PlusWord, AndWord, Article (half an eighth), else 0
	sides   []int   // +1 high, −1 low, as signs and words give them
	spot    string  // the last word that says how the spot is: low
	sided   bool    // high, low and their like were said, not only a sign
	not     string  // the word that denies the rest
	need    bool    // needs, should: the rest is wanted, not so
	loose   bool    // low quarter: a quarter that is low, or a light one
	either  string
	on      bool
	good    bool
	shade   int
	vague   string
	unknown string
	strange bool   // what is not understood belongs to the figures: 3/8.5, two and a half eighths
	lost    bool   // a station was meant, and is not known which: co1, first corner
	inches  bool   // an inch was said without a number
	broken  bool   // digits run into letters and on: 1e9
	pair    string // two whole numbers side by side: 3 8
}

// scan reads what stands beside the station.
func (c Context) scan(items []item) scan {
	var s scan
	for i := 0; i < len(items); {
		it := items[i]
		if a, next, ok := c.amountAt(items, i); ok {
			if next < len(items) && items[next].Class == digits && !items[next].before {
				s.broken = true
			}
			if n := len(s.amounts); n > 0 && s.amounts[n-1].whole && a.whole && s.amounts[n-1].bare {
				s.pair = s.amounts[n-1].text + "/" + a.text
			}
			s.joined = append(s.joined, joint(items, i))
			s.amounts = append(s.amounts, a)
			if a.shade != 0 {
				s.shade = a.shade
			}
			if a.odd {
				s.sides = append(s.sides, a.side)
			}
			if a.mils {
				s.vague = items[next-1].text
			}
			i = next
			continue
		}
		next := i + 1
		switch it.Class {
		case symbol:
			if it.is("-") && !it.before && !it.after && c.Rod == reduce.Standard && len(s.amounts) > 0 {
				break // 4-7
			}
			next = s.symbol(items, i)
		case MinusWord, PlusWord:
			switch {
			case i+1 < len(items) && items[i+1].text == "de" && beginsAmount(items[i+2:]):
				s.vague = it.text + " de" // menos de un cuarto
			case it.Class == PlusWord:
				s.signed(items, i, 1)
			default:
				s.signed(items, i, -1)
			}
		case CutWord:
			s.sides = append(s.sides, 1)
		case RaiseWord:
			s.sides = append(s.sides, -1)
		case HighWord:
			s.sideWord(items, i, 1)
		case LowWord:
			s.sideWord(items, i, -1)
		case Need:
			s.need = true
		case Not:
			s.not = it.text
		case EitherWord:
			s.either = it.text
		case OnWord:
			s.onWord(items, i)
		case HeavyWord:
			s.shade = 1
		case ShyWord:
			s.shade = -1
		case Good:
			s.good = true
			if beginsAmount(items[i+1:]) && items[i+1].Class != digits {
				s.vague = it.text // a good quarter
			}
		case Vague:
			s.vague = it.text
		case UnitWord:
			if len(it.text) > 2 && len(s.amounts) == 0 {
				s.vague = it.text // foot and a half
				s.inches = it.Length == reduce.Inch
			}
		case HalfWord:
			if s.unknown == "" {
				s.unknown = it.text // a half of no spot
			}
		case Article, Filler, AndWord:
			// They carry nothing by themselves.
		default:
			text := it.text
			if n := i + 1; n < len(items) && it.Class != symbol && (items[n].Class == digits && !items[n].before || it.Class != unknown && items[n].whole() > 0) {
				text, next = spanText(items[i:n+1]), n+1 // a second station, or none: k3
			}
			if s.unknown == "" {
				s.unknown = text
			}
			s.strange = s.strange || it.Class == Part
			s.lost = s.lost || it.Class == unknown && next > i+1 || stationWord(it) && next == i+1
		}
		i = next
	}
	return s
}

// onWord takes "on" and its like, but not the level in "below the level".
func (s *scan) onWord(items []item, i int) {
	for j := i - 1; j >= 0; j-- {
		switch items[j].Class {
		case Filler:
			continue
		case HighWord, LowWord, EitherWord:
			return
		}
		break
	}
	s.on = true
}

// sideWord takes high, low and their like.
func (s *scan) sideWord(items []item, i, side int) {
	w := items[i]
	s.sides, s.spot, s.sided = append(s.sides, side), w.text, true
	if i+1 >= len(items) {
		return
	}
	switch next := items[i+1]; {
	case measureWords[w.text] && next.text != "by" && beginsAmount(items[i+1:]):
		// Under 1/4: low by that much, or less than that much?
		s.vague = w.text
	case next.Class == Part:
		u, _ := unitAt(items, i+2)
		s.loose = s.loose || u == 0
	}
}

// measureWords say, before an amount, that it is more or less than that.
var measureWords = map[string]bool{"over": true, "under": true, "above": true, "below": true}

// signed takes a minus or a plus. Behind the figure it could also mean a
// little more or less: 3/8+.
func (s *scan) signed(items []item, i, side int) {
	it := items[i]
	if !beginsAmount(items[i+1:]) {
		if it.is("-") && it.before == it.after && i+1 < len(items) && sideClass(items[i+1].Class) {
			return // 3/8 - low, 3/8-low: a dash
		}
		s.vague = it.text
		return
	}
	s.sides, s.spot = append(s.sides, side), it.text
}

func sideClass(c Class) bool { return c == HighWord || c == LowWord || c == RaiseWord || c == CutWord }

// beginsAmount says that an amount stands at the head of items, or behind
// words that carry nothing.
func beginsAmount(items []item) bool {
	for _, it := range items {
		switch it.Class {
		case Filler, HeavyWord, ShyWord:
			continue
		case digits, Cardinal, Part, Article, UnitWord:
			return true
		case symbol:
			if it.is("(") {
				continue
			}
		}
		return false
	}
	return false
}

func (s *scan) symbol(items []item, i int) int {
	switch it := items[i]; it.text {
	case "-":
		s.signed(items, i, -1)
	case "+":
		s.signed(items, i, 1)
	case "?", "~":
		s.vague = it.text
	case ".", "!", ",", ":", ";", "=", "(", ")", "*", "@", "#", "&", "'", "\"":
	default:
		if s.unknown == "" {
			s.unknown = it.text
		}
		s.strange = s.strange || it.text == "/" && len(s.amounts) > 0 && s.amounts[len(s.amounts)-1].bare
	}
	return i + 1
}

// side is the one side that all signs and words agree on; 0 where there is
// none, ok false where they do not.
func (s *scan) side() (side int, ok bool) {
	for _, k := range s.sides {
		if side != 0 && k != side {
			return 0, false
		}
		side = k
	}
	return side, true
}

// wanted is the word that a need is about.
func (s *scan) wanted() string {
	if s.spot != "" {
		return s.spot
	}
	return "on"
}

// joint is what joins the amount at i to the one before it.
func joint(items []item, i int) Class {
	if i == 0 {
		return 0
	}
	before := items[i-1]
	switch {
	case before.is("+"), before.Class == PlusWord:
		return PlusWord
	case before.Class == AndWord:
		return AndWord
	case before.text == "of", before.text == "de", items[i].Class == Article && before.Class == Part:
		return Article
	}
	return 0
}
