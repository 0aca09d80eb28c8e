package render

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"testing"
)

// decoded writes a page as PNG and reads it back.
func decoded(t testing.TB, p *Page) (img *image.Paletted, size int) {
	t.Helper()
	var b bytes.Buffer
	if err := WritePNG(&b, p); err != nil {
		t.Fatal(err)
	}
	size = b.Len()
	any, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	img, ok := any.(*image.Paletted)
	if !ok {
		t.Fatalf("decodes to %T, want a palette", any)
	}
	return img, size
}

// TestPNG writes all outlines with the widest words, which make the largest
// files: each picture is 1280 wide, at most 2000 high and 150 KB, and shows
// what is on its page and nothing else.
func TestPNG(t *testing.T) {
	largest, highest := 0, 0
	for i, o := range outlines(t) {
		p, err := Layout(sceneOf(o.name, o.o, widest))
		if err != nil {
			t.Fatal(err)
		}
		img, size := decoded(t, p)
		b := img.Bounds()
		if b.Dx() != 1280 || b.Dy() != p.Height || b.Dy() > 2000 || size > 150_000 {
			t.Errorf("%s: %v, %d bytes", o.name, b, size)
		}
		largest, highest = max(largest, size), max(highest, b.Dy())
		if i%6 > 0 {
			continue
		}
		checkInks(t, o.name, p, img)
		if p, err = Layout(sceneOf(o.name, o.o, []wording{calm, before}[i/6%2])); err != nil {
			t.Fatal(err)
		}
		if img, err = paint(p); err != nil {
			t.Fatal(err)
		}
		checkInks(t, o.name, p, img)
	}
	t.Logf("largest %d bytes, highest %d pixels", largest, highest)
}

// checkInks holds a picture against its page: white wherever there is nothing,
// each text in its own ink on white, each mark in its ink.
func checkInks(t *testing.T, name string, p *Page, img *image.Paletted) {
	t.Helper()
	empty := make([]bool, p.Width*p.Height)
	for i := range empty {
		empty[i] = true
	}
	each := func(b Box, f func(x, y int, c color.RGBA)) {
		r := image.Rect(int(math.Floor(b.X0)), int(math.Floor(b.Y0)), int(math.Ceil(b.X1)), int(math.Ceil(b.Y1))).Intersect(img.Rect)
		for y := r.Min.Y; y < r.Max.Y; y++ {
			for x := r.Min.X; x < r.Max.X; x++ {
				f(x, y, img.At(x, y).(color.RGBA))
			}
		}
	}
	for _, it := range p.Items {
		b := it.Box.grow(1)
		if it.Kind == KindText {
			b = it.Box.grow(it.Em / 3) // letters may reach out of their line
		}
		each(b, func(x, y int, _ color.RGBA) { empty[y*p.Width+x] = false })
	}
	for i, e := range empty {
		if at := img.Palette[img.Pix[i]]; e && at != white {
			t.Fatalf("%s: there is %v at %d, %d, where nothing stands", name, at, i%p.Width, i/p.Width)
		}
	}
	for _, it := range p.Items {
		strong, foreign := 0, 0
		each(it.Box, func(x, y int, c color.RGBA) {
			k := img.ColorIndexAt(x, y)
			switch {
			case c == white:
			case Ink(k/levels) != it.Ink:
				foreign++
			case k%levels >= levels*2/3:
				strong++
			}
		})
		switch {
		case it.Kind == KindText && (strong < len(it.Text)*4 || foreign > 0):
			t.Errorf("%s: %q has %d pixels of its ink and %d of another's", name, it.Text, strong, foreign)
		case it.Kind != KindText && it.Role == RoleMark && it.Ink != InkPaper && strong < 8:
			t.Errorf("%s: mark %s has %d pixels of its ink", name, it.Mark, strong)
		}
	}
}

// TestPNGRefuses checks that a page that cannot be painted is refused.
func TestPNGRefuses(t *testing.T) {
	for _, p := range []Page{{}, {Width: 1280}, {Width: 1280, Height: -1}, {Width: 100_000, Height: 10}, {Width: 10, Height: 100_000}} {
		var b bytes.Buffer
		if err := WritePNG(&b, &p); err == nil || b.Len() > 0 {
			t.Errorf("a page of %d × %d is written: %v", p.Width, p.Height, err)
		}
	}
}
