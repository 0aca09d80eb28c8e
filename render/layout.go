package render

import (
	"errors"
	"fmt"
	"strings"
)

const (
	pageWidth = 1280
	maxHeight = 2000
	maxMarks  = 5000 // more are refused
	maxLabels = 60   // more are not tried
)

// ErrTooMany refuses a scene of more marks than can be drawn.
var ErrTooMany = errors.New("too many marks to draw")

// Layout lays a scene out on a page 1280 pixels wide and at most 2000 high.
// No label covers another, a mark or the page's edge. It returns ErrTooMany
// on more than 5000 marks.
func Layout(s *Scene) (*Page, error) {
	if len(s.Marks) > maxMarks {
		return nil, fmt.Errorf("%w: %d, at most %d", ErrTooMany, len(s.Marks), maxMarks)
	}
	page := &Page{Width: pageWidth, Title: clean(s.Title), Desc: clean(strings.Join(s.Lines, "; ")), Marks: len(s.Marks)}
	y := head(page, s)
	foot := footHeight(s)
	p := newPlan(s)
	which := make([]int, 0, len(s.Marks))
	for i := range s.Marks {
		which = append(which, i)
	}
	if len(which) > maxLabels {
		which = which[:maxLabels]
	}
	zone := maxHeight - y - foot - margin
	for {
		if p.fit(which, y, zone) {
			break
		}
		if len(which) == 0 {
			return nil, errors.New("no room for the plan")
		}
		which = which[:len(which)*4/5]
	}
	page.Labelled = len(p.labels)
	p.draw(page)
	y = drawFoot(page, s, y+p.height, p.scale)
	page.Height = int(y + margin)
	return page, nil
}

// head writes title and lines and returns where they end.
func head(page *Page, s *Scene) float64 {
	const most = 9 // lines
	y, width := float64(margin), float64(pageWidth-2*margin)
	page.text(RoleTitle, InkText, emTitle, true, margin, y, shorten(s.Title, emTitle, true, width), "")
	y += emTitle + 10
	n := 0
	for _, fact := range s.Lines {
		for _, line := range wrap(fact, emText, false, width) {
			if n++; n > most {
				return y + 8
			}
			page.text(RoleFact, InkText, emText, false, margin, y, line, "")
			y += emText + 8
		}
	}
	return y + 8
}
