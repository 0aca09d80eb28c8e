package bot_test

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"testing"
)

// claims is a JPEG that says of itself that it has another size: its start of
// frame holds height and width (ITU-T T.81, B.2.2).
func claims(t testing.TB, picture []byte, w, h uint16) []byte {
	t.Helper()
	picture = bytes.Clone(picture)
	i := bytes.Index(picture, []byte{0xff, 0xc0})
	if i < 0 {
		t.Fatal("no start of frame")
	}
	binary.BigEndian.PutUint16(picture[i+5:], h)
	binary.BigEndian.PutUint16(picture[i+7:], w)
	return picture
}

// photograph is a JPEG in which something can be seen.
func photograph(t testing.TB, w, h int) []byte {
	t.Helper()
	picture := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			picture.SetRGBA(x, y, color.RGBA{uint8(x * y % 251), uint8(x % 256), uint8(y % 256), 255})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, picture, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
