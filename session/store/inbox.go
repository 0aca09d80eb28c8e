package store

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"time"
)

// How long the id of an update is remembered; see the package comment.
const (
	SeenFor     = 48 * time.Hour
	SeenAtLeast = 1000
	SeenAtMost  = 1_000_000
)

// Update is one update as the platform gave it.
type Update struct {
	ID  int64
	Raw []byte
}

// Letter is an update in the inbox.
type Letter struct {
	Seq uint64 // its number in this file, from 1
	Update
}

// Dead is an update that could not be heard.
type Dead struct {
	Seq uint64 `json:"-"`
	ID  int64  `json:"id"`
	Raw []byte `json:"raw"`
	Why string `json:"why"`
}

// Receive stores the updates that were not stored before, and the adapter's
// cursor unless it is nil. It returns how many were new.
func (t *Tx) Receive(updates []Update, cursor []byte, now time.Time) (int, error) {
	inbox, seen := t.bucket(bucketInbox), t.bucket(bucketSeen)
	stored := 0
	for _, u := range updates {
		id := number(uint64(u.ID))
		if seen.Get(id) != nil {
			continue
		}
		seq, err := inbox.NextSequence()
		if err != nil {
			return 0, err
		}
		if err := inbox.Put(number(seq), append(bytes.Clone(id), u.Raw...)); err != nil {
			return 0, err
		}
		if err := seen.Put(id, append(number(seq), number(uint64(now.Unix()))...)); err != nil {
			return 0, err
		}
		stored++
	}
	if err := t.forgetSeen(2*stored, inbox.Sequence(), now); err != nil {
		return 0, err
	}
	if cursor == nil {
		return stored, nil
	}
	return stored, t.bucket(bucketMeta).Put(keyCursor, cursor)
}

// forgetSeen looks at some ids, going on from where it looked last, and
// forgets the old ones among them. Looking at two for each one stored keeps
// the bucket at no more than about twice what must be remembered.
func (t *Tx) forgetSeen(look int, newest uint64, now time.Time) error {
	if look == 0 {
		return nil
	}
	seen := t.bucket(bucketSeen)
	c := seen.Cursor()
	var old [][]byte
	k, v := c.Seek(t.s.sweep)
	for ; look > 0 && k != nil; look-- {
		seq, at := binary.BigEndian.Uint64(v), int64(binary.BigEndian.Uint64(v[8:]))
		age := newest - seq
		if age >= SeenAtMost || age >= SeenAtLeast && now.Sub(time.Unix(at, 0)) > SeenFor {
			old = append(old, bytes.Clone(k))
		}
		k, v = c.Next()
	}
	t.s.sweep = bytes.Clone(k) // nil at the end: from the start again
	for _, k := range old {
		if err := seen.Delete(k); err != nil {
			return err
		}
	}
	return nil
}

// Inbox lists up to limit updates not yet heard, in order, from number from.
func (t *Tx) Inbox(from uint64, limit int) []Letter {
	var out []Letter
	c := t.bucket(bucketInbox).Cursor()
	for k, v := c.Seek(number(from)); k != nil && len(out) < limit; k, v = c.Next() {
		out = append(out, letter(k, v))
	}
	return out
}

// Letter is the update of that number, if it is still in the inbox.
func (t *Tx) Letter(seq uint64) (Letter, bool) {
	k := number(seq)
	v := t.bucket(bucketInbox).Get(k)
	if v == nil {
		return Letter{}, false
	}
	return letter(k, v), true
}

func letter(k, v []byte) Letter {
	return Letter{binary.BigEndian.Uint64(k), Update{int64(binary.BigEndian.Uint64(v)), bytes.Clone(v[8:])}}
}

// InboxLen counts the updates not yet heard.
func (t *Tx) InboxLen() int { return t.bucket(bucketInbox).Stats().KeyN }

// Ignore takes an update out of the inbox that there is nothing to hear in.
func (t *Tx) Ignore(seq uint64) error {
	if !t.waits(seq) {
		return &GoneError{seq}
	}
	return t.bucket(bucketInbox).Delete(number(seq))
}

func (t *Tx) waits(seq uint64) bool { return t.bucket(bucketInbox).Get(number(seq)) != nil }

// Bury takes an update out of the inbox that could not be heard, and keeps it
// with the reason.
func (t *Tx) Bury(seq uint64, why error) error {
	l, ok := t.Letter(seq)
	if !ok {
		return &GoneError{seq}
	}
	if err := save(t.bucket(bucketDead), number(seq), Dead{ID: l.ID, Raw: l.Raw, Why: why.Error()}); err != nil {
		return err
	}
	return t.bucket(bucketInbox).Delete(number(seq))
}

// Dead lists up to limit updates that could not be heard, oldest first.
func (t *Tx) Dead(limit int) ([]Dead, error) {
	var out []Dead
	c := t.bucket(bucketDead).Cursor()
	for k, v := c.First(); k != nil && len(out) < limit; k, v = c.Next() {
		d := Dead{Seq: binary.BigEndian.Uint64(k)}
		if err := json.Unmarshal(v, &d); err != nil {
			return nil, err
		}
		out = append(out, d)
	}
	return out, nil
}
