package session_test

import (
	"reflect"
	"strings"
	"testing"

	"rodcall/reduce"
)

// backPorch is a small job, walked to its end: its tops lie from 3/8 low to 5/16
// high.
func backPorch(t *testing.T) *table {
	tb := newTable(t)
	for _, s := range []string{
		"new Porch", "12x8", "direct rod", "0\n-1/16\n-3/16\n-3/8\n-1/4\n1/16 high\n5/16 high\n1/4 high\n1/8 high\n", "-1/16",
	} {
		tb.say("ann", s)
	}
	return tb
}

func lines(tb *table) string {
	var all []string
	for _, r := range tb.last.Replies {
		all = append(all, r.Text)
	}
	return strings.Join(all, "\n")
}

// TestLevelsAreLaidSideBySide: at the end of a walk, once the check shot is
// made or left, each with what it costs, a button for each and the picture.
func TestLevelsAreLaidSideBySide(t *testing.T) {
	for _, end := range []string{"skip", "0"} {
		tb := backPorch(t)
		if got := lines(tb); strings.Contains(got, "Which level") || !strings.Contains(got, "Check shot on c1") {
			t.Errorf("two questions at a time: %s", got)
		}
		tb.say("ann", end)
		for _, want := range []string{
			"Levels to build to, as read (no grinding):\n",
			"\nfirst c1: raise 3, 13/16 in of shims; lower 2, 9/16 in to grind; work 3 1/16 in; none may be ground; 1 close call\n",
			"\nhigh spot c3+4: raise 8, ", "\nfewest spots · least work, 3/16 high: raise 6, ", "\nWhich level to build to?",
		} {
			if got := lines(tb); !strings.Contains(got, want) {
				t.Errorf("%s: no %q in: %s", end, want, got)
			}
		}
		r := tb.last.Replies
		if n := len(r); n != 2 || len(r[0].Buttons) < 5 || r[1].Picture == "" || r[1].Kind != "choices" {
			t.Fatalf("%+v", r)
		}
		if got := tb.tap("ann", "least work"); !strings.Contains(got, "Datum: where there is least work, 3/16 high of c1.") {
			t.Errorf("tapped: %s", got)
		}
	}
}

// TestRulesOfLevels: what the crew sets is what levels are weighed by; the
// level that is searched for follows it, and the readings; undo takes each
// back.
func TestRulesOfLevels(t *testing.T) {
	tb := backPorch(t)
	rules := reduce.LevelRules{Tolerance: reduce.Inch / 8, Ratio: 400}
	check := func(line string) {
		t.Helper()
		v := tb.job().View()
		if got := v.Job.LevelRules(); got != rules {
			t.Errorf("%s: weighed by %+v, want %+v", line, got, rules)
		}
		if want := reduce.LevelChoices(v.Spots, reduce.Corner(1), reduce.Station{}, nil, rules); !reflect.DeepEqual(v.Choices(), want) {
			t.Errorf("%s: %+v, want %+v", line, v.Choices(), want)
		}
		want, _, _ := reduce.Level(v.Datum.Choice, v.Spots, reduce.Corner(1), reduce.Station{}, 0, rules)
		if v.Level == nil || *v.Level != want || !v.DatumAt.IsZero() {
			t.Errorf("%s: the level is %v of %v, want %v", line, v.Level, v.DatumAt, want)
		}
	}
	levels := map[reduce.Length]bool{}
	for _, datum := range []string{"datum least", "datum fewest"} {
		tb.say("ann", datum)
		for _, step := range []struct {
			line string
			set  func()
		}{
			{"c3+4 is 1/4", func() {}},
			{"grind at most 1/8", func() { rules.Grind = reduce.Inch / 8 }},
			{"grinding costs 0.5", func() { rules.Ratio = 50 }},
			{"tolerance 1/16", func() { rules.Tolerance = reduce.Inch / 16 }},
			{"shim at most 1/2", func() { rules.Shim = reduce.Inch / 2 }},
			{"c2 is -3/8", func() {}},
			{"shim at most 1/8", func() { rules.Shim = reduce.Inch / 8 }},
			{"shim at most none", func() { rules.Shim = 0 }},
			{"no grinding", func() { rules.Grind = 0 }},
		} {
			before := rules
			step.set()
			tb.say("ann", step.line)
			check(step.line)
			levels[*tb.job().View().Level] = true
			if rules != before {
				after := rules
				tb.say("ann", "undo")
				rules = before
				check("undo of " + step.line)
				tb.say("ann", step.line)
				rules = after
				check(step.line)
			}
		}
		tb.say("ann", "grinding costs 4")
		tb.say("ann", "tolerance 1/8")
		tb.say("ann", "c3+4 is 5/16")
		tb.say("ann", "c2 is -3/16")
		rules = reduce.LevelRules{Tolerance: reduce.Inch / 8, Ratio: 400}
		check(datum)
	}
	if len(levels) < 4 {
		t.Errorf("the rules led to %d levels only: %v", len(levels), levels)
	}
}

// TestBeyondTheLimits: a level that asks for more than may be ground or shimmed
// is set all the same, and it is said how many spots and what it would take.
func TestBeyondTheLimits(t *testing.T) {
	tb := backPorch(t)
	tb.say("ann", "skip")
	for _, c := range []struct{ line, want string }{
		{"datum first", "Nothing may be ground, so 2 stay too high. To allow it: grind at most 5/16. Or: datum high"},
		{"grind at most 1/4", "Over 1/4 in of grinding: 1. It would take: grind at most 5/16"},
		{"shim at most 1/4", "Over 1/4 in of shims: 1. It would take: shim at most 3/8"},
		{"datum high", "Over 1/4 in of shims: 6. It would take: shim at most 11/16"},
		{"datum least", "Over 1/4 in of shims: 1. It would take: shim at most 3/8"},
		{"choices", "No level keeps to the limits on grinding and shims."},
	} {
		if got := tb.say("ann", c.line); !strings.Contains(got, c.want) {
			t.Errorf("%s: no %q in: %s", c.line, c.want, got)
		}
		if tb.job().Datum == nil {
			t.Errorf("%s: no datum", c.line)
		}
	}
	// What it would take, taken, is enough.
	tb.say("ann", "datum first")
	tb.say("ann", "grind at most 5/16")
	if got := tb.say("ann", "shim at most 3/8"); strings.Contains(got, "Over") || strings.Contains(got, "Nothing may") {
		t.Error(got)
	}
	// Off the concrete nothing is ground anyway.
	for _, s := range []string{"new Deck", "surface plate", "direct rod", "c1 0", "c2 1/2 high"} {
		tb.say("ann", s)
	}
	if got := tb.say("ann", "datum first"); !strings.Contains(got, "Lower 1, the most 1/2 at c2.") || strings.Contains(got, "ground") {
		t.Error(got)
	}
	// Before anything has a height there is nothing to choose from.
	tb.say("ann", "new Barn")
	if got := tb.say("ann", "choices"); !strings.Contains(got, "No heights yet: read c1 first.") {
		t.Error(got)
	}
}

// TestChoicesNameTheUnread: what no level is weighed by is named with them.
func TestChoicesNameTheUnread(t *testing.T) {
	tb := onSite(t)
	tb.say("ann", "-1/8\n-1/4")
	tb.mustSay("ann", "choices", "Not read, so not weighed here, 31: c1+12, c1+16")
	tb.say("ann", "español")
	tb.mustSay("ann", "opciones", "Sin leer, así que no cuentan aquí, 31: c1+12, c1+16")
	tb = backPorch(t)
	tb.say("ann", "skip")
	if got := tb.say("ann", "choices"); strings.Contains(got, "Not read") {
		t.Errorf("all are read: %q", got)
	}
}
