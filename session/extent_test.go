package session_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"rodcall/reduce"
	"rodcall/session"
)

var metricExtent = regexp.MustCompile(`c2: ([\d.]+) mm above c1\. Low spot c3: ([\d.]+) mm below c1\. Range ([\d.]+) mm\.`)

// TestRangeAddsUp: the range shown is what the high and the low shown add up
// to, for every tenth of a millimetre of either.
func TestRangeAddsUp(t *testing.T) {
	const tenth = reduce.Millimetre / 10
	finer := 0
	for high := reduce.Length(5); high <= 25; high++ {
		for low := reduce.Length(5); low <= 25; low++ {
			v := told(t, session.UnitsSet{Unit: reduce.UnitMillimetre, Finest: reduce.Millimetre, Grid: reduce.GridFor(reduce.UnitMillimetre)},
				read(reduce.Corner(1), 0), read(reduce.Corner(2), high*tenth), read(reduce.Corner(3), -low*tenth))
			got := v.Summary("en")
			m := metricExtent.FindStringSubmatch(got)
			if m == nil {
				if high > 5 && low > 5 {
					t.Fatalf("high %d, low %d tenths: %q", high, low, got)
				}
				continue // half a millimetre shows as level
			}
			var n [3]decimal.Decimal
			for i := range n {
				n[i] = decimal.RequireFromString(m[i+1])
			}
			if !n[0].Add(n[1]).Equal(n[2]) {
				t.Errorf("high %d, low %d tenths: %q", high, low, m[0])
			}
			if strings.Contains(m[3], ".") {
				finer++
			}
		}
	}
	if finer == 0 || finer == 21*21 {
		t.Errorf("%d of %d shown finer than a millimetre: want some and not all", finer, 21*21)
	}
}

// TestRangeThatNothingAddsUp is said to be about that much.
func TestRangeThatNothingAddsUp(t *testing.T) {
	const um = reduce.Micrometre
	v := told(t, read(reduce.Corner(1), 0), read(reduce.Corner(2), 3*reduce.Inch+150*um), read(reduce.Corner(3), -3*reduce.Inch-150*um))
	if got := v.Summary("en"); !strings.Contains(got, "High spot c2: 3 above c1. Low spot c3: 3 below c1. Range 6 in.") {
		t.Errorf("it adds up in sixteenths: %q", got)
	}
	v = told(t, read(reduce.Corner(1), 0), read(reduce.Corner(2), 3*reduce.Inch+750*um), read(reduce.Corner(3), -3*reduce.Inch-750*um))
	if got := v.Summary("en"); !strings.Contains(got, "3 1/32 above c1. Low spot c3: 3 1/32 below c1. Range 6 1/16 in.") {
		t.Errorf("it adds up in 32nds: %q", got)
	}
	const odd = 7 * um
	v = told(t, session.UnitsSet{Unit: reduce.UnitInch, Finest: reduce.SixtyFourth, Grid: reduce.GridFor(reduce.UnitInch)},
		read(reduce.Corner(1), 0), read(reduce.Corner(2), reduce.Inch+190*um+odd), read(reduce.Corner(3), -reduce.Inch-190*um-odd))
	if got := v.Summary("en"); !strings.Contains(got, "Range about 2 1/64 in.") {
		t.Errorf("it never adds up: %q", got)
	}
}

// TestGapHasItsUnit: the caution names inches where the job counts in them.
func TestGapHasItsUnit(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "c2 1 1/4 low")
	tb.mustSay("ann", "datum high", "gaps are over 1 in:")
}
