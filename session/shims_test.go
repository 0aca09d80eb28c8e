package session_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rodcall/reduce"
	"rodcall/session"
	"rodcall/session/phrase"
)

// walkedShed is a job of 24 x 16 ft whose 20 stations are read with a direct
// rod, so many sixteenths low each, in walking order; the datum is c1.
func walkedShed(t testing.TB, low []int) *table {
	tb := newTable(t)
	for _, s := range []string{"new Shed", "24x16", "piers 12,8", "direct rod"} {
		tb.say("ann", s)
	}
	for i, n := range low {
		name := tb.job().StationName(tb.job().Outline.Stations()[i])
		tb.say("ann", fmt.Sprintf("%s -%d/16", name, n))
	}
	tb.say("ann", "done")
	tb.say("ann", "datum c1")
	return tb
}

func shimPlan(t testing.TB, j *session.Job) session.ShimPlan {
	t.Helper()
	p, ok := j.View().ShimPlan()
	if !ok {
		t.Fatal("no plan")
	}
	return p
}

// TestShimWalk sets shims stop by stop, as they are named, on foundations drawn
// at random: each point is named once, stations come up in walking order and at
// most once round, and what was laid in the end is the plan.
func TestShimWalk(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		low := []int{0}
		for range 20 {
			low = append(low, rapid.IntRange(0, 12).Draw(r, "low"))
		}
		tb := walkedShed(t, low)
		backward := rapid.Bool().Draw(r, "backward")
		if backward {
			tb.say("ann", "other way")
		}
		before := shimPlan(t, tb.job())
		want := map[reduce.Station]reduce.Length{}
		for _, b := range before.Points {
			if b.Left() {
				want[b.Station] = b.Fit.Makes
			}
		}
		from := rapid.SampledFrom(tb.job().Outline.Stations()).Draw(r, "from")
		said := tb.say("ann", "shim from "+tb.job().StationName(from))
		var order []reduce.Station
		for n := 0; strings.Contains(said, "[Skip]"); n++ {
			if n > len(low) {
				r.Fatalf("more stops than stations: %s", said)
			}
			at, _, _ := strings.Cut(strings.TrimPrefix(said[strings.LastIndex("\n"+said, "\nPast ")+1:], "ast "), ":")
			if !strings.Contains(said, "Past ") {
				for _, line := range strings.Split(said, "\n") {
					if strings.Contains(line, "(raise ") {
						at, _, _ = strings.Cut(line, ":")
					}
				}
			}
			s, err := reduce.ParseStation(at, reduce.Foot)
			if err != nil {
				r.Fatalf("%v in %q", err, said)
			}
			order = append(order, s)
			said = tb.say("ann", "done")
		}
		stations := tb.job().Outline.Stations()
		if backward {
			slices.Reverse(stations)
		}
		start := slices.Index(stations, from)
		last := -1
		for _, s := range order {
			k := (slices.Index(stations, s) - start + len(stations)) % len(stations)
			if k <= last {
				r.Fatalf("from %v, backward %v: stops %v", from, backward, order)
			}
			last = k
		}
		got := map[reduce.Station]reduce.Length{}
		for _, k := range tb.job().Shimmed {
			for _, s := range k.Spots {
				if _, twice := got[s.Station]; twice {
					r.Fatalf("%v shimmed twice", s.Station)
				}
				got[s.Station] = s.Amount
			}
		}
		if len(got) != len(want) {
			r.Fatalf("%d points shimmed, want %d", len(got), len(want))
		}
		for s, l := range want {
			if got[s] != l {
				r.Fatalf("%v: %v laid, want %v", s, got[s], l)
			}
		}
		after := shimPlan(t, tb.job())
		if slices.ContainsFunc(after.Points, session.ShimPoint.Left) || len(want) > 0 && tb.job().State() != session.StateShim {
			r.Fatalf("state %s, something left", tb.job().State())
		}
	})
}

// TestShimThenReads: what the rod should read once shims are set is what makes
// the station as high as the concrete and the shims are, for both kinds of rod
// and either way of counting.
func TestShimThenReads(t *testing.T) {
	for _, c := range []struct{ rod, readings, want string }{
		{"direct rod", "c1 1/16 high\nc2 -1/4\nc3 -3/4\nc4 1/16 high", "c2: 1/4 + 1/16 (raise 5/16). Then the rod reads 1/16 high."},
		{"standard rod", "c1 4' 7\"\nc2 4' 7 5/16\"\nc3 4' 7 3/4\"\nc4 4' 7\"", "c2: 1/4 + 1/16 (raise 5/16). Then the rod reads 4' 7\"."},
	} {
		tb := newTable(t)
		for _, s := range []string{"new Pad", "3x3", "spacing 3", c.rod, c.readings, "skip", "datum c1"} {
			tb.say("ann", s)
		}
		if said := tb.say("ann", "shim from c2"); !strings.Contains(said, c.want) {
			t.Errorf("%s: %q, want %q", c.rod, said, c.want)
		}
		// With the laser elsewhere nothing can be foretold.
		tb.say("ann", "moved")
		tb.say("ann", "done")
		if said := tb.say("ann", "shim from c2"); strings.Contains(said, "rod reads") {
			t.Errorf("%s, moved: %q", c.rod, said)
		}
	}
}

// TestStockLasts: what is laid is off the stock until it is told anew, and an
// undo puts it back.
func TestStockLasts(t *testing.T) {
	tb := walkedShed(t, []int{0, 4, 4, 0, 4, 4, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0})
	tb.say("ann", "stock 1/4 x30, 1/8 x20, 1/16 x20")
	count := func() map[reduce.Length]int {
		out := map[reduce.Length]int{}
		for _, s := range shimPlan(t, tb.job()).Stock {
			out[s.Size] = s.Count
		}
		return out
	}
	all := shimPlan(t, tb.job())
	tb.say("ann", "shimmed c1+4")
	used := map[reduce.Length]int{}
	for _, k := range tb.job().Shimmed {
		for _, s := range k.Spots {
			for _, size := range s.Stack {
				used[size]++
			}
		}
	}
	if got := count(); used[reduce.Inch/4] == 0 || got[reduce.Inch/4] != 30-used[reduce.Inch/4] || got[reduce.Inch/16] != 20-used[reduce.Inch/16] {
		t.Errorf("laid %v, on hand %v", used, got)
	}
	left := shimPlan(t, tb.job())
	if want := all.Dealt.Pieces - used[reduce.Inch/4] - used[reduce.Inch/8] - used[reduce.Inch/16]; left.Dealt.Pieces != want {
		t.Errorf("%d pieces left, want %d", left.Dealt.Pieces, want)
	}
	tb.say("ann", "undo")
	if got := count(); got[reduce.Inch/4] != 30 {
		t.Errorf("taken back: %v", got)
	}
	tb.say("ann", "shimmed all")
	tb.say("ann", "stock 1/4 x7")
	if got := count(); got[reduce.Inch/4] != 7 {
		t.Errorf("told anew: %v", got)
	}
}

// TestShimCorrected: an amount that the crew says stands in place of what was
// noted in the same round, and the plan is done with there.
func TestShimCorrected(t *testing.T) {
	tb := walkedShed(t, []int{0, 4, 4, 0, 4, 4, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0})
	at := reduce.Along(1, 4*reduce.Foot)
	for _, c := range []struct {
		say  string
		laid reduce.Length
	}{{"shimmed c1+4", reduce.Inch / 4}, {"shimmed c1+4 3/8", 3 * reduce.Inch / 8}, {"shimmed c1+4 1/8", reduce.Inch / 8}, {"shimmed c1+4 1/8", reduce.Inch / 8}} {
		tb.say("ann", c.say)
		v := tb.job().View()
		p, _ := v.ShimPlan()
		for _, b := range p.Points {
			if b.Station == at && (b.Laid != c.laid || !b.Set || b.Left()) {
				t.Errorf("%s: %+v", c.say, b)
			}
		}
		for _, s := range v.Stations {
			if s.Station == at && (!s.Touched || s.Set != c.laid) {
				t.Errorf("%s: set %v, want %v", c.say, s.Set, c.laid)
			}
		}
	}
}

// TestShimAtStep: where a step leaves two heights each half gets its own stack,
// and the corner alone is the half that it belongs to.
func TestShimAtStep(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new Pad", "8x8", "direct rod", "step c2 c3 8 in lower", "c1 0", "c1+4 0", "c2 top -1/4", "c2 bottom -8 1/2", "c2+4 -8",
		"c3 bottom -8", "c3 top 0", "c3+4 0", "c4 0", "c4+4 0", "done", "datum c1"} {
		tb.say("ann", s)
	}
	laid := func() map[string]reduce.Length {
		out := map[string]reduce.Length{}
		for _, k := range tb.job().Shimmed {
			for _, s := range k.Spots {
				out[tb.job().StationName(s.Station)] += s.Amount
			}
		}
		return out
	}
	tb.say("ann", "shimmed c2")
	if got := laid(); got["c2 bottom"] != reduce.Inch/2 || got["c2 top"] != 0 {
		t.Errorf("shimmed c2: %v", got)
	}
	tb.say("ann", "shimmed c2 top")
	if got := laid(); got["c2 top"] != reduce.Inch/4 {
		t.Errorf("shimmed c2 top: %v", got)
	}
}

// TestShimExamples: every command that a sentence about shims shows can be sent
// as it stands.
func TestShimExamples(t *testing.T) {
	texts := session.Texts()
	tb := walkedShed(t, []int{0, 4, 4})
	for _, c := range []struct {
		key  session.Key
		unit reduce.Unit
		sent [2]string // English, Spanish
	}{
		{"shims.ours", reduce.UnitInch, [2]string{"stock 1/16 x20, 1/8 x40, 1/4", "existencias 1/16 x20, 1/8 x40, 1/4"}},
		{"shims.ours.mm", reduce.UnitMillimetre, [2]string{"stock 1 x20, 2 x40, 5", "existencias 1 x20, 2 x40, 5"}},
		{"shims.grout.ours", reduce.UnitInch, [2]string{"grout 0.5 ft3", "mortero 0.5 pies3"}},
		{"shims.grout.ours.mm", reduce.UnitMillimetre, [2]string{"grout 14 l", "mortero 14 l"}},
		{"shims.list.more", reduce.UnitInch, [2]string{"shims c3", "calzas c3"}},
		{"shim.end", reduce.UnitInch, [2]string{"next round", "siguiente vuelta"}},
		{"shim.out", reduce.UnitInch, [2]string{"stock 1/16 x20, 1/8 x40", "existencias 1/16 x20, 1/8 x40"}},
		{"shim.out.mm", reduce.UnitMillimetre, [2]string{"stock 1 x20, 2 x40", "existencias 1 x20, 2 x40"}},
		{"undo.shims", reduce.UnitInch, [2]string{"shimmed c2 1/4", "calzado c2 1/4"}},
		{"undo.shims", reduce.UnitInch, [2]string{"unshim c2", "quita calzas c2"}},
		{"shims.list.words", reduce.UnitInch, [2]string{"shims all", "calzas todas"}},
	} {
		for i, sent := range c.sent {
			if !strings.Contains(texts[c.key][i], sent) {
				t.Errorf("%s does not show %q: %q", c.key, sent, texts[c.key][i])
			}
			ctx := phrase.Context{Rod: reduce.Direct, Unit: c.unit, Finest: c.unit.Finest(), Outline: tb.job().Outline}
			if m := phrase.Parse(ctx, sent); m.Kind != phrase.Command {
				t.Errorf("%q: %v", sent, m.Why)
			}
		}
	}
}

// TestShimsUnknown: without a level there is no plan, and each answer says what
// comes first.
func TestShimsUnknown(t *testing.T) {
	tb := newTable(t)
	tb.say("ann", "new Shed")
	tb.say("ann", "24x16")
	for _, s := range []string{"shims", "shim", "shimmed c3", "shimmed"} {
		if said := tb.say("ann", s); !strings.Contains(said, "Nothing is read yet") {
			t.Errorf("%s: %q", s, said)
		}
	}
	tb.say("ann", "direct rod")
	tb.say("ann", "c1 0\n-1/4")
	for _, s := range []string{"shims", "shim", "shimmed c3"} {
		if said := tb.say("ann", s); !strings.Contains(said, "none is chosen yet") || !strings.Contains(said, "[") {
			t.Errorf("%s: %q", s, said)
		}
	}
	tb.say("ann", "datum c1")
	tb.say("ann", "reference c4")
	if said := tb.say("ann", "shims"); !strings.Contains(said, "not known yet") {
		t.Errorf("%q", said)
	}
	tb.say("ann", "reference c1")
	if said := tb.say("ann", "shim"); !strings.Contains(said, "The walk is not done") || !strings.Contains(said, "[Done]") {
		t.Errorf("%q", said)
	}
	if len(tb.job().Shimmed) > 0 {
		t.Error("something was noted")
	}
}

// BenchmarkShimPlan plans a foundation of so many stations.
func BenchmarkShimPlan(b *testing.B) {
	for _, n := range []int{500, 5000} {
		j := largeWalk(b, n)
		v := j.View()
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if _, ok := v.ShimPlan(); !ok {
					b.Fatal("no plan")
				}
			}
		})
	}
}

// largeWalk is a job of so many stations around one long building, all read.
func largeWalk(t testing.TB, stations int) *session.Job {
	j := session.NewJob()
	add := func(body session.Body) {
		if err := j.Apply(session.Event{Seq: j.Seq + 1, By: 1, Body: body}); err != nil {
			t.Fatal(err)
		}
	}
	add(session.Opened{Job: "j", Chat: "yard", Name: "Long"})
	add(session.SetupOpened{Setup: 1})
	grid := reduce.GridFor(reduce.UnitInch)
	grid.Spacing = 2 * reduce.Foot
	side := reduce.Length(stations) * reduce.Foot / 2
	o, err := reduce.Outline{Grid: grid}.WithLoop("", reduce.Point{}, reduce.Rectangle(side, side))
	if err != nil {
		t.Fatal(err)
	}
	add(session.OutlineSet{Loops: o.Loops, Grid: o.Grid})
	add(session.RodTaken{Rod: 1, Setup: 1, Kind: reduce.Direct, By: 1})
	rnd := rand.New(rand.NewPCG(5, 5))
	for _, s := range j.Outline.Stations() {
		add(session.Read{Round: 1, Rod: 1, Station: s, Value: -reduce.Inch / 16 * reduce.Length(rnd.IntN(12))})
	}
	add(session.DatumSet{Choice: reduce.DatumHigh})
	return j
}

// TestPlateOnUnset: a plate that is laid while shims are still to be set is told
// where.
func TestPlateOnUnset(t *testing.T) {
	tb := toldShed(t)
	all := tb.say("ann", "shims")
	n, _, _ := strings.Cut(all, " of ")
	if _, err := strconv.Atoi(n); err != nil {
		t.Fatalf("the plan: %q", all)
	}
	const told = " points are not shimmed yet, as far as was told: "
	tb.mustSay("ann", "surface plate", n+told)
	tb.say("ann", "undo")
	tb.mustSay("ann", "shimmed c1 to c2", "shimmed.")
	left := tb.say("ann", "left")
	n, _, _ = strings.Cut(left, " point")
	tb.mustSay("ann", "surface plate", n+told)

	tb = toldShed(t)
	tb.say("ann", "shimmed all")
	if said := tb.say("ann", "surface plate"); strings.Contains(said, "not shimmed yet") {
		t.Errorf("with all shims set: %q", said)
	}
}
