package reduce_test

import (
	"errors"
	"math/big"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
)

const sixteenth = reduce.Inch / 16

// stacks lists every stack of up to most shims, each largest first.
func stacks(sizes []reduce.Length, most int) [][]reduce.Length {
	out := [][]reduce.Length{nil}
	last := out
	for range most {
		var next [][]reduce.Length
		for _, below := range last {
			for _, s := range sizes {
				if len(below) == 0 || s <= below[len(below)-1] {
					next = append(next, append(slices.Clone(below), s))
				}
			}
		}
		out = append(out, next...)
		last = next
	}
	return out
}

func sum(stack []reduce.Length) (l reduce.Length) {
	for _, s := range stack {
		l += s
	}
	return l
}

// drawSizes draws shims of sixteenths, of millimetres, or of any size at all.
func drawSizes(r *rapid.T, atMost int) []reduce.Length {
	unit := rapid.SampledFrom([]reduce.Length{sixteenth, reduce.Millimetre, reduce.SixtyFourth, 1}).Draw(r, "unit")
	n := rapid.SliceOfNDistinct(rapid.Int64Range(1, 20), 1, atMost, rapid.ID).Draw(r, "sizes")
	out := make([]reduce.Length, len(n))
	for i := range n {
		out[i] = reduce.Length(n[i]) * unit
	}
	return out
}

// TestFitAgainstEveryStack: against all stacks there are, none that makes the
// rounded amount has fewer shims, or as few and a larger one first; where none
// makes it, none comes nearer to the amount.
func TestFitAgainstEveryStack(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		sizes := drawSizes(r, 5)
		most := rapid.IntRange(1, 5).Draw(r, "most")
		finest := rapid.SampledFrom([]reduce.Length{sixteenth, reduce.Millimetre, reduce.Foot / 100, 3}).Draw(r, "finest")
		s, err := reduce.NewStacker(sizes, most, finest)
		if err != nil {
			r.Fatal(err)
		}
		amount := reduce.Length(rapid.Int64Range(-int64(sizes[0]), 6*int64(slices.Max(sizes))).Draw(r, "amount"))
		f := s.Fit(amount)

		rounded := new(big.Rat).SetFrac64(int64(max(amount, 0)), int64(finest))
		half := new(big.Rat).Sub(rounded, new(big.Rat).SetFrac64(int64(f.Rounded), int64(finest)))
		if half.Abs(half).Cmp(big.NewRat(1, 2)) > 0 || f.Rounded%finest != 0 {
			r.Fatalf("%d rounded to %d", amount, f.Rounded)
		}

		var best []reduce.Length
		found := false
		for _, k := range stacks(sizes, most) {
			if sum(k) != f.Rounded {
				continue
			}
			if !found || len(k) < len(best) || len(k) == len(best) && slices.Compare(k, best) > 0 {
				best, found = k, true
			}
		}
		if found != f.Exact() {
			r.Fatalf("exact %v, want %v", f.Exact(), found)
		}
		if !found {
			for _, k := range stacks(sizes, most) {
				nearer := (sum(k) - amount).Abs() < (f.Makes - amount).Abs()
				if nearer || sum(k) == f.Makes && len(k) < len(f.Stack) {
					r.Fatalf("%v is better than %v", k, f.Stack)
				}
				if l := sum(k); l > f.Below && l <= amount || l > amount && (f.Above == 0 || l < f.Above) {
					r.Fatalf("%d lies between %d and %d", l, f.Below, f.Above)
				}
			}
			best = f.Stack
		}
		if !slices.Equal(f.Stack, best) || sum(f.Stack) != f.Makes || !slices.IsSortedFunc(f.Stack, func(a, b reduce.Length) int { return int(b - a) }) {
			r.Fatalf("stack %v makes %d, want %v", f.Stack, f.Makes, best)
		}
	})
}

// TestFitSaid: amounts as crews meet them.
func TestFitSaid(t *testing.T) {
	in := func(n, d int64) reduce.Length { return reduce.Inch * reduce.Length(n) / reduce.Length(d) }
	mm := func(n int64) reduce.Length { return reduce.Length(n) * reduce.Millimetre }
	for _, c := range []struct {
		name          string
		sizes         []reduce.Length
		most          int
		finest        reduce.Length
		amount        reduce.Length
		stack         []reduce.Length
		over          reduce.Length
		exact         bool
		below, aboves reduce.Length
	}{
		{"0.23 in", sizesOf(reduce.UnitInch), 4, sixteenth, in(23, 100), []reduce.Length{in(1, 4)}, in(2, 100), true, 0, 0},
		{"5/16", sizesOf(reduce.UnitInch), 4, sixteenth, in(5, 16), []reduce.Length{in(1, 4), in(1, 16)}, 0, true, 0, 0},
		{"15/16", sizesOf(reduce.UnitInch), 4, sixteenth, in(15, 16), []reduce.Length{in(1, 2), in(1, 4), in(1, 8), in(1, 16)}, 0, true, 0, 0},
		{"1/32 goes to the even one, which is nothing", sizesOf(reduce.UnitInch), 4, sixteenth, in(1, 32), nil, -in(1, 32), true, 0, 0},
		{"3/32 goes to the even one", sizesOf(reduce.UnitInch), 4, sixteenth, in(3, 32), []reduce.Length{in(1, 8)}, in(1, 32), true, 0, 0},
		{"high already", sizesOf(reduce.UnitInch), 4, sixteenth, -in(1, 4), nil, 0, true, 0, 0},
		{"7/16 in two", sizesOf(reduce.UnitInch), 2, sixteenth, in(7, 16), []reduce.Length{in(1, 4), in(1, 8)}, -in(1, 16), false, in(3, 8), in(1, 2)},
		{"no 1/16 on hand", []reduce.Length{in(1, 8), in(1, 4)}, 4, sixteenth, in(3, 16), []reduce.Length{in(1, 8)}, -in(1, 16), false, in(1, 8), in(1, 4)},
		{"no 1/16 on hand, the upper nearer", []reduce.Length{in(1, 8), in(1, 4)}, 4, sixteenth, in(19, 100), []reduce.Length{in(1, 4)}, in(6, 100), false, in(1, 8), in(1, 4)},
		{"farther than the stack goes", []reduce.Length{in(1, 4)}, 2, sixteenth, in(1, 1), []reduce.Length{in(1, 4), in(1, 4)}, -in(1, 2), false, in(1, 2), 0},
		{"7 mm", sizesOf(reduce.UnitMillimetre), 4, mm(1), mm(7), []reduce.Length{mm(5), mm(2)}, 0, true, 0, 0},
		{"6 mm: 5 + 1 before 3 + 3", sizesOf(reduce.UnitMillimetre), 4, mm(1), mm(6), []reduce.Length{mm(5), mm(1)}, 0, true, 0, 0},
		{"6.5 mm goes to the even one", sizesOf(reduce.UnitMillimetre), 4, mm(1), mm(13) / 2, []reduce.Length{mm(5), mm(1)}, -mm(1) / 2, true, 0, 0},
		// 0.01 ft is no sum of sixteenths: 0.02 ft = 6.096 mm, 1/4 in is 6.35.
		{"0.02 ft", sizesOf(reduce.UnitFoot), 4, reduce.Foot / 100, reduce.Foot / 50, []reduce.Length{in(1, 4)}, 254_000, false, in(3, 16), in(1, 4)},
	} {
		s, err := reduce.NewStacker(c.sizes, c.most, c.finest)
		if err != nil {
			t.Fatal(err)
		}
		f := s.Fit(c.amount)
		if !slices.Equal(f.Stack, c.stack) || f.Over() != c.over || f.Exact() != c.exact || f.Below != c.below || f.Above != c.aboves {
			t.Errorf("%s: %+v, over %v", c.name, f, f.Over())
		}
	}
}

func sizesOf(u reduce.Unit) []reduce.Length {
	var out []reduce.Length
	for _, s := range reduce.DefaultShims(u) {
		out = append(out, s.Size)
	}
	return out
}

func TestMissing(t *testing.T) {
	s, err := reduce.NewStacker([]reduce.Length{reduce.Inch / 8, reduce.Inch / 4}, 2, sixteenth)
	if err != nil {
		t.Fatal(err)
	}
	got := s.Missing(reduce.Inch / 2)
	want := []reduce.Length{sixteenth, 3 * sixteenth, 5 * sixteenth, 7 * sixteenth}
	if !slices.Equal(got, want) {
		t.Errorf("%v", got)
	}
	// A hundredth of a foot is no sum of sixteenths, but near to one.
	for _, u := range []reduce.Unit{reduce.UnitInch, reduce.UnitFoot, reduce.UnitMillimetre} {
		s, err := reduce.NewStacker(sizesOf(u), reduce.DefaultStack, u.Finest())
		if err != nil {
			t.Fatal(err)
		}
		// The sizes that we plan with make every amount that is still a shim.
		if m := s.Missing(reduce.Inch); len(m) > 0 {
			t.Errorf("%v: %v", u, m)
		}
	}
}

func TestShimsRefused(t *testing.T) {
	many := make([]reduce.Length, reduce.MaxShimSizes+1)
	for i := range many {
		many[i] = reduce.Length(i+1) * sixteenth
	}
	for name, c := range map[string]struct {
		sizes  []reduce.Length
		most   int
		finest reduce.Length
	}{
		"none":       {nil, 4, sixteenth},
		"of nothing": {[]reduce.Length{0}, 4, sixteenth},
		"below 0":    {[]reduce.Length{-1, 1}, 4, sixteenth},
		"twice":      {[]reduce.Length{sixteenth, reduce.Inch, sixteenth}, 4, sixteenth},
		"a block":    {[]reduce.Length{reduce.Foot}, 4, sixteenth},
		"too many":   {many, 4, sixteenth},
		"no stack":   {[]reduce.Length{sixteenth}, 0, sixteenth},
		"a tower":    {[]reduce.Length{sixteenth}, 9, sixteenth},
		"no finest":  {[]reduce.Length{sixteenth}, 4, 0},
	} {
		if _, err := reduce.NewStacker(c.sizes, c.most, c.finest); !errors.Is(err, reduce.ErrShims) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
