package store

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"maps"
	"slices"

	"rodcall/session"
)

// Rescued is what could be read of a damaged file.
type Rescued struct {
	Jobs, Events int
	// Cut are the jobs that are not whole, with what ended them.
	Cut []Fault
	// Lost are the parts of the file that could not be read to their end.
	Lost []string
	// Unheard and Unsent count what stays behind: messages that waited to be heard,
	// and replies that waited to be sent, as far as they can be read.
	Unheard, Unsent int
}

// Rescue copies what can be read of a file into an empty one: of each job the
// events up to the first that does not fit, and the chats, people and photos.
// What waited to be heard or sent stays behind, for it may have been. Of a photo
// that cannot be read the new file says that it was lost. The old one is only read.
func Rescue(path string, into *Store) (r Rescued, err error) {
	p, err := openPages(path)
	if err != nil {
		return r, err
	}
	defer func() { err = errors.Join(err, p.close()) }()
	parts := map[string]pageRow{}
	p.rows(p.root, func(row pageRow) { parts[string(row.key)] = row }, r.lose("the list of parts"))
	err = into.Update(func(to *Tx) error { return r.run(p, parts, to) })
	return r, err
}

// lose notes what of a part cannot be read.
func (r *Rescued) lose(part string) func(error) {
	return func(err error) { r.Lost = append(r.Lost, part+": "+err.Error()) }
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

func (r *Rescued) run(p *pages, parts map[string]pageRow, to *Tx) error {
	for _, c := range carried {
		if err := r.carry(p, parts, to, c.part, c.read); err != nil {
			return err
		}
	}
	for _, left := range []struct {
		part []byte
		n    *int
	}{{bucketInbox, &r.Unheard}, {bucketOutbox, &r.Unsent}} {
		_ = r.read(p, parts, left.part, func(pageRow) error { *left.n++; return nil }) // what it returns is always nil
	}
	headers := map[string]Header{}
	_ = r.read(p, parts, bucketHeader, func(row pageRow) error { // what it returns is always nil
		var h Header
		if err := unpack(row.value, &h); err != nil {
			r.lose("header")(fmt.Errorf("row %q: %w", row.key, err))
			return nil
		}
		headers[string(row.key)] = h
		return nil
	})
	jobs := map[string]*rescue{}
	failed := r.read(p, parts, bucketLog, func(row pageRow) error {
		id, rest, ok := bytes.Cut(row.key, []byte{0})
		if !ok || len(rest) != 8 {
			r.lose("log")(fmt.Errorf("row %q: no event of a job", row.key))
			return nil
		}
		job := jobs[string(id)]
		if job == nil {
			job = &rescue{id: string(id), job: session.NewJob()}
			jobs[job.id] = job
		}
		return job.take(to, binary.BigEndian.Uint64(rest), row.value)
	})
	if failed != nil {
		return failed
	}
	for id := range headers {
		if jobs[id] == nil {
			jobs[id] = &rescue{id: id, job: session.NewJob()}
		}
	}
	for _, id := range slices.Sorted(maps.Keys(jobs)) {
		job := jobs[id]
		if job.cut == nil {
			job.cut = job.short(headers)
		}
		if job.cut != nil {
			r.Cut = append(r.Cut, *job.cut)
		}
		if job.job.Seq == 0 {
			continue
		}
		r.Jobs++
		r.Events += int(job.job.Seq) //nolint:gosec // counts events in memory
		if err := job.finish(to, headers); err != nil {
			return err
		}
		if err := r.notePhotos(job, to); err != nil {
			return err
		}
	}
	return prune(to)
}

// notePhotos notes in the new file which photos of a job could not be rescued.
func (r *Rescued) notePhotos(j *rescue, to *Tx) error {
	for _, n := range j.job.Notes {
		if n.Photo == (session.Hash{}) {
			continue
		}
		if _, ok := to.Photo(n.Photo); ok {
			continue
		}
		r.lose(string(bucketPhotos))(noPhoto(j.id, n))
		if err := to.bucket(bucketPhotos).Put(n.Photo[:], lostPhoto); err != nil {
			return err
		}
	}
	return nil
}

// read calls row for the rows of a part that can be read, and notes the others.
// The error is row's.
func (r *Rescued) read(p *pages, parts map[string]pageRow, part []byte, row func(pageRow) error) (failed error) {
	in, ok := parts[string(part)]
	if !ok {
		if !bytes.Equal(part, bucketPhotos) { // an older format has none
			r.lose(string(part))(errors.New("the part is missing"))
		}
		return nil
	}
	p.bucket(in, func(got pageRow) {
		if failed == nil {
			failed = row(got)
		}
	}, r.lose(string(part)))
	return failed
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
func (j *rescue) short(headers map[string]Header) *Fault {
	h, ok := headers[j.id]
	switch {
	case !ok:
		return &Fault{Job: j.id, Err: errors.New("it has no header")}
	case h.Seq != j.job.Seq || h.Head != j.head:
		return &Fault{Job: j.id, Event: j.job.Seq + 1, Err: fmt.Errorf("the log ends at event %d, its header at %d", j.job.Seq, h.Seq)}
	}
	return nil
}

// finish writes the job's header, and has its chat list it, but for one whose
// person was forgotten.
func (j *rescue) finish(to *Tx, headers map[string]Header) error {
	h := Header{JobHeader: j.job.Header(), Chat: j.job.Chat, Seq: j.job.Seq, Head: j.head}
	if old, known := headers[j.id]; known && old.Chat == "" {
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
func (r *Rescued) carry(p *pages, parts map[string]pageRow, to *Tx, part []byte, read func(k, v []byte) error) error {
	err := r.read(p, parts, part, func(row pageRow) error {
		if err := read(row.key, row.value); err != nil {
			r.lose(string(part))(fmt.Errorf("row %q: %w", row.key, err))
			return nil
		}
		return to.bucket(part).Put(row.key, row.value)
	})
	in, ok := parts[string(part)]
	if err != nil || !ok || len(in.value) < bucketHead {
		return err
	}
	return to.bucket(part).SetSequence(u64(in.value[8:]))
}
