package render

import (
	"strconv"
	"strings"

	"rodcall/reduce"
)

// footHeight is what drawFoot takes up.
func footHeight(s *Scene) float64 {
	return drawMore(&Page{}, s, drawFoot(&Page{}, s, 0, 1), 0, 0)
}

// drawFoot draws what stands under the plan, scale bar, key and strip, from y
// on, and returns where it ends. scale is pixels a metre of the plan.
func drawFoot(page *Page, s *Scene, y, scale float64) float64 {
	y = drawScaleBar(page, s, y, scale)
	y = drawKey(page, s, y)
	y = drawStrip(page, &s.Strip, y)
	if source := clean(s.Source); source != "" {
		page.text(RoleFoot, InkText, emSmall, false, margin, y+8, shorten(source, emSmall, false, pageWidth-2*margin), "")
		y += 8 + emSmall
	}
	return y
}

// drawMore says how many labels are shown of how many.
func drawMore(page *Page, s *Scene, y float64, shown, said int) float64 {
	if clean(s.MoreText) == "" {
		return y
	}
	text := strings.Replace(s.MoreText, "%d", strconv.Itoa(shown), 1)
	text = strings.Replace(text, "%d", strconv.Itoa(said), 1)
	page.text(RoleMore, InkText, emText, false, margin, y+8, shorten(text, emText, false, pageWidth-2*margin), "")
	return y + 8 + emText
}

func drawScaleBar(page *Page, s *Scene, y, scale float64) float64 {
	if s.ScaleBar <= 0 {
		return y
	}
	const tick = 7
	y += 8
	w := float64(s.ScaleBar) / float64(reduce.Metre) * scale
	m := y + emSmall/2
	if w > pageWidth-2*margin-300 {
		return y + emSmall + 8 // a bar cut short would lie
	}
	page.stroke(RoleScale, InkText, 2, "", Pt{margin, m - tick}, Pt{margin, m + tick})
	page.stroke(RoleScale, InkText, 2, "", Pt{margin + w, m - tick}, Pt{margin + w, m + tick})
	page.stroke(RoleScale, InkText, 2, "", Pt{margin, m}, Pt{margin + w, m})
	page.text(RoleScale, InkText, emSmall, false, margin+w+12, y, shorten(s.ScaleBarText, emSmall, false, 280), "")
	return y + emSmall + 8
}

func drawKey(page *Page, s *Scene, y float64) float64 {
	if len(s.Key) == 0 {
		return y
	}
	const r, lead, between, line = 12, 36, 30, emText + 10
	x := float64(margin)
	y += 8
	const most = 12
	for _, k := range s.Key[:min(most, len(s.Key))] {
		text := shorten(k.Text, emText, false, pageWidth-2*margin-lead)
		w := lead + textWidth(text, emText, false)
		if x > margin && x+w > pageWidth-margin {
			x, y = margin, y+line
		}
		shape(page, RoleKey, k.Status, Pt{x + r + 2, y + emText/2}, r, "")
		page.text(RoleKey, InkText, emText, false, x+lead, y, text, "")
		x += w + between
	}
	return y + line
}
