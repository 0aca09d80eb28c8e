package reduce

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"
)

// StationKind says what sort of spot a station is.
type StationKind uint8

// The kinds, in the order in which stations are listed.
const (
	Wall      StationKind = iota + 1 // a corner, or a spot past one along its wall
	Pier                             // p1 …: a pier or pad
	Benchmark                        // bm, bm2 …: a hard point off the sill
	Turning                          // t1 …: a turning point
)

// Half says which of two heights is meant where a step leaves two at one spot
// of a wall.
type Half uint8

// The halves; the zero Half is the spot itself, one height or the only one meant.
const (
	Top    Half = iota + 1 // the higher
	Bottom                 // the lower
)

// Station names a spot where the rod is read. It is comparable; the zero
// Station is no station. Past and Half are 0 except along a wall.
type Station struct {
	Kind   StationKind
	Half   Half   `json:",omitempty"` // c5 top: Top
	Number int    // c3+8: 3
	Past   Length // c3+8: 8 ft
	// Epoch tells apart the unknowns of one spot that was moved or covered: 0 as
	// it first stood. It is for surveys only; names and files know nothing of it.
	Epoch int `json:"-"`
}

// Corner is c1 for n = 1.
func Corner(n int) Station { return Station{Kind: Wall, Number: n} }

// Along is the spot past corner n along its wall.
func Along(n int, past Length) Station { return Station{Kind: Wall, Number: n, Past: past} }

// PierNumber is p1 for n = 1.
func PierNumber(n int) Station { return Station{Kind: Pier, Number: n} }

// BenchmarkNumber is bm for n = 1, bm2 for n = 2.
func BenchmarkNumber(n int) Station { return Station{Kind: Benchmark, Number: n} }

// TurningNumber is t1 for n = 1.
func TurningNumber(n int) Station { return Station{Kind: Turning, Number: n} }

// IsZero says that s is no station.
func (s Station) IsZero() bool { return s == Station{} }

// IsCorner says that s stands on a corner.
func (s Station) IsCorner() bool { return s.Kind == Wall && s.Past == 0 }

// At is one of the two heights at a spot of a wall; the zero Half is the spot.
func (s Station) At(h Half) Station {
	s.Half = h
	return s
}

// halfNames stand behind a spot's name.
var halfNames = [...]string{"", " top", " bottom"}

// Name is the station's full name, "c3+8" or "c5 top"; the distance past the
// corner is in mark (Foot or Metre), to at most four decimals.
func (s Station) Name(mark Length) string {
	n := strconv.Itoa(s.Number)
	switch s.Kind {
	case Wall:
		switch {
		case s.Past == 0:
		case s.Past%mark == 0:
			n += "+" + strconv.FormatInt(int64(s.Past/mark), 10)
		default:
			n += "+" + s.Past.Decimal(mark).Round(4).String()
		}
		return "c" + n + halfNames[min(s.Half, Bottom)]
	case Pier:
		return "p" + n
	case Turning:
		return "t" + n
	case Benchmark:
		if s.Number == 1 {
			return "bm"
		}
		return "bm" + n
	}
	return ""
}

// maxNumber bounds the number in a station's name.
const maxNumber = 9999

// ParseStation reads a full name as Name writes it, and nothing else.
func ParseStation(name string, mark Length) (Station, error) {
	bad := fmt.Errorf("not a station: %q", name)
	if len(name) > 24 {
		return Station{}, bad
	}
	if name == "bm" {
		return BenchmarkNumber(1), nil
	}
	spot, half := name, Half(0)
	for _, h := range []Half{Top, Bottom} {
		if cut, ok := strings.CutSuffix(name, halfNames[h]); ok {
			spot, half = cut, h
		}
	}
	head, past, along := strings.Cut(spot, "+")
	digits := strings.TrimLeft(head, "cptbm")
	n, err := strconv.Atoi(digits)
	if err != nil || n < 1 || n > maxNumber {
		return Station{}, bad
	}
	s := Station{Number: n, Half: half}
	switch strings.TrimSuffix(head, digits) {
	case "c":
		s.Kind = Wall
	case "p":
		s.Kind = Pier
	case "t":
		s.Kind = Turning
	case "bm":
		s.Kind = Benchmark
	default:
		return Station{}, bad
	}
	if along {
		d, err := decimal.NewFromString(past)
		if err != nil || s.Kind != Wall {
			return Station{}, bad
		}
		if s.Past, err = FromDecimal(d, mark); err != nil || s.Past <= 0 {
			return Station{}, bad
		}
	}
	if s.Name(mark) != name {
		return Station{}, bad
	}
	return s, nil
}

// Compare orders any two stations in walking order: walls, piers, benchmarks,
// turning points. The halves of a spot stand behind it; which of them the walk
// meets first, Design.Compare says.
func Compare(a, b Station) int {
	return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Number, b.Number), cmp.Compare(a.Past, b.Past),
		cmp.Compare(a.Half, b.Half), cmp.Compare(a.Epoch, b.Epoch))
}
