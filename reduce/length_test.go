package reduce_test

import (
	"encoding/json"
	"errors"
	"math/big"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"rodcall/reduce"
)

// TestExactLengths: what must be whole nanometres, and what cannot be.
func TestExactLengths(t *testing.T) {
	for _, c := range []struct {
		num, den int64
		unit     reduce.Length
		want     string // millimetres
		err      error
	}{
		{1, 64, reduce.Inch, "0.396875", nil},
		{3, 8, reduce.Inch, "9.525", nil},
		{1, 100, reduce.Foot, "3.048", nil},
		{1, 3, reduce.Inch, "", reduce.ErrTooFine},
		{1, 7, reduce.Millimetre, "", reduce.ErrTooFine},
		{100, 1, 1000 * reduce.Metre, "100000000", nil},
		{101, 1, 1000 * reduce.Metre, "", reduce.ErrRange},
	} {
		l, err := reduce.Fraction(c.num, c.den, c.unit)
		if !errors.Is(err, c.err) || err == nil && l.String() != c.want {
			t.Errorf("%d/%d of %v: %v (%v), want %s (%v)", c.num, c.den, c.unit, l, err, c.want, c.err)
		}
	}
}

// TestRounding: to the nearest step, a tie to the even multiple, as big.Rat
// reckons it.
func TestRounding(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		step := reduce.Length(rapid.SampledFrom([]int64{1, 2, 3, 10, int64(reduce.Inch) / 16, int64(reduce.Inch) / 64,
			int64(reduce.Foot) / 100, int64(reduce.Millimetre)}).Draw(r, "step"))
		l := reduce.Length(rapid.Int64Range(-2_000_000_000, 2_000_000_000).Draw(r, "l"))
		if rapid.Bool().Draw(r, "tie") {
			l = l/step*step + step/2
		}
		got := l.RoundTo(step)
		if got%step != 0 {
			r.Fatalf("%d is no multiple of %d", got, step)
		}
		// 2|l − got| ≤ step, and on a tie got is an even multiple.
		off := new(big.Int).Abs(big.NewInt(2 * int64(l-got)))
		switch off.Cmp(big.NewInt(int64(step))) {
		case 1:
			r.Fatalf("%d to %d is %d: too far", l, step, got)
		case 0:
			if got/step%2 != 0 {
				r.Fatalf("%d to %d is %d: odd", l, step, got)
			}
		}
		if -got != (-l).RoundTo(step) {
			r.Fatalf("%d and %d round apart", l, -l)
		}
	})
}

// TestLengthsKeepTheirText: text and decimals in any unit lead back to the
// same length.
func TestLengthsKeepTheirText(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		l := reduce.Length(rapid.Int64Range(-int64(reduce.MaxLength), int64(reduce.MaxLength)).Draw(r, "l"))
		if want := decimal.New(int64(l), -6).String(); l.String() != want {
			r.Fatalf("%d is written %s, want %s", l, l, want)
		}
		b, err := json.Marshal(l)
		if err != nil {
			r.Fatal(err)
		}
		var back reduce.Length
		if err := json.Unmarshal(b, &back); err != nil || back != l {
			r.Fatalf("%s reads back as %v (%v)", b, back, err)
		}
		for _, unit := range []reduce.Length{reduce.Millimetre, reduce.Centimetre, reduce.Metre} {
			if back, err := reduce.FromDecimal(l.Decimal(unit), unit); err != nil || back != l {
				r.Fatalf("%v of %v reads back as %v (%v)", l, unit, back, err)
			}
		}
	})
}

// TestAmounts: sixteenths with their halves, by hand.
func TestAmounts(t *testing.T) {
	inch := func(n reduce.Length) reduce.Length { return n * reduce.Inch / 64 }
	for _, c := range []struct {
		l      reduce.Length
		figure string
		shade  int
	}{
		{0, "0", 0}, {inch(24), "3/8", 0}, {inch(-24), "3/8", 0}, {inch(88), "1 3/8", 0},
		{inch(18), "1/4", 1},  // 9/32 is half way from 4/16 to 5/16: even is 4
		{inch(14), "1/4", -1}, // 7/32: even is 4
		{inch(22), "3/8", -1}, {inch(26), "3/8", 1},
		{inch(2), "1/16", -1}, // 1/32 is not nothing
		{inch(1), "0", 0},
		{inch(23), "3/8", 0}, {inch(17), "1/4", 0},
	} {
		got := reduce.UnitInch.Amount(c.l, reduce.Inch/16)
		if got.Figure != c.figure || got.Shade != c.shade {
			t.Errorf("%v: %+v, want %s, %d", c.l, got, c.figure, c.shade)
		}
	}
	if got := reduce.UnitFoot.Amount(-reduce.Foot*3/100, reduce.Foot/100); got.Figure != "0.03" {
		t.Errorf("0.03 ft: %v", got)
	}
	if got := reduce.UnitMillimetre.Amount(9*reduce.Millimetre+500*reduce.Micrometre, reduce.Millimetre); got.Figure != "10" {
		t.Errorf("9.5 mm: %v, want 10 (a tie, even)", got)
	}
}

// FuzzLength: no text makes a length panic, and what is read writes back to an
// equal number.
func FuzzLength(f *testing.F) {
	for _, s := range []string{"-9.525", "0", "1e9", "1e-400", "0.0000001", "99999999999999999999", "-", "nan"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		var l reduce.Length
		if err := l.UnmarshalText([]byte(s)); err != nil {
			return
		}
		want, err := decimal.NewFromString(s)
		if err != nil || !decimal.RequireFromString(l.String()).Equal(want) {
			t.Errorf("%q is read as %v", s, l)
		}
	})
}

// FuzzStation: no text makes a station panic, and a name is read only as it
// would be written.
func FuzzStation(f *testing.F) {
	for _, s := range []string{"c1", "c3+8", "c3+6.5", "p1", "bm", "bm2", "t1", "c0", "c1+0", "c1+1e3", "cc1", "bm1", "c5 top", "c5+4 bottom", "p1 top"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		st, err := reduce.ParseStation(s, reduce.Foot)
		if err == nil && st.Name(reduce.Foot) != s {
			t.Errorf("%q is read as %s", s, st.Name(reduce.Foot))
		}
	})
}

// TestExactAsRationals: what a fraction and a decimal of a unit come to, as
// big.Rat reckons it, small and beyond all that can be.
func TestExactAsRationals(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		unit := rapid.SampledFrom([]reduce.Length{reduce.Nanometre, reduce.SixtyFourth, reduce.Millimetre, reduce.Inch, reduce.Foot, reduce.Metre, reduce.MaxLength}).Draw(r, "unit")
		num := rapid.Int64().Draw(r, "num") >> rapid.IntRange(0, 62).Draw(r, "smaller")
		den := rapid.SampledFrom([]int64{1, 2, 3, 8, 16, 64, 100, 10_000, -8, 1 << 40}).Draw(r, "den")
		check := func(what string, got reduce.Length, err error, exact *big.Rat) {
			t.Helper()
			far := new(big.Rat).Abs(exact).Cmp(new(big.Rat).SetInt64(int64(reduce.MaxLength))) > 0
			switch {
			case err == nil && (far || exact.Cmp(new(big.Rat).SetInt64(int64(got))) != 0),
				errors.Is(err, reduce.ErrRange) && !far, errors.Is(err, reduce.ErrTooFine) && exact.IsInt():
				r.Fatalf("%s is %d (%v), exactly %v", what, got, err, exact)
			}
		}
		of := new(big.Rat).SetInt64(int64(unit))
		if l, err := reduce.Fraction(num, den, unit); num > -int64(reduce.MaxLength) && num < int64(reduce.MaxLength) {
			check("the fraction", l, err, new(big.Rat).Mul(big.NewRat(num, den), of))
		}
		places := rapid.Int32Range(-3, 3).Draw(r, "places")
		d := decimal.New(num, places)
		l, err := reduce.FromDecimal(d, unit)
		check("the decimal", l, err, new(big.Rat).Mul(d.Rat(), of))
	})
}
