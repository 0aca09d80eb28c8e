package store

import (
	"time"

	"rodcall/session"
)

// underShut begins the key of a row of access about somebody who floods.
const underShut = "shut"

// Shut is that nothing of what somebody sends is taken until they pause.
type Shut struct {
	Last    time.Time `json:"last,omitzero"`   // when they sent the newest message that was refused
	Refused int       `json:"refused"`         // messages, since it began
	Warned  uint64    `json:"warned,omitzero"` // the row of the outbox that tells them, 0 for none
}

// ShutOf is whether nothing is taken of a person, by their platform id.
func (t *Tx) ShutOf(platform string) (s Shut, ok bool, err error) {
	ok, err = load(t.bucket(bucketAccess), under(underShut, []byte(platform)), &s)
	return s, ok, err
}

// KeepShut notes that nothing is taken of a person. Of somebody who was never heard
// nothing is kept.
func (t *Tx) KeepShut(platform string, s Shut) error {
	if t.PersonOf(platform) == 0 {
		return nil
	}
	return save(t.bucket(bucketAccess), under(underShut, []byte(platform)), s)
}

// Reopen notes that a person is heard again, and has a chat told, in one row of the
// outbox.
func (t *Tx) Reopen(platform, chat string, r session.Reply, made time.Time) (row uint64, err error) {
	if err := t.bucket(bucketAccess).Delete(under(underShut, []byte(platform))); err != nil {
		return 0, err
	}
	return t.say(chat, r, made)
}
