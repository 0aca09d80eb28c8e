package term

import (
	"bytes"
	"context"
	"fmt"
	"hash/fnv"
	"image"
	"image/color"
	"image/jpeg"

	"rodcall/session"
	"rodcall/session/engine"
)

// Width and height of a made photo, in pixels.
const photoWidth, photoHeight = 320, 240

// FetchPhoto makes the photo of a step: a grey slope whose angle goes by the
// message, so that no two are the same and each is the same whenever it is made.
func (p *port) FetchPhoto(_ context.Context, in engine.Incoming) ([]byte, session.PhotoFail, error) {
	h := fnv.New32a()
	if _, err := h.Write([]byte(in.Message.ID)); err != nil {
		return nil, "", err
	}
	across, down := int(h.Sum32()%7)+1, int(h.Sum32()/7%7)+1
	m := image.NewGray(image.Rect(0, 0, photoWidth, photoHeight))
	for y := range photoHeight {
		for x := range photoWidth {
			grey := 40 + (x*across+y*down)*175/(photoWidth*across+photoHeight*down)
			m.SetGray(x, y, color.Gray{Y: uint8(grey)}) //nolint:gosec // 40 to 215
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		return nil, "", fmt.Errorf("make a photo: %w", err)
	}
	return b.Bytes(), "", nil
}
