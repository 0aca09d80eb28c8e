package render

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// WriteSVG writes the page as one SVG 1.1 document. Each text carries its
// length, so that another font than ours keeps to the room that was measured.
func WriteSVG(w io.Writer, p *Page) error {
	b := new(bytes.Buffer)
	fmt.Fprintf(b, `<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" viewBox="0 0 %d %d"`+
		` role="img" font-family="Go, Helvetica, Arial, sans-serif">`+"\n",
		p.Width, p.Height, p.Width, p.Height)
	fmt.Fprintf(b, "<title>%s</title>\n<desc>%s</desc>\n", escape(p.Title), escape(p.Desc))
	fmt.Fprintf(b, `<rect width="%d" height="%d" fill="%s"/>`+"\n", p.Width, p.Height, InkPaper.hex())
	for i := range p.Items {
		writeItem(b, &p.Items[i])
	}
	fmt.Fprint(b, "</svg>\n")
	if _, err := w.Write(b.Bytes()); err != nil {
		return fmt.Errorf("write svg: %w", err)
	}
	return nil
}

func writeItem(b *bytes.Buffer, it *Item) {
	switch it.Kind {
	case KindFill:
		fmt.Fprintf(b, `<path d="%sZ" fill="%s"/>`+"\n", pathData(it.Path), it.Ink.hex())
	case KindStroke:
		dash := ""
		if it.Dash > 0 {
			dash = ` stroke-dasharray="` + num(it.Dash) + `"`
		}
		fmt.Fprintf(b, `<path d="%s" fill="none" stroke="%s" stroke-width="%s"%s/>`+"\n",
			pathData(it.Path), it.Ink.hex(), num(it.Width), dash)
	case KindText:
		weight := ""
		if it.Bold {
			weight = ` font-weight="bold"`
		}
		fmt.Fprintf(b, `<text x="%s" y="%s" font-size="%s"%s fill="%s" textLength="%s"`+
			` lengthAdjust="spacingAndGlyphs">%s</text>`+"\n",
			num(it.Path[0].X), num(it.Path[0].Y), num(it.Em), weight, it.Ink.hex(),
			num(it.Box.X1-it.Box.X0), escape(it.Text))
	case KindPhoto:
	}
}

func pathData(path []Pt) string {
	var b strings.Builder
	for i, q := range path {
		b.WriteByte("ML"[min(i, 1)])
		b.WriteString(num(q.X))
		b.WriteByte(' ')
		b.WriteString(num(q.Y))
	}
	return b.String()
}

// num is a coordinate to a hundredth of a pixel.
func num(v float64) string {
	s := strconv.FormatFloat(v, 'f', 2, 64)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

func (k Ink) hex() string {
	c := k.Color()
	return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)
}

func escape(s string) string {
	var b strings.Builder
	// Writing to a strings.Builder cannot fail; what XML does not allow
	// becomes U+FFFD.
	_ = xml.EscapeText(&b, []byte(s))
	return b.String()
}
