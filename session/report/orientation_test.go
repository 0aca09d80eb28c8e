package report

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"testing"
)

// held says where the first row and the first column of a file stand in what is seen.
// From Exif 2.2 (JEITA CP-3451), 4.6.4 A, tag 274, read; Exif 2.32 and TIFF 6.0 have the
// same.
var held = map[int][2]string{
	1: {"top", "left"}, 2: {"top", "right"}, 3: {"bottom", "right"}, 4: {"bottom", "left"},
	5: {"left", "top"}, 6: {"right", "top"}, 7: {"right", "bottom"}, 8: {"left", "bottom"},
}

// seen is where a spot of a file of w by h is in what is seen: each row lies so far from
// the side at which the first one stands, and each column likewise.
func seen(o, x, y, w, h int) (column, row int) {
	for i, side := range held[o] {
		n, of := y, h
		if i == 1 {
			n, of = x, w
		}
		switch side {
		case "top":
			row = n
		case "bottom":
			row = of - 1 - n
		case "left":
			column = n
		case "right":
			column = of - 1 - n
		}
	}
	return column, row
}

// tagged is a JPEG file with Exif as cameras write it, with other tags before.
func tagged(t testing.TB, m image.Image, order binary.AppendByteOrder, orientation uint16) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	tiff := []byte("II")
	if order == binary.AppendByteOrder(binary.BigEndian) {
		tiff = []byte("MM")
	}
	tiff = order.AppendUint16(tiff, 42)
	tiff = order.AppendUint32(tiff, 8)
	tiff = order.AppendUint16(tiff, 2)
	for _, tag := range [][2]uint16{{0x0100, 1}, {0x0112, orientation}} {
		tiff = order.AppendUint16(tiff, tag[0])
		tiff = order.AppendUint16(tiff, 3)
		tiff = order.AppendUint32(tiff, 1)
		tiff = order.AppendUint16(tiff, tag[1])
		tiff = order.AppendUint16(tiff, 0)
	}
	tiff = order.AppendUint32(tiff, 0)
	segment := append([]byte("\xff\xe1\x00\x00Exif\x00\x00"), tiff...)
	binary.BigEndian.PutUint16(segment[2:], uint16(len(segment)-2)) //nolint:gosec // small
	return append(append(bytes.Clone(b.Bytes()[:2]), segment...), b.Bytes()[2:]...)
}

// Papers show a photo upright however it was held: a scene in four shades is turned into
// files as the standard says, and must come out as it was.
func TestPhotosAreUpright(t *testing.T) {
	const wide, high = 48, 32
	scene := func(x, y int) uint8 { // of a size, in quarters
		return []uint8{20, 90, 160, 230}[2*(2*y/high)+2*x/wide]
	}
	for o := 1; o <= 8; o++ {
		w, h := wide, high
		if held[o][0] == "left" || held[o][0] == "right" {
			w, h = high, wide
		}
		file := image.NewGray(image.Rect(0, 0, w, h))
		for y := range h {
			for x := range w {
				file.SetGray(x, y, color.Gray{Y: scene(seen(o, x, y, w, h))})
			}
		}
		for _, order := range []binary.AppendByteOrder{binary.BigEndian, binary.LittleEndian} {
			t.Run(fmt.Sprint(o, " ", order), func(t *testing.T) {
				kept := tagged(t, file, order, uint16(o)) //nolint:gosec // 1 to 8
				if got := Orientation(kept); got != o {
					t.Errorf("the file says %d", got)
				}
				p, ok := shownPhoto(kept, map[int]bool{})
				if !ok || p.Width != wide || p.Height != high {
					t.Fatalf("shown: %t, %d by %d", ok, p.Width, p.Height)
				}
				m, err := jpeg.Decode(bytes.NewReader(p.JPEG))
				if err != nil {
					t.Fatal(err)
				}
				if m.Bounds() != image.Rect(0, 0, wide, high) {
					t.Errorf("it is %v", m.Bounds())
				}
				for _, at := range [][2]int{{8, 8}, {40, 8}, {8, 24}, {40, 24}} {
					got := color.GrayModel.Convert(m.At(at[0], at[1])).(color.Gray).Y
					if want := scene(at[0], at[1]); got > want+12 || got+12 < want {
						t.Errorf("at %v it is %d, want %d", at, got, want)
					}
				}
			})
		}
	}
}

// What is written of an orientation is read as that, and nothing else is in it.
func TestOrientationSegment(t *testing.T) {
	for o := 1; o <= 8; o++ {
		s := OrientationSegment(o)
		if got := Orientation(append([]byte{0xff, 0xd8}, s...)); got != o {
			t.Errorf("%d is read as %d", o, got)
		}
		if len(s) != 36 || int(binary.BigEndian.Uint16(s[2:])) != len(s)-2 {
			t.Errorf("%d: % x", o, s)
		}
	}
}

// FuzzOrientation: whatever a file says, it is one of eight, and nothing falls over.
func FuzzOrientation(f *testing.F) {
	m := image.NewGray(image.Rect(0, 0, 8, 8))
	f.Add(tagged(f, m, binary.BigEndian, 6))
	f.Add(tagged(f, m, binary.LittleEndian, 9))
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x00Exif\x00\x00"))
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x10Exif\x00\x00II*\x00\xff\xff\xff\xff"))
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x12Exif\x00\x00MM\x00*\x00\x00\x00\x08\xff\xff"))
	f.Add([]byte("\xff"))
	f.Fuzz(func(t *testing.T, b []byte) {
		if o := Orientation(b); o < 1 || o > 8 {
			t.Errorf("it is %d", o)
		}
	})
}
