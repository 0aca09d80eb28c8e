package bot

import (
	"mime"
	"strings"

	"rodcall/session"
	"rodcall/session/store"
)

const (
	// maxNote is the most bytes of a voice note that is listened to: far more
	// than a minute of what the platform's programs record.
	maxNote = 1 << 20
	// longestNote is the longest voice note that is listened to, in seconds.
	longestNote = 60
	// maxWide is the widest photo that is kept, in pixels, of those sizes that
	// the platform offers.
	maxWide = 1280
)

// sound is a voice note, or an audio file.
type sound struct {
	ID      string `json:"file_id"`
	Seconds int    `json:"duration"`
	Size    int64  `json:"file_size"`
	MIME    string `json:"mime_type"`
}

// opus says whether it may be Opus in OGG, by what the sender's program says
// that it is. The sender's name for it decides nothing more.
func (s *sound) opus() bool {
	kind, _, err := mime.ParseMediaType(s.MIME)
	return err == nil && (kind == "audio/ogg" || kind == "audio/opus" || kind == "application/ogg")
}

// photoSize is one of the sizes in which a photo can be had.
type photoSize struct {
	ID    string `json:"file_id"`
	Width int    `json:"width"`
	Size  int64  `json:"file_size"` // 0: not said
}

type document struct {
	ID   string `json:"file_id"`
	Size int64  `json:"file_size"`
	MIME string `json:"mime_type"`
}

// note is a voice note as the update tells of it. It is never fetched where
// fail is set.
type note struct {
	id   string
	fail session.HeardFail
}

// photo is a photo as the update tells of it, likewise.
type photo struct {
	id   string
	fail session.PhotoFail
}

// voiceNote is the voice note of a message.
func (m *message) voiceNote() (n note, ok bool) {
	s := m.Voice
	if s == nil {
		if s = m.Audio; s == nil {
			return n, false
		}
		if !s.opus() {
			return note{fail: session.HeardBroken}, true
		}
	}
	n.id = s.ID
	switch {
	case s.Seconds > longestNote || s.Size > maxNote:
		n.fail = session.HeardLong
	case s.Seconds <= 0:
		n.fail = session.HeardEmpty
	}
	return n, true
}

// photo is the photo of a message: the widest of its sizes that is kept, or the
// file of a JPEG.
func (m *message) photo() (p photo, ok bool) {
	if d := m.Document; d != nil {
		if !strings.EqualFold(d.MIME, "image/jpeg") {
			return p, false
		}
		if d.Size > store.MaxPhoto {
			return photo{fail: session.PhotoLarge}, true
		}
		return photo{id: d.ID}, true
	}
	if len(m.Photo) == 0 {
		return p, false
	}
	wide := 0
	for _, s := range m.Photo {
		if s.Width > wide && s.Width <= maxWide && s.Size <= store.MaxPhoto {
			p.id, wide = s.ID, s.Width
		}
	}
	if p.id == "" {
		p.fail = session.PhotoLarge
	}
	return p, true
}
