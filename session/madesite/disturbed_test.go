package madesite_test

import (
	"math"
	"testing"

	"rodcall/reduce"
	"rodcall/session"
	"rodcall/session/madesite"
)

// disturbed plays a walk of 34 stations in one set-up with a check shot at its
// end, in which disturb happens.
func disturbed(t testing.TB, i int, errors float64, disturb func(l *madesite.Laser, k *madesite.Crew, c *madesite.Chance)) (*madesite.Site, madesite.Played) {
	t.Helper()
	p := madesite.Default(reduce.UnitInch, sixteenth).Careful()
	p.Error = errors
	s := madesite.New(seedOf(44, i), house(t), p.Ground)
	if errors == 0 {
		s.Snap(sixteenth)
	}
	c := madesite.NewChance(s.Seed, 1<<43)
	played, err := s.Play(madesite.Play{
		Kinds: []reduce.RodKind{[]reduce.RodKind{reduce.Direct, reduce.Standard}[i%2]}, Unit: reduce.UnitInch,
		Lang: []string{"en", "es"}[i/2%2], Outline: "40x28", Restarts: 0.05, Losses: 0.05, Checks: true,
		Disturb: func(_ int, l *madesite.Laser, k *madesite.Crew) { disturb(l, k, c) },
	}, p)
	if err != nil {
		t.Fatalf("walk %d: %v", i, err)
	}
	return s, played
}

// splitsOf are the bumps that a chat says it has found: whether each has
// a place, or readings in doubt.
func splitsOf(played madesite.Played) (placed, stopped int) {
	for _, e := range played.Chat.Events() {
		if b, ok := e.Body.(session.SetupSplit); ok {
			if len(b.Doubt) == 0 {
				placed++
			} else {
				stopped++
			}
		}
	}
	return placed, stopped
}

// TestBumpedWalks: a laser bumped by 1/4 to 3/4 in somewhere in a walk through
// the chat, all else perfect: in the end every height is the very truth. The
// ways in which more or less happens are played with lasers and rods off by the
// budget, and a crew that stands the laser up anew where a search stops: how
// many heights are within 1/8 in in the end.
func TestBumpedWalks(t *testing.T) {
	walks := 60
	if testing.Short() {
		walks = 16
	}
	step := func(l *madesite.Laser, _ *madesite.Crew, c *madesite.Chance) {
		l.Bumps = append(l.Bumps, madesite.Bump{After: c.Below(30), Rise: c.Sign() * c.Between(0.25, 0.75) * float64(reduce.Inch)})
	}
	reshot, placed := 0, 0
	for i := range walks {
		s, played := disturbed(t, i, 0, step)
		if off, most := offBy(t, s, played, reduce.Micrometre); len(off) > 0 {
			t.Errorf("walk %d: %v off by up to %v mm; sent %q", i, off, most, played.Chat.Sent)
		}
		reshot += played.Reshot
		n, _ := splitsOf(played)
		placed += n
	}
	t.Logf("seed 44: a step of 1/4 to 3/4 in on %d walks of perfect readers: all heights true, %d places named, %.1f re-shots a walk",
		walks, placed, float64(reshot)/float64(walks))
	for _, k := range []struct {
		name    string
		least   float64 // of 100 heights within 1/8 in
		disturb func(l *madesite.Laser, k *madesite.Crew, c *madesite.Chance)
	}{
		{"nothing", 99, func(*madesite.Laser, *madesite.Crew, *madesite.Chance) {}},
		{"step", 98, step},
		// Nobody here reads again what came after a plane was found tilted.
		{"step and tilt", 60, func(l *madesite.Laser, k *madesite.Crew, c *madesite.Chance) {
			step(l, k, c)
			b := &l.Bumps[0]
			b.TiltX, b.TiltY = c.Between(-1, 1)*b.Rise/float64(20*reduce.Foot), c.Between(-1, 1)*b.Rise/float64(20*reduce.Foot)
		}},
		{"second bump", 90, func(l *madesite.Laser, k *madesite.Crew, c *madesite.Chance) { step(l, k, c); step(l, k, c) }},
		{"sink", 95, func(l *madesite.Laser, _ *madesite.Crew, c *madesite.Chance) {
			l.SinksFrom = c.Below(17)
			l.Sink = c.Between(0.25, 0.75) * float64(reduce.Inch) / float64(35-l.SinksFrom)
		}},
		{"slipped receiver", 98, func(_ *madesite.Laser, k *madesite.Crew, c *madesite.Chance) {
			k.Slips, k.SlipBy = 1+c.Below(30), c.Sign()*c.Between(0.25, 0.75)*float64(reduce.Inch)
		}},
	} {
		heights, within, placed, stopped, reshot := 0, 0, 0, 0, 0
		for i := range walks {
			s, played := disturbed(t, i, 1, k.disturb)
			n, m := splitsOf(played)
			placed, stopped, reshot = placed+min(n, 1), stopped+min(m, 1), reshot+played.Reshot
			for _, st := range played.Chat.Job.View().Stations {
				if want, _ := s.Truth(st.Station); st.Elevation != nil && st.Station.Kind == reduce.Wall {
					heights++
					if math.Abs(float64(*st.Elevation)-want) <= float64(reduce.Inch/8) {
						within++
					}
				}
			}
		}
		t.Logf("seed 44: %-16s on %d walks: a place named on %d, stopped on %d, %.1f re-shots; %.1f %% of %d heights within 1/8 in",
			k.name, walks, placed, stopped, float64(reshot)/float64(walks), 100*float64(within)/float64(heights), heights)
		if heights < 34*walks || 100*float64(within) < k.least*float64(heights) {
			t.Errorf("%s: fewer than %v of 100 heights within 1/8 in, or some without", k.name, k.least)
		}
		if k.name == "nothing" && placed+stopped > walks/20 {
			t.Errorf("nothing happened, and %d walks were split", placed+stopped)
		}
	}
}
