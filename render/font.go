package render

import (
	"strings"
	"unicode"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// rise is how far the baseline lies under the top of a line's box, in ems.
// The box is one em high.
const rise = 0.78

var regular, bold = mustParse(goregular.TTF), mustParse(gobold.TTF)

func mustParse(ttf []byte) *sfnt.Font {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic(err) // the fonts are compiled in
	}
	return f
}

func fontFor(isBold bool) *sfnt.Font {
	if isBold {
		return bold
	}
	return regular
}

// textWidth is the advance of s at em pixels, without hinting.
func textWidth(s string, em float64, isBold bool) float64 {
	f, w := fontFor(isBold), 0.0
	for _, r := range s {
		w += advance(f, r)
	}
	return w * em
}

// common are the advances of the characters that are met all the time, of the
// regular font and the bold one: a long table asks for millions.
var common = [2][0x180]float64{commonOf(regular), commonOf(bold)}

func commonOf(f *sfnt.Font) (out [0x180]float64) {
	for r := range out {
		out[r] = advanceOf(f, rune(r))
	}
	return out
}

// advance is a rune's advance in ems.
func advance(f *sfnt.Font, r rune) float64 {
	if r >= 0 && int(r) < len(common[0]) {
		if f == bold {
			return common[1][r]
		}
		return common[0][r]
	}
	return advanceOf(f, r)
}

func advanceOf(f *sfnt.Font, r rune) float64 {
	var buf sfnt.Buffer
	upem := fixed.Int26_6(f.UnitsPerEm())
	g, err := f.GlyphIndex(&buf, r)
	if err != nil {
		return 0
	}
	// At this scale one font unit is one 64th of a pixel.
	a, err := f.GlyphAdvance(&buf, g, upem, font.HintingNone)
	if err != nil {
		return 0
	}
	return float64(a) / float64(upem)
}

// clean makes a text one line: white space and control characters become
// single blanks, characters that turn the writing's direction go.
func clean(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.Is(unicode.Cf, r), r == unicode.ReplacementChar:
			return -1
		case unicode.IsControl(r):
			return ' '
		}
		return r
	}, s)
	return strings.Join(strings.Fields(s), " ")
}

// shorten cuts s to width w, with an ellipsis where something was cut.
func shorten(s string, em float64, isBold bool, w float64) string {
	s = clean(s)
	if textWidth(s, em, isBold) <= w {
		return s
	}
	f := fontFor(isBold)
	w -= advance(f, '…') * em
	for i, r := range s {
		if w -= advance(f, r) * em; w < 0 {
			return strings.TrimRight(s[:i], " ") + "…"
		}
	}
	return s
}

// wrap breaks s into lines of width w at blanks; a word that is too long by
// itself is shortened.
func wrap(s string, em float64, isBold bool, w float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(clean(s)) {
		switch joined := line + " " + word; {
		case line == "":
			line = shorten(word, em, isBold, w)
		case textWidth(joined, em, isBold) <= w:
			line = joined
		default:
			lines = append(lines, line)
			line = shorten(word, em, isBold, w)
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}
