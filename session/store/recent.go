package store

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"slices"

	"rodcall/session"
)

// Recent is how many of a chat's newest messages are remembered, each way:
// what a message of the bot's asked for, and which job a person's message was
// heard for.
const Recent = 512

// pruneBits: the rows of a chat are looked at once in 1<<pruneBits of its
// messages.
const pruneBits = 6

// remember stores what belongs to a message of a chat, and prunes the chat's
// rows now and then.
func (t *Tx) remember(bucket []byte, chat, message string, seq uint64, what []byte) error {
	if len(message) > maxKey {
		return nil // no platform has such ids
	}
	b := t.bucket(bucket)
	if err := b.Put(under(chat, []byte(message)), append(number(seq), what...)); err != nil {
		return err
	}
	// The numbers run through the whole file, and a chat may hold every 64th
	// of them; scattered by a multiplicative hash (Knuth's, with the golden
	// ratio), none is passed over for long.
	if seq*0x9e3779b97f4a7c15>>(64-pruneBits) != 0 {
		return nil
	}
	type row struct {
		key []byte
		seq uint64
	}
	var rows []row
	prefix := under(chat, nil)
	c := b.Cursor()
	for k, v := c.Seek(prefix); bytes.HasPrefix(k, prefix); k, v = c.Next() {
		rows = append(rows, row{bytes.Clone(k), binary.BigEndian.Uint64(v)})
	}
	if len(rows) <= Recent {
		return nil
	}
	slices.SortFunc(rows, func(a, b row) int { return cmp.Compare(a.seq, b.seq) })
	for _, r := range rows[:len(rows)-Recent] {
		if err := b.Delete(r.key); err != nil {
			return err
		}
	}
	return nil
}

// Asked is what a message of the bot's asked for, zero where it asked for
// nothing or is no longer known.
func (t *Tx) Asked(chat, sent string) (session.Place, error) {
	var p session.Place
	v := t.bucket(bucketSent).Get(under(chat, []byte(sent)))
	if v == nil {
		return p, nil
	}
	if err := json.Unmarshal(v[8:], &p); err != nil {
		return p, fmt.Errorf("sent message %q: %w", sent, err)
	}
	return p, nil
}

// HeardFor is the job that a person's message was heard for, "" where it was
// for none or is no longer known.
func (t *Tx) HeardFor(chat, message string) string {
	v := t.bucket(bucketHeard).Get(under(chat, []byte(message)))
	if v == nil {
		return ""
	}
	return string(v[8:])
}
