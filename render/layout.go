package render

import (
	"errors"
	"fmt"
	"math"
	"sort"
	"strings"
)

const (
	pageWidth = 1280
	maxHeight = 2000
	maxMarks  = 10_000 // more are refused
	maxLabels = 64     // more are not tried
)

// ErrTooMany refuses a scene of more marks than can be drawn.
var ErrTooMany = errors.New("too many marks to draw")

// Layout lays a scene out on a page 1280 pixels wide and at most 2000 high.
// No label covers another, a mark or the page's edge. It returns ErrTooMany
// on more than 10,000 marks.
func Layout(s *Scene) (*Page, error) { return layout(s, calmHeight) }

func layout(s *Scene, calm float64) (*Page, error) {
	if len(s.Marks) > maxMarks {
		return nil, fmt.Errorf("%w: %d, at most %d", ErrTooMany, len(s.Marks), maxMarks)
	}
	page := &Page{Width: pageWidth, Title: clean(s.Title), Desc: clean(strings.Join(s.Lines, "; ")), Marks: len(s.Marks)}
	y := head(page, s)
	foot := footHeight(s)
	p := newPlan(s)
	p.calm = calm
	which := ranked(s)
	said := len(which)
	if len(which) > maxLabels {
		which = which[:maxLabels]
	}
	for zone := maxHeight - y - foot - margin; !p.fit(which, y, zone); which = which[:len(which)*4/5] {
		if len(which) == 0 {
			return nil, errors.New("no room for the plan")
		}
	}
	p.clear(y, y+p.height)
	page.Labelled = len(p.labels)
	p.draw(page)
	y += p.height
	if page.Labelled < said {
		y = drawMore(page, s, y, page.Labelled, said)
	}
	y = drawFoot(page, s, y, p.scale)
	page.Height = int(y + margin)
	return page, nil
}

// head writes title and lines and returns where they end.
func head(page *Page, s *Scene) float64 {
	const most = 9 // lines
	y, width := float64(margin), float64(pageWidth-2*margin)
	page.text(RoleTitle, InkText, emTitle, true, margin, y, shorten(s.Title, emTitle, true, width), "")
	y += emTitle + 10
	if stamp := clean(s.Stamp); stamp != "" {
		const inset, line = 10, 3
		text := shorten(stamp, emText, true, width-2*inset)
		right, low := margin+2*inset+textWidth(text, emText, true), y+emText+2*inset
		page.ring(RoleStamp, InkText, line, 0, "", []Pt{{margin, y}, {right, y}, {right, low}, {margin, low}})
		page.text(RoleFact, InkText, emText, true, margin+inset, y+inset, text, "")
		y = low + 10
	}
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

// ranked lists the marks that have something to say: corners first, then by
// how far off they are.
func ranked(s *Scene) []int {
	var which []int
	for i := range s.Marks {
		if l := newLabel(&s.Marks[i], i); !l.empty() {
			which = append(which, i)
		}
	}
	sort.SliceStable(which, func(i, j int) bool {
		a, b := &s.Marks[which[i]], &s.Marks[which[j]]
		if a.Corner != b.Corner {
			return a.Corner
		}
		return math.Abs(float64(a.Off)) > math.Abs(float64(b.Off))
	})
	return which
}
