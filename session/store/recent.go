package store

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"

	"rodcall/session"
)

// Recent is how many of the newest messages are remembered at least, each way:
// what a message of the bot's asked for, and which job a person's message was
// heard for.
const Recent = 1 << 16

// shelfBits: what belongs together in time stands together, in shelves of
// 1<<shelfBits messages, so that the messages of many chats that are committed
// at once touch few pages of the file. A look-up goes from the newest shelf
// back; it is rare, for only edits, replies and taps need one.
const shelfBits = 9

func shelf(n uint64, chat, message string) []byte {
	return append(number(n), under(chat, []byte(message))...)
}

// remember stores what belongs to message seq of the file, a message of a
// chat. With the first one of a shelf those too old are taken away.
func (t *Tx) remember(bucket []byte, chat, message string, seq uint64, what []byte) error {
	if len(message) > maxKey {
		return nil // no platform has such ids
	}
	b := t.bucket(bucket)
	n := seq >> shelfBits
	c := b.Cursor()
	if k, _ := c.Last(); k == nil || binary.BigEndian.Uint64(k) < n {
		var old [][]byte
		for k, _ := c.First(); k != nil && binary.BigEndian.Uint64(k)+Recent>>shelfBits < n; k, _ = c.Next() {
			old = append(old, bytes.Clone(k))
		}
		for _, k := range old {
			if err := b.Delete(k); err != nil {
				return err
			}
		}
	}
	return b.Put(shelf(n, chat, message), what)
}

// recall finds what was remembered of a message, nil where that is nothing.
func (t *Tx) recall(bucket []byte, chat, message string) []byte {
	b := t.bucket(bucket)
	c := b.Cursor()
	for k, _ := c.Last(); k != nil; k, _ = c.Prev() {
		n := binary.BigEndian.Uint64(k)
		if v := b.Get(shelf(n, chat, message)); v != nil {
			return v
		}
		c.Seek(number(n)) // the shelf's first; Prev leads to the one before
	}
	return nil
}

// Asked is what a message of the bot's asked for, zero where it asked for
// nothing or is no longer known.
func (t *Tx) Asked(chat, sent string) (session.Place, error) {
	var p session.Place
	v := t.recall(bucketSent, chat, sent)
	if v == nil {
		return p, nil
	}
	if err := json.Unmarshal(v, &p); err != nil {
		return p, &rowError{fmt.Sprintf("sent message %q", sent), err}
	}
	return p, nil
}

// HeardFor is the job that a person's message was heard for, "" where it was
// for none or is no longer known.
func (t *Tx) HeardFor(chat, message string) string {
	return string(t.recall(bucketHeard, chat, message))
}
