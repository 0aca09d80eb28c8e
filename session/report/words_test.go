package report_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/google/go-cmp/cmp"

	"rodcall/reduce"
	"rodcall/render"
	"rodcall/session"
	"rodcall/session/report"
)

// worded lists the texts of a scene that hold words, in one order: all but
// the title, names and bare figures.
func worded(s render.Scene) []string {
	all := slices.Clone(s.Lines)
	for _, m := range s.Marks {
		all = append(all, m.Note, m.Word, m.Amount)
	}
	for _, k := range s.Key {
		all = append(all, k.Text)
	}
	for _, t := range s.Strip.Ticks {
		all = append(all, t.Text)
	}
	for _, r := range s.Strip.Runs {
		for _, step := range r.Steps {
			all = append(all, step.Text)
		}
	}
	all = append(all, s.Strip.Title, s.Strip.HighLabel, s.Strip.LowLabel, s.ScaleBarText)
	if _, err := reduce.ParseStation(s.Strip.ZeroLabel, reduce.Foot); err != nil {
		all = append(all, s.Strip.ZeroLabel)
	}
	return slices.DeleteFunc(all, func(text string) bool { return !strings.ContainsFunc(text, unicode.IsLetter) })
}

var figure = regexp.MustCompile(`^[0-9.]+ (ft|mm|m)$`)

// TestSpanishScene: every text with a word in it is another in Spanish, and
// what is drawn is the same.
func TestSpanishScene(t *testing.T) {
	for name, b := range everyKind(t) {
		t.Run(name, func(t *testing.T) {
			j := b.job()
			en, es := report.Scene(j, "en", made), report.Scene(j, "es", made)
			a, b := worded(en), worded(es)
			if len(a) != len(b) {
				t.Fatalf("%d texts and %d", len(a), len(b))
			}
			for i := range a {
				// Figures carry the same signs of units in both.
				if a[i] == b[i] && !figure.MatchString(a[i]) {
					t.Errorf("%q in both languages", a[i])
				}
			}
			if d := cmp.Diff(bare(en), bare(es)); d != "" {
				t.Errorf("(-en +es):\n%s", d)
			}
		})
	}
}

// bare is a scene without its texts.
func bare(s render.Scene) render.Scene {
	s.Lines, s.ScaleBarText, s.MoreText = nil, "", ""
	s.Marks, s.Key = slices.Clone(s.Marks), slices.Clone(s.Key)
	for i := range s.Marks {
		s.Marks[i].Note, s.Marks[i].Word, s.Marks[i].Amount = "", "", ""
		s.Marks[i].Name, _, _ = strings.Cut(s.Marks[i].Name, " ") // c5 of c5 top
	}
	for i := range s.Key {
		s.Key[i].Text = ""
	}
	s.Loops, s.Strip.Runs = slices.Clone(s.Loops), slices.Clone(s.Strip.Runs)
	for i := range s.Loops {
		s.Loops[i].Name = ""
	}
	for i := range s.Strip.Runs {
		s.Strip.Runs[i].Loop = ""
		s.Strip.Runs[i].Steps = slices.Clone(s.Strip.Runs[i].Steps)
		for k := range s.Strip.Runs[i].Steps {
			s.Strip.Runs[i].Steps[k].Text = ""
		}
	}
	s.Strip.Ticks = slices.Clone(s.Strip.Ticks)
	for i := range s.Strip.Ticks {
		s.Strip.Ticks[i].Text = ""
	}
	s.Strip.Title, s.Strip.ZeroLabel, s.Strip.HighLabel, s.Strip.LowLabel = "", "", "", ""
	return s
}

// everyKind is jobs at every stage, by name.
func everyKind(t *testing.T) map[string]*book {
	settled := walked(t, reduce.Direct)
	settled.add(session.DatumSet{Choice: reduce.DatumFirst})
	set := shed(t)
	set.add(session.DatumSet{Choice: reduce.DatumFixed, Level: sixteenths(-2)})
	set.add(session.ToleranceSet{})
	set.add(session.BoltsSet{Tight: true})
	set.add(session.SurfaceSet{Surface: "plate"})
	set.add(session.RodFlipped{Rod: 1, Flipped: true})
	metric := walked(t, reduce.Standard)
	metric.add(session.UnitsSet{Unit: reduce.UnitMillimetre, Finest: reduce.Millimetre, Grid: reduce.GridFor(reduce.UnitMillimetre)})
	feet := walked(t, reduce.Standard)
	feet.add(session.UnitsSet{Unit: reduce.UnitFoot, Finest: reduce.Foot / 100, Grid: reduce.GridFor(reduce.UnitFoot)})
	free := newBook(t, "Barn", reduce.Direct)
	for i, name := range []string{"c1", "c1+4", "c1+6.5", "c2", "c2+4", "c3", "c3+4", "c4", "c4+4", "p1", "bm"} {
		free.read(name, sixteenths(reduce.Length(i*5%7)))
	}
	untied := shed(t)
	untied.add(session.ReferenceSet{Station: untied.station("c3")})
	partly := shed(t)
	partly.add(session.SetupOpened{Setup: 2})
	partly.add(session.RodTaken{Rod: 2, Setup: 2, Kind: reduce.Standard, By: 1})
	partly.add(session.Read{Round: 1, Rod: 2, Station: partly.station("c3"), Value: 5 * reduce.Foot})
	unread := newBook(t, "Barn", reduce.Direct)
	unread.rectangle(24, 16)
	unread.add(session.DatumSet{Choice: reduce.DatumStation, Station: reduce.Corner(3)})
	lost := newBook(t, "Barn", reduce.Direct)
	lost.read("c1", 0)
	lost.read("c9", sixteenths(3))
	lost.rectangle(24, 16)
	return map[string]*book{
		"noted": noted(t, album{}),
		"walk":  walked(t, reduce.Direct), "settled": settled, "set": set, "metric": metric, "feet": feet,
		"stepped": sunken(t), "free": free, "untied": untied, "partly tied": partly, "unread": unread, "lost": lost,
	}
}

// TestTextsAreFilled: no gap, no key and nothing over-long is left in a text.
func TestTextsAreFilled(t *testing.T) {
	for name, b := range everyKind(t) {
		for _, lang := range []string{"en", "es"} {
			s := report.Scene(b.job(), lang, made)
			for _, text := range worded(s) {
				if strings.ContainsAny(text, "{}") || strings.Contains(text, "paper.") {
					t.Errorf("%s, %s: %q", name, lang, text)
				}
			}
			for _, l := range s.Lines {
				if n := len([]rune(l)); n > 90 {
					t.Errorf("%s, %s: a line of %d letters: %q", name, lang, n, l)
				}
			}
			if n := strings.Count(s.Strip.Title, "%"); n != 1 || !strings.Contains(s.Strip.Title, "%s") {
				t.Errorf("%s, %s: the strip's title is %q: want %%s once", name, lang, s.Strip.Title)
			}
		}
	}
}
