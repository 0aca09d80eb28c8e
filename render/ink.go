package render

import "image/color"

// Ink is one colour of the fixed palette.
type Ink uint8

// The inks. Each but paper stands out from paper by at least 4.5:1, the
// contrast that WCAG 2.2 asks for text (1.4.3); those of words by 7:1, for
// drawings are looked at in the sun.
const (
	InkPaper Ink = iota
	InkText
	InkWall
	InkLine // leaders and rules
	InkOn
	InkHigh
	InkLow
	InkRaise
	InkLower
	InkUnsure
	InkUnread
	inks
)

// levels is how many steps an ink has from paper to full.
const levels = 12

var inkColor = [inks]color.RGBA{
	InkPaper:  {0xff, 0xff, 0xff, 0xff},
	InkText:   {0x1c, 0x22, 0x2b, 0xff},
	InkWall:   {0x4a, 0x52, 0x5c, 0xff},
	InkLine:   {0x56, 0x5e, 0x68, 0xff},
	InkOn:     {0x1f, 0x5f, 0x33, 0xff},
	InkHigh:   {0x75, 0x34, 0x8a, 0xff},
	InkLow:    {0x0a, 0x5d, 0x68, 0xff},
	InkRaise:  {0x14, 0x50, 0xa3, 0xff},
	InkLower:  {0x94, 0x36, 0x0f, 0xff},
	InkUnsure: {0x6a, 0x4e, 0x00, 0xff},
	InkUnread: {0x54, 0x58, 0x5f, 0xff},
}

// Color is the ink at full strength.
func (k Ink) Color() color.RGBA {
	if k >= inks {
		return inkColor[InkText]
	}
	return inkColor[k]
}

// palette is each ink at each level, blended to paper: index ink*levels+level.
func palette() color.Palette {
	p := make(color.Palette, 0, int(inks)*levels)
	for k := range inks {
		c := inkColor[k]
		for l := range levels {
			mix := func(v uint8) uint8 {
				return uint8(255 - ((255-int(v))*l+(levels-1)/2)/(levels-1))
			}
			p = append(p, color.RGBA{mix(c.R), mix(c.G), mix(c.B), 0xff})
		}
	}
	return p
}
