package bot_test

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"testing"
)

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
