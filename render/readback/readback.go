// Package readback reads the words of a PDF back, for tests: that what was
// written can be searched and copied is then known without another program.
//
// It reads what render writes and no more: whole objects one after another,
// pages in the order of their list, content that is plain or deflated, text
// placed by Td and shown by Tj in two-byte codes that the font's ToUnicode
// map leaves as they are.
package readback

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"unicode/utf16"
)

// Word is one text of a page, as it was shown at once.
type Word struct {
	Page int     // from 1
	X, Y float64 // of its beginning on the baseline, in points; y up
	Size float64 // of the type, in points
	Text string
}

var (
	objectAt  = regexp.MustCompile(`(?m)^(\d+) 0 obj\b`)
	kidsList  = regexp.MustCompile(`/Kids \[([^\]]*)\]`)
	kid       = regexp.MustCompile(`(\d+) 0 R`)
	contents  = regexp.MustCompile(`/Contents (\d+) 0 R`)
	streamIn  = regexp.MustCompile(`(?s)/Length (\d+)>>\s*stream\r?\n`)
	size      = regexp.MustCompile(`/F\w+ ([\d.]+) Tf`)
	shown     = regexp.MustCompile(`BT ([-\d.]+) ([-\d.]+) Td \(`)
	type0     = regexp.MustCompile(`/Subtype /Type0`)
	toUnicode = regexp.MustCompile(`/ToUnicode (\d+) 0 R`)
	sameCodes = "<0000> <FFFF> <0000>"
)

// Words are the texts of a PDF in the order in which they are shown, and how
// many pages it has. A font without a ToUnicode map is an error: its text
// could not be searched.
func Words(pdf []byte) (words []Word, pages int, err error) {
	objects := map[string][]byte{}
	at := objectAt.FindAllSubmatchIndex(pdf, -1)
	for i, m := range at {
		end := len(pdf)
		if i+1 < len(at) {
			end = at[i+1][0]
		}
		objects[string(pdf[m[2]:m[3]])] = pdf[m[1]:end]
	}
	for n, o := range objects {
		if !type0.Match(o) {
			continue
		}
		m := toUnicode.FindSubmatch(o)
		if m == nil {
			return nil, 0, fmt.Errorf("font %s has no ToUnicode map", n)
		}
		codes, err := stream(objects[string(m[1])])
		if err != nil {
			return nil, 0, fmt.Errorf("font %s: %w", n, err)
		}
		if !bytes.Contains(codes, []byte(sameCodes)) {
			return nil, 0, fmt.Errorf("font %s: its map does not leave codes as they are", n)
		}
	}
	list := kidsList.FindSubmatch(pdf)
	if list == nil {
		return nil, 0, errors.New("no list of pages")
	}
	for _, k := range kid.FindAllSubmatch(list[1], -1) {
		pages++
		m := contents.FindSubmatch(objects[string(k[1])])
		if m == nil {
			return nil, 0, fmt.Errorf("page %d has no contents", pages)
		}
		content, err := stream(objects[string(m[1])])
		if err != nil {
			return nil, 0, fmt.Errorf("page %d: %w", pages, err)
		}
		found, err := texts(content, pages)
		if err != nil {
			return nil, 0, fmt.Errorf("page %d: %w", pages, err)
		}
		words = append(words, found...)
	}
	return words, pages, nil
}

// stream is what an object's stream holds.
func stream(object []byte) ([]byte, error) {
	m := streamIn.FindSubmatchIndex(object)
	if m == nil {
		return nil, errors.New("an object without a stream")
	}
	n, err := strconv.Atoi(string(object[m[2]:m[3]]))
	if err != nil || m[1]+n > len(object) {
		return nil, fmt.Errorf("a stream of %s bytes is cut short", object[m[2]:m[3]])
	}
	data := object[m[1] : m[1]+n]
	if !bytes.Contains(object[:m[0]], []byte("/FlateDecode")) {
		return data, nil
	}
	r, err := zlib.NewReader(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	return io.ReadAll(r)
}

// texts are the words of one page's content.
func texts(content []byte, page int) ([]Word, error) {
	var words []Word
	em := 0.0
	for at := 0; ; {
		m := shown.FindSubmatchIndex(content[at:])
		if m == nil {
			return words, nil
		}
		w := Word{Page: page}
		var err [3]error
		w.X, err[0] = strconv.ParseFloat(string(content[at+m[2]:at+m[3]]), 64)
		w.Y, err[1] = strconv.ParseFloat(string(content[at+m[4]:at+m[5]]), 64)
		if all := size.FindAllSubmatch(content[at:at+m[0]], -1); len(all) > 0 {
			em, err[2] = strconv.ParseFloat(string(all[len(all)-1][1]), 64)
		}
		w.Size = em
		codes, n := literal(content[at+m[1]:])
		if err := errors.Join(err[:]...); err != nil {
			return nil, err
		}
		if n == 0 || len(codes)%2 != 0 {
			return nil, fmt.Errorf("not a text of two-byte codes: %q", content[at+m[0]:min(at+m[1]+40, len(content))])
		}
		units := make([]uint16, len(codes)/2)
		for i := range units {
			units[i] = uint16(codes[2*i])<<8 | uint16(codes[2*i+1])
		}
		w.Text = string(utf16.Decode(units))
		words = append(words, w)
		at += m[1] + n
	}
}

// literal reads a string in parentheses from behind the first one, and says
// how long it was with the last, 0 where it has no end (ISO 32000-1, 7.3.4.2).
func literal(in []byte) (out []byte, n int) {
	depth := 1
	for i := 0; i < len(in); i++ {
		c := in[i]
		switch c {
		case '\\':
			i++
			if i == len(in) {
				return nil, 0
			}
			switch c = in[i]; c {
			case 'n':
				c = '\n'
			case 'r':
				c = '\r'
			case 't':
				c = '\t'
			}
		case '(':
			depth++
		case ')':
			if depth--; depth == 0 {
				return out, i + 1
			}
		}
		out = append(out, c)
	}
	return nil, 0
}
