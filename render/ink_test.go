package render

import (
	"image/color"
	"math"
	"testing"
)

// contrast is the contrast ratio of WCAG 2.2 (W3C Recommendation, "relative
// luminance" and "contrast ratio").
func contrast(a, b color.RGBA) float64 {
	lum := func(c color.RGBA) (l float64) {
		for i, v := range []uint8{c.R, c.G, c.B} {
			s := float64(v) / 255
			if s <= 0.04045 {
				s /= 12.92
			} else {
				s = math.Pow((s+0.055)/1.055, 2.4)
			}
			l += s * []float64{0.2126, 0.7152, 0.0722}[i]
		}
		return l
	}
	la, lb := lum(a), lum(b)
	return (math.Max(la, lb) + 0.05) / (math.Min(la, lb) + 0.05)
}

var (
	white = color.RGBA{255, 255, 255, 255}
	black = color.RGBA{0, 0, 0, 255}
)

// TestContrastOfKnownColours holds the formula against published ratios: the
// eight colours of Okabe and Ito on white and on black, and the two greys
// between which 4.5:1 on white lies. They are rounded to two places.
func TestContrastOfKnownColours(t *testing.T) {
	for _, c := range []struct {
		hex              uint32
		onWhite, onBlack float64 // 0: not published
	}{
		{0x000000, 21, 1},
		{0xE69F00, 2.25, 9.32},
		{0x56B4E9, 2.31, 9.10},
		{0x009E73, 3.42, 6.14},
		{0xF0E442, 1.32, 15.88},
		{0x0072B2, 5.19, 4.05},
		{0xD55E00, 3.87, 5.43},
		{0xCC79A7, 3.06, 6.86},
		{0x767676, 4.54, 0},
		{0x777777, 4.48, 0},
	} {
		k := color.RGBA{uint8(c.hex >> 16), uint8(c.hex >> 8), uint8(c.hex), 255}
		for _, ground := range []struct {
			c    color.RGBA
			want float64
		}{{white, c.onWhite}, {black, c.onBlack}} {
			got, turned := contrast(k, ground.c), contrast(ground.c, k)
			if ground.want != 0 && math.Abs(got-ground.want) > 0.0051 {
				t.Errorf("contrast of #%06X on %v is %.3f, published %.2f", c.hex, ground.c, got, ground.want)
			}
			if got != turned {
				t.Errorf("contrast of #%06X on %v is %v, turned round %v", c.hex, ground.c, got, turned)
			}
		}
	}
}

// TestInksStandOut holds every ink to WCAG 2.2, 1.4.3: at least 4.5:1 on what
// it stands on, which is paper (TestTextsStandOnPaper). The inks of words are
// held to our own 7:1.
func TestInksStandOut(t *testing.T) {
	paper := InkPaper.Color()
	if paper != white {
		t.Errorf("paper is %v, want white", paper)
	}
	for k := InkText; k < inks; k++ {
		least := 7.0
		if k == InkWall || k == InkLine {
			least = 4.5
		}
		if c := k.Color(); c.A != 255 || contrast(c, paper) < least {
			t.Errorf("ink %d, %v, stands out from paper by %.2f:1, want at least %v:1", k, c, contrast(c, paper), least)
		}
	}
}

// TestTextsStandOnPaper looks for ink under or over texts, those of the strip
// too: there is none, so every text's contrast is that of its ink on paper.
func TestTextsStandOnPaper(t *testing.T) {
	texts := 0
	for _, o := range outlines(t) {
		p, err := Layout(sceneOf(o.name, o.o, before))
		if err != nil {
			t.Fatal(err)
		}
		for _, it := range p.Items {
			if it.Kind != KindText {
				continue
			}
			texts++
			for _, under := range p.Items {
				if under.Kind != KindText && under.Ink != InkPaper && touches(under, it.Box) {
					t.Errorf("%s: %q stands on role %d, ink %d", o.name, it.Text, under.Role, under.Ink)
				}
			}
		}
	}
	t.Logf("%d texts", texts)
}

// TestPaletteBlends checks that the steps of an ink run evenly from paper to
// the ink itself.
func TestPaletteBlends(t *testing.T) {
	p := palette()
	if len(p) != int(inks)*levels || len(p) > 256 {
		t.Fatalf("%d colours", len(p))
	}
	for k := range inks {
		if p[int(k)*levels] != white || p[int(k)*levels+levels-1] != k.Color() {
			t.Errorf("ink %d runs from %v to %v, want white to %v", k, p[int(k)*levels], p[int(k)*levels+levels-1], k.Color())
		}
		for l := 1; l < levels && k != InkPaper; l++ {
			a, b := p[int(k)*levels+l-1].(color.RGBA), p[int(k)*levels+l].(color.RGBA)
			if !(b.R < a.R && b.G < a.G && b.B <= a.B) {
				t.Errorf("ink %d does not darken from step %d, %v, to the next, %v", k, l-1, a, b)
			}
		}
	}
}
