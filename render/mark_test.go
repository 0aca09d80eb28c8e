package render

import (
	"bytes"
	"image"
	"image/png"
	"testing"
)

var statuses = []Status{StatusUnread, StatusOn, StatusHigh, StatusLow, StatusRaise, StatusLower, StatusUnsure}

// pictured paints one status's shape on a sheet of its own and decodes it.
func pictured(t *testing.T, s Status, radius float64) image.Image {
	t.Helper()
	p := &Page{Width: 48, Height: 48}
	shape(p, RoleMark, s, Pt{24, 24}, radius, "")
	var b bytes.Buffer
	if err := WritePNG(&b, p); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// inked says of each pixel whether it is more ink than paper, whatever the
// ink's colour: the inks' own darkness is taken out.
func inked(img image.Image, s Status) []bool {
	full := inkOf(s).Color()
	half := (255 + int(full.R) + 255 + int(full.G) + 255 + int(full.B)) / 2
	var out []bool
	for y := range img.Bounds().Dy() {
		for x := range img.Bounds().Dx() {
			r, g, b, _ := img.At(x, y).RGBA()
			out = append(out, int(r>>8)+int(g>>8)+int(b>>8) < half)
		}
	}
	return out
}

// TestStatusesDifferInShape holds that a status is never told by colour alone:
// painted at the sizes at which marks are drawn and taken as ink or paper only,
// the shapes of any two differ in as much as half of the smaller one's pixels.
func TestStatusesDifferInShape(t *testing.T) {
	for _, radius := range []float64{mostRadius, stripRadius, 5, 4, leastRadius} {
		shapes := map[Status][]bool{}
		area := map[Status]int{}
		for _, s := range statuses {
			shapes[s] = inked(pictured(t, s, radius), s)
			for _, in := range shapes[s] {
				if in {
					area[s]++
				}
			}
			if area[s] < int(radius*radius/2) {
				t.Errorf("status %d at radius %v has %d pixels of ink", s, radius, area[s])
			}
		}
		for i, a := range statuses {
			for _, b := range statuses[i+1:] {
				differ := 0
				for k := range shapes[a] {
					if shapes[a][k] != shapes[b][k] {
						differ++
					}
				}
				part := float64(differ) / float64(min(area[a], area[b]))
				least := 0.5
				if radius < stripRadius {
					least = 0.3 // a few pixels each
				}
				if part < least {
					t.Errorf("at radius %v, statuses %d and %d differ in %d pixels, %.0f%% of the smaller", radius, a, b, differ, 100*part)
				}
			}
		}
	}
}

// TestStatusesHaveInks checks that no two statuses share an ink, and that
// none is drawn in the ink of text or of walls.
func TestStatusesHaveInks(t *testing.T) {
	seen := map[Ink]Status{InkPaper: 0, InkText: 0, InkWall: 0, InkLine: 0}
	for _, s := range statuses {
		if other, ok := seen[inkOf(s)]; ok {
			t.Errorf("statuses %d and %d share an ink", s, other)
		}
		seen[inkOf(s)] = s
	}
}

// TestMarksAreDrawnAsTheirStatus finds on a laid-out page, by ink and shape,
// the status of every mark.
func TestMarksAreDrawnAsTheirStatus(t *testing.T) {
	for _, w := range []wording{calm, before, widest} {
		s := sceneOf("statuses", rectangle(t, 40, 28), w)
		p, err := Layout(s)
		if err != nil {
			t.Fatal(err)
		}
		drawn := map[string]Ink{}
		for _, it := range p.Items {
			if it.Role == RoleMark && it.Ink != InkPaper {
				drawn[it.Mark] = it.Ink
			}
		}
		for _, m := range s.Marks {
			if drawn[m.Name] != inkOf(m.Status) {
				t.Errorf("mark %s of status %d is drawn in ink %d", m.Name, m.Status, drawn[m.Name])
			}
		}
	}
}
