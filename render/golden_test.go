package render

import (
	"bytes"
	"flag"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"testing"

	"rodcall/reduce"
)

var update = flag.Bool("update", false, "rewrite the golden pictures")

// goldens are the drawings that are kept as pictures.
func goldens(t testing.TB) map[string]*Scene {
	sag := func(x, y float64) float64 { return 3 - 0.9*x - 0.5*y + 3*math.Sin(x+y/2) }
	plain := walked{title: "Made-up house", o: rectangle(t, 40, 28), datum: true, height: sag,
		lines: []string{"34 of 34 stations read · 36 readings · made 2026-05-04 13:40 UTC", "reference c1 · amounts in inches", "direct rod", "datum: reference, c1 · tolerance 1/8 in either way"}}
	before := walked{title: "Made-up house, half walked", o: rectangle(t, 40, 28), height: sag,
		unread: func(i int) bool { return i > 17 && i != 26 },
		lines:  []string{"19 of 34 stations read · 19 readings · made 2026-05-04 10:05 UTC", "reference c1 · amounts in inches", "direct rod", "no datum yet: amounts are from c1"}}
	angle := walked{title: "Made-up workshop", o: outline(t, reduce.Metre, []float64{0, 0, 11, 5, -6, 4, 5, 9}), metric: true, datum: true,
		height: func(x, y float64) float64 { return 8*math.Cos(x/3) - y },
		lines:  []string{"reference c1 · amounts in millimetres", "direct rod", "datum: high spot, c3 · tolerance 3 mm either way"}}
	o := outline(t, reduce.Foot, []float64{0, 0, 40, 28, 40, 28}, []float64{40, 4, 20, 22, 20, 22})
	o, err := o.WithPiers([]reduce.Point{{X: 10 * reduce.Foot, Y: 14 * reduce.Foot}, {X: 20 * reduce.Foot, Y: 14 * reduce.Foot}, {X: 30 * reduce.Foot, Y: 14 * reduce.Foot}})
	if err != nil {
		t.Fatal(err)
	}
	garage := walked{title: "House, garage and piers", o: o, datum: true, height: sag,
		lines: []string{"reference c1 · amounts in inches", "direct rod that counts the other way", "datum: high spot · tolerance 1/8 in either way"}}
	sixty := walked{title: "Sixty stations", o: outline(t, reduce.Foot, comb(5, 4, 4, 10)...), datum: true,
		height: func(x, y float64) float64 { return 6*math.Sin(2*x) - y },
		lines:  []string{"reference c1 · amounts in inches", "direct rod", "datum: high spot, c9 · tolerance 1/8 in either way"}}
	wing := walked{title: "House with a wing at 30°", o: shapeOf(t, "wing at 30°"), datum: true, height: sag,
		lines: []string{"reference c1 · amounts in inches", "direct rod", "datum: high spot · tolerance 1/8 in either way"}}
	bay := walked{title: "House with a bay", o: shapeOf(t, "bay window"), height: sag,
		lines: []string{"reference c1 · amounts in inches", "direct rod", "no datum yet: amounts are from c1"}}
	again := walked{title: "Made-up house, second round", o: rectangle(t, 40, 28), datum: true,
		height: func(x, y float64) float64 { return math.Round(sag(x, y) / 6) },
		unread: func(i int) bool { return i == 9 || i == 10 },
		lines:  []string{"32 of 34 stations read · made 2026-05-04 17:25 UTC", "reference c1 · amounts in inches", "datum: reference, c1 · tolerance 1/8 in either way"}}
	rounds := again.scene()
	for i, r := range plain.scene().Strip.Runs {
		rounds.Strip.Runs[i].Before = r.Points
	}
	rounds.Strip.Before, rounds.Strip.Now = "round 1, rod on concrete", "round 2, rod on shims"
	sunken := walked{title: "Made-up house with a sunken room", o: outline(t, reduce.Foot, []float64{0, 0, 40, 14, -20, 14, 20, 28}), datum: true, height: sag,
		lines: []string{"reference c1 · amounts in inches", "direct rod", "design (hollow walls): c2 to c3, c4 to c5 and c6 to c1: 8 in lower"}}
	return map[string]*Scene{
		"steps":  stepped(sunken.scene(), "step 8 in"),
		"rounds": rounds, "wing": wing.scene(), "bay": bay.scene(),
		"plain": plain.scene(), "before": before.scene(), "angle": angle.scene(),
		"garage": garage.scene(), "sixty": sixty.scene(), "free": freeWalk(),
	}
}

// shapeOf is the outline of that name.
func shapeOf(t testing.TB, name string) reduce.Outline {
	t.Helper()
	for _, s := range slanted(t) {
		if s.name == name {
			return s.o
		}
	}
	t.Fatalf("no outline %s", name)
	return reduce.Outline{}
}

// freeWalk is a walk without an outline: stations in rows, and no walls.
func freeWalk() *Scene {
	w := walked{height: func(x, y float64) float64 { return 0 }}
	s := &Scene{Title: "Barn", Lines: []string{"13 stations · 14 readings · made 2026-05-04 08:20 UTC", "reference bm", "no outline yet: stations in rows as walked, not to scale"},
		MoreText: "labels shown for %d of %d stations",
		Key:      []KeyEntry{{StatusHigh, "above bm"}, {StatusOn, "level with bm"}, {StatusLow, "below bm"}}}
	s.Strip = Strip{Title: "stations as walked · heights exaggerated %s times", ZeroLabel: "bm", HighLabel: "high", LowLabel: "low"}
	const pitch = 4 * reduce.Foot
	run := Run{Length: 12 * pitch}
	for i, h := range []reduce.Length{0, 3, 5, 2, -1, -4, -7, -9, -6, -2, 0, 1, 22} {
		n := reduce.Length(i)
		m := Mark{Name: "abcdefghijklm"[i : i+1], Corner: true, At: reduce.Point{X: n % 8 * pitch, Y: -(n / 8) * pitch}}
		w.mark(&m, h*reduce.Inch/16)
		s.Marks = append(s.Marks, m)
		run.Corners = append(run.Corners, RunCorner{m.Name, n * pitch})
		run.Points = append(run.Points, RunPoint{n * pitch, h * reduce.Inch / 16, m.Status, false})
	}
	s.Strip.Runs = []Run{run}
	s.Strip.Ticks = []Tick{{reduce.Inch, "1"}, {reduce.Inch / 2, "1/2"}, {0, "0"}, {-reduce.Inch / 2, "1/2"}}
	return s
}

// TestGolden holds drawings pixel by pixel against the pictures in
// testdata/golden, which -update rewrites. Where they differ, a picture beside
// the golden one shows in red where.
func TestGolden(t *testing.T) {
	for name, s := range goldens(t) {
		p, err := Layout(s)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range faults(p) {
			t.Errorf("%s: %s", name, f)
		}
		if p.Labelled != p.Marks {
			t.Errorf("%s: %d of %d marks have labels", name, p.Labelled, p.Marks)
		}
		got, _ := decoded(t, p)
		file := filepath.Join("..", "testdata", "golden", name+".png")
		if *update {
			var b bytes.Buffer
			if err := WritePNG(&b, p); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		diff, n, worst := unlike(got, readPNG(t, file))
		if worst > 2 || n > got.Bounds().Dx()*got.Bounds().Dy()/10_000 {
			show := filepath.Join("..", "testdata", "golden", name+".diff.png")
			var b bytes.Buffer
			if err := png.Encode(&b, diff); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(show, b.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
			t.Errorf("%s: %d pixels differ, by up to %.1f steps of ink; see %s", name, n, worst, show)
		}
	}
}

func readPNG(t *testing.T, file string) image.Image {
	t.Helper()
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(b))
	if err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	return img
}

// step is by how many steps of ink two colours differ in the channel in which
// they differ most.
func step(a, b color.RGBA) float64 {
	d := max(max(a.R, b.R)-min(a.R, b.R), max(a.G, b.G)-min(a.G, b.G), max(a.B, b.B)-min(a.B, b.B))
	return float64(d) * (levels - 1) / 255
}

// unlike counts the pixels in which two pictures differ, says by how many
// steps of ink at most, and shows them in red on a pale copy of the first.
// Processors that round otherwise may differ by two steps in a pixel of ten
// thousand.
func unlike(got, want image.Image) (diff *image.RGBA, n int, worst float64) {
	all := got.Bounds().Union(want.Bounds())
	diff = image.NewRGBA(all)
	for y := all.Min.Y; y < all.Max.Y; y++ {
		for x := all.Min.X; x < all.Max.X; x++ {
			a, b := color.RGBAModel.Convert(got.At(x, y)).(color.RGBA), color.RGBAModel.Convert(want.At(x, y)).(color.RGBA)
			diff.SetRGBA(x, y, color.RGBA{192 + a.R/4, 192 + a.G/4, 192 + a.B/4, 255})
			by := step(a, b)
			if in := (image.Point{x, y}); in.In(got.Bounds()) != in.In(want.Bounds()) {
				by = levels
			}
			if by > 0 {
				diff.SetRGBA(x, y, color.RGBA{R: 255, A: 255})
				n, worst = n+1, max(worst, by)
			}
		}
	}
	return diff, n, worst
}
