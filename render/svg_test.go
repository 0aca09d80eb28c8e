package render

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strconv"
	"strings"
	"testing"

	"rodcall/reduce"
)

// svgText is one text read back from an SVG document.
type svgText struct {
	s            string
	em, x, y, w  float64
	weight, fill string
}

// readSVG reads a whole document, which must be well-formed XML, and returns
// its texts and the title and description.
func readSVG(t testing.TB, doc []byte) (texts []svgText, title, desc string) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(doc))
	var in string
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return texts, title, desc
		}
		if err != nil {
			t.Fatalf("not well-formed: %v", err)
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			in = tok.Name.Local
			if tok.Name.Space != "http://www.w3.org/2000/svg" {
				t.Errorf("element %v is not SVG's", tok.Name)
			}
			if in == "text" {
				texts = append(texts, readText(t, tok))
			}
		case xml.CharData:
			switch in {
			case "text":
				texts[len(texts)-1].s += string(tok)
			case "title":
				title += string(tok)
			case "desc":
				desc += string(tok)
			}
		case xml.EndElement:
			in = ""
		}
	}
}

func readText(t testing.TB, e xml.StartElement) (x svgText) {
	t.Helper()
	for _, a := range e.Attr {
		number := map[string]*float64{"font-size": &x.em, "x": &x.x, "y": &x.y, "textLength": &x.w}[a.Name.Local]
		if number != nil {
			v, err := strconv.ParseFloat(a.Value, 64)
			if err != nil {
				t.Errorf("%s is %q", a.Name.Local, a.Value)
			}
			*number = v
		}
		switch a.Name.Local {
		case "font-weight":
			x.weight = a.Value
		case "fill":
			x.fill = a.Value
		}
	}
	return x
}

func writeSVG(t testing.TB, s *Scene) (*Page, []byte) {
	t.Helper()
	p, err := Layout(s)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := WriteSVG(&b, p); err != nil {
		t.Fatal(err)
	}
	return p, b.Bytes()
}

// TestSVGSizes reads the sizes of letters back from written documents:
// amounts are at least 36 pixels, all others at least 24. The page is 1280
// wide, so on a screen 390 pixels across they are 11 and 7.
func TestSVGSizes(t *testing.T) {
	for _, o := range outlines(t) {
		s := sceneOf(o.name, o.o, calm)
		_, doc := writeSVG(t, s)
		texts, _, _ := readSVG(t, doc)
		amounts := map[string]int{}
		for _, m := range s.Marks {
			amounts[m.Amount]++
		}
		for _, k := range s.Strip.Ticks {
			amounts[k.Text]++
		}
		found := 0
		for _, x := range texts {
			least := 24.0
			if amounts[x.s] > 0 {
				least = 36
				found++
			}
			if x.em < least {
				t.Errorf("%s: %q is %v pixels, want %v or more", o.name, x.s, x.em, least)
			}
			if x.w <= 0 || x.x < 0 || x.x+x.w > 1280 {
				t.Errorf("%s: %q runs from %v for %v", o.name, x.s, x.x, x.w)
			}
		}
		if found < len(s.Marks)/2 {
			t.Errorf("%s: %d amounts at %d marks", o.name, found, len(s.Marks))
		}
	}
}

// TestSVGTexts checks that whatever the scene says stands in the document, as
// often as it is said, also where it needs escaping.
func TestSVGTexts(t *testing.T) {
	s := sceneOf(`<b>"Hill" & 'Co'</b> ]]> &amp;`, rectangle(t, 24, 16), widest)
	s.Lines = []string{`<script>alert("1 > 0 && 'x'")</script>`, "Ñandú: señal — ½ é"}
	s.Loops[0].Name = `<"&">`
	s.Strip.ZeroLabel, s.Strip.HighLabel, s.Strip.LowLabel = "<dat&um>", `"high"`, "low's"
	s.Key = append(s.Key, KeyEntry{StatusHigh, `"high" & <dry>`})
	s.ScaleBar, s.ScaleBarText = 5*reduce.Foot, `5' 0" <&>`
	s.Marks[0].Name = `c1<&">`
	s.Marks[1].Word = `<&">`
	_, doc := writeSVG(t, s)
	texts, title, desc := readSVG(t, doc)
	if title != s.Title || desc != strings.Join(s.Lines, "; ") {
		t.Errorf("title is %q and description %q", title, desc)
	}
	got, want := map[string]int{}, map[string]int{}
	for _, x := range texts {
		got[x.s]++
	}
	said := append([]string{s.Title, s.ScaleBarText, s.Strip.ZeroLabel, s.Strip.HighLabel, s.Strip.LowLabel}, s.Lines...)
	for _, m := range s.Marks {
		if m.Corner {
			said = append(said, m.Name)
		}
		said = append(said, m.Word, m.Amount)
	}
	for _, k := range s.Key {
		said = append(said, k.Text)
	}
	for _, x := range said {
		want[x]++
	}
	for x, n := range want {
		if x != "" && got[x] < n {
			t.Errorf("%q stands %d times in the document, want %d", x, got[x], n)
		}
	}
}
