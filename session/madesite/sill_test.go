package madesite_test

import (
	"math"
	"testing"

	"rodcall/reduce"
	"rodcall/session/madesite"
)

// TestSillByHand: on level concrete without roughness a stack of 1/2 in at one
// mark lifts that mark; 16 in beside it a stack of 1/4 in is not reached, since
// a plate that bridges 32 in from the stack to the bare concrete passes over
// that spot at 1/4 in. Without it the plate hangs there by 1/4 in, and tight it
// comes down by the 1/16 in that it is pulled.
func TestSillByHand(t *testing.T) {
	const inch = float64(reduce.Inch)
	p := madesite.Default(reduce.UnitInch, sixteenth)
	p.Ground = madesite.Ground{Reach: reduce.Foot, Lean: reduce.Grade{Run: reduce.Foot}}
	p.Plate.Thick, p.Plate.Set = 0, 0
	o, err := reduce.Outline{Grid: reduce.Grid{Mark: reduce.Foot, Spacing: 16 * reduce.Inch, Drop: reduce.Inch}}.WithLoop("", reduce.Point{}, reduce.Rectangle(8*reduce.Foot, 8*reduce.Foot))
	if err != nil {
		t.Fatal(err)
	}
	at := func(inches reduce.Length) reduce.Station { return reduce.Along(1, inches*reduce.Inch) }
	for _, c := range []struct {
		tight bool
		shims map[reduce.Length]reduce.Length
		want  map[reduce.Length]float64 // under the plate, inches
	}{
		{true, nil, map[reduce.Length]float64{0: 0, 16: 0, 48: 0, 80: 0}},
		{false, map[reduce.Length]reduce.Length{48: reduce.Inch / 2}, map[reduce.Length]float64{16: 0, 32: 0.25, 48: 0.5, 64: 0.25, 80: 0}},
		{true, map[reduce.Length]reduce.Length{48: reduce.Inch / 2}, map[reduce.Length]float64{16: 0, 32: 0.1875, 48: 0.5, 64: 0.1875, 80: 0}},
		{true, map[reduce.Length]reduce.Length{48: reduce.Inch / 2, 32: reduce.Inch / 4}, map[reduce.Length]float64{32: 0.25, 48: 0.5, 64: 0.1875}},
		{true, map[reduce.Length]reduce.Length{0: reduce.Inch}, map[reduce.Length]float64{0: 1, 16: 0.4375, 32: 0}},
	} {
		s := madesite.New(1, o, p.Ground)
		l := s.NewSill(p)
		for where, amount := range c.shims {
			if !l.Shim(at(where), amount) {
				t.Fatalf("no spot at %v", where)
			}
		}
		if l.Shimmed() != len(c.shims) {
			t.Errorf("%d spots shimmed, want %d", l.Shimmed(), len(c.shims))
		}
		l.Lay(c.tight)
		for where, want := range c.want {
			got, ok := s.Truth(at(where))
			if !ok || math.Abs(got-(want+1.5)*inch) > 1 {
				t.Errorf("tight %v, shims %v: at %v in %.4f in under the plate, want %.4f", c.tight, c.shims, int64(where), got/inch-1.5, want)
			}
		}
	}
}

// TestSillOnRoughConcrete: whatever is under it, a plate is never below its
// support, and tight never above loose.
func TestSillOnRoughConcrete(t *testing.T) {
	p := madesite.Default(reduce.UnitInch, sixteenth)
	p.Plate.Thick = 0
	o := house(t)
	for i := range 50 {
		seed := seedOf(61, i)
		bare := madesite.New(seed, o, p.Ground)
		loose, tight := madesite.New(seed, o, p.Ground), madesite.New(seed, o, p.Ground)
		pick := madesite.NewChance(seed, 1<<44)
		a, b := loose.NewSill(p), tight.NewSill(p)
		for _, st := range o.Stations() {
			if pick.Below(3) == 0 {
				a.Shim(st, sixteenth)
				b.Shim(st, sixteenth)
			}
		}
		a.Lay(false)
		b.Lay(true)
		for _, st := range o.Stations() {
			c, _ := bare.Truth(st)
			x, _ := loose.Truth(st)
			y, _ := tight.Truth(st)
			if under := y - float64(p.Plate.Nominal); under < c-1 || y > x+1 || x-y > float64(p.Plate.Pull)+1 {
				t.Errorf("site %d, %s: concrete %.0f, under the plate %.0f, loose %.0f more", i, st.Name(reduce.Foot), c, under, x-y)
			}
		}
	}
}
