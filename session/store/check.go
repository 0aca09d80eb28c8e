package store

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"

	"rodcall/session"
)

// Fault is something in a file that does not fit.
type Fault struct {
	Job string // "" where it is no job's
	// Event is the number of the first event of the job that does not fit, 0
	// where it is not in an event.
	Event uint64
	Err   error
}

func (f Fault) Error() string {
	switch {
	case f.Job == "":
		return f.Err.Error()
	case f.Event == 0:
		return fmt.Sprintf("job %s: %v", f.Job, f.Err)
	}
	return fmt.Sprintf("job %s, event %d: %v", f.Job, f.Event, f.Err)
}

func (f Fault) Unwrap() error { return f.Err }

// Counts is how much a file holds.
type Counts struct {
	Jobs, Events, Chats, People   int
	Photos                        int
	Inbox, Outbox, Parked, Failed int // Failed: messages that could not be heard
	Bytes                         int64
	// Lost are the photos that could not be rescued when the file was: what is
	// known is no fault. They are none of Photos.
	Lost []Fault
}

// Check reads the whole file: every row, every event of every job, and how its pages
// hang together. Each job is folded anew and held against what its header and
// its chat say of it. It calls found for each fault and goes on behind it. A file
// that may be damaged is to be looked at by Inspect before it is opened, and one
// that somebody writes is to be copied.
func (s *Store) Check(found func(Fault)) (c Counts, err error) {
	err = s.View(func(tx *Tx) error {
		c.Bytes = tx.tx.Size()
		for err := range tx.tx.Check() {
			found(Fault{Err: fmt.Errorf("pages: %w", err)})
		}
		k := &checker{tx: tx, found: found, counts: &c}
		k.all()
		return nil
	})
	return c, err
}

// checker is one look through a file.
type checker struct {
	tx     *Tx
	found  func(Fault)
	counts *Counts
}

func (k *checker) all() {
	k.jobs()
	k.strays()
	k.counts.Chats = k.rows(bucketChat, func(key, v []byte) error { return k.chat(string(key), v) })
	k.rows(bucketTalk, func(_, v []byte) error { return unpack(v, &session.Conversation{}) })
	k.counts.People = k.rows(bucketPeople, func(key, v []byte) error {
		p := Person{}
		switch err := unpack(v, &p); {
		case err != nil:
			return err
		case p == Person{}:
			return nil // forgotten
		case p.Platform == "":
			return errors.New("a name without a platform id")
		}
		if id := k.tx.PersonOf(p.Platform); id != session.PersonID(binary.BigEndian.Uint64(key)) {
			return fmt.Errorf("the platform id leads to person %d", id)
		}
		return nil
	})
	k.rows(bucketPlatform, func(key, v []byte) error {
		p, ok, err := k.tx.Person(k.tx.PersonOf(string(key)))
		if err == nil && (!ok || p.Platform != string(key)) {
			err = fmt.Errorf("it leads to person %d, who has another", p.ID)
		}
		return err
	})
	if k.tx.bucket(bucketPhotos) != nil {
		k.rows(bucketPhotos, func(key, v []byte) error {
			if !bytes.Equal(v, lostPhoto) {
				k.counts.Photos++
			}
			return samePhoto(key, v)
		})
	}
	k.rows(bucketSeen, func(key, v []byte) error {
		if len(key) != 8 || len(v) != 16 {
			return fmt.Errorf("%d and %d bytes", len(key), len(v))
		}
		return nil
	})
	k.rows(bucketSent, func(_, v []byte) error { return unpack(v, &session.Place{}) })
	k.rows(bucketHeard, func(_, v []byte) error {
		if k.tx.bucket(bucketHeader).Get(v) == nil {
			return fmt.Errorf("it was heard for job %q, of which there is nothing", v)
		}
		return nil
	})
	k.counts.Inbox = k.rows(bucketInbox, func(_, v []byte) error {
		if len(v) < 8 {
			return fmt.Errorf("an update of %d bytes", len(v))
		}
		return nil
	})
	k.counts.Outbox = k.rows(bucketOutbox, func(_, v []byte) error { return unpack(v, &Row{}) })
	k.counts.Parked = k.rows(bucketParked, func(_, v []byte) error { return unpack(v, &Parked{}) })
	k.counts.Failed = k.rows(bucketDead, func(_, v []byte) error { return unpack(v, &Dead{}) })
}

func unpack(v []byte, into any) error { return json.Unmarshal(v, into) }

// rows looks at each row of a part and counts them.
func (k *checker) rows(part []byte, look func(key, v []byte) error) int {
	n := 0
	c := k.tx.bucket(part).Cursor()
	for key, v := c.First(); key != nil; key, v = c.Next() {
		n++
		if err := guarded(func() error { return look(key, v) }); err != nil {
			k.found(Fault{Err: fmt.Errorf("%s, row %q: %w", part, key, err)})
		}
	}
	return n
}

// jobs folds every job anew and holds its header against what it is.
func (k *checker) jobs() {
	k.counts.Jobs = k.rows(bucketHeader, func(key, v []byte) error {
		id := string(key)
		var h Header
		if err := unpack(v, &h); err != nil {
			return err
		}
		if h.ID != id {
			k.found(Fault{Job: id, Err: fmt.Errorf("its header is that of job %q", h.ID)})
		}
		for range k.tx.Stored(id, 1) {
			k.counts.Events++
		}
		j, err := k.tx.Job(id)
		if err != nil {
			k.found(asFault(id, err))
			return nil
		}
		// The chat's own list has the newest header; a header is written with
		// the events of its job.
		if now := j.Header(); !reflect.DeepEqual(now, h.JobHeader) {
			k.found(Fault{Job: id, Err: fmt.Errorf("its header says %+v, its events %+v", h.JobHeader, now)})
		}
		for _, n := range j.Notes {
			if n.Photo == (session.Hash{}) {
				continue
			}
			switch _, ok := k.tx.Photo(n.Photo); {
			case ok:
			case k.tx.photoLost(n.Photo):
				k.counts.Lost = append(k.counts.Lost, noPhoto(id, n))
			default:
				k.found(noPhoto(id, n))
			}
		}
		if h.Chat == "" {
			return nil // of somebody who is forgotten
		}
		chat, err := k.tx.Chat(h.Chat)
		if err != nil {
			return err
		}
		for _, in := range chat.Jobs {
			if in.ID == id {
				return nil
			}
		}
		k.found(Fault{Job: id, Err: fmt.Errorf("its chat %q does not list it", h.Chat)})
		return nil
	})
}

// asFault is what a chain says, by job and event.
func asFault(job string, err error) Fault {
	if c, ok := err.(*ChainError); ok { //nolint:errorlint // Job returns it bare
		return Fault{Job: job, Event: c.Seq, Err: c.Err}
	}
	return Fault{Job: job, Err: err}
}

// strays looks for events of jobs that have no header.
func (k *checker) strays() {
	last := ""
	c := k.tx.bucket(bucketLog).Cursor()
	for key, _ := c.First(); key != nil; key, _ = c.Next() {
		id, rest, ok := bytes.Cut(key, []byte{0})
		if !ok || len(rest) != 8 {
			k.found(Fault{Err: fmt.Errorf("log, row %q: no event of a job", key)})
			continue
		}
		if string(id) == last {
			continue
		}
		last = string(id)
		if k.tx.bucket(bucketHeader).Get(id) == nil {
			k.found(Fault{Job: last, Err: errors.New("it has events and no header")})
		}
	}
}

// chat looks at what a chat holds: the jobs that it lists are there, and its.
func (k *checker) chat(key string, v []byte) error {
	var c session.Chat
	if err := unpack(v, &c); err != nil {
		return err
	}
	for _, j := range c.Jobs {
		h, ok, err := k.tx.Header(j.ID)
		switch {
		case err != nil:
			return err
		case !ok:
			return fmt.Errorf("it lists job %s, of which there is nothing", j.ID)
		case h.Chat != key:
			return fmt.Errorf("it lists job %s of chat %q", j.ID, h.Chat)
		}
	}
	return nil
}

// noPhoto is that the photo of a note is not in the file.
func noPhoto(job string, n session.Note) Fault {
	return Fault{Job: job, Event: n.Seq, Err: fmt.Errorf("its photo %.12s is not there", n.Photo)}
}

// samePhoto says whether a photo is the one that it is kept as, or known to be lost.
func samePhoto(k, v []byte) error {
	if bytes.Equal(v, lostPhoto) {
		return nil
	}
	if h := session.HashOf(v); !bytes.Equal(h[:], k) {
		return fmt.Errorf("its bytes have the hash %.12s", h)
	}
	return nil
}
