package store

import (
	"bytes"
	"fmt"

	"rodcall/session"
)

// MaxPhoto is the most bytes of a photo that is kept.
const MaxPhoto = 2 << 20

// lostPhoto stands in place of a photo that could not be rescued: no JPEG begins so.
var lostPhoto = []byte("lost")

// Photo is the bytes of a photo that an event names by their hash.
func (t *Tx) Photo(hash session.Hash) ([]byte, bool) {
	b := t.bucket(bucketPhotos)
	if b == nil {
		return nil, false // a file of before there were any, only read
	}
	jpeg := b.Get(hash[:])
	if jpeg == nil || bytes.Equal(jpeg, lostPhoto) {
		return nil, false
	}
	return bytes.Clone(jpeg), true
}

// photoLost says whether a photo is known to have been lost when the file was rescued.
func (t *Tx) photoLost(hash session.Hash) bool {
	b := t.bucket(bucketPhotos)
	return b != nil && bytes.Equal(b.Get(hash[:]), lostPhoto)
}

// planPhoto finds out whether an event of the commit names its photo.
func (c *Commit) planPhoto() (hash session.Hash, named bool, err error) {
	if len(c.Photo) == 0 {
		return hash, false, nil
	}
	if len(c.Photo) > MaxPhoto {
		return hash, false, fmt.Errorf("the photo has %d bytes: at most %d", len(c.Photo), MaxPhoto)
	}
	hash = session.HashOf(c.Photo)
	for _, e := range c.Events {
		if n, ok := e.Body.(session.Noted); ok && n.Photo == hash {
			return hash, true, nil
		}
	}
	return hash, false, nil
}
