package madesite_test

import (
	"math"
	"slices"
	"testing"

	"rodcall/reduce"
	"rodcall/session/madesite"
)

// plans are the outlines that walks are played on, as a crew sends them.
var plans = map[reduce.Unit][]struct {
	sent       string
	wide, deep reduce.Length
}{
	reduce.UnitInch:       {{"40x28", 40 * reduce.Foot, 28 * reduce.Foot}, {"24x22", 24 * reduce.Foot, 22 * reduce.Foot}},
	reduce.UnitFoot:       {{"40x28", 40 * reduce.Foot, 28 * reduce.Foot}, {"30x20", 30 * reduce.Foot, 20 * reduce.Foot}},
	reduce.UnitMillimetre: {{"12x8 m", 12 * reduce.Metre, 8 * reduce.Metre}, {"8x6 m", 8 * reduce.Metre, 6 * reduce.Metre}},
}

// chatOf plays the i-th walk of a table: units, languages and rods in turn, one
// set-up, two or three, with outages. Heights are snapped to the finest unit.
func chatOf(t testing.TB, seed uint64, i int, change func(*madesite.Parameters)) (*madesite.Site, madesite.Played) {
	t.Helper()
	u := []reduce.Unit{reduce.UnitInch, reduce.UnitInch, reduce.UnitFoot, reduce.UnitMillimetre}[i%4]
	p := madesite.Default(u, u.Finest())
	p.Error = 0
	change(&p)
	plan := plans[u][i/4%2]
	o, err := reduce.Outline{Grid: reduce.GridFor(u)}.WithLoop("", reduce.Point{}, reduce.Rectangle(plan.wide, plan.deep))
	if err != nil {
		t.Fatal(err)
	}
	s := madesite.New(seedOf(seed, i), o, p.Ground)
	if p.Error == 0 {
		s.Snap(u.Finest())
	}
	both := []reduce.RodKind{reduce.Direct, reduce.Standard, reduce.Direct}
	first := i / 2 % 2
	how := madesite.Play{
		Kinds: both[first : first+1+i/8%2], Unit: u, Lang: []string{"en", "es"}[i%2], Outline: plan.sent,
		Restarts: 0.05, Losses: 0.05, NoSignal: 0.05,
	}
	played, err := s.Play(how, p)
	if err != nil {
		t.Fatalf("walk %d (%v, %s): %v", i, u, how.Lang, err)
	}
	return s, played
}

// offBy lists the stations whose elevation in the chat is not the truth by more
// than allowed, and the largest difference.
func offBy(t testing.TB, s *madesite.Site, played madesite.Played, allowed reduce.Length) (off []string, most reduce.Length) {
	t.Helper()
	n := 0
	for _, st := range played.Chat.Job.View().Stations {
		if st.Elevation == nil {
			continue
		}
		n++
		want, ok := s.Truth(st.Station)
		if !ok {
			t.Fatalf("%s: no such station on the site", st.Name)
		}
		d := (*st.Elevation - reduce.Length(math.Round(want))).Abs()
		if d > allowed {
			off = append(off, st.Name)
		}
		most = max(most, d)
	}
	if n != len(s.Stations()) {
		t.Fatalf("%d stations have heights, want %d", n, len(s.Stations()))
	}
	return off, most
}

// TestWholeWalks: 200 walks through session.Hear, with direct and standard
// rods, in English and Spanish, in all units, the laser moved and unmoved, with
// restarts, lost outcomes and readings sent late in one message: where nobody
// misreads and lasers are level, every height in the end is the very truth.
func TestWholeWalks(t *testing.T) {
	walks := 200
	if testing.Short() {
		walks = 40
	}
	stations, again, batches, asked, setUps := 0, 0, 0, 0, 0
	for i := range walks {
		s, played := chatOf(t, 41, i, func(p *madesite.Parameters) { *p = p.Careful() })
		// A height that several readings give is rounded to 0.001 mm.
		if off, most := offBy(t, s, played, reduce.Micrometre); len(off) > 0 {
			t.Errorf("walk %d: %v are off, by up to %v mm; sent %q", i, off, most, played.Chat.Sent)
		}
		stations += len(s.Stations())
		again, batches, asked, setUps = again+played.Again, batches+played.Batches, asked+played.Asked, setUps+len(played.Crews)
	}
	t.Logf("%d walks, seed 41, %d set-ups, %d stations: all heights true; %d restarts or messages heard again, %d batches, %d questions answered",
		walks, setUps, stations, again, batches, asked)
	if again < walks/2 || batches < walks/2 || setUps == walks {
		t.Error("hardly any outages")
	}
}

// TestWholeWalksMisread plays walks on which people misread five times as often
// as the parameters say, and logs what that leaves: how many readings were sent
// wrong, how many of them were asked back, how many are wrong in the end; and
// how many right ones were asked back. What was read rightly stays right.
func TestWholeWalksMisread(t *testing.T) {
	walks := 200
	if testing.Short() {
		walks = 40
	}
	type row struct{ sent, asked, left int }
	rows := map[reduce.SlipKind]*row{}
	kinds := []reduce.SlipKind{reduce.OtherSign, reduce.WholeUnit, reduce.WholeFoot, reduce.TurnedRound, reduce.SkippedOne}
	for _, kind := range kinds {
		rows[kind] = &row{}
	}
	right, doubted := 0, 0
	for i := range walks {
		s, played := chatOf(t, 42, i, func(p *madesite.Parameters) {
			m := &p.Misread
			for _, share := range []*float64{&m.OtherSign, &m.WholeUnit, &m.WholeFoot, &m.Digits, &m.Skipped, &m.Swapped} {
				*share *= 5
			}
		})
		off, _ := offBy(t, s, played, reduce.Micrometre)
		if _, wrong := played.Misread[reduce.Corner(1)]; wrong || len(played.Crews) > 1 {
			continue // a bad reading of the reference or of a tie moves others too
		}
		for _, st := range s.Stations() {
			name := st.Name(s.Outline.Grid.Mark)
			kind, wrong := played.Misread[st]
			switch r := rows[kind]; {
			case !wrong:
				right++
				if played.Doubted[st] {
					doubted++
				}
				if slices.Contains(off, name) {
					t.Errorf("walk %d: %s is off, and was read rightly", i, name)
				}
			default:
				r.sent++
				if played.Doubted[st] {
					r.asked++
				}
				if slices.Contains(off, name) {
					r.left++
				}
			}
		}
	}
	total, asked := 0, 0
	for _, kind := range kinds {
		r := rows[kind]
		t.Logf("%-12v seed 42: %3d sent, %3d asked back, %3d wrong in the end", kind, r.sent, r.asked, r.left)
		total, asked = total+r.sent, asked+r.asked
	}
	t.Logf("of %d right readings %d were asked back, %.2f %%", right, doubted, 100*float64(doubted)/float64(right))
	if total < walks/4 || asked == 0 {
		t.Error("hardly anybody misread, or nothing is asked back")
	}
	if 50*doubted > right {
		t.Error("more than 2 in 100 right readings are asked back")
	}
}

// TestWholeWalksWithErrors plays walks with lasers and rods that are off by what
// the budget says, and logs how far the heights in the chat are from the truth,
// and how many of the bands that it shows hold the true deviation from c1. The
// stations of a site share its beam, so this is no measure as TestBandCovers
// is; it shows that the chat hands the arithmetic what it needs.
func TestWholeWalksWithErrors(t *testing.T) {
	walks := 200
	if testing.Short() {
		walks = 40
	}
	var most reduce.Length
	limits := []reduce.Length{sixteenth / 2, sixteenth, 2 * sixteenth}
	heights, held, within := 0, 0, map[reduce.Length]int{}
	for i := range walks {
		s, played := chatOf(t, 43, i, func(p *madesite.Parameters) { *p = p.Careful(); p.Error = 1 })
		if err := played.Chat.Say("datum c1", 0); err != nil {
			t.Fatal(err)
		}
		for _, st := range played.Chat.Job.View().Stations {
			if st.Station == reduce.Corner(1) || st.Station.Kind == reduce.Benchmark {
				continue
			}
			want, _ := s.Truth(st.Station)
			if st.Elevation == nil || st.Band == nil {
				t.Fatalf("walk %d: %s has no height or no band", i, st.Name)
			}
			off := (*st.Elevation - reduce.Length(math.Round(want))).Abs()
			if off > reduce.Inch/4 {
				t.Errorf("walk %d: %s is off by %v mm", i, st.Name, off)
			}
			heights++
			most = max(most, off)
			if off <= *st.Band {
				held++
			}
			for _, limit := range limits {
				if off <= limit {
					within[limit]++
				}
			}
		}
	}
	share := func(n int) float64 { return 100 * float64(n) / float64(heights) }
	for _, limit := range limits {
		t.Logf("seed 43: %.1f %% of %d heights within %v mm of the truth", share(within[limit]), heights, limit)
	}
	t.Logf("seed 43: the farthest %v mm off; bands hold %.1f %%", most, share(held))
	if share(within[2*sixteenth]) < 95 || share(held) < 92 || share(held) > 98 {
		t.Error("out of limits")
	}
}
