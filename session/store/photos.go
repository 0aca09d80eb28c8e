package store

import (
	"bytes"
	"fmt"

	"rodcall/session"
)

// MaxPhoto is the most bytes of a photo that is kept.
const MaxPhoto = 2 << 20

// Photo is the bytes of a photo that an event names by their hash.
func (t *Tx) Photo(hash session.Hash) ([]byte, bool) {
	b := t.bucket(bucketPhotos)
	if b == nil {
		return nil, false // a file of before there were any, only read
	}
	jpeg := b.Get(hash[:])
	return bytes.Clone(jpeg), jpeg != nil
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
