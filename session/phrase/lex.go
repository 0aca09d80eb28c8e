package phrase

import (
	"strings"
	"unicode"
)

// maxRunes bounds a line: what is longer is no reading.
const maxRunes = 300

// foldedRunes are written in many ways and mean the same.
var foldedRunes = map[rune]string{
	'−': "-", '–': "-", '—': "-", '‐': "-", '‑': "-", '﹣': "-", '－': "-", '＋': "+", '＝': "=", '／': "/", '⁄': "/", '÷': "/",
	'’': "'", '‘': "'", '′': "'", '`': "'", '´': "'", '“': "\"", '”': "\"", '″': "\"", '＂': "\"", '˝': "\"", '×': "x", '✕': "x",
	'°': " deg ", '˚': " deg ", '≈': "~", '±': "~", '∼': "~", '≤': "<", '≥': ">", '…': " ", '，': ",", '．': ".", '：': ":", '¿': " ", '¡': " ", '？': "?",
	'½': "1/2", '¼': "1/4", '¾': "3/4", '⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8", '⅓': "1/3", '⅔': "2/3",
	'á': "a", 'é': "e", 'í': "i", 'ó': "o", 'ú': "u", 'ü': "u", 'ñ': "n",
	'à': "a", 'è': "e", 'ì': "i", 'ò': "o", 'ù': "u",
}

const vulgar = "½¼¾⅛⅜⅝⅞⅓⅔"

// fold writes a line in one way: lower case, plain signs, no accents, no
// pictures. Double apostrophes are inches.
func fold(line string) string {
	var b strings.Builder
	var last rune
	n := 0
	for _, r := range line {
		if n++; n > maxRunes {
			break
		}
		r = unicode.ToLower(r)
		s, ok := foldedRunes[r]
		switch {
		case ok:
			if strings.ContainsRune(vulgar, r) && last >= '0' && last <= '9' {
				b.WriteByte(' ')
			}
			b.WriteString(s)
			r = rune(s[len(s)-1])
		case r >= '０' && r <= '９':
			r = r - '０' + '0'
			b.WriteRune(r)
		case unicode.IsSpace(r):
			b.WriteByte(' ')
		case r == '\u200d' || r == '\ufe0f' || r == '\u0301' || r == '\u0303' || r == '\u0308' || unicode.Is(unicode.Cf, r):
			continue
		case unicode.IsLetter(r) || r >= ' ' && r < 0x7f:
			b.WriteRune(r)
		case unicode.IsNumber(r) || unicode.Is(unicode.Sm, r):
			// ³, ∞: what it says is not known, but it says something.
			b.WriteByte('~')
		default:
			b.WriteByte(' ')
		}
		last = r
	}
	s := strings.ReplaceAll(b.String(), "''", "\"")
	return strings.TrimSpace(s)
}

// tokenKind says what a token is.
type tokenKind uint8

const (
	number tokenKind = iota + 1 // digits, with a point or a comma where one is between
	word                        // letters
	sign                        // one other character
)

// token is a piece of a folded line.
type token struct {
	kind  tokenKind
	text  string
	space bool // white space, or the line's start, stands before it
	after bool // white space, or the line's end, stands behind it
}

// lexer cuts a folded line into tokens; each state reads one token and names
// the next.
type lexer struct {
	in  string
	pos int
	out []token
}

type state func(*lexer) state

func lex(folded string) []token {
	l := &lexer{in: folded, out: make([]token, 0, 8)} // as many as most lines have
	for s := state(lexSpace); s != nil; {
		s = s(l)
	}
	l.out = unhyphened(l.out)
	for i := range l.out {
		l.out[i].after = i+1 == len(l.out) || l.out[i+1].space
	}
	return l.out
}

// unhyphened takes out the hyphens that join words: three-eighths, fifty-five,
// 3-eighths and 2-inch. Between figures a dash stays: 1-3/8.
func unhyphened(in []token) []token {
	out := in[:0]
	for i := 0; i < len(in); i++ {
		t := in[i]
		if i > 0 && i+1 < len(in) && t.text == "-" && !t.space && !in[i+1].space && in[i+1].kind == word &&
			(in[i-1].kind == word || in[i-1].kind == number && (pluralPart(in[i+1].text) || wordIndex[in[i+1].text].Class == UnitWord)) {
			in[i+1].space = true
			continue
		}
		out = append(out, t)
	}
	return out
}

func lexSpace(l *lexer) state {
	for l.pos < len(l.in) && l.in[l.pos] == ' ' {
		l.pos++
	}
	if l.pos == len(l.in) {
		return nil
	}
	switch c := l.in[l.pos]; {
	case digit(c), c == '.' && l.pos+1 < len(l.in) && digit(l.in[l.pos+1]):
		return lexNumber
	case letter(c):
		return lexWord
	}
	return lexSign
}

func (l *lexer) emit(k tokenKind, end int) state {
	l.out = append(l.out, token{kind: k, text: l.in[l.pos:end], space: l.pos == 0 || l.in[l.pos-1] == ' '})
	l.pos = end
	return lexSpace
}

func lexNumber(l *lexer) state {
	end := l.pos
	for end < len(l.in) && digit(l.in[end]) {
		end++
	}
	if end+1 < len(l.in) && (l.in[end] == '.' || l.in[end] == ',') && digit(l.in[end+1]) {
		end++
		for end < len(l.in) && digit(l.in[end]) {
			end++
		}
	}
	return l.emit(number, end)
}

func lexWord(l *lexer) state {
	end := l.pos
	for end < len(l.in) && (letter(l.in[end]) || l.in[end] == '\'' && end > l.pos && end+1 < len(l.in) && letter(l.in[end+1])) {
		end++
	}
	return l.emit(word, end)
}

func lexSign(l *lexer) state { return l.emit(sign, l.pos+1) }

func digit(c byte) bool  { return c >= '0' && c <= '9' }
func letter(c byte) bool { return c >= 'a' && c <= 'z' || c >= 0x80 }
