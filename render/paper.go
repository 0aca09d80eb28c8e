package render

import (
	"time"
)

// Paper is a document as data: what stands on its pages, in order. Two equal
// papers make the same bytes.
type Paper struct {
	Sheet    Sheet
	Title    string // at the head of each page, and the document's
	Made     string // beside it: when it was made
	PageText string // at each foot: "page %d of %d"
	Foot     string // at each foot on the left
	Lang     string // of the words: "en", "es"
	// Created stands in the file, for those who list files.
	Created time.Time
	// Keywords stand in the file, for programs.
	Keywords string
	Most     int // pages of Blocks
	Blocks   []Block
	Behind   []Block // on pages of their own behind those, as many as they take
}

// Sheet is a size of paper in points, 72 to the inch.
type Sheet struct{ Width, Height int }

// The sheets: 8 1/2 by 11 in, and ISO 216 A4 (210 by 297 mm) to the point.
var (
	Letter = Sheet{612, 792}
	A4     = Sheet{595, 842}
)

// Block is a part of a paper: Heading, Text, *Picture, *Table, Photos or
// Break.
type Block interface{ block() }

// Heading is a line in bold; it stands on the page of what follows it.
type Heading string

// Text is a paragraph.
type Text string

// Picture is a drawing, across the page.
type Picture struct{ Scene *Scene }

// Break begins a new page, where there are pages enough.
type Break struct{}

// Table is rows under a head that is repeated on each page. Rows stand in
// several columns side by side where that saves pages.
type Table struct {
	Head  []string
	Right []bool // which columns stand to the right; the others to the left
	Rows  []Row
	// LeftOut stands under a table that has not all its rows: how many it has,
	// of how many, and where the others are ("%d of %d …").
	LeftOut string
}

// Row is one line of a table.
type Row struct {
	Cells  []string
	Status Status // its shape stands before the first cell; 0 is none
	// Weight says which rows stay where there is no room for all: the heaviest.
	Weight int64
}

// Photos stand two side by side, six on a page. Those of a paper are of
// different widths in pixels, or the file would have them in any order.
type Photos []Photo

// Photo is a photo with a line under it.
type Photo struct {
	JPEG          []byte
	Width, Height int // pixels
	Caption       string
}

func (Photos) block()   {}
func (Heading) block()  {}
func (Text) block()     {}
func (*Picture) block() {}
func (*Table) block()   {}
func (Break) block()    {}
