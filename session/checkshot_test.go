package session_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// TestCheckEvery: a check shot is asked for after so many stations or minutes,
// once; skip goes on, and so does whatever else is sent.
func TestCheckEvery(t *testing.T) {
	level := func(int, string) int { return 0 }
	due := "Check shot on bm: what does the rod show?"
	for _, after := range []string{"skip", "bm 0", "tolerance 1/8", "0"} {
		s := onSill(t, false, level)
		s.tb.mustSay("ann", "check every 3", "every 3 stations")
		names := []string{"c1", "c1+4", "c1+8", "c1+12", "c1+16", "c1+20", "c1+24"}
		asked := 0
		for i, n := range names[:6] {
			got := s.read("", n)
			if want := i%3 == 2; strings.Contains(got, due) != want {
				t.Errorf("%q, at %s: %q, asked %t", after, n, got, want)
			}
			if i%3 == 2 {
				asked++
				s.tb.mustSay("ann", after, "Next: "+names[i+1])
			}
		}
		if asked != 2 {
			t.Errorf("asked %d times", asked)
		}
	}
	s := onSill(t, false, level)
	s.tb.mustSay("ann", "check every 20 min", "every 20 min")
	for _, n := range []string{"c1", "c1+4"} {
		if got := s.read("", n); strings.Contains(got, due) {
			t.Errorf("too soon: %q", got)
		}
	}
	s.tb.now = s.tb.now.Add(20 * time.Minute)
	if got := s.read("", "c1+8"); !strings.Contains(got, due) {
		t.Errorf("20 minutes later: %q", got)
	}
	s.tb.say("ann", "skip")
	s.tb.mustSay("ann", "undo", "taken back")
	s.tb.mustSay("ann", "check every no", "not asked for")
	s.tb.mustSay("ann", "undo", "every 20 min")
}

// TestClosingCheck: the end of a walk asks for a check shot, a break does, and
// an end without one says what is unchecked.
func TestClosingCheck(t *testing.T) {
	level := func(int, string) int { return 0 }
	s := onSill(t, false, level)
	s.walk(4)
	s.tb.mustSay("ann", "break", "Check shot on bm")
	s.tb.mustSay("ann", "0", "Check bm: same as before")
	s.tb.mustSay("ann", "break", "Have a good break")
	if got := s.tb.say("ann", "done"); strings.Contains(got, "nchecked: ") {
		t.Errorf("checked, and yet: %q", got)
	}
	s = onSill(t, false, level)
	s.walk(4)
	s.tb.mustSay("ann", "done", "No check shot came after 5 readings")
	s = onSill(t, false, level)
	s.walk(33)
	s.tb.mustSay("ann", "c4+24 0", "Check shot on bm: what does the rod show?")
	s.tb.mustSay("ann", "0", "Which level to build to?")
}

// TestCheckSwallows: a bare figure that is far off what the check asked for on
// the way should show, and about what the next station should, is asked back.
func TestCheckSwallows(t *testing.T) {
	due := func(t *testing.T) *sill {
		s := onSill(t, true, func(_ int, station string) int {
			if station == "bm" {
				return -28
			}
			return 0
		})
		s.tb.mustSay("ann", "check every 3", "every 3")
		s.read("", "c1")
		s.read("", "c1+4")
		if got := s.read("", "c1+8"); !strings.Contains(got, "what does the rod show? Then c1+12.") || strings.Contains(got, "[skip]") || !slices.Contains(slices.Concat(s.tb.keys...), "skip") {
			t.Fatalf("%q", got)
		}
		return s
	}
	for label, want := range map[string]string{"c1+12 48 1/16": "Next: c1+16", "bm 48 1/16": "may have been bumped"} {
		s := due(t)
		s.tb.quiet("ann", "48 1/16", "[bm 48 1/16] [c1+12 48 1/16]")
		if got := s.tb.tap("ann", label); !strings.Contains(got, want) {
			t.Errorf("%s: %q", label, got)
		}
	}
	for said, want := range map[string]string{"49 3/4": "Check bm: same", "49 1/2": "may have been bumped", "bm 48 1/16": "may have been bumped", "c1+12 48 1/16": "Next: c1+16"} {
		due(t).tb.mustSay("ann", said, want)
	}
	s := due(t)
	s.tb.say("ann", "skip")
	s.tb.mustSay("ann", "48 1/16", "c1+12:")
	s = due(t)
	s.tb.say("ann", "español")
	s.tb.quiet("ann", "48 1/16", "¿Cuál se leyó?")
}

// TestMisreadCheck: a check that its repetition shows to be misread is kept and
// counts no more.
func TestMisreadCheck(t *testing.T) {
	s := onSill(t, false, func(int, string) int { return 0 })
	s.walk(6)
	got := s.tb.mustSay("ann", "check bm 1/2 high", "may have been bumped")
	if got = s.search(got); !strings.Contains(got, "first check was misread. It is kept and does not count.") {
		t.Fatalf("%q", got)
	}
	if got := s.tb.elevation("bm"); got != "0" {
		t.Errorf("bm stands %q", got)
	}
	s.tb.mustSay("ann", "check bm 0", "Check bm: same as before")
}

// TestEveryWords reads the ways to say how often.
func TestEveryWords(t *testing.T) {
	for text, want := range map[string]phrase.EveryArg{
		"check every 12": {Stations: 12}, "check every 12 stations": {Stations: 12}, "check every 20 min": {Minutes: 20},
		"check every 20min": {Minutes: 20}, "check every no": {}, "revisa cada 12 puntos": {Stations: 12}, "revisa cada 20 minutos": {Minutes: 20},
	} {
		if m := phrase.Parse(phrase.Context{Rod: 1, Unit: 1, Outline: &reduce.Outline{}}, text); m.Kind != phrase.Command || m.Command != phrase.CmdCheckEvery || m.Arg != want {
			t.Errorf("%q: %+v", text, m)
		}
	}
	for _, text := range []string{"check every", "check every 0", "check every 1000", "check every day", "check every 2 hours"} {
		if m := phrase.Parse(phrase.Context{Rod: 1, Unit: 1, Outline: &reduce.Outline{}}, text); m.Command == phrase.CmdCheckEvery && m.Kind == phrase.Command {
			t.Errorf("%q: %+v", text, m)
		}
	}
}

// TestTiltShown: the re-shots of a bump all lie along one wall, on which the
// tilt does not show; a third tie off their line shows it.
func TestTiltShown(t *testing.T) {
	for _, tilted := range []bool{true, false} {
		s := onSill(t, false, func(k int, station string) int {
			switch {
			case k <= 27:
				return 0
			case tilted && (station == "c1" || strings.HasPrefix(station, "c1+")):
				return 10
			}
			return 4
		})
		s.walk(34)
		got := s.search(s.read("check ", "bm"))
		if claims(s.tb, got) == "" {
			t.Fatalf("%q", got)
		}
		for i := 0; !strings.Contains(got, "plane tilted too") && !strings.Contains(got, "show no tilt"); i++ {
			if i > 3 {
				t.Fatalf("nothing said of a tilt: %q", got)
			}
			got = s.read("check ", []string{"c1", "c2", "c3", "c4"}[i])
		}
		if said := strings.Contains(got, "plane tilted too"); said != tilted {
			t.Errorf("tilted %t: %q", tilted, got)
		}
	}
}

// TestEditedBeforeBump: a reading put right by an edit counts for the time when
// it was first sent, before the bump.
func TestEditedBeforeBump(t *testing.T) {
	s := onSill(t, false, func(k int, _ string) int {
		if k > 6 {
			return 4
		}
		return 0
	})
	s.walk(12)
	message := 0
	for _, r := range s.tb.job().Readings() {
		if s.tb.job().StationName(r.Station) == "c1+4" {
			if _, err := fmt.Sscan(r.Message, &message); err != nil {
				t.Fatal(err)
			}
		}
	}
	s.tb.edit("ann", message, "c1+4 1/16 high")
	if got := s.search(s.read("check ", "bm")); claims(s.tb, got) == "" {
		t.Fatalf("%q", got)
	}
	for _, r := range s.tb.job().Readings() {
		if s.tb.job().StationName(r.Station) == "c1+4" && !r.Check && !r.Void && r.Rod != 1 {
			t.Errorf("filed under rod %d", r.Rod)
		}
	}
	if got := s.tb.elevation("c1+4"); got != "1.5875" {
		t.Errorf("c1+4 stands %q", got)
	}
}
