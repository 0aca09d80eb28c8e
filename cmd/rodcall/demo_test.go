package main

import (
	"bytes"
	"context"
	"flag"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"testing"
)

var update = flag.Bool("update", false, "make the README's picture anew")

// TestDemo holds the picture of the README against what the demo draws:
// decoded, for the bytes of a PNG differ between processors. At most two steps
// of ink in a pixel of ten thousand may differ.
func TestDemo(t *testing.T) {
	shown := filepath.Join("demo", "drawing.png")
	want, err := os.ReadFile(shown)
	if err != nil {
		t.Fatal(err)
	}
	home, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	var out, errs bytes.Buffer
	if status := run(context.Background(), []string{"demo"}, nil, &out, &errs); status != 0 {
		t.Fatalf("status %d: %s", status, errs.String())
	}
	got, err := os.ReadFile(filepath.Join(demoDir, "drawing.png"))
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.WriteFile(filepath.Join(home, shown), got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	a, b := decode(t, got), decode(t, want)
	if a.Bounds() != b.Bounds() {
		t.Fatalf("the demo draws %v, the README shows %v; go test ./cmd/rodcall -run TestDemo -update", a.Bounds(), b.Bounds())
	}
	n, worst := 0, 0
	for y := range a.Bounds().Dy() {
		for x := range a.Bounds().Dx() {
			p, q := color.RGBAModel.Convert(a.At(x, y)).(color.RGBA), color.RGBAModel.Convert(b.At(x, y)).(color.RGBA)
			if p != q {
				n++
				for _, d := range []int{int(p.R) - int(q.R), int(p.G) - int(q.G), int(p.B) - int(q.B)} {
					worst = max(worst, d, -d)
				}
			}
		}
	}
	if n > a.Bounds().Dx()*a.Bounds().Dy()/10_000 || worst > 2*24 {
		t.Errorf("%d pixels differ, by up to %d of 255, from the README's picture; go test ./cmd/rodcall -run TestDemo -update", n, worst)
	}
}

func decode(t *testing.T, b []byte) image.Image {
	t.Helper()
	img, err := png.Decode(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	return img
}
