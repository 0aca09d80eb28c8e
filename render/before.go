package render

// A walk before the one that is shown: a dashed line from bar to bar, where the
// other has a line from shape to shape.
const (
	beforeBar   = 18 // length of a bar
	beforeDash  = 9
	walkSample  = 56 // length of a line in the key to both
	walkBetween = 28
)

// unbroken are the parts of a line between gaps, of two points or more.
func unbroken(points []RunPoint, line []Pt) [][]Pt {
	var out [][]Pt
	from := 0
	for k := range line {
		if k+1 < len(line) && !points[k+1].Gap {
			continue
		}
		if k > from {
			out = append(out, line[from:k+1])
		}
		from = k + 1
	}
	return out
}

// drawBefore draws the walk before: under the other, in the ink of rules.
func (s *strip) drawBefore(page *Page, r *Run, place func(RunPoint) Pt) {
	points := r.placed(r.Before)
	var line []Pt
	for _, q := range points {
		line = append(line, place(q))
	}
	for _, part := range unbroken(points, line) {
		page.dashed(RoleStrip, InkLine, 2.5, beforeDash, part...)
	}
	for k, p := range line {
		half := beforeBar / 2.0
		if k > 0 {
			half = min(half, 0.4*(p.X-line[k-1].X))
		}
		if k+1 < len(line) {
			half = min(half, 0.4*(line[k+1].X-p.X))
		}
		page.stroke(RoleStrip, InkLine, 5, "", Pt{p.X - half, p.Y}, Pt{p.X + half, p.Y})
	}
}

// drawWalks is the key to the two walks, in a row about height y.
func (s *strip) drawWalks(page *Page, y float64) {
	x := float64(margin)
	room := (pageWidth-2*margin-walkBetween)/2.0 - walkSample - 10
	say := func(text string) {
		text = shorten(text, emSmall, false, room)
		page.text(RoleStripText, InkText, emSmall, false, x+walkSample+10, y-emSmall/2, text, "")
		x += walkSample + 10 + textWidth(text, emSmall, false) + walkBetween
	}
	if s.Before != "" {
		middle := x + walkSample/2
		page.dashed(RoleStrip, InkLine, 2.5, beforeDash, Pt{x, y}, Pt{x + walkSample, y})
		page.stroke(RoleStrip, InkLine, 5, "", Pt{middle - beforeBar/2, y}, Pt{middle + beforeBar/2, y})
		say(s.Before)
	}
	if s.Now != "" {
		page.stroke(RoleStrip, InkLine, 2, "", Pt{x, y}, Pt{x + walkSample, y})
		shape(page, RoleStrip, StatusOn, Pt{x + walkSample/2, y}, stripRadius, "")
		say(s.Now)
	}
}
