package session_test

import (
	"fmt"
	"strings"
	"testing"

	"rodcall/reduce"
	"rodcall/session"
)

// sill is a foundation and a laser that may be disturbed: what a rod shows is
// made from the truth, in sixteenths of an inch.
type sill struct {
	tb       *table
	standard bool
	// lift is by how much a station seems to have risen at time k, the number
	// of readings taken.
	lift  func(k int, station string) int
	taken int
	shots int // re-shots asked for
}

// height of a station: gentle, so that no wall makes a reading unlikely.
func height(station string) int {
	n := 0
	for _, r := range station {
		n = (n*31 + int(r)) % 5
	}
	if station == "c1" || station == "bm" {
		return 0
	}
	return n - 2
}

func (s *sill) shows(station string) string {
	v := height(station) + s.lift(s.taken, station)
	s.taken++
	if s.standard {
		v = 48*16 - v
		if v%16 == 0 {
			return fmt.Sprintf("%s %d\"", station, v/16)
		}
		return fmt.Sprintf("%s %d %d/16\"", station, v/16, v%16)
	}
	switch {
	case v < 0:
		return station + " " + inches(-v) + " low"
	case v > 0:
		return station + " " + inches(v) + " high"
	}
	return station + " 0"
}

// inches writes sixteenths out.
func inches(v int) string {
	switch {
	case v%16 == 0:
		return fmt.Sprintf("%d in", v/16)
	case v < 16:
		return fmt.Sprintf("%d/16", v)
	}
	return fmt.Sprintf("%d %d/16", v/16, v%16)
}

// read sends what the rod shows at a station, and says yes where it is doubted.
func (s *sill) read(prefix, station string) string {
	text := prefix + s.shows(station)
	got := s.tb.say("ann", text)
	for len(s.tb.last.Events) == 0 {
		if again := s.tb.say("ann", text); again == got {
			s.tb.t.Fatalf("%q is not taken: %q", text, got)
		}
	}
	return got
}

// onSill is a job whose benchmark has been read first.
func onSill(t testing.TB, standard bool, lift func(k int, station string) int) *sill {
	s := &sill{tb: newTable(t), standard: standard, lift: lift}
	s.tb.say("ann", "new East house")
	s.tb.say("ann", "40x28")
	if standard {
		s.tb.say("ann", "standard rod")
	}
	s.tb.say("ann", "check every no")
	s.read("", "bm")
	return s
}

// walk reads the stations of the walk in their order.
func (s *sill) walk(n int) []string {
	var names []string
	for _, v := range s.tb.job().View().Stations {
		if v.Name != "bm" && len(names) < n {
			names = append(names, v.Name)
		}
	}
	for _, n := range names {
		s.read("", n)
	}
	return names
}

// search answers re-shots until no more is asked for.
func (s *sill) search(got string) string {
	for s.shots = 0; ; s.shots++ {
		_, rest, asked := strings.Cut(got, "Read ")
		station, _, again := strings.Cut(rest, " again: what")
		if !asked || !again {
			return got
		}
		if s.shots > 40 {
			s.tb.t.Fatal("still searching after 40 re-shots")
		}
		got = s.read("", station)
	}
}

func splits(tb *table) []session.SetupSplit {
	var out []session.SetupSplit
	for _, e := range tb.logs[tb.chat.Current] {
		if b, ok := e.Body.(session.SetupSplit); ok {
			out = append(out, b)
		}
	}
	return out
}

// TestBumpAtEveryPosition: wherever in a walk of 34 stations the laser was
// bumped, up or down, on either rod, the place is found within the bound, and
// every elevation is the true one.
func TestBumpAtEveryPosition(t *testing.T) {
	const stations = 34
	for _, standard := range []bool{false, true} {
		for _, step := range []int{4, -4} {
			// after counts readings, of which the benchmark is the first.
			for after := range stations + 1 {
				name := fmt.Sprintf("standard %t, step %d after %d", standard, step, after)
				s := onSill(t, standard, func(k int, _ string) int {
					if k > after {
						return step
					}
					return 0
				})
				names := append([]string{"bm"}, s.walk(stations)...)
				got := s.search(s.read("check ", "bm"))
				if most := reduce.Bound(len(names)); s.shots > most {
					t.Fatalf("%s: %d re-shots, at most %d", name, s.shots, most)
				}
				if k := splits(s.tb); len(k) != 1 || len(k[0].Doubt) > 0 {
					t.Fatalf("%s: %q, splits %+v", name, got, k)
				}
				want := "happened after " + names[after] + ","
				if after < stations {
					want = "happened between " + names[after] + " and " + names[after+1] + ":"
				}
				if !strings.Contains(got, want) {
					t.Fatalf("%s: no %q in %q", name, want, got)
				}
				how := "1/4 lower"
				if step < 0 {
					how = "1/4 higher"
				}
				if !strings.Contains(got, "laser stands "+how) {
					t.Fatalf("%s: no %q in %q", name, how, got)
				}
				for _, v := range s.tb.job().View().Stations {
					if truth := reduce.Length(height(v.Name)) * reduce.Inch / 16; v.Elevation == nil || *v.Elevation != truth {
						t.Fatalf("%s: %s stands %v, in truth %v", name, v.Name, v.Elevation, truth)
					}
				}
			}
		}
	}
}
