package reduce

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"
)

// Placeholder bodies: each is replaced by its own file.

func hypot(x, y Length) Length { return Length(math.Round(math.Hypot(float64(x), float64(y)))) }

func (u Unit) amount(l, finest Length) Amount    { return Amount{Figure: l.RoundTo(finest).String()} }
func (u Unit) rodFigure(l, finest Length) string { return l.RoundTo(finest).String() }

func (s Station) name(mark Length) string {
	n := strconv.Itoa(s.Number)
	switch s.Kind {
	case Wall:
		if s.Past == 0 {
			return "c" + n
		}
		return "c" + n + "+" + s.Past.Decimal(mark).String()
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

func parseStation(name string, mark Length) (Station, error) {
	bad := errors.New("not a station: " + strconv.Quote(name))
	if name == "bm" {
		return BenchmarkNumber(1), nil
	}
	head, past, along := strings.Cut(name, "+")
	var s Station
	for prefix, kind := range map[string]StationKind{"c": Wall, "p": Pier, "t": Turning, "bm": Benchmark} {
		if rest, ok := strings.CutPrefix(head, prefix); ok {
			if n, err := strconv.Atoi(rest); err == nil && n > 0 {
				s = Station{Kind: kind, Number: n}
			}
		}
	}
	if s.IsZero() || along && s.Kind != Wall {
		return Station{}, bad
	}
	if along {
		d, err := decimal.NewFromString(past)
		if err != nil {
			return Station{}, bad
		}
		if s.Past, err = FromDecimal(d, mark); err != nil {
			return Station{}, bad
		}
	}
	if s.Name(mark) != name {
		return Station{}, bad
	}
	return s, nil
}

func rectangle(w, d Length) ([]Leg, error) {
	return []Leg{{w, Left}, {d, Left}, {w, Left}, {d, 0}}, nil
}

func trace(legs []Leg) ([]Point, error) {
	var p Point
	dx, dy := Length(1), Length(0)
	var out []Point
	for _, l := range legs {
		out = append(out, p)
		p.X += dx * l.Length
		p.Y += dy * l.Length
		if l.Turn == Left {
			dx, dy = -dy, dx
		} else {
			dx, dy = dy, -dx
		}
	}
	if p != (Point{}) {
		return nil, &GapError{-p.X, -p.Y}
	}
	return out, nil
}

func (o Outline) withLoop(name string, at Point, legs []Leg) (Outline, error) {
	c, err := trace(legs)
	if err != nil {
		return o, err
	}
	first := 1
	for _, l := range o.Loops {
		first += len(l.Corners)
	}
	if name == "" && first == 1 {
		name = "house"
	}
	for i := range c {
		c[i].X += at.X
		c[i].Y += at.Y
	}
	o.Loops = append(append([]Loop(nil), o.Loops...), Loop{name, first, c})
	return o, nil
}

func (o Outline) withPiers(at []Point) (Outline, error) {
	o.Piers = append([]Point(nil), at...)
	return o, nil
}

func (o *Outline) wall(n int) (a, b Point, l *Loop, ok bool) {
	for i := range o.Loops {
		l = &o.Loops[i]
		if k := n - l.First; k >= 0 && k < len(l.Corners) {
			return l.Corners[k], l.Corners[(k+1)%len(l.Corners)], l, true
		}
	}
	return Point{}, Point{}, nil, false
}

func (o *Outline) wallLength(n int) (Length, bool) {
	a, b, _, ok := o.wall(n)
	return (a.X - b.X).Abs() + (a.Y - b.Y).Abs(), ok
}

func (o *Outline) resolve(s Station) (Station, error) {
	if s.Kind == Benchmark || s.Kind == Turning || o.Empty() {
		return s, nil
	}
	fail := &NoStationError{Station: s, Piers: len(o.Piers)}
	for _, l := range o.Loops {
		fail.Corners += len(l.Corners)
	}
	if s.Kind == Pier {
		if s.Number > len(o.Piers) {
			return s, fail
		}
		return s, nil
	}
	_, _, loop, ok := o.wall(s.Number)
	if !ok {
		return s, fail
	}
	w, _ := o.wallLength(s.Number)
	if s.Past > w {
		fail.Wall = w
		return s, fail
	}
	if s.Past == w {
		return Corner(loop.First + (s.Number-loop.First+1)%len(loop.Corners)), nil
	}
	return s, nil
}

func (o *Outline) position(s Station) (Point, string, bool) {
	if s.Kind == Pier && s.Number >= 1 && s.Number <= len(o.Piers) {
		return o.Piers[s.Number-1], "", true
	}
	if s.Kind != Wall {
		return Point{}, "", false
	}
	a, b, l, ok := o.wall(s.Number)
	w, _ := o.wallLength(s.Number)
	if !ok || s.Past > w {
		return Point{}, "", false
	}
	if b.X != a.X {
		a.X += s.Past * ((b.X - a.X) / (b.X - a.X).Abs())
	} else {
		a.Y += s.Past * ((b.Y - a.Y) / (b.Y - a.Y).Abs())
	}
	return a, l.Name, true
}

func (o *Outline) stations() []Station {
	var out []Station
	for _, l := range o.Loops {
		for i := range l.Corners {
			n := l.First + i
			w, _ := o.wallLength(n)
			out = append(out, Corner(n))
			for p := o.Grid.Spacing; p < w && w-p >= o.Grid.Drop; p += o.Grid.Spacing {
				out = append(out, Along(n, p))
			}
		}
	}
	for i := range o.Piers {
		out = append(out, PierNumber(i+1))
	}
	return out
}

func compareStations(a, b Station) int {
	switch {
	case a.Kind != b.Kind:
		return int(a.Kind) - int(b.Kind)
	case a.Number != b.Number:
		return a.Number - b.Number
	case a.Past < b.Past:
		return -1
	case a.Past > b.Past:
		return 1
	}
	return 0
}

func adjust(rods []Rod, obs []Observation, reference Station) Levels {
	l := Levels{map[int]Length{}, map[Station]Length{}, map[Station]bool{}}
	by := map[int]Rod{}
	for _, r := range rods {
		by[r.ID] = r
	}
	for _, o := range obs {
		if o.Station == reference {
			l.Constants[o.Rod] = o.Value
		}
	}
	for _, o := range obs {
		if k, ok := l.Constants[o.Rod]; ok {
			l.Elevations[o.Station] = by[o.Rod].Elevation(o.Value, k)
		}
	}
	return l
}

func extremes(spots []Spot) (e Extent, ok bool)                          { return e, false }
func worstPair(o *Outline, spots []Spot, reach Length) (p Pair, ok bool) { return p, false }
