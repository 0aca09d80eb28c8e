package phrase

// scan is what a line holds besides its station.
type scan struct {
	amounts []amount
	sides   []int // +1 high, −1 low, as signs and words give them
	either  string
	on      bool
	good    bool
	shade   int
	vague   string
	unknown string
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
			s.amounts = append(s.amounts, a)
			if a.shade != 0 {
				s.shade = a.shade
			}
			if a.odd {
				s.sides = append(s.sides, a.side)
			}
			i = next
			continue
		}
		next := i + 1
		switch it.Class {
		case symbol:
			next = s.symbol(items, i)
		case MinusWord:
			s.sides = append(s.sides, -1)
		case PlusWord:
			s.sides = append(s.sides, 1)
		case HighWord, CutWord:
			s.sides = append(s.sides, 1)
		case LowWord, RaiseWord:
			s.sides = append(s.sides, -1)
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
		case Vague:
			s.vague = it.text
		case Article, Filler, AndWord, UnitWord:
			// They carry nothing by themselves.
		default:
			if s.unknown == "" {
				s.unknown = it.text
			}
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

func (s *scan) symbol(items []item, i int) int {
	switch it := items[i]; it.text {
	case "-", "+":
		if i+1 >= len(items) {
			s.vague = it.text
			break
		}
		if it.text == "-" {
			s.sides = append(s.sides, -1)
		} else {
			s.sides = append(s.sides, 1)
		}
	case "?":
		s.vague = "?"
	case "~":
		s.vague = "~"
	case ".", "!", ",", ":", ";", "=", "(", ")", "*", "@", "#", "&", "'", "\"":
	default:
		if s.unknown == "" {
			s.unknown = it.text
		}
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
