package session_test

import (
	"fmt"
	"strings"
	"testing"

	"rodcall/reduce"
	"rodcall/session"
)

// claims says which place a conversation claims, "" for none.
func claims(tb *table, got string) string {
	_, place, ok := strings.Cut(got, "It happened ")
	if !ok {
		return ""
	}
	place, _, _ = strings.Cut(place, ":")
	return place
}

// TestBumpTraps: what is no pure step must not be taken for one. Each trap is
// played over a whole walk of 34 stations with its parts at many places.
func TestBumpTraps(t *testing.T) {
	const stations = 34
	// Where stations stand, in feet, for a laser that tilts.
	outline, err := reduce.Outline{Grid: reduce.GridFor(reduce.UnitInch)}.WithLoop("", reduce.Point{}, reduce.Rectangle(40*reduce.Foot, 28*reduce.Foot))
	if err != nil {
		t.Fatal(err)
	}
	at := map[string]reduce.Point{"bm": {}}
	for _, s := range outline.Stations() {
		at[s.Name(reduce.Foot)], _, _ = outline.Position(s)
	}
	feet := func(l reduce.Length) int { return int(l / reduce.Foot) }
	sign := func(up bool) int {
		if up {
			return 1
		}
		return -1
	}
	type trap struct {
		name string
		lift func(after, k int, station string) int
		// may is a place that is true all the same, "" where none is.
		may func(names []string, after int) string
	}
	between := func(names []string, after int) string {
		if after+1 < len(names) {
			return "between " + names[after] + " and " + names[after+1]
		}
		return "after " + names[after] + ", before the check on bm"
	}
	for _, up := range []bool{true, false} {
		traps := []trap{
			{name: "tilt as well as a height", lift: func(after, k int, station string) int {
				if k <= after {
					return 0
				}
				// 1/4 in everywhere, and 1/2 in more for each 20 ft along and across.
				return sign(up) * (4 + 8*(feet(at[station].X)+feet(at[station].Y))/20)
			}, may: between},
			{name: "second bump", lift: func(after, k int, _ string) int {
				switch {
				case k <= after/2:
					return 0
				case k <= after:
					return sign(up) * 6
				}
				return sign(up) * 13
			}},
			{name: "second bump, back", lift: func(after, k int, _ string) int {
				switch {
				case k <= after/2:
					return 0
				case k <= after:
					return sign(up) * 12
				}
				return sign(up) * 5
			}},
			{name: "sinking leg", lift: func(after, k int, _ string) int {
				return sign(up) * max(0, min(k, stations)-after/4) * 16 / stations
			}},
			{name: "receiver slipped during the search", lift: func(after, k int, _ string) int {
				switch {
				case k <= after:
					return 0
				case k <= stations+2: // the check, and one re-shot
					return sign(up) * 4
				}
				return sign(up) * 9
			}, may: between},
			{name: "stations shimmed since", lift: func(after, k int, station string) int {
				v := 0
				if k > after {
					v = sign(up) * 4
				}
				if k > stations && len(station)%2 == 0 && station != "bm" {
					v += sign(up) * 9
				}
				return v
			}, may: between},
		}
		for _, trap := range traps {
			claimed, stopped := 0, 0
			for after := 4; after <= stations-2; after += 3 {
				for _, standard := range []bool{false, true} {
					name := fmt.Sprintf("%s %t, after %d, standard %t", trap.name, up, after, standard)
					s := onSill(t, standard, func(k int, station string) int { return trap.lift(after, k, station) })
					names := append([]string{"bm"}, s.walk(stations)...)
					got := s.search(s.read("check ", "bm"))
					place := claims(s.tb, got)
					switch {
					case place == "" && !strings.Contains(got, "Stopped:"):
						t.Errorf("%s: neither found nor stopped: %q", name, got)
					case place == "":
						stopped++
						if k := splits(s.tb); len(k) > 0 && len(k[0].Doubt) == 0 {
							t.Errorf("%s: split for certain, %+v", name, k)
						}
					case trap.may == nil || place != trap.may(names, after):
						t.Errorf("%s: claims %q", name, place)
					default:
						claimed++
					}
				}
			}
			t.Logf("%s, up %t: %d stopped, %d at the true place", trap.name, up, stopped, claimed)
		}
	}
}

// TestBumpUndone: undo takes the split back, and bumped finds it again; the
// readings are where they were, and all of them are kept.
func TestBumpUndone(t *testing.T) {
	s := onSill(t, false, func(k int, _ string) int {
		if k > 6 {
			return 4
		}
		return 0
	})
	s.walk(12)
	got := s.read("check ", "bm")
	for i := 0; strings.Contains(got, " again: what"); i++ {
		before := rodsOf(s.tb)
		_, rest, _ := strings.Cut(got, "Read ")
		station, _, _ := strings.Cut(rest, " again: what")
		if got = s.read("", station); strings.Contains(got, "It happened") {
			after := rodsOf(s.tb)
			if len(after) != len(before)+1 {
				t.Errorf("%d readings, want %d", len(after), len(before)+1)
			}
			for _, r := range after {
				want := 1
				if r.Seq > splits(s.tb)[0].After {
					want = 2
				}
				if r.Rod != want {
					t.Errorf("reading %d is of rod %d, want %d", r.Seq, r.Rod, want)
				}
			}
			s.tb.mustSay("ann", "undo", "Taken back: the split at the bump")
			if got := rodsOf(s.tb); fmt.Sprint(got[:len(before)]) != fmt.Sprint(before) || len(s.tb.job().Setups) != 1 || len(s.tb.job().Rods) != 1 {
				t.Errorf("not as it was: %+v", got)
			}
			s.tb.mustSay("ann", "bumped", "It happened between")
			if got := rodsOf(s.tb); fmt.Sprint(got) != fmt.Sprint(after) {
				t.Errorf("split again: %+v, want %+v", got, after)
			}
			s.tb.say("ann", "undo")
			s.tb.mustSay("ann", "undo", station+": taken back")
			return
		}
		if i > 10 {
			t.Fatal("no end")
		}
	}
	t.Fatalf("not found: %q", got)
}

func rodsOf(tb *table) []session.Reading { return tb.job().Readings() }

// TestBumpLeft: no and other commands leave the search, and bumped goes on.
func TestBumpLeft(t *testing.T) {
	for _, leave := range []string{"no", "skip", "c3+12", "tolerance 1/8", "c3+12 0"} {
		s := onSill(t, false, func(k int, _ string) int {
			if k > 6 {
				return 4
			}
			return 0
		})
		s.walk(12)
		got := s.read("check ", "bm")
		_, rest, _ := strings.Cut(got, "Read ")
		station, _, _ := strings.Cut(rest, " again: what")
		s.tb.say("ann", leave)
		got = s.tb.say("ann", "-1/4")
		if rs := s.tb.job().Readings(); len(s.tb.last.Events) > 0 && rs[len(rs)-1].Check {
			t.Errorf("after %q a figure was taken as a re-shot: %q", leave, got)
		}
		s.tb.mustSay("ann", "bumped", "Read "+station+" again")
		if got = s.search("Read " + station + " again: what"); claims(s.tb, got) == "" {
			t.Errorf("after %q: %q", leave, got)
		}
	}
}
