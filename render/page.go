package render

// Page is a drawing, or a page of a paper, laid out: items in painting order
// on a white sheet. Everything is in pixels, of a paper in points, x to the
// right and y down.
type Page struct {
	Width, Height int
	Title, Desc   string // for readers that do not see the picture
	Items         []Item
	// Marks counts the stations drawn, Labelled those with a label.
	Marks, Labelled int
}

// Pt is a place on the page.
type Pt struct{ X, Y float64 }

// Box is an upright rectangle on the page.
type Box struct{ X0, Y0, X1, Y1 float64 }

// Overlaps says whether two boxes share more than an edge.
func (b Box) Overlaps(c Box) bool {
	return b.X0 < c.X1 && c.X0 < b.X1 && b.Y0 < c.Y1 && c.Y0 < b.Y1
}

func (b Box) grow(d float64) Box { return Box{b.X0 - d, b.Y0 - d, b.X1 + d, b.Y1 + d} }

// Kind says how an item is painted.
type Kind uint8

// The kinds of item.
const (
	KindFill   Kind = iota + 1 // Path, closed and filled
	KindStroke                 // Path, Width pixels wide
	KindText                   // Text from Path[0] on the baseline
	KindPhoto                  // JPEG, across Box; on papers only
)

// Role says what an item is for.
type Role uint8

// The roles.
const (
	RoleTitle Role = iota + 1
	RoleFact
	RoleWall
	RoleMark       // a station's shape on the plan
	RoleLeader     // from a mark to its label
	RoleCornerName // first on its label's upper line
	RoleWord       // the label's upper line
	RoleAmount     // its lower line
	RoleScale
	RoleKey
	RoleStrip      // rules, stems and shapes of the strip
	RoleStripText  // its title, names and labels
	RoleTickAmount // a ruled height's figure
	RoleMore       // how many labels are shown
	RoleHeading    // over a part of a paper
	RoleCell       // of a table
	RoleRule       // of a table, and under a page's head
	RoleStamp      // round the words of who signed
	RolePhoto
	RoleFoot // a page's number, when it was made, and what from
)

// Item is one thing painted.
type Item struct {
	Kind Kind
	Role Role
	Ink  Ink
	// Box holds all that is painted, for text its line from ascender to
	// descender.
	Box   Box
	Path  []Pt
	Width float64 // of a stroke
	Dash  float64 // length of dashes and gaps; 0 is a whole line
	Text  string
	Em    float64 // height of the font's em
	Bold  bool
	Mark  string // the station that a mark, leader or label belongs to
	JPEG  []byte
}

// bounds is the box of a path, grown by half a stroke's width.
func bounds(path []Pt, width float64) Box {
	b := Box{path[0].X, path[0].Y, path[0].X, path[0].Y}
	for _, p := range path[1:] {
		b.X0, b.Y0 = min(b.X0, p.X), min(b.Y0, p.Y)
		b.X1, b.Y1 = max(b.X1, p.X), max(b.Y1, p.Y)
	}
	return b.grow(width / 2)
}

func (p *Page) add(it Item) { p.Items = append(p.Items, it) }

func (p *Page) stroke(role Role, ink Ink, width float64, mark string, path ...Pt) {
	p.add(Item{Kind: KindStroke, Role: role, Ink: ink, Width: width, Path: path,
		Box: bounds(path, width), Mark: mark})
}

func (p *Page) dashed(role Role, ink Ink, width, dash float64, path ...Pt) {
	p.add(Item{Kind: KindStroke, Role: role, Ink: ink, Width: width, Dash: dash, Path: path, Box: bounds(path, width)})
}

func (p *Page) fill(role Role, ink Ink, mark string, path ...Pt) {
	p.add(Item{Kind: KindFill, Role: role, Ink: ink, Path: path, Box: bounds(path, 0), Mark: mark})
}

// text puts a line whose box's upper left corner is at x, y.
func (p *Page) text(role Role, ink Ink, em float64, bold bool, x, y float64, s, mark string) {
	s = clean(s)
	if s == "" {
		return
	}
	p.add(Item{Kind: KindText, Role: role, Ink: ink, Text: s, Em: em, Bold: bold,
		Path: []Pt{{x, y + rise*em}}, Mark: mark,
		Box: Box{x, y, x + textWidth(s, em, bold), y + em}})
}
