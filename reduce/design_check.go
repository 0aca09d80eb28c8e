package reduce

import (
	"fmt"
	"math/bits"
)

// DesignFault says why a step or a fall cannot be.
type DesignFault string

// The faults.
const (
	DesignNoStation DesignFault = "station" // an end that the outline does not have
	DesignOffWalk   DesignFault = "off"     // an end off the walls and piers, or a half of a spot
	DesignTwoLoops  DesignFault = "loops"   // ends in two loops, or a wall and a pier
	DesignTwoWalls  DesignFault = "walls"   // a fall whose ends stand on no one wall
	DesignOneSpot   DesignFault = "spot"    // a fall from a spot to itself
	DesignTooSteep  DesignFault = "steep"   // a fall of more than it is long, or a step beyond MaxStep
)

// DesignError is a step or a fall that cannot be.
type DesignError struct {
	Fault DesignFault
	Part  DesignPart
}

func (e *DesignError) Error() string {
	return fmt.Sprintf("design from %s to %s: %s", e.Part.From.Name(Foot), e.Part.To.Name(Foot), e.Fault)
}

// MaxStep bounds a step: 100 ft.
const MaxStep = 100 * Foot

// MaxDesignParts bounds the steps and falls of one design.
const MaxDesignParts = 200

// CheckDesign says what is wrong with a part, as a *DesignError; nil where
// nothing is. Its ends must be in the form that Resolve gives.
func CheckDesign(o *Outline, p DesignPart) error {
	fail := func(f DesignFault) error { return &DesignError{f, p} }
	ends := []Station{p.From, p.To}
	if p.Loop {
		ends = ends[:1]
	}
	for _, s := range ends {
		if s.Kind != Wall && s.Kind != Pier || s.Half != 0 || s.Kind == Pier && p.Falls() {
			return fail(DesignOffWalk)
		}
		if r, err := o.Resolve(s); err != nil || r != s {
			return fail(DesignNoStation)
		}
	}
	if p.Rise.Abs() > MaxStep || p.Falls() && p.Rise.Abs() > p.Run {
		return fail(DesignTooSteep)
	}
	if p.Loop {
		if p.From.Kind != Wall || o.Empty() || p.Falls() {
			return fail(DesignOffWalk)
		}
		return nil
	}
	if p.From.Kind != p.To.Kind {
		return fail(DesignTwoLoops)
	}
	if p.From.Kind == Pier {
		return nil
	}
	_, _, a, _ := o.wall(p.From.Number)
	_, _, b, _ := o.wall(p.To.Number)
	switch {
	case a != b:
		return fail(DesignTwoLoops)
	case !p.Falls():
	case p.From == p.To:
		return fail(DesignOneSpot)
	}
	if _, ok := o.AlongWall(p.From, p.To); p.Falls() && !ok {
		return fail(DesignTwoWalls)
	}
	return nil
}

// AlongWall is how far apart two stations of one wall are; ok is false where no
// one wall holds both.
func (o *Outline) AlongWall(a, b Station) (Length, bool) {
	if a.Kind != Wall || b.Kind != Wall {
		return 0, false
	}
	if a.Number == b.Number {
		return (a.Past - b.Past).Abs(), true
	}
	for _, ends := range [][2]Station{{a, b}, {b, a}} {
		if from := ends[0]; o.endsAt(from.Number, ends[1]) {
			wall, _ := o.WallLength(from.Number)
			return wall - from.Past, true
		}
	}
	return 0, false
}

// Before is the corner before corner n in its loop: where the wall starts that
// ends at n; 0 where the outline has no such corner.
func (o *Outline) Before(n int) int {
	_, _, l, ok := o.wall(n)
	if !ok {
		return 0
	}
	return l.First + (n-l.First+len(l.Corners)-1)%len(l.Corners)
}

// endsAt says whether a station is the far corner of the wall that starts at
// corner n.
func (o *Outline) endsAt(n int, s Station) bool {
	_, _, l, ok := o.wall(n)
	return ok && s.IsCorner() && s.Number == l.First+(n-l.First+1)%len(l.Corners)
}

// share is rise × part / run to the nearest nanometre, a tie to the even one;
// part is ≥ 0, run > 0, and the result must fit a Length.
func share(rise, part, run Length) Length {
	hi, lo := bits.Mul64(uint64(rise.Abs()), uint64(part))
	q, r := bits.Div64(hi, lo, uint64(run))
	if twice := 2 * r; twice > uint64(run) || twice == uint64(run) && q%2 == 1 {
		q++
	}
	if rise < 0 {
		return -Length(q)
	}
	return Length(q)
}
