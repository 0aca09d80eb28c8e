package render

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"strings"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

// pdfFont is the family name that the two fonts are embedded under.
const pdfFont = "go"

// WritePDF writes a paper as PDF: lines and shapes as vectors, words as text
// that can be searched, with the fonts' used parts embedded. It returns the
// errors of LayoutPaper and those of the writer.
func WritePDF(w io.Writer, p *Paper) error {
	pages, err := LayoutPaper(p)
	if err != nil {
		return fmt.Errorf("lay out the paper: %w", err)
	}
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "pt", Size: sheetSize(p.Sheet)})
	doc.SetCatalogSort(true) // or its maps would come in any order
	doc.SetCreationDate(p.Created.UTC())
	doc.SetModificationDate(p.Created.UTC())
	doc.SetAutoPageBreak(false, 0)
	doc.SetTitle(drawable(clean(p.Title)), true)
	doc.SetKeywords(p.Keywords, false)
	doc.SetProducer("rodcall", false)
	doc.SetLang(p.Lang)
	doc.AddUTF8FontFromBytes(pdfFont, "", goregular.TTF)
	doc.AddUTF8FontFromBytes(pdfFont, "B", gobold.TTF)
	for _, page := range pages {
		doc.AddPage()
		for i := range page.Items {
			writePDFItem(doc, &page.Items[i])
		}
	}
	var b bytes.Buffer
	if err := doc.Output(&b); err != nil {
		return fmt.Errorf("write pdf: %w", err)
	}
	if _, err := w.Write(b.Bytes()); err != nil {
		return fmt.Errorf("write pdf: %w", err)
	}
	return nil
}

func sheetSize(s Sheet) fpdf.SizeType {
	return fpdf.SizeType{Wd: float64(s.Width), Ht: float64(s.Height)}
}

func writePDFItem(doc *fpdf.Fpdf, it *Item) {
	c := it.Ink.Color()
	r, g, b := int(c.R), int(c.G), int(c.B)
	switch it.Kind {
	case KindText:
		style := ""
		if it.Bold {
			style = "B"
		}
		doc.SetFont(pdfFont, style, it.Em)
		doc.SetTextColor(r, g, b)
		doc.Text(it.Path[0].X, it.Path[0].Y, drawable(it.Text))
		return
	case KindFill:
		doc.SetFillColor(r, g, b)
	case KindStroke:
		doc.SetDrawColor(r, g, b)
		doc.SetLineWidth(it.Width)
		var dash []float64
		if it.Dash > 0 {
			dash = []float64{it.Dash, it.Dash}
		}
		doc.SetDashPattern(dash, 0)
	case KindPhoto:
		sum := sha256.Sum256(it.JPEG)
		name, jpeg := hex.EncodeToString(sum[:]), fpdf.ImageOptions{ImageType: "JPG"}
		doc.RegisterImageOptionsReader(name, jpeg, bytes.NewReader(it.JPEG))
		doc.ImageOptions(name, it.Box.X0, it.Box.Y0, it.Box.X1-it.Box.X0, it.Box.Y1-it.Box.Y0, false, jpeg, 0, "")
		return
	}
	for i, q := range it.Path {
		if i == 0 {
			doc.MoveTo(q.X, q.Y)
		} else {
			doc.LineTo(q.X, q.Y)
		}
	}
	if it.Kind == KindFill {
		doc.ClosePath()
		doc.DrawPath("F")
	} else {
		doc.DrawPath("D")
	}
}

// drawable is a text without the characters past U+FFFF: the fonts have none
// of them, and the library's tables end there.
func drawable(s string) string {
	return strings.Map(func(r rune) rune {
		if r > 0xffff {
			return '\ufffd'
		}
		return r
	}, s)
}
