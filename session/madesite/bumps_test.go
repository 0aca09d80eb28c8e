package madesite_test

import (
	"slices"
	"testing"

	"rodcall/reduce"
	"rodcall/session/madesite"
)

// shaken is one set-up of a made site, bm, the walls and bm again, and what
// happens to it meanwhile.
type shaken struct {
	site  *madesite.Site
	laser madesite.Laser
	n     int     // readings before the check shot
	jump  float64 // of the beam, + is up
	c     *madesite.Chance
	// slips is the reading after which the receiver slips by the jump, 0 for none.
	slips int
	// places are the readings after which the beam moved: a search that names
	// another claims a wrong one.
	places []int
	// since is done to the site before the check shot.
	since func()
}

// bump lets the beam jump after a reading, and its plane tip by up to so many
// times the jump in 20 ft along each axis.
func (b *shaken) bump(after int, tips float64) {
	tip := tips * b.jump / float64(20*reduce.Foot)
	b.laser.Bumps = append(b.laser.Bumps, madesite.Bump{
		After: after, Rise: b.jump, TiltX: tip * b.c.Between(-1, 1), TiltY: tip * b.c.Between(-1, 1),
	})
	b.places = append(b.places, after)
}

var shakes = []struct {
	name  string
	shake func(b *shaken)
}{
	{"step", func(b *shaken) { b.bump(b.c.Below(b.n), 0) }},
	{"step and tilt", func(b *shaken) { b.bump(b.c.Below(b.n), 1) }},
	{"second bump", func(b *shaken) {
		b.bump(b.c.Below(b.n), 0)
		b.jump *= b.c.Sign() * b.c.Between(0.5, 1.5)
		b.bump(b.c.Below(b.n), 0)
	}},
	{"sink", func(b *shaken) {
		// From somewhere in the first half on, by the jump until the check shot,
		// and then on.
		b.laser.SinksFrom = b.c.Below(b.n / 2)
		b.laser.Sink = b.jump / float64(b.n-b.laser.SinksFrom)
	}},
	// With one rod a slipped receiver is a step for all its readings.
	{"slipped receiver", func(b *shaken) {
		b.slips = 1 + b.c.Below(b.n-1)
		b.places = append(b.places, b.slips)
	}},
	{"shimmed since", func(b *shaken) {
		b.bump(b.c.Below(b.n), 0)
		b.since = func() {
			for _, st := range b.site.Outline.Stations() {
				if b.c.Below(3) == 0 {
					h, _ := b.site.Truth(st)
					b.site.Move(st, h+float64(1+b.c.Below(8))*float64(sixteenth))
				}
			}
		}
	}},
	{"nothing", func(*shaken) {}},
}

// play reads the set-up and searches it. wrong says that a place was named at
// which nothing happened.
func play(t testing.TB, seed uint64, o reduce.Outline, low, high float64, shake func(*shaken)) (f reduce.Finding, wrong bool, shots int) {
	t.Helper()
	p := madesite.Default(reduce.UnitInch, sixteenth)
	c := madesite.NewChance(seed, 1<<42)
	b := &shaken{site: madesite.New(seed, o, p.Ground), c: c}
	stations := b.site.Stations()
	kind := reduce.Direct
	if c.Below(2) == 1 {
		kind = reduce.Standard
	}
	b.laser = b.site.SetUp(1, p)
	// The reading's own size makes no odds for its noise but through lean.
	noise := p.Budget.Noise(kind, reduce.Length(b.laser.Height))
	b.n = len(stations)
	b.jump = c.Sign() * c.Between(low, high) * float64(noise)
	shake(b)
	crew := b.site.NewCrew(1, kind, reduce.UnitInch, b.laser, p)
	crew.Slips, crew.SlipBy = b.slips, b.jump
	read := func(st reduce.Station) reduce.Observation {
		o, ok := crew.Observe(st)
		if !ok {
			t.Fatalf("seed %d: a rod does not reach %s", seed, st.Name(reduce.Foot))
		}
		return o
	}
	var readings []reduce.Observation
	for _, st := range stations {
		readings = append(readings, read(st))
	}
	if b.since != nil {
		b.since()
	}
	h, err := reduce.NewHalving([]reduce.Rod{crew.Rod}, readings, []reduce.Observation{read(stations[0])}, reduce.Length(noise))
	if err != nil {
		t.Fatal(err)
	}
	for {
		_, st, ok := h.NextShot()
		if !ok {
			break
		}
		if shots++; shots > reduce.Bound(b.n) {
			t.Fatalf("seed %d: more than %d re-shots of %d readings", seed, reduce.Bound(b.n), b.n)
		}
		h = h.Take(read(st))
	}
	f = h.Finding()
	return f, f.State == reduce.Found && !slices.Contains(b.places, f.After), shots
}

// TestBumpsFound logs, for each kind of trouble and size of jump, how often a
// search names the right place, a wrong one, and stops. The limits are the rates
// measured, rounded; near four times the noise a search that will not be wrong
// has to stop often. No search takes more re-shots than its bound.
func TestBumpsFound(t *testing.T) {
	outlines := []reduce.Outline{house(t), big(t)}
	sites := 1500
	if testing.Short() {
		sites = 300
	}
	const seed = 31
	for _, size := range []struct{ low, high, wrong, found float64 }{
		{4, 8, 6, 50}, {8, 12, 2, 80}, {12, 24, 3, 85},
	} {
		for _, k := range shakes {
			right, wrong, shots := 0, 0, 0
			for i := range sites {
				f, off, n := play(t, seedOf(seed, i), outlines[i%2], size.low, size.high, k.shake)
				shots += n
				switch {
				case off:
					wrong++
				case f.State == reduce.Found:
					right++
				}
			}
			share := func(n int) float64 { return 100 * float64(n) / float64(sites) }
			t.Logf("%-16s of %2.0f to %2.0f times the noise, seed %d: right place %5.1f %%, wrong place %4.1f %%, stops %5.1f %%, %.1f re-shots",
				k.name, size.low, size.high, seed, share(right), share(wrong), share(sites-right-wrong), float64(shots)/float64(sites))
			if share(wrong) > size.wrong {
				t.Errorf("%s: %.1f %% wrong, limit %v", k.name, share(wrong), size.wrong)
			}
			if k.name == "step" && share(right) < size.found {
				t.Errorf("step: %.1f %% found, limit %v", share(right), size.found)
			}
		}
	}
}
