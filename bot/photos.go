package bot

import (
	"fmt"

	"rodcall/session/engine"
)

// maxPhotos is how many drawings that were sent are known by the id under which
// the platform keeps them.
const maxPhotos = 512

// pictureKey names a picture as it stands: a job, its newest event, a language,
// which of its pictures it is, and as what it is sent.
func pictureKey(d engine.Delivery) string {
	return fmt.Sprintf("%s.%d.%s.%s.%t", d.Reply.Picture, d.Drawn, d.Reply.Lang, d.Reply.Kind, d.Reply.Original)
}

// Drawn says whether a drawing of that state is at the platform already, so
// that it need not be drawn again.
func (b *Bot) Drawn(d engine.Delivery) bool {
	_, ok := b.photos.get(pictureKey(d))
	return ok
}
