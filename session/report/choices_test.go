package report_test

import (
	"bytes"
	"encoding/json"
	"image/png"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rodcall/reduce"
	"rodcall/render"
	"rodcall/session"
	"rodcall/session/report"
)

// TestChoicesPicture: jobs at every stage have one; its choices are those of
// the job, and lie on its curve.
func TestChoicesPicture(t *testing.T) {
	kinds := everyKind(t)
	kinds["opened"] = newBook(t, "Barn", reduce.Direct)
	kinds["limited"] = walked(t, reduce.Direct)
	kinds["limited"].add(session.PlanSet{What: session.FigureShimMost, Length: sixteenths(4)})
	kinds["fixed"] = walked(t, reduce.Standard)
	kinds["fixed"].add(session.DatumSet{Choice: reduce.DatumFixed, Level: sixteenths(-3)})
	for name, b := range kinds {
		for _, lang := range []string{"en", "es"} {
			j := b.job()
			c := report.Choices(j, lang, made)
			for _, k := range c.Choices {
				if !slices.Contains(c.Samples, k.Sample) {
					t.Errorf("%s: %s at %s is not on the curve", name, k.Name, k.Level)
				}
			}
			if n := len(j.View().Offers(lang)); n != len(c.Choices) || (n > 0) != (len(c.Samples) > 1) {
				t.Errorf("%s: %d choices on %d samples, offered %d", name, len(c.Choices), len(c.Samples), n)
			}
			if left := len(j.View().Left); !j.Outline.Empty() && (left > 0) != slices.ContainsFunc(c.Lines, func(l string) bool {
				return strings.HasPrefix(l, map[string]string{"en": "not read, not weighed: ", "es": "sin leer, no cuentan: "}[lang])
			}) {
				t.Errorf("%s: %d stations unread, and it says %q", name, left, c.Lines)
			}
			var b bytes.Buffer
			if err := report.WritePicture(&b, j, session.PictureChoices, lang, made, sources); err != nil {
				t.Fatal(err)
			}
			size := b.Len()
			if img, err := png.DecodeConfig(&b); err != nil || img.Width != 1280 || img.Height > 1400 || size > 150_000 {
				t.Errorf("%s: %d x %d pixels, %d bytes, %v", name, img.Width, img.Height, size, err)
			}
		}
	}
}

// TestChoicesShut: levels that the limits rule out are shaded, and only those.
func TestChoicesShut(t *testing.T) {
	b := newBook(t, "Lot 7", reduce.Direct)
	b.rectangle(8, 8)
	for name, n := range map[string]reduce.Length{"c1": 0, "c2": 4, "c3": -4} {
		b.read(name, sixteenths(n))
	}
	shut := func(want ...render.Span) {
		t.Helper()
		c := report.Choices(b.job(), "en", made)
		from, to := c.Samples[0].Level, c.Samples[len(c.Samples)-1].Level
		for i := range want {
			want[i] = render.Span{From: max(want[i].From, from), To: min(want[i].To, to)}
		}
		if d := cmp.Diff(want, c.Shut); d != "" {
			t.Error(d)
		}
	}
	const far = reduce.Metre
	// Up to 1/8 over the tolerance's edge nothing has to be ground.
	shut(render.Span{From: -far, To: sixteenths(2)})
	b.add(session.PlanSet{What: session.FigureGrindMost, Length: sixteenths(3)})
	b.add(session.PlanSet{What: session.FigureShimMost, Length: sixteenths(6)})
	shut(render.Span{From: -far, To: sixteenths(1)}, render.Span{From: sixteenths(2), To: far})
	b.add(session.PlanSet{What: session.FigureShimMost, Length: sixteenths(4)})
	shut(render.Span{From: -far, To: sixteenths(0)}, render.Span{From: sixteenths(0), To: far})
}

// TestSearchedDatumIsExported with its level and without a station.
func TestSearchedDatumIsExported(t *testing.T) {
	for choice, want := range map[reduce.DatumChoice]string{
		reduce.DatumFewest: `{"choice":"fewest","station":null,"level":"15.875"}`,
		reduce.DatumLeast:  `{"choice":"least","station":null,"level":"15.875"}`,
	} {
		b := walked(t, reduce.Direct)
		b.add(session.DatumSet{Choice: choice})
		var doc struct{ Datum json.RawMessage }
		if err := json.Unmarshal(exported(t, b.job()), &doc); err != nil {
			t.Fatal(err)
		}
		var got bytes.Buffer
		if err := json.Compact(&got, doc.Datum); err != nil || got.String() != want {
			t.Errorf("%s, %v; want %s", got.String(), err, want)
		}
	}
}
