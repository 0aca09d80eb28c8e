package session_test

import (
	"strings"
	"testing"

	"rodcall/reduce"
	"rodcall/session"
)

// toldShed is a job of 8 x 8 ft, walked, with shims planned for the high spot.
func toldShed(t *testing.T) *table {
	tb := newTable(t)
	for _, s := range []string{"new A", "8x8", "direct rod", "on", "1/8 low", "1/4 low", "3/8 low", "1/8 low", "on", "1/8 high", "1/4 low",
		"bm 0", "done", "datum high"} {
		tb.say("ann", s)
	}
	return tb
}

// secondWalk is what a second walk of toldShed reads once all shims are set: one
// spot too high on its shims, one still low, one too high without shims.
var secondWalk = []string{"shimmed all", "tolerance 1/16", "next round", "bm 0", "1/8 high", "5/16 high", "it is so", "1/8 high", "1/8 high",
	"-1/8", "it is so", "1/8 high", "5/16 high", "it is so", "1/8 high"}

// TestShimsTold: what is answered to what crews say of shims. The answer to the
// last message has every part of want, and none of never.
func TestShimsTold(t *testing.T) {
	second := func(more ...string) []string { return append(append([]string{}, secondWalk...), more...) }
	const again = "Walk again to see what the rod says"
	for _, c := range []struct {
		said        []string
		want, never []string
	}{
		{said: []string{"español", "existencias 1/16 x20, 1/8 x40, 1/4"}, want: []string{"Alcanza para todo, 21 puntos: 35 piezas."}, never: []string{"{"}},

		// Too high on shims: they come out, and nothing is ground.
		{said: second()[:6], want: []string{"c1+4: 5/16 high (of c1), take 3/16 out (1/4 lies there)"}, never: []string{"lower"}},
		{said: second("shims"), want: []string{"Shims to take out: ", "c1+4 3/16 (1/4 lies there)", "Too high for this level, and left so: c4."}, never: []string{"grind", "Nothing"}},
		{said: second("shims all"), want: []string{"c1+4: take 3/16 out (1/4 lies there)", "c2: 1/4 + 1/8 lies there", "c3: add 1/4 (1/4 lies there)", "[Start shimming]"}},
		{said: second("shim from c1+4"), want: []string{"c1+4: take 3/16 out (1/4 lies there). Then the rod reads 1/8 high.", "[Done]", "[Skip]"}},
		{said: second("shim from c1+4", "done"), want: []string{"Taken out: c1+4 3/16, c1+5'4\" 1/8, "}},
		{said: second("shim from c3"), want: []string{"c3: add 1/4 (1/4 lies there; raise 1/4). Then the rod reads 1/8 high."}},
		{said: second("shimmed c1+4"), want: []string{"c1+4 is too high: take 3/16 out (1/4 lies there)", "took out c1+4 3/16"}},
		{said: second("took out c1+4 3/16", "shims"), want: []string{"5 bearing points still to shim, 1 done.", "Shims to take out: "}, never: []string{"c1+4 "}},
		{said: second("shimmed c1+4 -3/16"), want: []string{"Taken out: c1+4 3/16."}},
		{said: second("c1+4 took out 1/8"), want: []string{"Taken out: c1+4 1/8."}},
		{said: second("unshim c1+4"), want: []string{"Taken out: c1+4 1/4."}},
		{said: second("español", "saqué 1/8 en c1+4"), want: []string{"Sacado: c1+4 1/8."}},
		{said: second("español", "quita calzas c1+4"), want: []string{"Sacado: c1+4 1/4."}},
		{said: second("took out c1+4 1/2"), want: []string{"only 1/4 lies there", "unshim c1+4"}},
		{said: second("took out c1 1/8"), want: []string{"no shims are noted there"}},
		{said: second("took out c2"), want: []string{"How much came out at c2? 3/8 lies there", "unshim c2"}, never: []string{"Taken out:"}},
		{said: second("shimmed c1+4 1/8"), want: []string{"c1+4: 1/8 noted.", "too high already as read: c1+4 3/16 high"}},
		{said: second("shimmed c4"), want: []string{"c4 is too high, by 3/16"}, never: []string{"where it should be"}},
		{said: second("shimmed c4 to c1"), want: []string{"Nothing to set there.", "Too high: c4, ", "Where they should be: ", "c4+4"}, never: []string{"Nothing to shim at"}},
		{said: second("shimmed c1 to c2"), want: []string{"Taken out: c1+1'4\" 1/16, c1+2'8\" 1/8, c1+4 3/16, "}},
		{said: second("summary"), want: []string{"take shims out at "}},

		// What is known, and no more.
		{said: []string{"datum -1/2", "shims"}, want: []string{"Of the 24 bearing points known so far none needs shims.", "Too high for this level, and left so"}, never: []string{"Nothing to shim", "within"}},
		{said: []string{"shimmed all", "next round", "bm 0", "1/8 high", "1/8 high", "shims"}, want: []string{"Done: ", "Not read, so not planned around them: "}, never: []string{"Nothing"}},

		// Stock that does not reach.
		{said: []string{"stock 1/4 x3", "shims"}, want: []string{"15 bearing points need shims, 3 can be made: 3 pieces: 1/4 x3."}, never: []string{"get shims"}},
		{said: []string{"stock 1/4 x3", "shimmed all"}, want: []string{"No shims on hand there, so nothing is noted: ", "undo"}},
		{said: []string{"stock 1/4 x3", "shimmed all", "shims"}, want: []string{"none can be made", "nothing left"}, never: []string{": .", "1/4 x0", "0 pieces"}},
		{said: []string{"stock 1/4 x3", "shimmed all", "stock"}, want: []string{"On hand: nothing left."}},
		{said: []string{"stock 1/4 x3", "shimmed c1 to c2"}, want: []string{"nothing is noted: "}},
		{said: []string{"stock 1/4 x3", "shim", "done", "done"}, want: []string{"nothing is noted: "}},
		{said: []string{"stock 1/16 x20, 1/8 x10, 1/4 x3"}, never: []string{"do not make", "Dealt out"}},
		{said: []string{"stock 1/16 x1"}, never: []string{"Dealt out another way they might reach 21"}},
		{said: []string{"stock 1/16"}, want: []string{"These do not make 5/16, 3/8, 7/16, 1/2", "points stay outside the tolerance with these sizes: ", "c2+4 1/4 low"}, never: []string{"Enough", "9/16"}},
		{said: []string{"stock 1/16", "shims"}, want: []string{"stay outside the tolerance"}},

		// Amounts.
		{said: []string{"shimmed c2 10"}, want: []string{"10 in of shims", "is that meant?", "[yes, 10 in]"}, never: []string{"noted"}},
		{said: []string{"shimmed c2 10", "shimmed c2 10"}, want: []string{"c2: 10 noted."}},
		{said: []string{"shimmed c2+4 1/64"}, want: []string{"1/64 is finer than 1/16 in", "shimmed c1+4 1/4"}},
		{said: []string{"shimmed c2", "shimmed c2 0"}, want: []string{"Taken out: c2 3/8."}},
		{said: []string{"shimmed c2", "shimmed c2 none"}, want: []string{"Taken out: c2 3/8."}},
		{said: []string{"shimmed c2 1/4", "shimmed c2 1/4"}, want: []string{"c2: noted already, 1/4."}, never: []string{"shimmed c2"}},

		// What was taken out is missing there; an amount that was put right is not.
		{said: []string{"shimmed all", "took out c2 1/8"}, want: []string{"Taken out: c2 1/8.", "c2: add 1/8 (1/4 lies there; raise 1/8). Then the rod reads 1/8 high."}, never: []string{"All shims are set"}},
		{said: []string{"shimmed all", "took out c2 1/8", "left"}, want: []string{"1 point left to shim, by c2. 1 piece: 1/8 x1."}},
		{said: []string{"shimmed all", "took out c2 1/8", "shims c2"}, want: []string{"c2: add 1/8 (1/4 lies there)"}},
		{said: []string{"shimmed all", "took out c2 1/8", "shimmed c2"}, want: []string{"c2: shimmed.", "All shims are set"}},
		{said: []string{"shimmed all", "took out c2 1/8", "shimmed c2 3/8"}, want: []string{"All shims are set"}},
		{said: []string{"shimmed all", "took out c2 1/8", "undo"}, want: []string{"All shims are set"}},
		{said: []string{"shimmed all", "unshim c2", "left"}, want: []string{"1 point left to shim, by c2."}},
		{said: []string{"shimmed all", "shimmed c2 1/4"}, want: []string{"All shims are set"}},

		// Several spots, all by one rule.
		{said: []string{"shimmed c2"}, want: []string{"c2, c2+1'4\", c2+2'8\": shimmed."}},
		{said: []string{"shimmed c2 and c3"}, want: []string{"c2, c2+1'4\", c2+2'8\", c3, c3+1'4\", c3+2'8\": shimmed."}},
		{said: []string{"shimmed c2, c3"}, want: []string{"c2, c2+1'4\", c2+2'8\", c3, c3+1'4\", c3+2'8\": shimmed."}},
		{said: []string{"shimmed c3 c2"}, want: []string{"c3, c3+1'4\", c3+2'8\", c2, c2+1'4\", c2+2'8\": shimmed."}},
		{said: []string{"español", "calzado c2 y c3"}, want: []string{"c2, c2+1'4\", c2+2'8\", c3, c3+1'4\", c3+2'8\": calzado."}},

		// Buttons, and what is told once.
		{said: []string{"shims", "shims all"}, want: []string{"[Start shimming]"}},
		{said: []string{"shim", "picture"}, want: []string{"[Done]", "[Skip]", "[picture]"}},
		{said: []string{"shim", "summary"}, want: []string{"[Done]", "[Skip]"}},
		{said: []string{"shim", "summary", "repeat"}, want: []string{"[Done]", "[Skip]"}},
		{said: []string{"shim", "shims all"}, want: []string{"[Done]", "[Skip]"}, never: []string{"[Start"}},
		{said: []string{"shims"}, want: []string{"point loads"}},
		{said: []string{"shims", "shims"}, want: []string{"Grout: 0.28 ft³ under the plate, 1 bag of 0.4 ft³."}, never: []string{"point loads"}},
		{said: []string{"shimmed all"}, want: []string{again, "If that was not meant: undo"}},
		{said: []string{"shimmed"}, want: []string{"like shimmed c1+4"}, never: []string{"c3+8"}},
		{said: []string{"shimmed bm"}, never: []string{"c3+8"}},
		{said: []string{"tolerance 1/64"}, want: []string{"within 1/32 shy in"}, never: []string{"under 1/16"}},
		{said: []string{"shimmed all", "next round", "bm 0"}, never: []string{"(raise"}},
		{said: []string{"next round", "bm 0", "on"}, want: []string{"Next: c1+4, should read 1/8 low (1/4 low)"}},
	} {
		tb := toldShed(t)
		last := ""
		for _, s := range c.said {
			last = tb.say("ann", s)
		}
		for _, w := range c.want {
			if !strings.Contains(last, w) {
				t.Errorf("%q: not %q in %q", c.said, w, last)
			}
		}
		for _, n := range c.never {
			if strings.Contains(last, n) {
				t.Errorf("%q: %q in %q", c.said, n, last)
			}
		}
	}
}

// TestShimsOfLoops: a run stays in its loop, and piers are in none.
func TestShimsOfLoops(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new Two", "8x8", "loop garage 8x8 at 20,0", "piers 4,4 30,4", "direct rod"} {
		tb.say("ann", s)
	}
	tb.say("ann", "c1 0")
	for _, s := range tb.job().Outline.Stations()[1:] {
		tb.say("ann", tb.job().StationName(s)+" -1/4")
	}
	tb.say("ann", "done")
	tb.say("ann", "datum c1")
	if said := tb.say("ann", "shimmed c7 to c2"); !strings.Contains(said, "not on one run") || len(tb.job().Shimmed) > 0 {
		t.Errorf("across loops: %q", said)
	}
	if said := tb.say("ann", "shimmed p1 to c2"); !strings.Contains(said, "not on one run") {
		t.Errorf("from a pier: %q", said)
	}
	if said := tb.say("ann", "shims all"); !strings.Contains(said, "Piers:\np1, p2: 1/4") {
		t.Errorf("the list: %q", said)
	}
	tb.say("ann", "shimmed c8 to c6")
	for _, k := range tb.job().Shimmed[0].Spots {
		if k.Station.Kind != reduce.Wall || k.Station.Number < 5 || k.Station.Number == 7 {
			t.Errorf("c8 to c6 set %v", tb.job().StationName(k.Station))
		}
	}
}

// TestUnshimAtStep: a spot said alone is the half that it is everywhere else.
func TestUnshimAtStep(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new Step", "16x8", "direct rod", "step c1+8 c2+4 8 in lower", "bm 0", "c1 0", "c1+4 0", "c1+8 top -1/4", "c1+8 bottom -8 1/2",
		"c1+12 -8 1/4", "c2 -8 1/4", "c2+4 bottom -8 1/4", "c2+4 top -1/4", "c3 0", "c3+4 0", "c3+8 0", "c3+12 0", "c4 0", "c4+4 0", "done", "datum c1"} {
		tb.say("ann", s)
	}
	for _, c := range []struct{ say, want string }{
		{"shimmed c2+4", "c2+4 bottom: shimmed."}, {"shimmed c1+8 1/4", "c1+8 bottom: 1/4 noted."}, {"shimmed c1+8 top", "c1+8 top: shimmed."},
		{"unshim c1+8", "Taken out: c1+8 bottom 1/4."},
	} {
		if said := tb.say("ann", c.say); !strings.Contains(said, c.want) {
			t.Errorf("%s: %q", c.say, said)
		}
	}
}

// TestLaidStays: what lies at a spot outlives further rounds, and what is planned
// there then is told apart from it.
func TestLaidStays(t *testing.T) {
	tb := toldShed(t)
	for _, s := range secondWalk {
		tb.say("ann", s)
	}
	laid := func(name string) (session.LaidSpot, session.ShimPoint) {
		t.Helper()
		for _, l := range tb.job().Laid() {
			if l.Station.Name(reduce.Foot) != name {
				continue
			}
			for _, b := range shimPlan(t, tb.job()).Points {
				if b.Station == l.Station {
					return l, b
				}
			}
		}
		return session.LaidSpot{}, session.ShimPoint{}
	}
	l, b := laid("c2")
	if l.Amount != 3*reduce.Inch/8 || len(l.Pieces) != 2 || b.Lies != l.Amount || b.Set || b.Left() {
		t.Errorf("c2: %+v, planned %+v", l, b)
	}
	l, b = laid("c3")
	if l.Amount != reduce.Inch/4 || b.Fit.Makes != reduce.Inch/4 || !b.Left() {
		t.Errorf("c3: %+v, planned %+v", l, b)
	}
	tb.say("ann", "shimmed c3")
	if l, b = laid("c3"); l.Amount != reduce.Inch/2 || !b.Set || b.Laid != reduce.Inch/4 {
		t.Errorf("c3 shimmed again: %+v, planned %+v", l, b)
	}
	tb.say("ann", "took out c1+4 3/16")
	if l, b = laid("c1+4"); l.Amount != reduce.Inch/16 || b.Out != 0 || !b.Set {
		t.Errorf("c1+4 taken out: %+v, planned %+v", l, b)
	}
	tb.say("ann", "unshim c2")
	if l, _ = laid("c2"); l.Amount != 0 {
		t.Errorf("c2 unshimmed: %+v", l)
	}
}

// TestUnitsKeepBearings: another unit moves no bearing point once shims are set.
func TestUnitsKeepBearings(t *testing.T) {
	tb := toldShed(t)
	tb.say("ann", "shimmed all")
	before := len(shimPlan(t, tb.job()).Points)
	tb.say("ann", "units mm")
	p := shimPlan(t, tb.job())
	if len(p.Points) != before {
		t.Errorf("%d points, %d before", len(p.Points), before)
	}
	for _, b := range p.Points {
		// What rounds to nothing in sixteenths may be a whole millimetre.
		if b.Left() && b.Amount > reduce.Inch/32 {
			t.Errorf("%s is planned again: %v", b.Station.Name(reduce.Foot), b.Amount)
		}
	}
}

// TestUndoOwnShims: of two who set shims each takes back their own, but not from
// under what the other did there.
func TestUndoOwnShims(t *testing.T) {
	tb := toldShed(t)
	tb.say("ann", "shimmed c2")
	tb.say("bob", "shimmed c4 to c1")
	if said := tb.say("ann", "undo"); !strings.Contains(said, "Taken back") || len(tb.job().Shimmed) != 1 {
		t.Errorf("ann's own: %q", said)
	}
	if b := tb.job().Shimmed[0].Spots[0]; b.Station.Number != 4 {
		t.Errorf("what is left is %v", b)
	}
	tb.say("ann", "shimmed c2")
	tb.say("bob", "shimmed c2 1/2")
	if said := tb.say("ann", "undo"); !strings.Contains(said, "unshim c2") || len(tb.job().Shimmed) != 3 {
		t.Errorf("under what bob set: %q", said)
	}
	if fresh, err := session.Fold(tb.logs[tb.job().ID]); err != nil || len(fresh.Shimmed) != 3 {
		t.Errorf("folded: %v", err)
	}
}
