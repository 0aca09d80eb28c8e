package session_test

import (
	"strings"
	"testing"

	"rodcall/reduce"
	"rodcall/session"
)

// porch is a chat on a foundation of 12 x 8 ft, read all round, its datum the
// high spot c1: c1+4 lies 1/8 low between two spots that are raised 3/16.
func porch(t *testing.T) *table {
	tb := newTable(t)
	for _, s := range []string{
		"new Porch", "12x8", "direct rod", "0", "-1/8", "c1 -3/16", "c1+8 -3/16", "c2 -3/16", "c2+4 -3/16", "c3 -3/16", "c3+4 -3/16",
		"c3+8 -3/16", "c4 0", "c4+4 -3/16", "datum c4",
	} {
		tb.say("ann", s)
	}
	return tb
}

// points are the plan's points of one wall, as "c1+1.3333 joist 3.175".
func points(t *testing.T, tb *table, wall int) []reduce.BearingPoint {
	t.Helper()
	plan, ok := tb.job().View().PlatePlan()
	if !ok {
		t.Fatal("no plan")
	}
	var out []reduce.BearingPoint
	for _, p := range plan.Points {
		if p.Station.Number == wall {
			out = append(out, p)
		}
	}
	return out
}

// TestPlateLineInTheChat: what is raised only so that the plate has no hollow is
// said, and is the crew's own to allow.
func TestPlateLineInTheChat(t *testing.T) {
	tb := porch(t)
	const forLine = "c1+4 reads within tolerance, but is raised 1/16 so that the plate has no hollow."
	tb.mustSay("ann", "summary", forLine)
	tb.mustSay("ann", "bend 1/8 in 8 ft", "The plate may hollow 1/8 in under 8 ft at most.")
	if got := tb.say("ann", "summary"); strings.Contains(got, "hollow") {
		t.Errorf("with 1/8 in 8 ft: %q", got)
	}
	tb.mustSay("ann", "undo", "the bend of the plate")
	tb.mustSay("ann", "summary", forLine)
	tb.say("ann", "bend 1/8 in 8 ft")
	if got := tb.mustSay("ann", "bend none", "1/16 in under 8 ft at most (our figure)"); !strings.Contains(got, forLine) {
		t.Errorf("ours again: %q", got)
	}
	// A spot too high that may not be ground is a hump, once it is not the datum.
	got := tb.mustSay("ann", "c2+4 3/8 high\nbend 1/16 in 8 ft", "More bend than 1/16 in under 8 ft: c2+4 a hump of 3/8.")
	if strings.Contains(got, "c3") {
		t.Errorf("%q", got)
	}
	tb.say("ann", "español")
	tb.mustSay("ann", "flexión 1/16 en 8 pies", "Más flexión que 1/16 pulg bajo 8 pies: c2+4 un lomo de 3/8.")
}

// TestBearingSettings: each is kept, told, put back by undo, and cleared.
func TestBearingSettings(t *testing.T) {
	tb := porch(t)
	for _, c := range []struct {
		text, want string
		points     int // of the first wall, c1 to c2
	}{
		{"left", "", 9}, // 0 16 32 48 … 128 in; c2 belongs to the next wall
		{"bearing 24", "Joists or studs every 24 in: the plate bears there.", 6},
		{"undo", "the spacing of the joists", 9},
		{"bearing 24 in", "every 24 in", 6},
		{"bearing none", "every 16 in (our figure)", 9},
		{"bearing 2", "bearing 2: joists and studs stand 4 in to 96 in apart. Like: bearing 16", 9},
		{"bearing 200", "Like: bearing 16", 9},
		// 33 39 105 111 in, of which 33 and 111 take the joists at 32 and 112.
		{"bolts at c1+3 c1+9", "Bolts at c1+3, c1+9: the plate bears either side of each.", 11},
		{"bolts at c1+2.5 c1+9", "Bolts at c1+2.5, c1+9: the plate bears either side of each. Not at c1+3 any more.", 11},
		{"undo", "the places of the bolts", 11},
		// Bolts at 12, 72 and 132 in: 9 15 69 75 129 135, joists at 16 and 128.
		{"bolts every 6", "Bolts at most 6 ft apart and near each end of a plate: 10 in all, our layout.", 13},
		{"bolts every 8", "bolts every 8: bolts stand 1 ft to 6 ft apart; local code and drawings govern. Like: bolts every 6", 13},
		{"no bolts", "No bolts are reckoned with.", 9},
		{"bolts none", "Nobody said where bolts are. Like: bolts every 6", 9},
		{"posts c1+7", "Posts at c1+7: the plate bears under each.", 10},
		{"posts none", "No posts", 9},
		{"posts none", "Nobody said where posts are. Like: posts c2+4", 9},
		{"splices c1+6", "Splices of the plate at c1+6: it bears either side of each.", 11},
		{"empalmes ninguno", "No se cuenta con empalmes.", 9},
		{"bolts at c1+13", "There is no c1+13", 9},
		{"posts everywhere", "Like: posts c2+4", 9},
		{"bend 1/16", "Like: bend 1/16 in 8 ft", 9},
		{"bend 6 in 8 ft", "bend 6 in 8 ft: no plate bends 6 in under 8 ft. Like: bend 1/16 in 8 ft", 9},
		{"apoyos 2", "Como: apoyos 16", 9},
	} {
		if strings.HasPrefix(c.text, "apoyos") || strings.HasPrefix(c.text, "empalmes") {
			tb.say("ann", "español")
		} else {
			tb.say("ann", "english")
		}
		tb.mustSay("ann", c.text, c.want)
		if got := points(t, tb, 1); len(got) != c.points {
			t.Errorf("after %q: %d points, want %d: %+v", c.text, len(got), c.points, got)
		}
	}
}

// TestPlateWaits: what is not read leaves points without an amount, and there is
// no plan before a level or without walls.
func TestPlateWaits(t *testing.T) {
	tb := newTable(t)
	tb.say("ann", "new Porch")
	tb.mustSay("ann", "posts c1+4", "there are no walls for them yet. Send an outline first, like 40x28, then posts c2+8")
	for _, s := range []string{"12x8", "direct rod", "0", "0", "0"} {
		tb.say("ann", s)
	}
	if got := tb.say("ann", "bearing 16"); strings.Contains(got, "bears at") {
		t.Errorf("without a datum: %q", got)
	}
	if _, ok := tb.job().View().PlatePlan(); ok {
		t.Error("a plan without a datum")
	}
	tb.say("ann", "done")
	tb.say("ann", "datum high")
	tb.mustSay("ann", "bearing 16", "have no amount yet. To be read: c2, c2+4")

	// A free walk: every spot by itself.
	tb = newTable(t)
	for _, s := range []string{"new Slab", "direct rod", "c1 0", "c2 -1/2", "c2+4 1/8 low", "datum c1"} {
		tb.say("ann", s)
	}
	plan, ok := tb.job().View().PlatePlan()
	if !ok || len(plan.Points) != 3 || plan.Points[1].Amount != reduce.Inch/2 || plan.Points[2].Amount != 0 {
		t.Errorf("%t %+v", ok, plan.Points)
	}
}

// TestPlateOptionsOfAJob: the plan goes by what the crew set of grinding, of
// shims and of the tolerance.
func TestPlateOptionsOfAJob(t *testing.T) {
	v := told(t, session.PlanSet{What: session.FigureGrindMost, Length: reduce.Inch / 4}, session.PlanSet{What: session.FigureShimMost, Length: 2 * reduce.Inch},
		session.ToleranceSet{Tolerance: reduce.Inch / 16}, session.PlanSet{What: session.FigureBend, Length: 1, Run: reduce.Foot})
	opt := v.Job.PlateOptions()
	if opt.Grind != reduce.Inch/4 || opt.Gap != 2*reduce.Inch || opt.Tolerance != reduce.Inch/16 || opt.Bend != (reduce.BendRate{Rise: 1, Span: reduce.Foot}) {
		t.Errorf("%+v", opt)
	}
	if opt := told(t).Job.PlateOptions(); opt.Gap != reduce.Inch || opt.Grind != 0 || opt.Spacing != 16*reduce.Inch || opt.Bolts != nil {
		t.Errorf("ours: %+v", opt)
	}
}

// TestPlateInMillimetres: figures and examples of the job's own unit.
func TestPlateInMillimetres(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{"new Porch", "4x3 m", "direct rod", "0"} {
		tb.say("ann", s)
	}
	tb.mustSay("ann", "bearing 600", "every 600 mm")
	tb.mustSay("ann", "bearing none", "every 400 mm (our figure)")
	tb.mustSay("ann", "bearing 20", "stand 100 mm to 2400 mm apart. Like: bearing 400")
	tb.mustSay("ann", "bend none", "2 mm under 3 m at most (our figure)")
	tb.mustSay("ann", "bend 1.5 mm in 2.5 m", "1.5 mm under 2.5 m")
	tb.mustSay("ann", "bolts at here", "Like: bolts every 1.8")
	tb.mustSay("ann", "bolts every 1.8", "at most 1.8 m apart")
	tb.say("ann", "units ft")
	tb.mustSay("ann", "bend none", "0.005 ft under 8")
}

// TestPlateAtAStep: at a step both heights end a plate. The one that was not
// read leaves the points up to it waiting, and is named; once it is read nothing
// waits, and no line runs across.
func TestPlateAtAStep(t *testing.T) {
	tb := newTable(t)
	for _, s := range []string{
		"new Porch", "12x8", "direct rod", "step c1+4 c2 8 in lower", "0", "c1+4 -8 1/8", "c1+8 -8 3/16", "c2 -8 3/16", "c2+4 -3/16",
		"c3 -3/16", "c3+4 -3/16", "c3+8 -3/16", "c4 -3/16", "c4+4 -3/16", "datum c1",
	} {
		tb.say("ann", s)
	}
	at := func(name string) (out []reduce.BearingPoint) {
		for _, n := range []int{1, 2} {
			for _, p := range points(t, tb, n) {
				if strings.HasPrefix(p.Station.Name(reduce.Foot), name) && p.Kinds&reduce.BearEnd != 0 {
					out = append(out, p)
				}
			}
		}
		return out
	}
	tb.mustSay("ann", "bearing 16", "To be read: c1+4 top, c2 top")
	ends := at("c1+4")
	if len(ends) != 2 || ends[0].Known || ends[0].Station.Half != reduce.Top || !ends[1].Known || ends[1].Amount != 0 {
		t.Errorf("c1+4 ends with %+v", ends)
	}
	for _, p := range points(t, tb, 1) {
		if before := p.Station.Past > 0 && p.Station.Past < 4*reduce.Foot; before && (p.Known || p.Unread.Half != reduce.Top) {
			t.Errorf("before the step: %+v", p)
		}
	}
	tb.say("ann", "c1+4 top -1/4")
	tb.say("ann", "c2 top 0")
	if got := tb.say("ann", "bearing 16"); strings.Contains(got, "To be read") {
		t.Errorf("all read: %q", got)
	}
	for _, p := range points(t, tb, 1) {
		if !p.Known {
			t.Errorf("not known: %+v", p)
		}
	}
	if ends = at("c1+4"); len(ends) != 2 || ends[0].Amount != reduce.Inch/4 || ends[1].Amount != 0 {
		t.Errorf("c1+4 ends with %+v", ends)
	}
	if ends = at("c2"); len(ends) != 2 || ends[0].Amount != 3*reduce.Inch/16 || ends[1].Amount != 0 {
		t.Errorf("c2 ends with %+v", ends)
	}
	// Walls of 4 and 8, 8, 12 and 8 ft: two bolts each, and three in 12 ft.
	tb.mustSay("ann", "bolts every 6", "11 in all")
}
