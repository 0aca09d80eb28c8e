package store

import (
	"cmp"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"time"

	"rodcall/session"
)

// ParkedAtMost is how many of the newest parked replies are kept.
const ParkedAtMost = 10_000

// Row is a reply in the outbox.
type Row struct {
	Seq   uint64        `json:"-"` // its number in this file, from 1
	Chat  string        `json:"chat"`
	Reply session.Reply `json:"reply"`
	Made  time.Time     `json:"made"` // when the reply was
	// Person whom it answers, and the id of that person's message; zero for
	// none.
	Person  session.PersonID `json:"person,omitempty"`
	Answers string           `json:"answers,omitempty"`
	// Version counts how often a newer reply of the same live name took the
	// place of an older one in this row.
	Version int `json:"version,omitempty"`
	// Attempt counts the sends that failed.
	Attempt int `json:"attempt,omitempty"`
	// NotBefore is when it may be tried again, zero: at once; and Wait is how long
	// it was to wait when that was noted, 0 where it was not kept.
	NotBefore time.Time     `json:"not_before,omitzero"`
	Wait      time.Duration `json:"wait,omitempty"` // nanoseconds
}

// waitMost bounds the wait of a row that does not say how long it was.
const waitMost = 24 * time.Hour

// Rest is how long a reply still has to wait at a time: never longer than it was
// told to, whatever a clock says that was set back meanwhile.
func (r Row) Rest(now time.Time) time.Duration {
	if r.NotBefore.IsZero() {
		return 0
	}
	return min(max(0, r.NotBefore.Sub(now)), cmp.Or(r.Wait, waitMost))
}

// Parked is a reply that can never be sent.
type Parked struct {
	Row
	Why string `json:"why"`
}

// enqueue puts a reply, and as bytes, at the end of the outbox and returns its number; one
// that takes the place of an unsent reply of its live name returns 0.
func (t *Tx) enqueue(r Row, stored []byte) (uint64, error) {
	out := t.bucket(bucketOutbox)
	if r.Reply.Live != "" {
		if v := t.bucket(bucketLive).Get(liveKey(r)); v != nil {
			old, ok, err := t.OutboxRow(binary.BigEndian.Uint64(v))
			if err != nil {
				return 0, err
			}
			if ok {
				// It keeps the older one's place, so that a message renewed
				// all the time is sent all the same; and its wait.
				old.Reply, old.Made, old.Person, old.Answers = r.Reply, r.Made, r.Person, r.Answers
				old.Version++
				return 0, save(out, number(old.Seq), old)
			}
		}
	}
	seq, err := out.NextSequence()
	if err != nil {
		return 0, err
	}
	if r.Reply.Live != "" {
		if err := t.bucket(bucketLive).Put(liveKey(r), number(seq)); err != nil {
			return 0, err
		}
	}
	return seq, out.Put(number(seq), stored)
}

func liveKey(r Row) []byte { return under(r.Chat, []byte(r.Reply.Live)) }

// Outbox lists up to limit replies, in order, from number from.
func (t *Tx) Outbox(from uint64, limit int) ([]Row, error) {
	var out []Row
	c := t.bucket(bucketOutbox).Cursor()
	for k, v := c.Seek(number(from)); k != nil && len(out) < limit; k, v = c.Next() {
		r, err := row(binary.BigEndian.Uint64(k), v)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}

// OutboxRow is the reply of that number, if it is not yet sent.
func (t *Tx) OutboxRow(seq uint64) (Row, bool, error) {
	v := t.bucket(bucketOutbox).Get(number(seq))
	if v == nil {
		return Row{}, false, nil
	}
	r, err := row(seq, v)
	return r, true, err
}

func row(seq uint64, v []byte) (Row, error) {
	r := Row{}
	if err := json.Unmarshal(v, &r); err != nil {
		return r, &rowError{fmt.Sprintf("outbox row %d", seq), err}
	}
	r.Seq = seq
	return r, nil
}

// Delivered takes a reply out of the outbox that was sent as message sent of
// its chat, and remembers what it asked for. Where a newer reply took its
// place meanwhile, that one stays, and Delivered says so.
func (t *Tx) Delivered(r Row, sent string) (newer bool, err error) {
	asks := r.Reply.Asks
	if asks.Job == "" {
		asks.Job = r.Reply.Picture
	}
	if sent != "" && asks != (session.Place{}) {
		j, err := json.Marshal(asks)
		if err != nil {
			return false, err
		}
		if err := t.remember(bucketSent, r.Chat, sent, r.Seq, j); err != nil {
			return false, err
		}
	}
	return t.remove(r)
}

func (t *Tx) remove(r Row) (newer bool, err error) {
	if r.Reply.Live != "" { // of the others none is ever replaced
		now, ok, err := t.OutboxRow(r.Seq)
		if err != nil || !ok {
			return false, err
		}
		if now.Version != r.Version {
			return true, nil
		}
		if err := t.bucket(bucketLive).Delete(liveKey(r)); err != nil {
			return false, err
		}
	}
	return false, t.bucket(bucketOutbox).Delete(number(r.Seq))
}

// Postpone notes that sending a reply failed once more, and how long after a
// time to try again.
func (t *Tx) Postpone(r Row, at time.Time, wait time.Duration) error {
	now, ok, err := t.OutboxRow(r.Seq)
	if err != nil || !ok {
		return err
	}
	now.Attempt++
	now.NotBefore, now.Wait = at.Add(wait).UTC(), wait
	return save(t.bucket(bucketOutbox), number(r.Seq), now)
}

// Park takes a reply out of the outbox that can never be sent, and keeps it
// with the reason. A newer one in its place stays, as with Delivered.
func (t *Tx) Park(r Row, why error) (newer bool, err error) {
	parked := t.bucket(bucketParked)
	if err := save(parked, number(r.Seq), Parked{Row: r, Why: why.Error()}); err != nil {
		return false, err
	}
	n, err := parked.NextSequence() // counts what was ever parked
	if err != nil {
		return false, err
	}
	if n > ParkedAtMost {
		c := parked.Cursor()
		if k, _ := c.First(); k != nil {
			if err := c.Delete(); err != nil {
				return false, err
			}
		}
	}
	return t.remove(r)
}

// Parked lists up to limit parked replies, oldest first.
func (t *Tx) Parked(limit int) ([]Parked, error) {
	var out []Parked
	c := t.bucket(bucketParked).Cursor()
	for k, v := c.First(); k != nil && len(out) < limit; k, v = c.Next() {
		var p Parked
		if err := json.Unmarshal(v, &p); err != nil {
			return nil, &rowError{fmt.Sprintf("parked row %d", binary.BigEndian.Uint64(k)), err}
		}
		p.Seq = binary.BigEndian.Uint64(k)
		out = append(out, p)
	}
	return out, nil
}
