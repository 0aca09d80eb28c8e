package render

import (
	"errors"
	"fmt"
	"image"
	"image/png"
	"io"
	"math"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// WritePNG paints the page and writes it as a PNG with a palette: each ink in
// 12 steps to white.
func WritePNG(w io.Writer, p *Page) error {
	img, err := paint(p)
	if err != nil {
		return err
	}
	enc := png.Encoder{CompressionLevel: png.DefaultCompression} // best is 5% smaller and thrice as slow
	if err := enc.Encode(w, img); err != nil {
		return fmt.Errorf("write png: %w", err)
	}
	return nil
}

// maxSide bounds a page that is painted.
const maxSide = 8192

func paint(p *Page) (*image.Paletted, error) {
	if p.Width <= 0 || p.Height <= 0 || p.Width > maxSide || p.Height > maxSide {
		return nil, errors.New("page has no size that can be painted")
	}
	c := canvas{img: image.NewPaletted(image.Rect(0, 0, p.Width, p.Height), palette())}
	for i := range p.Items {
		switch it := &p.Items[i]; it.Kind {
		case KindFill:
			c.begin(it.Box)
			c.polygon(it.Path)
			c.end(it.Ink)
		case KindStroke:
			c.begin(it.Box)
			c.stroke(it)
			c.end(it.Ink)
		case KindText:
			c.begin(it.Box.grow(it.Em / 2))
			c.text(it)
			c.end(it.Ink)
		case KindPhoto:
		}
	}
	return c.img, nil
}

// canvas paints coverage masks in one ink at a time.
type canvas struct {
	img  *image.Paletted
	z    vector.Rasterizer
	mask *image.Alpha
	area image.Rectangle // on the page, of the mask
	buf  sfnt.Buffer
}

func (c *canvas) begin(b Box) {
	c.area = image.Rect(int(math.Floor(b.X0))-1, int(math.Floor(b.Y0))-1,
		int(math.Ceil(b.X1))+1, int(math.Ceil(b.Y1))+1).Intersect(c.img.Rect)
	c.z.Reset(c.area.Dx(), c.area.Dy())
}

func (c *canvas) move(q Pt) {
	c.z.MoveTo(float32(q.X-float64(c.area.Min.X)), float32(q.Y-float64(c.area.Min.Y)))
}

func (c *canvas) line(q Pt) {
	c.z.LineTo(float32(q.X-float64(c.area.Min.X)), float32(q.Y-float64(c.area.Min.Y)))
}

func (c *canvas) polygon(path []Pt) {
	c.move(path[0])
	for _, q := range path[1:] {
		c.line(q)
	}
	c.z.ClosePath()
}

// stroke paints each piece of a line as a rectangle of its own, squared off
// half a width past its ends so that pieces meet; all turn the same way, so
// that where they overlap they do not cancel.
func (c *canvas) stroke(it *Item) {
	h := it.Width / 2
	dashes(it.Path, it.Dash, func(a, b Pt) {
		dx, dy := b.X-a.X, b.Y-a.Y
		n := math.Hypot(dx, dy)
		if n == 0 {
			return
		}
		dx, dy = dx/n*h, dy/n*h
		if it.Dash == 0 && len(it.Path) > 2 {
			a, b = Pt{a.X - dx/2, a.Y - dy/2}, Pt{b.X + dx/2, b.Y + dy/2}
		}
		c.polygon([]Pt{{a.X - dy, a.Y + dx}, {b.X - dy, b.Y + dx}, {b.X + dy, b.Y - dx}, {a.X + dy, a.Y - dx}})
	})
}

// dashes calls piece for each straight piece of a line that is drawn.
func dashes(path []Pt, dash float64, piece func(a, b Pt)) {
	on, left := true, dash
	for i := 1; i < len(path); i++ {
		a, b := path[i-1], path[i]
		if dash <= 0 {
			piece(a, b)
			continue
		}
		n := math.Hypot(b.X-a.X, b.Y-a.Y)
		for s := 0.0; s < n; {
			e := min(n, s+left)
			if on {
				piece(Pt{a.X + (b.X-a.X)*s/n, a.Y + (b.Y-a.Y)*s/n}, Pt{a.X + (b.X-a.X)*e/n, a.Y + (b.Y-a.Y)*e/n})
			}
			if left -= e - s; left <= 1e-9 {
				on, left = !on, dash
			}
			s = e
		}
	}
}

// text paints a line from whole pixels on: its letters are crisper, and the
// same words become the same pixels, which pack well.
func (c *canvas) text(it *Item) {
	f, x, y := fontFor(it.Bold), math.Round(it.Path[0].X), math.Round(it.Path[0].Y)
	for _, r := range it.Text {
		c.glyph(f, r, x, y, it.Em)
		x += advance(f, r) * it.Em
	}
}

func (c *canvas) glyph(f *sfnt.Font, r rune, x, y, em float64) {
	g, err := f.GlyphIndex(&c.buf, r)
	if err != nil {
		return
	}
	segs, err := f.LoadGlyph(&c.buf, g, fixed.Int26_6(em*64), nil)
	if err != nil {
		return
	}
	ox, oy := float32(x-float64(c.area.Min.X)), float32(y-float64(c.area.Min.Y))
	at := func(p fixed.Point26_6) (float32, float32) {
		return ox + float32(p.X)/64, oy + float32(p.Y)/64
	}
	for _, s := range segs {
		ax, ay := at(s.Args[0])
		bx, by := at(s.Args[1])
		dx, dy := at(s.Args[2])
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			c.z.ClosePath()
			c.z.MoveTo(ax, ay)
		case sfnt.SegmentOpLineTo:
			c.z.LineTo(ax, ay)
		case sfnt.SegmentOpQuadTo:
			c.z.QuadTo(ax, ay, bx, by)
		case sfnt.SegmentOpCubeTo:
			c.z.CubeTo(ax, ay, bx, by, dx, dy)
		}
	}
	c.z.ClosePath()
}

// end lays the mask on the page in one ink.
func (c *canvas) end(ink Ink) {
	if c.area.Empty() {
		return
	}
	size := image.Rect(0, 0, c.area.Dx(), c.area.Dy())
	if c.mask == nil || cap(c.mask.Pix) < size.Dx()*size.Dy() {
		c.mask = image.NewAlpha(size)
	}
	m := &image.Alpha{Pix: c.mask.Pix[:size.Dx()*size.Dy()], Stride: size.Dx(), Rect: size}
	clear(m.Pix)
	c.z.Draw(m, size, image.Opaque, image.Point{})
	for y := range size.Dy() {
		row := c.img.Pix[(c.area.Min.Y+y)*c.img.Stride+c.area.Min.X:]
		for x, a := range m.Pix[y*m.Stride : y*m.Stride+size.Dx()] {
			if a >= 8 {
				row[x] = blend(row[x], ink, a)
			}
		}
	}
}

// blend lays coverage a of an ink on a pixel. A pixel has one ink: where two
// meet, the stronger one stays.
func blend(under uint8, ink Ink, a uint8) uint8 {
	const full = levels - 1
	old, oldLevel := Ink(under/levels), int(under%levels)
	rest := (oldLevel*(255-int(a)) + 127) / 255 // of the ink beneath
	own := (full*int(a) + 127) / 255
	if ink == InkPaper {
		return uint8(old)*levels + uint8(rest)
	}
	if own < rest {
		ink = old
	}
	return uint8(ink)*levels + uint8(min(full, rest+own))
}
