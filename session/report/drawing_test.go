package report_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"strings"
	"testing"

	"rodcall/reduce"
	"rodcall/session"
	"rodcall/session/report"
)

// TestDrawings: jobs at every stage can be drawn. The SVG is well-formed and
// holds the job's name and its readings; the PNG is 1280 pixels wide, at most
// 2000 high and at most 150 KB.
func TestDrawings(t *testing.T) {
	kinds := everyKind(t)
	kinds["opened"] = newBook(t, "Barn & <shed>", reduce.Direct)
	for name, b := range kinds {
		t.Run(name, func(t *testing.T) {
			j := b.job()
			for _, lang := range []string{"en", "es"} {
				var svg, pic bytes.Buffer
				if err := report.WriteSVG(&svg, j, lang, made, sources); err != nil {
					t.Fatal(err)
				}
				text := words(t, svg.Bytes())
				for _, want := range []string{j.Name, report.Scene(j, lang, made).Lines[0]} {
					if !strings.Contains(text, want) {
						t.Errorf("%q does not stand on the drawing", want)
					}
				}
				if err := report.WritePNG(&pic, j, lang, made, sources); err != nil {
					t.Fatal(err)
				}
				size := pic.Len()
				img, err := png.DecodeConfig(&pic)
				if err != nil {
					t.Fatal(err)
				}
				if img.Width != 1280 || img.Height > 2000 || size > 150_000 {
					t.Errorf("a picture of %d x %d pixels, %d bytes", img.Width, img.Height, size)
				}
			}
		})
	}
}

// words reads an SVG through and gives the text that it holds.
func words(t *testing.T, svg []byte) string {
	t.Helper()
	var text strings.Builder
	d := xml.NewDecoder(bytes.NewReader(svg))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return text.String()
		}
		if err != nil {
			t.Fatal(err)
		}
		if c, ok := token.(xml.CharData); ok {
			text.Write(c)
		}
	}
}

// TestDrawingTellsOfAFailure: a drawing that was not written whole is an error.
func TestDrawingTellsOfAFailure(t *testing.T) {
	j := shed(t).job()
	if err := report.WriteSVG(&full{10}, j, "en", made, sources); !errors.Is(err, errFull) {
		t.Errorf("SVG: %v", err)
	}
	if err := report.WritePNG(&full{10}, j, "en", made, sources); !errors.Is(err, errFull) {
		t.Errorf("PNG: %v", err)
	}
}

// BenchmarkDrawing is a 40 x 28 ft foundation drawn as PNG.
func BenchmarkDrawing(b *testing.B) {
	book := walked(b, reduce.Direct)
	book.add(session.DatumSet{Choice: reduce.DatumHigh})
	j := book.job()
	for b.Loop() {
		if err := report.WritePNG(io.Discard, j, "en", made, sources); err != nil {
			b.Fatal(err)
		}
	}
}
