package report_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"strings"
	"testing"

	"rodcall/render"
	"rodcall/session"
	"rodcall/session/report"
	"rodcall/session/report/proof"
)

// album is photos by their hash.
type album map[session.Hash][]byte

func (a album) at(h session.Hash) []byte { return a[h] }

// photo puts a photo of a size into the album.
func (a album) photo(t testing.TB, w, h, grey int) session.Hash {
	t.Helper()
	m := image.NewGray(image.Rect(0, 0, w, h))
	for x := range w {
		m.SetGray(x, 0, color.Gray{Y: uint8(grey)}) //nolint:gosec // 0 to 255
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		t.Fatal(err)
	}
	return a.put(b.Bytes())
}

func (a album) put(bytes []byte) session.Hash {
	h := session.HashOf(bytes)
	a[h] = bytes
	return h
}

// noted is a job with notes and photos, of stations that were read and of others.
func noted(t *testing.T, a album) *book {
	b := shed(t)
	b.by = 1
	long := strings.Repeat("the form blew out between the stakes and was braced again; ", 5)
	b.add(session.Noted{Round: 1, Station: b.station("c3"), Text: "cold joint (3/8 low at the form)"})
	b.add(session.Noted{Round: 1, Station: b.station("c1+4"), Text: strings.TrimSpace(long)})
	b.add(session.Noted{Round: 1, Station: b.station("c1+4"), Photo: a.photo(t, 1280, 960, 90)})
	b.add(session.Noted{Round: 1, Station: b.station("t1"), Text: "on the kerb"})
	b.by = 9
	b.add(session.Noted{Round: 1, Station: b.station("c1+4"), Text: "grieta", Photo: a.photo(t, 960, 1280, 120)})
	return b
}

func TestPapersShowNotesAndPhotos(t *testing.T) {
	a := album{}
	j := noted(t, a).job()
	var exported bytes.Buffer
	if err := report.WriteJSON(&exported, j, sources); err != nil {
		t.Fatal(err)
	}
	for _, lang := range []string{"en", "es"} {
		for what, photos := range map[string]report.Photos{"shown": a.at, "in words": nil} {
			var b bytes.Buffer
			if err := report.WritePDF(&b, j, lang, made, report.Sources{Names: names, Photos: photos}); err != nil {
				t.Fatal(err)
			}
			text, pages := readLines(t, b.Bytes())
			if n := bytes.Count(b.Bytes(), []byte("/DCTDecode")); n != len(a) && photos != nil || n != 0 && photos == nil {
				t.Errorf("%s: %d photos are in the file", what, n)
			}
			if pages != 3 && pages != 4 {
				t.Errorf("%s: %d pages", what, pages)
			}
			if lang == "es" {
				if !strings.Contains(text, "Apuntes y fotos") || !strings.Contains(text, "foto ") {
					t.Errorf("%s: %s", what, text)
				}
				continue
			}
			if _, err := proof.Compare(exported.Bytes(), text); err != nil {
				t.Errorf("%s: %v\n%s", what, err, text)
			}
			// What the proof holds against the export must fail where it is another.
			other := strings.Replace(exported.String(), "cold joint", "warm joint", 1)
			if _, err := proof.Compare([]byte(other), text); err == nil || !strings.Contains(err.Error(), "warm joint") {
				t.Errorf("%s: another note is not missed: %v", what, err)
			}
		}
	}
}

// TestPhotosThatAreNotShown: what is no JPEG, is too large, or is one too many
// is told in words.
func TestPhotosThatAreNotShown(t *testing.T) {
	a := album{}
	b := shed(t)
	whole := album{}
	whole.photo(t, 40, 30, 9)
	broken := [][]byte{nil, []byte("no photo"), {0xff, 0xd8, 0xff, 0xd9}}
	for _, k := range whole {
		broken = append(broken, k[:len(k)/2])
		huge := bytes.Clone(k)
		at := bytes.Index(huge, []byte{0xff, 0xc0})
		copy(huge[at+5:], []byte{0xff, 0xff, 0xff, 0xff}) // 65535 x 65535
		broken = append(broken, huge)
	}
	for _, k := range broken {
		b.add(session.Noted{Round: 1, Station: b.station("c2"), Photo: a.put(k)})
	}
	b.add(session.Noted{Round: 1, Station: b.station("c2"), Photo: a.photo(t, 4001, 2, 9)})
	b.add(session.Noted{Round: 1, Station: b.station("c2"), Photo: session.HashOf([]byte("lost"))})
	unshown := len(broken) + 2
	for i := range report.MaxPhotos + 3 {
		b.add(session.Noted{Round: 1, Station: b.station("c3"), Photo: a.photo(t, 40, 30, 10+i*4)})
	}
	p := report.Papers(b.job(), "en", made, report.Sources{Names: names, Photos: a.at})
	shown, words, widths := 0, 0, map[int]bool{}
	for _, block := range p.Behind {
		switch block := block.(type) {
		case render.Photos:
			for _, k := range block {
				shown++
				widths[k.Width] = true
			}
		case *render.Table:
			for _, r := range block.Rows {
				if strings.Contains(r.Cells[4], "kept but not shown here") {
					words++
				}
			}
		}
	}
	if shown != report.MaxPhotos || words != unshown+3 || len(widths) != shown {
		t.Errorf("%d photos shown in %d widths, %d in words", shown, len(widths), words)
	}
	if err := report.WritePDF(&bytes.Buffer{}, b.job(), "en", made, report.Sources{Names: names, Photos: a.at}); err != nil {
		t.Error(err)
	}
}

// TestExportHoldsNotes: each stands with its station, and apart where that is not
// listed.
func TestExportHoldsNotes(t *testing.T) {
	a := album{}
	var b bytes.Buffer
	if err := report.WriteJSON(&b, noted(t, a).job(), sources); err != nil {
		t.Fatal(err)
	}
	type note struct {
		Station, Text, At string
		Photo, By         *string
		Round             int
	}
	var d struct {
		Notes    []note
		Stations []struct {
			Name  string
			Notes []note
		}
	}
	if err := json.Unmarshal(b.Bytes(), &d); err != nil {
		t.Fatal(err)
	}
	var got []string
	say := func(station string, n note) string {
		s := fmt.Sprint(station, " ", n.Round, " ", n.At[:10], " ", n.Text[:min(10, len(n.Text))])
		if n.Photo != nil {
			s += fmt.Sprint(" photo ", len(*n.Photo))
		}
		if n.By != nil {
			s += " by " + *n.By
		}
		return s
	}
	for _, s := range d.Stations {
		for _, n := range s.Notes {
			got = append(got, say(s.Name, n))
		}
	}
	for _, n := range d.Notes {
		got = append(got, say("apart "+n.Station, n))
	}
	want := "c1+4 1 2026-05-04 the form b by ann; c1+4 1 2026-05-04  photo 64 by ann; c1+4 1 2026-05-04 grieta photo 64; c3 1 2026-05-04 cold joint by ann; apart t1 1 2026-05-04 on the ker by ann"
	if s := strings.Join(got, "; "); s != want {
		t.Errorf("%q, want %q", s, want)
	}
}
