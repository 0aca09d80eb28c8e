package bot

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"strings"
	"testing"

	"rodcall/session/report"
)

// TestBare: what a camera writes beside the picture goes, the picture stays.
func TestBare(t *testing.T) {
	grey := image.NewGray(image.Rect(0, 0, 40, 30))
	for i := range grey.Pix {
		grey.Pix[i] = uint8(i)
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, grey, nil); err != nil {
		t.Fatal(err)
	}
	plain := b.Bytes()
	segment := func(marker byte, text string) string {
		n := len(text) + 2
		return string([]byte{0xff, marker, byte(n >> 8), byte(n)}) + text
	}
	with := []byte(string(plain[:2]) + segment(0xe0, "JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00") +
		segment(0xe1, "Exif\x00\x00 GPS of the yard") + segment(0xe2, "maker's own") + segment(0xfe, "a comment") + string(plain[2:]))
	got := bare(with)
	for _, gone := range []string{"GPS", "maker", "comment"} {
		if strings.Contains(string(got), gone) {
			t.Errorf("%q is still there", gone)
		}
	}
	if !strings.Contains(string(got), "JFIF") {
		t.Error("the head of the file is gone")
	}
	want, err := jpeg.Decode(bytes.NewReader(with))
	if err != nil {
		t.Fatal(err)
	}
	is, err := jpeg.Decode(bytes.NewReader(got))
	if err != nil {
		t.Fatal(err)
	}
	for y := range 30 {
		for x := range 40 {
			if color.GrayModel.Convert(is.At(x, y)) != color.GrayModel.Convert(want.At(x, y)) {
				t.Fatalf("another picture at %d, %d", x, y)
			}
		}
	}
	// How it was held stays, and nothing else that stood beside it.
	exif := "Exif\x00\x00II*\x00\x08\x00\x00\x00\x01\x00\x12\x01\x03\x00\x01\x00\x00\x00\x06\x00\x00\x00\x00\x00\x00\x00 GPS of the yard"
	turned := bare([]byte(string(plain[:2]) + segment(0xe1, exif) + segment(0xe1, "more of it") + string(plain[2:])))
	if o := report.Orientation(turned); o != 6 || len(turned) != len(plain)+36 || strings.Contains(string(turned), "GPS") {
		t.Errorf("held as %d, %d bytes more", o, len(turned)-len(plain))
	}
	if !bytes.Equal(bare(plain), plain) {
		t.Error("a bare file was changed")
	}
	for _, odd := range []string{"", "\xff\xd8", "\xff\xd8\xff\xe1\xff\xff..", "GIF89a", string(plain[:20])} {
		if got := bare([]byte(odd)); string(got) != odd {
			t.Errorf("%q became %q", odd, got)
		}
	}
}
