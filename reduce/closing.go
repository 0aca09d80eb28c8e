package reduce

import (
	"math"
	"math/bits"
)

// traverse is a walk round the walls as it was given, before what it does not close
// by is spread.
type traverse struct {
	legs  []Leg
	exact bool         // all turns are right angles
	at    [][2]float64 // nm: of each corner, and of the end of the last wall
	along []float64    // nm walked up to there
}

// traversed walks the legs from the origin along +x.
func traversed(legs []Leg) traverse {
	w := traverse{legs: legs, exact: rightAngled(legs), at: make([][2]float64, 1, len(legs)+1), along: make([]float64, 1, len(legs)+1)}
	var p [2]float64
	var heading Turn
	for i, l := range legs {
		x, y := heading.course()
		n := float64(l.Length)
		p = [2]float64{p[0] + x*n, p[1] + y*n}
		w.at, w.along = append(w.at, p), append(w.along, w.along[i]+n)
		heading = (heading + l.Turn).within()
	}
	return w
}

func (w *traverse) end() [2]float64 { return w.at[len(w.legs)] }

// gap is the way from the walk's end back to its start.
func (w *traverse) gap() *GapError {
	e := w.end()
	return &GapError{-Length(math.Round(e[0])), -Length(math.Round(e[1]))}
}

// allowed is the greatest gap, in nm, that comes of lengths and turns that are
// right and were rounded when they were given: half the step of each length, and
// half the last figure of each turn times the straight way from its corner to
// the walk's end, for so far a turn moves that end. To first order; a hundredth
// more makes up for the rest, and a micrometre for the arithmetic.
func (w *traverse) allowed() float64 {
	sum, e := 0.0, w.end()
	for i, l := range w.legs {
		sum += float64(l.Step) / 2
		if i < len(w.legs)-1 {
			sum += l.Turn.doubt() * math.Hypot(e[0]-w.at[i+1][0], e[1]-w.at[i+1][1])
		}
	}
	return 1.01*sum + float64(Micrometre)
}

func (w *traverse) closes() bool {
	e := w.end()
	if w.exact {
		return e == [2]float64{}
	}
	return math.Hypot(e[0], e[1]) <= w.allowed()
}

// corners are where the corners come to stand once the gap is spread by the
// compass rule of traverses: each wall takes the share of it that its length is
// of all walls. After that the first wall is turned back to +x. (The rule stands
// in every textbook of surveying, also under Bowditch's name; from memory.)
func (w *traverse) corners() []Point {
	n := len(w.legs)
	out := make([]Point, n)
	moved := func(i int) (x, y float64) {
		part := w.along[i] / w.along[n]
		return w.at[i][0] - part*w.at[n][0], w.at[i][1] - part*w.at[n][1]
	}
	x1, y1 := moved(1)
	long := math.Hypot(x1, y1)
	cos, sin := x1/long, y1/long
	for i := range out {
		x, y := moved(i)
		out[i] = Point{Length(math.Round(x*cos + y*sin)), Length(math.Round(y*cos - x*sin))}
	}
	return out
}

// Closing says by how much a walk of the legs does not come back to its start,
// and how great that gap may be: 0 with right angles only, else what rounding
// lengths to their steps and turns to their last figure can bring about.
func Closing(legs []Leg) (gap, allowed Length) {
	if len(legs) == 0 {
		return 0, 0
	}
	w := traversed(legs)
	if !w.exact {
		allowed = Length(w.allowed())
	}
	return w.gap().Length(), allowed
}

// product is a·b in 128 bits.
func product(a, b Length) (hi int64, lo uint64) {
	h, l := bits.Mul64(uint64(a), uint64(b))
	return int64(h) - int64(a>>63&b) - int64(b>>63&a), l
}

// partOf is the part of l that past is of the whole (0 ≤ past ≤ whole), to the
// nearest nanometre.
func partOf(l, past, whole Length) Length {
	if whole == 0 {
		return 0
	}
	hi, lo := bits.Mul64(uint64(l.Abs()), uint64(past))
	q, r := bits.Div64(hi, lo, uint64(whole))
	if r > uint64(whole)/2 {
		q++
	}
	if l < 0 {
		return -Length(q)
	}
	return Length(q)
}
