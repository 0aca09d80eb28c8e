package phrase_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
	"rodcall/session/phrase"
)

// walls reads a line that is walls.
func walls(t testing.TB, c phrase.Context, line string) phrase.Walls {
	t.Helper()
	m := phrase.Parse(c, line)
	w, ok := m.Arg.(phrase.Walls)
	if !ok || m.Kind != phrase.Command {
		t.Fatalf("%q: %v, no walls", line, m)
	}
	return w
}

// TestTurns: a turn with an angle in all its ways; a bare one is a right angle.
func TestTurns(t *testing.T) {
	const deg = reduce.Degree
	c := yard(t, reduce.Direct, reduce.UnitInch)
	for line, want := range map[string][]reduce.Turn{
		"walls 40 left 28 left 40 left 28":                            {reduce.Left, reduce.Left, reduce.Left, 0},
		"walls 20 left 45 deg 10 right 45 deg 20 left":                {45 * deg, -45 * deg, reduce.Left},
		"walls 20 left 45° 10 r 45º 20 l":                             {45 * deg, -45 * deg, reduce.Left},
		"walls 20 left 22.5 degrees 10 right 36.87deg 20":             {22_500_000, -36_870_000, 0},
		"walls 20, left 45 deg, 10, left 90 deg, 20":                  {45 * deg, reduce.Left, 0},
		"walls 20 45 degrees left 10 30° right 20":                    {45 * deg, -30 * deg, 0},
		"muros 20 izquierda 45 grados 10 der 22,5 grados 20 m":        {45 * deg, -22_500_000, 0},
		"outline 26' 6\" left 60 deg 10' 2 1/2\" left 60 deg 12":      {60 * deg, 60 * deg, 0},
		"loop porch walls 20 left 45 deg 10 left 45 deg 20 at 40,0":   {45 * deg, 45 * deg, 0},
		"loop 20 left 45 deg 10 left 45 deg 20 left 14 at -3,0":       {45 * deg, 45 * deg, reduce.Left, 0},
		"walls 20 left 0.000001 deg 10 left 179.999999 deg 10 left 5": {1, 179_999_999, reduce.Left, 0},
	} {
		var got []reduce.Turn
		for _, l := range walls(t, c, line).Legs {
			got = append(got, l.Turn)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%q: turns %v, want %v", line, got, want)
		}
	}
}

// TestTurnsRefused: angles that are none, and two numbers behind a turn.
func TestTurnsRefused(t *testing.T) {
	c := yard(t, reduce.Direct, reduce.UnitInch)
	for line, want := range map[string]phrase.WhyCode{
		"walls 20 left 0 deg 10 left 20":          phrase.WhyTurnAngle,
		"walls 20 left 180 deg 10 left 20":        phrase.WhyTurnAngle,
		"walls 20 left -45 deg 10 left 20":        phrase.WhyTurnAngle,
		"walls 20 left 45.1234567 deg 10 left 20": phrase.WhyTurnAngle,
		"walls 20 left 45 10 left 20 left 14":     phrase.WhyTwoWays,
		"walls 20 left 45 10.5 left 20 left 14":   phrase.WhyTwoWays,
		"walls 20 left 45 16 left 20 left 14":     phrase.WhyMeant,
		"walls 45 deg 10 left 20":                 phrase.WhyNoTurn,
	} {
		if m := phrase.Parse(c, line); m.Why.Code != want {
			t.Errorf("%q: %v %v, want %s", line, m.Why, m.Answers, want)
		}
	}
	for line, want := range map[string][]string{
		"walls 20 left 45 10 left 20 left 14":            {"walls 20 left 45 deg 10 left 20 left 14", `walls 20 left 45' 10" left 20 left 14`},
		"muros 20 izq 45 10 izq 30 grados 20 izq 14":     {"muros 20 izq 45 grados 10 izq 30 grados 20 izq 14", `muros 20 izq 45' 10" izq 30 grados 20 izq 14`},
		"walls 20 left 45 14.14 left 45 deg 10 left 30":  {"walls 20 left 45 deg 14.14 left 45 deg 10 left 30"},
		"walls 20 left 45 10 left 30 10 left 20 left 14": {"walls 20 left 45 deg 10 left 30 deg 10 left 20 left 14", `walls 20 left 45' 10" left 30' 10" left 20 left 14`},
	} {
		if m := phrase.Parse(c, line); !slices.Equal(m.Answers, want) {
			t.Errorf("%q: offers %q, want %q", line, m.Answers, want)
		}
	}
}

// TestSteps: what lengths may have been rounded by.
func TestSteps(t *testing.T) {
	c := yard(t, reduce.Direct, reduce.UnitInch)
	line := `walls 40 left 14.1 left 14.142 left 14' 2" left 14' 2 3/32" left 4 1/2"`
	want := []reduce.Length{reduce.Foot / 100, reduce.Foot / 100, reduce.Foot / 1000, reduce.Inch / 16, reduce.Inch / 32, reduce.Inch / 16}
	for i, l := range walls(t, c, line).Legs {
		if l.Step != want[i] {
			t.Errorf("wall %d: step %v, want %v", i+1, l.Step, want[i])
		}
	}
	for i, l := range walls(t, c, "walls 12 left 4.24 left 4.2426 m").Legs {
		if want := []reduce.Length{reduce.Centimetre, reduce.Centimetre, reduce.Metre / 10000}[i]; l.Step != want {
			t.Errorf("wall %d in metres: step %v, want %v", i+1, l.Step, want)
		}
	}
}

// TestPlaceOfLoop: a place counts in the unit that was written with it, or with
// the walls.
func TestPlaceOfLoop(t *testing.T) {
	feet, metric := yard(t, reduce.Direct, reduce.UnitInch), yard(t, reduce.Direct, reduce.UnitMillimetre)
	o := reduce.Outline{Grid: reduce.GridFor(reduce.UnitMillimetre)}
	metric.Outline = &o
	for _, c := range []struct {
		in   phrase.Context
		line string
		x, w reduce.Length
	}{
		{feet, "loop garage 24x22 at 40,0", 40 * reduce.Foot, 24 * reduce.Foot},
		{feet, "loop garage 7x6 m at 12,0", 12 * reduce.Metre, 7 * reduce.Metre},
		{feet, "loop garage 7x6 at 12,0 m", 12 * reduce.Metre, 7 * reduce.Metre},
		{feet, "loop garage 7 left 6 left 7 left 6 m at 12,0", 12 * reduce.Metre, 7 * reduce.Metre},
		{feet, "loop garage 7 left 6 left 7 left 6 at 12,0 metros", 12 * reduce.Metre, 7 * reduce.Metre},
		{feet, "loop garage 24x22 ft at 12,0 m", 12 * reduce.Metre, 24 * reduce.Foot},
		{metric, "loop garage 7x6 at 12,0", 12 * reduce.Metre, 7 * reduce.Metre},
		{metric, "loop garage 24x22 ft at 40,0", 40 * reduce.Foot, 24 * reduce.Foot},
	} {
		w := walls(t, c.in, c.line)
		if w.Name != "garage" || w.At.X != c.x || w.Legs[0].Length != c.w {
			t.Errorf("%q: %v at %v, first wall %v", c.line, w.Name, w.At, w.Legs[0].Length)
		}
	}
}

// TestRewritten: walls written anew with other lengths and turns mean those,
// and what did not change stands as it was written.
func TestRewritten(t *testing.T) {
	feet := yard(t, reduce.Direct, reduce.UnitInch)
	for line, same := range map[string]string{
		`walls 40 left 14' 1 11/16" left 45° 20.25 right 14 left 20 left 28`: `walls 40 left 14' 1 11/16" left 45 deg 20.25 right 14 left 20 left 28`,
		"muros 12 izquierda 8 izq 30 grados 12 izquierda 8,5 m":              "muros 12 izquierda 8 izq 30 grados 12 izquierda 8,5 m",
		"loop porch walls 12 l 8 l 22.5 deg 12 l 8 ft at 40,-2":              "loop porch 12 l 8 l 22.5 deg 12 l 8 ft at 40,-2",
		"loop Porch 12 left 8 left 12 left 8 at 12,0 m":                      "loop Porch 12 left 8 left 12 left 8 m at 12,0 m",
		"please walls 40 left 28 left 40 left 28 thanks":                     "walls 40 left 28 left 40 left 28",
	} {
		w := walls(t, feet, line)
		if got := w.Rewritten(w.Legs); got != same {
			t.Errorf("%q is rewritten %q, want %q", line, got, same)
		}
		// Lengths as a tape gives them: in the unit of the line, or sixteenths.
		steps := []reduce.Length{reduce.Inch / 16, reduce.Inch / 64, reduce.Foot / 100, reduce.Foot / 1000}
		if w.Metric {
			steps = []reduce.Length{reduce.Centimetre, reduce.Millimetre, reduce.Micrometre}
		}
		rapid.Check(t, func(r *rapid.T) {
			legs := slices.Clone(w.Legs)
			for i := range legs {
				if rapid.Bool().Draw(r, "other length") {
					step := rapid.SampledFrom(steps).Draw(r, "step")
					if legs[i].Length = (legs[i].Length + step*reduce.Length(rapid.IntRange(-200, 5000).Draw(r, "steps"))).RoundTo(step); legs[i].Length <= 0 {
						return
					}
				}
				if i < len(legs)-1 && rapid.Bool().Draw(r, "other turn") {
					legs[i].Turn = rapid.SampledFrom([]reduce.Turn{reduce.Left, reduce.Right, 45_000_000, -22_500_000, 36_870_000}).Draw(r, "turn")
				}
			}
			text := w.Rewritten(legs)
			m := phrase.Parse(feet, text)
			again, ok := m.Arg.(phrase.Walls)
			if !ok || again.Name != w.Name || again.At != w.At || len(again.Legs) != len(legs) {
				r.Fatalf("%q is rewritten %q: %v", line, text, m)
			}
			for i, l := range legs {
				if again.Legs[i].Length != l.Length || again.Legs[i].Turn != l.Turn {
					r.Fatalf("%q: wall %d is %v, want %v", text, i+1, again.Legs[i], l)
				}
			}
		})
	}
	if w := walls(t, feet, "40x28"); w.Rewritten(w.Legs) != "" {
		t.Errorf("40x28 is rewritten %q", w.Rewritten(w.Legs))
	}
}
