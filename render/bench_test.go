package render

import (
	"io"
	"maps"
	"slices"
	"testing"
)

// benchScenes are the plain house, the busiest of the goldens and the most
// marks that are drawn.
func benchScenes(b *testing.B) map[string]*Scene {
	g := goldens(b)
	return map[string]*Scene{"plain": g["plain"], "sixty": g["sixty"], "ten-thousand": crowd(maxMarks)}
}

func BenchmarkLayout(b *testing.B) {
	scenes := benchScenes(b)
	for _, name := range slices.Sorted(maps.Keys(scenes)) {
		s := scenes[name]
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Layout(s); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkPNG(b *testing.B) { benchWrite(b, WritePNG) }

func BenchmarkSVG(b *testing.B) { benchWrite(b, WriteSVG) }

func benchWrite(b *testing.B, write func(io.Writer, *Page) error) {
	scenes := benchScenes(b)
	for _, name := range slices.Sorted(maps.Keys(scenes)) {
		p, err := Layout(scenes[name])
		if err != nil {
			b.Fatal(err)
		}
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if err := write(io.Discard, p); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
