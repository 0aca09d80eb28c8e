package render

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"rodcall/render/readback"
)

// paperOf is a paper in the making.
func paperOf(sheet Sheet, most int, blocks ...Block) *Paper {
	return &Paper{
		Sheet: sheet, Title: "Made-up house", Made: "made 2026-05-04 13:40 UTC", PageText: "page %d of %d", Lang: "en",
		Created: time.Date(2026, 5, 4, 13, 40, 0, 0, time.UTC), Most: most, Blocks: blocks,
	}
}

// stations is a table of n rows whose first cells all differ.
func stations(n int) *Table {
	t := &Table{
		Head: []string{"station", "of c1", "move", "verdict"}, Right: []bool{false, true},
		LeftOut: "%d of %d stations: the whole table is in the CSV",
	}
	for i := range n {
		t.Rows = append(t.Rows, Row{
			Cells:  []string{fmt.Sprintf("c%d+%d", i/8+1, i%8*4), "3/8 low", "raise 3/8", "close call"},
			Status: StatusRaise, Weight: int64(i * 37 % 91),
		})
	}
	return t
}

func pdfOf(t testing.TB, p *Paper) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := WritePDF(&b, p); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestPaperKeepsItsRules: whatever stands on a paper, it has no more pages
// than asked for, no letter is smaller than 7 points, nothing leaves the page
// or lies on other words, and each row is there or is counted as left out.
func TestPaperKeepsItsRules(t *testing.T) {
	house := *goldens(t)["plain"]
	house.Title, house.Lines = "", nil
	rapid.Check(t, func(t *rapid.T) {
		var blocks []Block
		tables, rows := 0, 0
		if rapid.Bool().Draw(t, "picture") {
			blocks = append(blocks, &Picture{&house})
		}
		for i := range rapid.IntRange(0, 6).Draw(t, "blocks") {
			switch rapid.SampledFrom([]string{"text", "table", "heading", "break"}).Draw(t, "kind") {
			case "text":
				blocks = append(blocks, Text(strings.Repeat("high spot c4, 3/8 above c1; ", rapid.IntRange(1, 12).Draw(t, "words"))))
			case "heading":
				blocks = append(blocks, Heading(fmt.Sprint("Part ", i)))
			case "break":
				blocks = append(blocks, Break{})
			case "table":
				table := stations(rapid.IntRange(0, 260).Draw(t, "rows"))
				if rapid.Bool().Draw(t, "wide") {
					table.Rows = table.Rows[:min(60, len(table.Rows))]
					for k := range table.Rows {
						table.Rows[k].Cells[3] = strings.Repeat("close call ", k%17)
					}
				}
				tables, rows = tables+1, rows+len(table.Rows)
				blocks = append(blocks, table)
			}
		}
		sheet := rapid.SampledFrom([]Sheet{Letter, A4}).Draw(t, "sheet")
		p := paperOf(sheet, rapid.IntRange(2, 3).Draw(t, "most"), blocks...)
		pages, err := LayoutPaper(p)
		if err != nil {
			t.Fatal(err)
		}
		if len(pages) > p.Most {
			t.Fatalf("%d pages, at most %d", len(pages), p.Most)
		}
		found, said := 0, 0
		for n, page := range pages {
			var words []Item
			for _, it := range page.Items {
				if it.Box.X0 < 0 || it.Box.Y0 < 0 || it.Box.X1 > float64(sheet.Width) || it.Box.Y1 > float64(sheet.Height) {
					t.Fatalf("page %d: %q at %v leaves the page", n+1, it.Text, it.Box)
				}
				if it.Kind != KindText {
					continue
				}
				if it.Em < 7-1e-9 {
					t.Fatalf("page %d: %q in letters of %v points", n+1, it.Text, it.Em)
				}
				for _, o := range words {
					if o.Box.grow(-0.1).Overlaps(it.Box.grow(-0.1)) {
						t.Fatalf("page %d: %q at %v lies on %q at %v", n+1, it.Text, it.Box, o.Text, o.Box)
					}
				}
				words = append(words, it)
				if it.Role == RoleCell && strings.HasPrefix(it.Text, "c") && strings.Contains(it.Text, "+") {
					found++
				}
				var kept, of int
				if k, _ := fmt.Sscanf(it.Text, "%d of %d stations", &kept, &of); k == 2 {
					said += of - kept
				}
			}
		}
		if found+said != rows {
			t.Fatalf("%d rows are there and %d counted as left out, of %d in %d tables", found, said, rows, tables)
		}
	})
}

// TestPaperKeepsLinesTogether: wherever a page ends, a short text under its
// heading is not cut in two, and of a long one no line stands alone.
func TestPaperKeepsLinesTogether(t *testing.T) {
	for above := range 60 {
		for _, words := range []int{1, 6, 9, 16, 30} {
			blocks := make([]Block, 0, above+2)
			for range above {
				blocks = append(blocks, Text("above"))
			}
			blocks = append(blocks, Heading("Cautions"), Text(strings.Repeat("the local code governs ", words)))
			pages, err := LayoutPaper(paperOf(Letter, 3, blocks...))
			if err != nil {
				t.Fatal(err)
			}
			var on []int // lines of the text, by page; the heading stands over the first
			for _, page := range pages {
				n, head := 0, false
				for _, it := range page.Items {
					head = head || it.Text == "Cautions"
					if strings.HasPrefix(it.Text, "the ") || strings.HasPrefix(it.Text, "local ") || strings.HasPrefix(it.Text, "code ") || strings.HasPrefix(it.Text, "governs") {
						n++
					}
				}
				if head != (n > 0 && len(on) == 0) {
					t.Errorf("%d above, %d words: the heading stands alone", above, words)
				}
				if n > 0 {
					on = append(on, n)
				}
			}
			total := 0
			for _, n := range on {
				total += n
			}
			if len(on) > 1 && (total <= 3 || on[0] < 2 || on[len(on)-1] < 2) {
				t.Errorf("%d above, %d words: %v lines a page", above, words, on)
			}
		}
	}
}

// TestPaperLeavesNothingOutWhileThereIsRoom: a house of 34 stations has its
// whole tables in letters of 10 points, one of 100 in letters of 9, and one of
// 500 says what it leaves out.
func TestPaperLeavesNothingOutWhileThereIsRoom(t *testing.T) {
	house := *goldens(t)["plain"]
	house.Title, house.Lines = "", nil
	for _, c := range []struct {
		n     int
		em    float64
		whole bool
	}{{34, 10, true}, {100, 9, true}, {500, 7, false}} {
		pages, err := LayoutPaper(paperOf(Letter, 3, &Picture{&house}, Break{}, Heading("Stations"), stations(c.n), Heading("Shims"), stations(c.n)))
		if err != nil {
			t.Fatal(err)
		}
		if len(pages) < 2 || len(pages) > 3 {
			t.Errorf("%d stations: %d pages", c.n, len(pages))
		}
		whole := true
		for _, page := range pages {
			for _, it := range page.Items {
				if it.Role == RoleCell && it.Em != c.em {
					t.Fatalf("%d stations: %q in letters of %v points, want %v", c.n, it.Text, it.Em, c.em)
				}
				whole = whole && !strings.Contains(it.Text, "in the CSV")
			}
		}
		if whole != c.whole {
			t.Errorf("%d stations: the whole table is there: %t", c.n, whole)
		}
	}
}

// TestHeaviestRowsStay, in the order they had.
func TestHeaviestRowsStay(t *testing.T) {
	table := stations(900)
	light := map[string]bool{}
	for i := range table.Rows {
		table.Rows[i].Weight = int64(i % 10)
		light[table.Rows[i].Cells[0]] = i%10 != 9
	}
	pages, err := LayoutPaper(paperOf(Letter, 1, table))
	if err != nil {
		t.Fatal(err)
	}
	var kept []string
	for _, it := range pages[0].Items {
		if it.Role == RoleCell && strings.Contains(it.Text, "+") {
			kept = append(kept, it.Text)
		}
	}
	if len(kept) < 90 {
		t.Fatalf("only %d rows on a page", len(kept))
	}
	heavy, next := 0, 0
	for _, name := range kept {
		for next < len(table.Rows) && table.Rows[next].Cells[0] != name {
			next++
		}
		if !light[name] {
			heavy++
		}
	}
	if next == len(table.Rows) {
		t.Errorf("rows out of their order: %q", kept)
	}
	if heavy != 90 {
		t.Errorf("%d of the 90 heaviest rows stayed", heavy)
	}
}

// TestPaperTooLong: where even the text has no room, that is an error.
func TestPaperTooLong(t *testing.T) {
	var blocks []Block
	for range 300 {
		blocks = append(blocks, Text("a line"))
	}
	if err := WritePDF(&bytes.Buffer{}, paperOf(Letter, 2, append(blocks, stations(3))...)); !errors.Is(err, ErrTooLong) {
		t.Errorf("the error is %v", err)
	}
}

// TestPDFReadsBack: each word laid out stands in the document as text, on its
// page, in its place and in its order; the lines are no picture.
func TestPDFReadsBack(t *testing.T) {
	p := paperOf(A4, 3, &Picture{goldens(t)["garage"]}, Text(`¿Está a nivel? ½ – “3/8” (a\b) ± · … Ñandú`), Heading("Stations"), stations(200))
	p.Title = `House (new) \ "2"`
	pdf := pdfOf(t, p)
	got, n, err := readback.Words(pdf)
	if err != nil {
		t.Fatal(err)
	}
	pages, err := LayoutPaper(p)
	if err != nil {
		t.Fatal(err)
	}
	if n != len(pages) {
		t.Errorf("%d pages, want %d", n, len(pages))
	}
	var want []readback.Word
	round := func(v float64) float64 { return float64(int(v*100+0.5)) / 100 }
	for i, page := range pages {
		for _, it := range page.Items {
			if it.Kind == KindText {
				want = append(want, readback.Word{Page: i + 1, X: it.Path[0].X, Y: float64(A4.Height) - it.Path[0].Y, Size: it.Em, Text: it.Text})
			}
		}
	}
	for _, list := range [][]readback.Word{got, want} {
		for i := range list {
			list[i].X, list[i].Y, list[i].Size = round(list[i].X), round(list[i].Y), round(list[i].Size)
		}
	}
	near := cmp.Comparer(func(a, b float64) bool { return a-b < 0.011 && b-a < 0.011 })
	if d := cmp.Diff(want, got, near); d != "" {
		t.Errorf("(-laid out +read back):\n%s", d)
	}
	if bytes.Contains(pdf, []byte("/Subtype /Image")) {
		t.Error("there is a picture of pixels in the document")
	}
}

// TestPDFIsTheSameTwice: the same paper gives the same bytes, which change
// with the time of its making.
func TestPDFIsTheSameTwice(t *testing.T) {
	of := func() *Paper { return paperOf(Letter, 3, &Picture{goldens(t)["garage"]}, stations(90)) }
	first := pdfOf(t, of())
	for range 3 {
		if !bytes.Equal(first, pdfOf(t, of())) {
			t.Fatal("the same paper gave other bytes")
		}
	}
	later := of()
	later.Created = later.Created.Add(time.Second)
	if bytes.Equal(first, pdfOf(t, later)) {
		t.Error("the time of its making is not in the document")
	}
}

// TestPDFOfAnyCharacters: what people type into names is no reason to fail.
func TestPDFOfAnyCharacters(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "text")
		table := &Table{Head: []string{s, s}, Rows: []Row{{Cells: []string{s, "3/8"}}}}
		p := paperOf(Letter, 3, Heading(s), Text(s), table)
		p.Title, p.Made = s, s
		var b bytes.Buffer
		if err := WritePDF(&b, p); err != nil {
			t.Fatal(err)
		}
		if _, _, err := readback.Words(b.Bytes()); err != nil {
			t.Fatal(err)
		}
	})
	p := paperOf(Letter, 1, Text("house \U0001F600 north"))
	words, _, err := readback.Words(pdfOf(t, p))
	if err != nil {
		t.Fatal(err)
	}
	if got := words[2].Text; got != "house \ufffd north" {
		t.Errorf("a character that no font has: %q", got)
	}
}

// TestPDFTellsOfAFailure: a document that was not written whole is an error.
func TestPDFTellsOfAFailure(t *testing.T) {
	full := errors.New("disk full")
	if err := WritePDF(broken{full}, paperOf(Letter, 1, Text("a"))); !errors.Is(err, full) {
		t.Errorf("the error is %v", err)
	}
}

type broken struct{ err error }

func (b broken) Write([]byte) (int, error) { return 0, b.err }

// BenchmarkPDF is a house of 34 stations on three pages.
func BenchmarkPDF(b *testing.B) {
	p := paperOf(Letter, 3, &Picture{goldens(b)["plain"]}, Break{}, Heading("Stations"), stations(34), Break{}, stations(34))
	for b.Loop() {
		pdfOf(b, p)
	}
}

// TestSquarePlanKeepsItsPage: a square plan on paper leaves room on its page for
// some twenty lines of words before the next page begins.
func TestSquarePlanKeepsItsPage(t *testing.T) {
	s := sceneOf("square", rectangle(t, 24, 24), calm)
	s.Title, s.Lines = "", nil
	p := &Paper{Sheet: Letter, Title: "square", PageText: "page %d of %d", Lang: "en", Most: 3, Blocks: []Block{&Picture{s}}}
	for range 18 {
		p.Blocks = append(p.Blocks, Text("one line of what is said of it"))
	}
	p.Blocks = append(p.Blocks, Break{}, Text("the last of the first page stands before this"))
	pages, err := LayoutPaper(p)
	if err != nil {
		t.Fatal(err)
	}
	if len(pages) != 2 {
		t.Errorf("%d pages, want 2", len(pages))
	}
}
