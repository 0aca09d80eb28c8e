package report

import (
	"bytes"
	"image"
	"image/jpeg"
	"strconv"

	scale "golang.org/x/image/draw"

	"rodcall/render"
	"rodcall/session"
)

// MaxPhotos is how many photos a job's papers show; the others are told in
// words.
const MaxPhotos = 24

const (
	maxPhotoBytes = 10 << 20 // of all, as shown
	maxPhotoSide  = 4000     // pixels, as kept
	photoAcross   = 1000     // pixels, as shown, at most
	photoQuality  = 80
)

// kept is what was kept with stations, on pages behind the others: a table in
// the order of the walk, and the photos.
func (p *paper) kept(photos Photos) {
	notes := p.job.Kept()
	if len(notes) == 0 {
		return
	}
	t := &render.Table{
		Head:  []string{p.say("papers.col.station"), p.say("papers.kept.when"), p.say("papers.kept.who"), p.say("papers.kept.round"), p.say("papers.kept.note")},
		Right: []bool{false, false, false, true, false},
	}
	var shown render.Photos
	bytes, widths := 0, map[int]bool{}
	for _, n := range notes {
		who, text := p.src.Names(n.By), n.Text
		if who == "" {
			who = p.say("somebody")
		}
		if n.Shows() {
			var photo render.Photo
			ok := false
			if photos != nil && len(shown) < MaxPhotos {
				photo, ok = shownPhoto(photos(n.Photo), widths)
			}
			if ok = ok && bytes+len(photo.JPEG) <= maxPhotoBytes; ok {
				bytes += len(photo.JPEG)
				widths[photo.Width] = true
				photo.Caption = p.say("papers.kept.under", len(shown)+1, p.name(n))
				shown = append(shown, photo)
				text = p.withText("papers.kept.photo", len(shown), n.Text)
			} else {
				text = p.withText("papers.kept.unshown", n.Photo.String()[:8], n.Text)
			}
		}
		t.Rows = append(t.Rows, render.Row{Cells: []string{p.name(n), n.At.In(p.made.Location()).Format("2006-01-02 15:04"), who, strconv.Itoa(n.Round), text}})
	}
	p.out.Behind = append(p.out.Behind, render.Heading(p.say("papers.kept")), t)
	if len(shown) > 0 {
		p.out.Behind = append(p.out.Behind, shown)
	}
}

func (p *paper) name(n session.Note) string { return session.SayStation(p.lang, p.job, n.Station) }

// withText is a photo's words, with what was written with it.
func (p *paper) withText(key session.Key, which any, text string) string {
	words := p.say(key, which)
	if text == "" {
		return words
	}
	return words + ": " + text
}

// shownPhoto is a photo as papers show it: upright, written anew, no larger than needed
// and without what else its file holds, in a width that no other has. ok is
// false where it is none.
func shownPhoto(kept []byte, widths map[int]bool) (photo render.Photo, ok bool) {
	size, err := jpeg.DecodeConfig(bytes.NewReader(kept))
	if err != nil || size.Width < 1 || size.Height < 1 || size.Width > maxPhotoSide || size.Height > maxPhotoSide {
		return photo, false
	}
	full, err := jpeg.Decode(bytes.NewReader(kept))
	if err != nil {
		return photo, false
	}
	held := Orientation(kept)
	if lies(held) {
		size.Width, size.Height = size.Height, size.Width
	}
	w := min(size.Width, photoAcross)
	for widths[w] {
		w--
	}
	if w < 1 {
		return photo, false
	}
	h := max(1, size.Height*w/size.Width)
	small := image.NewRGBA(image.Rect(0, 0, w, h))
	if lies(held) {
		small = image.NewRGBA(image.Rect(0, 0, h, w))
	}
	scale.ApproxBiLinear.Scale(small, small.Bounds(), full, full.Bounds(), scale.Src, nil)
	var b bytes.Buffer
	if err := jpeg.Encode(&b, upright(small, held), &jpeg.Options{Quality: photoQuality}); err != nil {
		return photo, false
	}
	return render.Photo{JPEG: b.Bytes(), Width: w, Height: h}, true
}
