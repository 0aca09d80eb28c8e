package report_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"rodcall/reduce"
	"rodcall/render"
	"rodcall/session"
	"rodcall/session/report"
)

var made = time.Date(2026, 5, 4, 15, 10, 0, 0, time.FixedZone("PDT", -7*3600))

// walked is a 40 x 28 ft foundation, all read: heights from 1 in low to 3/4
// high by thirty-seconds, c1 the reference, on a rod whose constant is 3/16
// (direct) or 4' 7 3/8" (standard).
func walked(t testing.TB, rod reduce.RodKind) *book {
	b := newBook(t, "Lot 7", rod)
	b.rectangle(40, 28, reduce.Point{X: 10 * reduce.Foot, Y: 14 * reduce.Foot})
	for i, s := range b.job().Outline.Stations() {
		height := reduce.Length(0)
		if i > 0 {
			height = reduce.Inch / 32 * reduce.Length(i*37%57-32)
		}
		value := sixteenths(3) + height
		if rod == reduce.Standard {
			value = 4*reduce.Foot + 7*reduce.Inch + sixteenths(6) - height
		}
		b.add(session.Read{Round: 1, Rod: 1, Station: s, Value: value, Said: "?"})
	}
	return b
}

func find(t *testing.T, s render.Scene, name string) render.Mark {
	t.Helper()
	for _, m := range s.Marks {
		if m.Name == name {
			return m
		}
	}
	t.Fatalf("no mark %s", name)
	return render.Mark{}
}

// TestSceneOfEitherRod: the same foundation walked with either rod is the
// same drawing but for the line that names the rod.
func TestSceneOfEitherRod(t *testing.T) {
	for _, datum := range []bool{false, true} {
		for _, lang := range []string{"en", "es"} {
			direct, standard := walked(t, reduce.Direct), walked(t, reduce.Standard)
			if datum {
				direct.add(session.DatumSet{Choice: reduce.DatumHigh})
				standard.add(session.DatumSet{Choice: reduce.DatumHigh})
			}
			a, b := report.Scene(direct.job(), lang, made), report.Scene(standard.job(), lang, made)
			if len(a.Lines) != len(b.Lines) {
				t.Fatalf("%d lines and %d", len(a.Lines), len(b.Lines))
			}
			var differ []string
			for i := range a.Lines {
				if a.Lines[i] != b.Lines[i] {
					differ = append(differ, a.Lines[i], b.Lines[i])
				}
			}
			want := []string{"direct rod", "standard rod"}
			if lang == "es" {
				want = []string{"regla directa", "regla estándar"}
			}
			if !slices.Equal(differ, want) {
				t.Errorf("the lines differ in %q, want %q", differ, want)
			}
			a.Lines, b.Lines = nil, nil
			if d := cmp.Diff(a, b); d != "" {
				t.Errorf("datum %t, %s (-direct +standard):\n%s", datum, lang, d)
			}
		}
	}
}

// TestSceneShowsEveryStation once, where it stands, in walking order.
func TestSceneShowsEveryStation(t *testing.T) {
	j := walked(t, reduce.Direct).job()
	s := report.Scene(j, "en", made)
	var want []render.Mark
	for _, st := range j.Outline.Stations() {
		at, _, _ := j.Outline.Position(st)
		want = append(want, render.Mark{
			Name: j.StationName(st), At: at, Corner: st.IsCorner(), Pier: st.Kind == reduce.Pier,
		})
	}
	got := slices.Clone(s.Marks)
	for i := range got {
		got[i].Status, got[i].Word, got[i].Amount, got[i].Off = 0, "", "", 0
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	// 34 on the walls, counted by hand, and the pier.
	if len(s.Marks) != 35 {
		t.Errorf("%d marks, want 35", len(s.Marks))
	}
	// The pier stands on no wall: the strip leaves it out.
	if n := len(s.Strip.Runs[0].Points); n != 34 {
		t.Errorf("%d points on the strip, want 34", n)
	}
	last := -4 * reduce.Foot
	for _, p := range s.Strip.Runs[0].Points {
		if p.At-last != 4*reduce.Foot {
			t.Errorf("from %s to %s mm on the strip: not 4 ft", last, p.At)
		}
		last = p.At
	}
}

// TestSceneWords: high and low before a datum, raise and lower after it, and
// each status has its word, its amount and its line in the key.
func TestSceneWords(t *testing.T) {
	b := newBook(t, "Lot 7", reduce.Direct)
	b.rectangle(8, 8)
	b.read("c1", 0)
	b.read("c1+4", sixteenths(4))
	b.read("c2", sixteenths(-6))
	b.read("c2+4", reduce.Inch/64) // under half of the finest amount
	b.read("c3", sixteenths(4)+reduce.Inch/32)
	check := func(s render.Scene, want map[string][3]any) {
		t.Helper()
		used := map[render.Status]bool{}
		for name, w := range want {
			m := find(t, s, name)
			if m.Status != w[0] || m.Word != w[1] || m.Amount != w[2] {
				t.Errorf("%s: status %d, %q over %q; want %v", name, m.Status, m.Word, m.Amount, w)
			}
		}
		for _, m := range s.Marks {
			used[m.Status] = true
		}
		for _, k := range s.Key {
			if !used[k.Status] || k.Text == "" {
				t.Errorf("the key explains %d as %q: no mark has it", k.Status, k.Text)
			}
			delete(used, k.Status)
		}
		if len(used) > 0 {
			t.Errorf("the key is silent on %v", used)
		}
	}
	check(report.Scene(b.job(), "en", made), map[string][3]any{
		"c1":   {render.StatusOn, "level", ""},
		"c1+4": {render.StatusHigh, "high", "1/4"},
		"c2":   {render.StatusLow, "low", "3/8"},
		"c2+4": {render.StatusOn, "level", ""},
		"c3":   {render.StatusHigh, "high", "1/4 heavy"},
		"c4":   {render.StatusUnread, "unread", ""},
	})
	b.add(session.DatumSet{Choice: reduce.DatumFixed, Level: sixteenths(2)})
	check(report.Scene(b.job(), "en", made), map[string][3]any{
		"c1": {render.StatusOn, "on", ""},
		// A close call names its move: 1/8 is the tolerance itself.
		"c1+4": {render.StatusUnsure, "high", "1/8"}, // nothing may be ground
		"c2":   {render.StatusRaise, "raise", "1/2"},
		"c2+4": {render.StatusUnsure, "raise", "1/8"},
		"c3":   {render.StatusUnsure, "high", "1/8 heavy"},
		"c4":   {render.StatusUnread, "unread", ""},
	})
	b.add(session.ToleranceSet{})
	b.add(session.DatumSet{Choice: reduce.DatumStation, Station: b.station("c1")})
	check(report.Scene(b.job(), "es", made), map[string][3]any{
		"c1":   {render.StatusOn, "en su nivel", ""},
		"c1+4": {render.StatusHigh, "queda alto", "1/4"},
		"c2":   {render.StatusRaise, "subir", "3/8"},
		"c2+4": {render.StatusUnsure, "alto", "menos de 1/16"},
		"c4":   {render.StatusUnread, "sin leer", ""},
	})
	b.add(session.PlanSet{What: session.FigureGrindMost, Length: sixteenths(4)})
	check(report.Scene(b.job(), "es", made), map[string][3]any{
		"c1+4": {render.StatusLower, "bajar", "1/4"},
		"c2+4": {render.StatusUnsure, "bajar", "menos de 1/16"},
		"c3":   {render.StatusHigh, "queda alto", "1/4 fuerte"}, // more than may be ground
	})
	b.add(session.Signed{Round: 1, Surface: "plate", Tight: true})
	signed := report.Scene(b.job(), "en", made)
	check(signed, map[string][3]any{"c2+4": {render.StatusUnsure, "high", "under 1/16"}}) // signed off as it is
	if !strings.HasPrefix(signed.Stamp, "signed off by") {
		t.Errorf("the stamp is %q", signed.Stamp)
	}
}

// TestPublishedRodReadings: Modern Carpentry (Goodheart-Willcox), 2008 p. 161
// and 2022 p. 164 (read): a standard rod shows 5'-2" at A and 5'-9" at B, so
// A is 7" higher.
func TestPublishedRodReadings(t *testing.T) {
	b := newBook(t, "Lot 7", reduce.Standard)
	b.rectangle(8, 8)
	b.read("c1", 5*reduce.Foot+9*reduce.Inch) // B
	b.read("c2", 5*reduce.Foot+2*reduce.Inch) // A
	if m := find(t, report.Scene(b.job(), "en", made), "c2"); m.Word != "high" || m.Amount != "7" {
		t.Errorf("A is shown as %q over %q, want high over 7", m.Word, m.Amount)
	}
	b.add(session.DatumSet{Choice: reduce.DatumHigh})
	if m := find(t, report.Scene(b.job(), "en", made), "c1"); m.Word != "raise" || m.Amount != "7" {
		t.Errorf("B is shown as %q over %q, want raise over 7", m.Word, m.Amount)
	}
}

// TestSceneOfAnUntiedWalk: without the reference there are no heights.
func TestSceneOfAnUntiedWalk(t *testing.T) {
	b := newBook(t, "Lot 7", reduce.Direct)
	b.rectangle(8, 8)
	b.read("c2", sixteenths(5))
	b.add(session.DatumSet{Choice: reduce.DatumHigh})
	s := report.Scene(b.job(), "en", made)
	if m := find(t, s, "c2"); m.Status != render.StatusUnread || m.Word != "not tied" || m.Amount != "" {
		t.Errorf("c2 is shown as %+v", m)
	}
	if n := len(s.Strip.Runs[0].Points); n != 0 {
		t.Errorf("%d points on the strip", n)
	}
	if !slices.Contains(s.Lines, "c1, the reference, is not read: no heights yet") {
		t.Errorf("nothing says why: %q", s.Lines)
	}
}

// TestSceneHead: one fact a line.
func TestSceneHead(t *testing.T) {
	b := shed(t)
	b.read("c3+2.5", 0)
	for _, step := range []struct {
		body session.Body
		want string
	}{
		{session.SurfaceSet{Surface: "concrete"}, "4 of 9 stations read · 7 readings · made 2026-05-04 15:10 PDT|" +
			"high and low are of c1, the reference · amounts in inches|direct rod|beam not tested on this job|no beam there: c4"},
		{session.DatumSet{Choice: reduce.DatumHigh}, "4 of 9 stations read · 7 readings · made 2026-05-04 15:10 PDT|" +
			"reference c1 · amounts in inches|direct rod|beam not tested on this job|datum: high spot, c2, 3/16 above c1|" +
			"tolerance 1/8 in either way (ours: nobody set one)|no beam there: c4"},
		{session.ToleranceSet{Tolerance: sixteenths(3)}, "4 of 9 stations read · 7 readings · made 2026-05-04 15:10 PDT|" +
			"reference c1 · amounts in inches|direct rod|beam not tested on this job|datum: high spot, c2, 3/16 above c1|" +
			"tolerance 3/16 in either way|no beam there: c4"},
		{session.BoltsSet{Tight: true}, "4 of 9 stations read · 7 readings · made 2026-05-04 15:10 PDT|" +
			"reference c1 · amounts in inches|direct rod|beam not tested on this job|datum: high spot, c2, 3/16 above c1|" +
			"tolerance 3/16 in either way|rod on concrete, bolts tight|no beam there: c4"},
	} {
		b.add(step.body)
		s := report.Scene(b.job(), "en", made)
		if s.Title != "North shed" {
			t.Errorf("the title is %q", s.Title)
		}
		if d := cmp.Diff(strings.Split(step.want, "|"), s.Lines); d != "" {
			t.Errorf("%T: %s", step.body, d)
		}
	}
}

// TestNoUnitsOnMarks: in millimetres amounts at marks and at ruled heights stand
// without their unit, which the head names; in the papers' table they have it.
func TestNoUnitsOnMarks(t *testing.T) {
	j := everyKind(t)["metric"].job()
	s := report.Scene(j, "es", made)
	amounts := 0
	for _, m := range s.Marks {
		if m.Amount != "" {
			amounts++
		}
		if strings.Contains(m.Amount, "mm") {
			t.Errorf("%s says %q", m.Name, m.Amount)
		}
	}
	for _, k := range s.Strip.Ticks {
		if strings.Contains(k.Text, "mm") {
			t.Errorf("a ruled height says %q", k.Text)
		}
	}
	if amounts == 0 || !strings.Contains(strings.Join(s.Lines, "\n"), "milímetros") {
		t.Errorf("%d amounts under %q", amounts, s.Lines)
	}
	if text, _ := readLines(t, papers(t, j, "es")); !strings.Contains(text, " mm bajo") && !strings.Contains(text, " mm alto") {
		t.Errorf("no amount in the table has its unit:\n%s", text)
	}
}
