package readback_test

import (
	"strings"
	"testing"

	"rodcall/render/readback"
)

// small is a document of one page, written by hand: its text is in two-byte
// codes, with a parenthesis and a backslash that are escaped.
const small = "%PDF-1.4\n1 0 obj\n<</Type /Page\n/Contents 2 0 R>>\nendobj\n" +
	"2 0 obj\n<</Length 72>>\nstream\nBT /F1 9.50 Tf ET BT 40.00 700.25 Td (\x00c\x003\x00\\(\x00\\\\\x00\xbd) Tj ET BT 1 2 Td (\x00x) Tj ET\nendstream\nendobj\n" +
	"3 0 obj\n<</Type /Pages\n/Kids [1 0 R ]\n/Count 1>>\nendobj\n" +
	"4 0 obj\n<</Type /Font\n/Subtype /Type0\n/ToUnicode 5 0 R>>\nendobj\n" +
	"5 0 obj\n<</Length 51>>\nstream\n1 beginbfrange\n<0000> <FFFF> <0000>\nendbfrange\nxxxxx\nendstream\nendobj\n"

// TestWords reads a document that another hand wrote.
func TestWords(t *testing.T) {
	words, pages, err := readback.Words([]byte(small))
	if err != nil {
		t.Fatal(err)
	}
	if pages != 1 || len(words) != 2 {
		t.Fatalf("%d pages, words %v", pages, words)
	}
	if want := (readback.Word{Page: 1, X: 40, Y: 700.25, Size: 9.5, Text: `c3(\½`}); words[0] != want {
		t.Errorf("%+v, want %+v", words[0], want)
	}
	if words[1].Text != "x" {
		t.Errorf("the second is %q", words[1].Text)
	}
}

// TestWordsRefuse: text that nobody could search is an error.
func TestWordsRefuse(t *testing.T) {
	for name, change := range map[string][2]string{
		"no map":        {"/ToUnicode 5 0 R", ""},
		"another map":   {"<FFFF> <0000>", "<FFFF> <0001>"},
		"no pages":      {"/Kids", "/None"},
		"no contents":   {"/Contents", "/None"},
		"no end":        {"\xbd) Tj", "\xbd  Tj"},
		"half a code":   {"(\x00x)", "(x)"},
		"a short file":  {"/Length 72", "/Length 7200"},
		"not a deflate": {"<</Length 72", "<</Filter /FlateDecode /Length 72"},
	} {
		t.Run(name, func(t *testing.T) {
			bad := strings.Replace(small, change[0], change[1], 1)
			if bad == small {
				t.Fatal("nothing changed")
			}
			if words, _, err := readback.Words([]byte(bad)); err == nil {
				t.Errorf("read as %v", words)
			}
		})
	}
}
