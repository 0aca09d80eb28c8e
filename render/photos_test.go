package render

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rodcall/render/readback"
)

// slope is a JPEG of a size.
func slope(t testing.TB, w, h int) []byte {
	t.Helper()
	m := image.NewGray(image.Rect(0, 0, w, h))
	for x := range w {
		for y := range h {
			m.SetGray(x, y, color.Gray{Y: uint8(255 * x / w)}) //nolint:gosec // 0 to 255
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestPhotosKeepTheirPlaces: whatever the sizes, each photo stands on a page with
// its line under it, in its own proportions, on nothing else, six on a page.
func TestPhotosKeepTheirPlaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var photos Photos
		for i := range rapid.IntRange(1, 24).Draw(t, "photos") {
			photos = append(photos, Photo{Width: rapid.IntRange(1, 4000).Draw(t, "width"), Height: rapid.IntRange(1, 4000).Draw(t, "height"), Caption: fmt.Sprintf("photo %d", i+1)})
		}
		p := paperOf(rapid.SampledFrom([]Sheet{Letter, A4}).Draw(t, "sheet"), 1, Text("before"))
		p.Behind = []Block{Heading("Photos"), photos}
		pages, err := LayoutPaper(p)
		if err != nil {
			t.Fatal(err)
		}
		if want := 1 + (len(photos)+5)/6; len(pages) != want {
			t.Fatalf("%d pages for %d photos, want %d", len(pages), len(photos), want)
		}
		n := 0
		for i, page := range pages {
			for k, it := range page.Items {
				if it.Box.X0 < 0 || it.Box.Y0 < 0 || it.Box.X1 > float64(p.Sheet.Width) || it.Box.Y1 > float64(p.Sheet.Height) {
					t.Fatalf("page %d: %+v leaves the page", i+1, it.Box)
				}
				if it.Kind != KindPhoto {
					continue
				}
				w, h := it.Box.X1-it.Box.X0, it.Box.Y1-it.Box.Y0
				if want := float64(photos[n].Width) / float64(photos[n].Height); w/h < want*0.999 || w/h > want*1.001 {
					t.Fatalf("photo %d: %v wide and %v tall, of %d x %d", n+1, w, h, photos[n].Width, photos[n].Height)
				}
				for _, o := range page.Items {
					if o.Kind == KindText && o.Box.grow(-0.1).Overlaps(it.Box) {
						t.Fatalf("photo %d lies on %q", n+1, o.Text)
					}
				}
				if line := page.Items[k+1]; line.Text != photos[n].Caption || line.Box.Y0 < it.Box.Y1 || line.Box.Y0 > it.Box.Y1+10 {
					t.Fatalf("photo %d: %q stands at %v under %v", n+1, line.Text, line.Box, it.Box)
				}
				n++
			}
		}
		if n != len(photos) {
			t.Fatalf("%d of %d photos", n, len(photos))
		}
	})
}

// TestPhotosInAPDF: they are written, counted among the pages, and the same each
// time; what is no photo is an error.
func TestPhotosInAPDF(t *testing.T) {
	p := paperOf(Letter, 1, Text("before"))
	var photos Photos
	for i := range 7 {
		photos = append(photos, Photo{slope(t, 40+i, 30), 40 + i, 30, fmt.Sprint("photo ", i+1)})
	}
	p.Behind = []Block{Heading("Photos"), photos}
	first := pdfOf(t, p)
	for range 5 {
		if !bytes.Equal(first, pdfOf(t, p)) {
			t.Fatal("the same paper gives other bytes")
		}
	}
	words, pages, err := readback.Words(first)
	if err != nil || pages != 3 {
		t.Fatalf("%d pages, %v", pages, err)
	}
	var text []string
	for _, w := range words {
		text = append(text, w.Text)
	}
	for _, want := range []string{"photo 7", "page 1 of 3", "page 3 of 3"} {
		if !strings.Contains(strings.Join(text, "\n"), want) {
			t.Errorf("%q does not stand there", want)
		}
	}
	for _, k := range photos {
		if !bytes.Contains(first, k.JPEG) {
			t.Errorf("%s is not in the file", k.Caption)
		}
	}
	p.Behind = []Block{Photos{{JPEG: []byte("no photo"), Width: 4, Height: 3}}}
	if err := WritePDF(&bytes.Buffer{}, p); err == nil {
		t.Error("what is no JPEG was written")
	}
}
