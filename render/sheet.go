package render

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
)

// ErrTooLong refuses a paper that has no room on its pages even without the
// rows of its tables.
var ErrTooLong = errors.New("too long for its pages")

// Of a sheet, in points.
const (
	sheetMargin = 40
	sheetTop    = 66 // where a page's own matter begins
	sheetBottom = 44 // the foot's room
	emHead      = 13 // the title at the head of each page
	emNote      = 8.5
	leading     = 1.3 // from line to line, in ems
	sheetGutter = 22  // between parts of a table side by side
)

// emLeast is the smallest size of type, in points: less is not read on a site.
const emLeast = 7

// sheetWays are how a paper is tried, in this order: in smaller type, without
// new pages for its parts, and in each way first with its tables in as few
// columns side by side as take a page, then in as many as have room.
var sheetWays = []struct {
	em     float64
	breaks bool
}{{10, true}, {9, true}, {10, false}, {9, false}, {8, true}, {8, false}, {emLeast, true}, {emLeast, false}}

// LayoutPaper lays a paper out on at most p.Most sheets, in points: in the
// first of some ways in which it fits, from type of 10 points down to 7 with
// tables in several columns side by side, and best with no cell of a table in
// more than a line. Where it does not fit even so, each
// table keeps its heaviest rows, all tables as many at most, and says how many
// of how many. What stands behind all that is laid out in type of 10 points. It
// returns ErrTooLong where there is no room even without rows, and Layout's
// errors for a picture.
func LayoutPaper(p *Paper) ([]*Page, error) {
	pages, err := layoutFront(p)
	if err != nil {
		return nil, err
	}
	if len(p.Behind) > 0 {
		behind := *p
		behind.Blocks = p.Behind
		s := sheets{paper: &behind, em: sheetWays[0].em, breaks: true, most: math.MaxInt, measured: map[*Table]*tabular{}}
		pages = append(pages, s.lay()...)
	}
	for i, page := range pages {
		text := strings.Replace(p.PageText, "%d", strconv.Itoa(i+1), 1)
		text = strings.Replace(text, "%d", strconv.Itoa(len(pages)), 1)
		w := textWidth(text, emNote, false)
		x, y := float64(p.Sheet.Width)-sheetMargin-w, float64(p.Sheet.Height)-sheetBottom+14
		page.text(RoleFoot, InkText, emNote, false, x, y, text, "")
		page.text(RoleFoot, InkText, emNote, false, sheetMargin, y, shorten(p.Foot, emNote, false, x-sheetMargin-16), "")
	}
	return pages, nil
}

// layoutFront lays out all but what stands behind.
func layoutFront(p *Paper) ([]*Page, error) {
	pictures := map[*Picture]*Page{}
	rows := 0
	for _, b := range p.Blocks {
		switch b := b.(type) {
		case *Picture:
			page, err := layout(b.Scene, paperPlan)
			if err != nil {
				return nil, err
			}
			pictures[b] = page
		case *Table:
			rows = max(rows, len(b.Rows))
		}
	}
	lay := func(em float64, spread, breaks bool, most int) (pages []*Page, wrapped bool) {
		s := sheets{paper: p, pictures: pictures, em: em, spread: spread, breaks: breaks, most: most, measured: map[*Table]*tabular{}}
		return s.lay(), s.wrapped
	}
	for _, mayWrap := range []bool{false, true} {
		for _, way := range sheetWays {
			for _, spread := range []bool{false, true} {
				pages, wrapped := lay(way.em, spread, way.breaks, rows)
				if len(pages) <= p.Most && (mayWrap || !wrapped) {
					return pages, nil
				}
			}
		}
	}
	most := sort.Search(rows, func(n int) bool {
		pages, _ := lay(emLeast, true, false, n)
		return len(pages) > p.Most
	}) - 1
	if most < 0 {
		return nil, fmt.Errorf("%w: %d at most", ErrTooLong, p.Most)
	}
	pages, _ := lay(emLeast, true, false, most)
	return pages, nil
}

// sheets is a paper being laid out.
type sheets struct {
	paper    *Paper
	pictures map[*Picture]*Page
	em       float64
	spread   bool // tables as many columns side by side as there is room for
	breaks   bool // pages are begun where the paper asks for it
	most     int  // rows of a table
	wrapped  bool // a table is too wide, so that cells are wrapped
	measured map[*Table]*tabular
	pages    []*Page
	page     *Page
	y        float64
}

func (s *sheets) lay() []*Page {
	s.turn()
	for i, b := range s.paper.Blocks {
		switch b := b.(type) {
		case Heading:
			s.heading(string(b), i)
		case Text:
			s.text(string(b))
		case *Picture:
			s.picture(i)
		case *Table:
			s.table(b)
		case Photos:
			s.photos(b)
		case Break:
			if s.breaks && s.y > sheetTop {
				s.turn()
			}
		}
	}
	return s.pages
}

func (s *sheets) right() float64  { return float64(s.paper.Sheet.Width) - sheetMargin }
func (s *sheets) width() float64  { return s.right() - sheetMargin }
func (s *sheets) bottom() float64 { return float64(s.paper.Sheet.Height) - sheetBottom }
func (s *sheets) line() float64   { return s.em * leading }

// turn begins a page, with its head.
func (s *sheets) turn() {
	s.page = &Page{Width: s.paper.Sheet.Width, Height: s.paper.Sheet.Height, Title: clean(s.paper.Title)}
	s.pages = append(s.pages, s.page)
	made := clean(s.paper.Made)
	w := textWidth(made, emNote, false)
	y := float64(sheetTop - 30)
	s.page.text(RoleTitle, InkText, emHead, true, sheetMargin, y, shorten(s.paper.Title, emHead, true, s.width()-w-16), "")
	s.page.text(RoleFoot, InkText, emNote, false, s.right()-w, y+rise*(emHead-emNote), made, "")
	y += emHead + 5
	s.page.stroke(RoleRule, InkText, 1, "", Pt{sheetMargin, y}, Pt{s.right(), y})
	s.y = sheetTop
}

// need turns the page where less than h is left of it.
func (s *sheets) need(h float64) {
	if s.y+h > s.bottom() && s.y > sheetTop {
		s.turn()
	}
}

// heading stands over what follows, or goes with it to the next page.
func (s *sheets) heading(text string, i int) {
	em := s.em * 1.2
	h := em*leading + s.em*0.4
	if i+1 < len(s.paper.Blocks) {
		h += s.least(i + 1)
	}
	if s.y > sheetTop {
		s.y += s.em * 0.7
	}
	s.need(h)
	s.page.text(RoleHeading, InkText, em, true, sheetMargin, s.y, shorten(text, em, true, s.width()), "")
	s.y += em*leading + s.em*0.2
}

// least is the room that the i-th block needs to begin on a page.
func (s *sheets) least(i int) float64 {
	switch b := s.paper.Blocks[i].(type) {
	case *Picture:
		_, h := s.scale(i)
		return h
	case *Table:
		return s.measure(b).start()
	case Photos:
		return s.photoRow()
	case Text:
		return s.line() * float64(uncut(len(wrap(string(b), s.em, false, s.width()))))
	}
	return s.line()
}

// uncut is how many lines of a text of n begin on one page, and end on one:
// all of a short one, two of another.
func uncut(n int) int {
	if n <= 3 {
		return n
	}
	return 2
}

func (s *sheets) text(text string) {
	lines := wrap(text, s.em, false, s.width())
	n := uncut(len(lines))
	for i, line := range lines {
		if i == 0 || i == len(lines)-n {
			s.need(s.line() * float64(n))
		}
		s.need(s.line())
		s.page.text(RoleFact, InkText, s.em, false, sheetMargin, s.y, line, "")
		s.y += s.line()
	}
	s.y += s.em * 0.25
}

// scale is points to the pixel of the i-th block, a picture, and its height in
// points: as wide as the page, but so that what follows up to the next break or
// picture has room under it, a table half the page at most, unless its smaller
// letters would then be under the least size of type.
func (s *sheets) scale(i int) (scale, height float64) {
	drawing := s.pictures[s.paper.Blocks[i].(*Picture)]
	room := s.bottom() - sheetTop - s.em
	under := room
	for _, b := range s.paper.Blocks[i+1:] {
		h := s.tall(b)
		if h == 0 {
			break
		}
		under -= min(h, room/2)
	}
	const least = emLeast / float64(emSmall)
	wide, tall := s.width()/float64(drawing.Width), float64(drawing.Height)
	scale = min(wide, max(least, under/tall), (room-3*s.line())/tall) // a heading may go with it
	return scale, scale * tall
}

// tall is the height of a heading, a text or a table, 0 of another block.
func (s *sheets) tall(b Block) float64 {
	switch b := b.(type) {
	case Heading:
		return s.em * (1.2*leading + 0.9)
	case Text:
		return s.em*0.25 + s.line()*float64(len(wrap(string(b), s.em, false, s.width())))
	case *Table:
		g := s.measure(b)
		n := g.parts()
		return g.tall(0, (len(g.rows)+n-1)/n) + s.em
	}
	return 0
}

func (s *sheets) picture(i int) {
	drawing := s.pictures[s.paper.Blocks[i].(*Picture)]
	k, h := s.scale(i)
	s.need(h)
	x := sheetMargin + (s.width()-k*float64(drawing.Width))/2
	at := func(q Pt) Pt { return Pt{x + k*q.X, s.y + k*q.Y} }
	for _, it := range drawing.Items {
		path := make([]Pt, len(it.Path))
		for i, q := range it.Path {
			path[i] = at(q)
		}
		a, b := at(Pt{it.Box.X0, it.Box.Y0}), at(Pt{it.Box.X1, it.Box.Y1})
		it.Path, it.Box = path, Box{a.X, a.Y, b.X, b.Y}
		it.Width, it.Dash, it.Em = k*it.Width, k*it.Dash, k*it.Em
		s.page.add(it)
	}
	s.page.Marks += drawing.Marks
	s.page.Labelled += drawing.Labelled
	s.y += h + s.em*0.5
}

// heaviest are the n heaviest rows, in their order; of equal ones the first.
func heaviest(rows []Row, n int) []Row {
	if len(rows) <= n {
		return rows
	}
	which := make([]int, len(rows))
	for i := range which {
		which[i] = i
	}
	slices.SortStableFunc(which, func(a, b int) int { return cmp.Compare(rows[b].Weight, rows[a].Weight) })
	which = which[:n]
	slices.Sort(which)
	kept := make([]Row, n)
	for i, k := range which {
		kept[i] = rows[k]
	}
	return kept
}
