package store

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"runtime/debug"
	"slices"

	"go.etcd.io/bbolt"

	"rodcall/session"
)

// Rescued is what could be read of a damaged file.
type Rescued struct {
	Jobs, Events int
	// Cut are the jobs that are not whole, with what ended them.
	Cut []Fault
	// Lost are the parts of the file that could not be read to their end.
	Lost []string
}

// Rescue copies what can be read of a file into an empty one: of each job the
// events up to the first that does not fit, and the chats and people. What
// waited to be heard or sent stays behind, for it may have been. The old file is
// only read.
func Rescue(path string, into *Store) (Rescued, error) {
	var r Rescued
	old, err := open(path, Options{ReadOnly: true})
	if cut := (*DamagedError)(nil); errors.As(err, &cut) && cut.Size > 0 {
		// With nothing in the place of what is missing it opens, and what is
		// there can be read.
		var padded string
		if padded, err = pad(path, cut.Size); err != nil {
			return r, err
		}
		defer func() { _ = os.Remove(padded) }()
		r.Lost = append(r.Lost, cut.Why)
		old, err = open(padded, Options{ReadOnly: true})
	}
	if err != nil {
		return r, err
	}
	defer func() { _ = old.Close() }() // it was only read
	s := &Store{db: old, path: path}
	err = s.View(func(from *Tx) error {
		return into.Update(func(to *Tx) error { return r.run(from, to) })
	})
	return r, err
}

// pad makes a passing copy of a file as long as it should be.
func pad(path string, size int64) (padded string, err error) {
	from, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer func() { err = errors.Join(err, from.Close()) }()
	to, err := os.CreateTemp("", "rodcall-")
	if err != nil {
		return "", err
	}
	_, err = io.Copy(to, from)
	return to.Name(), errors.Join(err, to.Truncate(size), to.Close())
}

// carried are the parts that are copied row by row, each with what reads a row
// of it; the log and its headers are not among them, for events are checked on
// the way.
var carried = []struct {
	part []byte
	read func(k, v []byte) error
}{
	{bucketChat, func(_, v []byte) error { return unpack(v, &session.Chat{}) }},
	{bucketTalk, func(_, v []byte) error { return unpack(v, &session.Conversation{}) }},
	{bucketPeople, func(_, v []byte) error { return unpack(v, &Person{}) }},
	{bucketPlatform, func(_, _ []byte) error { return nil }},
	{bucketAccess, func(_, _ []byte) error { return nil }},
	{bucketSeen, func(_, _ []byte) error { return nil }},
	{bucketPhotos, samePhoto},
}

func (r *Rescued) run(from, to *Tx) error {
	for _, c := range carried {
		if err := r.carry(from, to, c.part, c.read); err != nil {
			return err
		}
	}
	for _, id := range r.jobs(from) {
		job := &rescue{id: id, job: session.NewJob()}
		var failed error
		err := each(from.tx, bucketLog, under(id, nil), func(k, v []byte) error {
			if rest := k[len(id)+1:]; len(rest) == 8 {
				failed = job.take(to, binary.BigEndian.Uint64(rest), v)
			}
			return failed
		})
		if failed != nil {
			return failed
		}
		switch {
		case job.cut != nil:
		case err != nil:
			job.cut = &Fault{Job: id, Event: job.job.Seq + 1, Err: err}
		default:
			job.cut = job.short(from)
		}
		if job.cut != nil {
			r.Cut = append(r.Cut, *job.cut)
		}
		if job.job.Seq == 0 {
			continue
		}
		r.Jobs++
		r.Events += int(job.job.Seq) //nolint:gosec // counts events in memory
		if err := job.finish(from, to); err != nil {
			return err
		}
	}
	return prune(to)
}

// prune takes jobs that could not be rescued off the lists of their chats.
func prune(to *Tx) error {
	chats := map[string]session.Chat{}
	err := to.bucket(bucketChat).ForEach(func(k, _ []byte) error {
		c, err := to.Chat(string(k))
		if err != nil {
			return err
		}
		gone := func(id string) bool { return to.bucket(bucketHeader).Get([]byte(id)) == nil }
		n := len(c.Jobs)
		c.Jobs = slices.DeleteFunc(c.Jobs, func(j session.JobHeader) bool { return gone(j.ID) })
		if len(c.Jobs) == n {
			return nil
		}
		if gone(c.Current) {
			c.Current = ""
		}
		chats[c.ID] = c
		return nil
	})
	if err != nil {
		return err
	}
	for id, c := range chats {
		if err := save(to.bucket(bucketChat), []byte(id), c); err != nil {
			return err
		}
	}
	return nil
}

// jobs lists the jobs of which the file holds anything, by their ids.
func (r *Rescued) jobs(from *Tx) []string {
	seen := map[string]bool{}
	for _, part := range [][]byte{bucketHeader, bucketLog} {
		err := each(from.tx, part, nil, func(k, _ []byte) error {
			id, _, _ := bytes.Cut(k, []byte{0})
			seen[string(id)] = true
			return nil
		})
		if err != nil {
			r.Lost = append(r.Lost, fmt.Sprintf("%s: %v", part, err))
		}
	}
	return slices.Sorted(maps.Keys(seen))
}

// rescue is one job on its way into the new file.
type rescue struct {
	id   string
	job  *session.Job
	head session.Hash
	cut  *Fault // what ended it, nil while nothing has
}

// take copies the next event, if it fits.
func (j *rescue) take(to *Tx, seq uint64, stored []byte) error {
	if j.cut != nil {
		return nil
	}
	e, prev, err := session.Decode(stored)
	switch {
	case err != nil:
	case e.Seq != seq || seq != j.job.Seq+1:
		err = fmt.Errorf("it stands behind event %d", j.job.Seq)
	case prev != j.head:
		err = &HashError{Want: j.head, Got: prev}
	default:
		err = j.job.Apply(e)
	}
	if err != nil {
		j.cut = &Fault{Job: j.id, Event: seq, Err: err}
		return nil
	}
	j.head = session.HashOf(stored)
	return to.bucket(bucketLog).Put(under(j.id, number(seq)), stored)
}

// short is what the old header says beyond the end of the log, nil for nothing.
func (j *rescue) short(from *Tx) *Fault {
	var h Header
	ok := false
	err := guarded(func() (err error) { h, ok, err = from.Header(j.id); return err })
	switch {
	case err != nil:
		return &Fault{Job: j.id, Err: err}
	case !ok:
		return &Fault{Job: j.id, Err: errors.New("it has no header")}
	case h.Seq != j.job.Seq || h.Head != j.head:
		return &Fault{Job: j.id, Event: j.job.Seq + 1, Err: fmt.Errorf("the log ends at event %d, its header at %d", j.job.Seq, h.Seq)}
	}
	return nil
}

// finish writes the job's header, and has its chat list it, but for one whose
// person was forgotten.
func (j *rescue) finish(from, to *Tx) error {
	h := Header{JobHeader: j.job.Header(), Chat: j.job.Chat, Seq: j.job.Seq, Head: j.head}
	var old Header
	known := false
	_ = guarded(func() (err error) { old, known, err = from.Header(j.id); return err }) // short tells of it
	if known && old.Chat == "" {
		h.Chat = ""
	}
	if err := save(to.bucket(bucketHeader), []byte(j.id), h); err != nil {
		return err
	}
	if h.Chat == "" {
		return nil
	}
	chat, err := to.Chat(j.job.Chat)
	if err != nil {
		return err
	}
	listed := false
	for i := range chat.Jobs {
		if chat.Jobs[i].ID == j.id {
			chat.Jobs[i], listed = h.JobHeader, true
		}
	}
	if !listed {
		chat.Jobs = append(chat.Jobs, h.JobHeader)
	}
	return save(to.bucket(bucketChat), []byte(chat.ID), chat)
}

// carry copies the rows of a part that can be read.
func (r *Rescued) carry(from, to *Tx, part []byte, read func(k, v []byte) error) error {
	var failed error
	err := each(from.tx, part, nil, func(k, v []byte) error {
		if err := read(k, v); err != nil {
			r.Lost = append(r.Lost, fmt.Sprintf("%s, row %q: %v", part, k, err))
			return nil
		}
		failed = to.bucket(part).Put(k, v)
		return failed
	})
	if failed != nil {
		return failed
	}
	if bytes.Equal(part, bucketPhotos) && errors.Is(err, errMissing) {
		return nil // of an older format
	}
	if err != nil {
		r.Lost = append(r.Lost, fmt.Sprintf("%s: %v", part, err))
	}
	sequence := uint64(0)
	_ = guarded(func() error { sequence = from.bucket(part).Sequence(); return nil }) // told of above
	return to.bucket(part).SetSequence(sequence)
}

var errMissing = errors.New("the part is missing")

// each calls f for the rows of a part whose keys begin with prefix. The error is
// f's, or says why the rest cannot be read.
func each(tx *bbolt.Tx, part, prefix []byte, f func(k, v []byte) error) error {
	return guarded(func() error {
		b := tx.Bucket(part)
		if b == nil {
			return errMissing
		}
		c := b.Cursor()
		for k, v := c.Seek(prefix); k != nil && bytes.HasPrefix(k, prefix); k, v = c.Next() {
			// Cloned here, where it is known how to take a page that is not
			// there.
			if err := f(bytes.Clone(k), bytes.Clone(v)); err != nil {
				return err
			}
		}
		return nil
	})
}

// guarded makes an error of what a damaged page makes of bbolt, or of the memory
// that it lies in.
func guarded(f func() error) (err error) {
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("a page cannot be read: %v", p)
		}
	}()
	return f()
}
