package store

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"iter"

	"rodcall/session"
)

// Header is a job in one line, and the head of its log.
type Header struct {
	session.JobHeader
	Chat string       `json:"chat"` // "" once the person is forgotten whose chat it was
	Seq  uint64       `json:"seq"`  // of the newest event
	Head session.Hash `json:"head"` // of the newest event's bytes
}

// Header returns the header of a job.
func (t *Tx) Header(job string) (Header, bool, error) {
	var h Header
	ok, err := load(t.bucket(bucketHeader), []byte(job), &h)
	return h, ok, err
}

// Top is the top of a job's log: its header, and the bytes that this was decoded
// from, which spare decoding it again.
type Top struct {
	Header
	stored []byte
}

// TopOf is the top of a job's log, zero where there is no such job. known is what
// it was before, or zero; it is held against what is stored.
func (t *Tx) TopOf(job string, known Top) (Top, error) {
	stored := t.bucket(bucketHeader).Get([]byte(job))
	switch {
	case stored == nil:
		return Top{}, nil
	case known.ID == job && bytes.Equal(stored, known.stored):
		return known, nil
	}
	h, _, err := t.Header(job)
	return Top{h, bytes.Clone(stored)}, err
}

// Headers lists the jobs of the file in the order of their ids.
func (t *Tx) Headers() ([]Header, error) {
	var out []Header
	err := t.bucket(bucketHeader).ForEach(func(k, v []byte) error {
		var h Header
		if err := json.Unmarshal(v, &h); err != nil {
			return fmt.Errorf("header of job %q: %w", k, err)
		}
		out = append(out, h)
		return nil
	})
	return out, err
}

// Stored yields the events of a job as they are stored, from number from on.
// The bytes are good until the next step.
func (t *Tx) Stored(job string, from uint64) iter.Seq[[]byte] {
	return func(yield func([]byte) bool) {
		prefix := under(job, nil)
		c := t.bucket(bucketLog).Cursor()
		for k, v := c.Seek(under(job, number(from))); bytes.HasPrefix(k, prefix); k, v = c.Next() {
			if !yield(v) {
				return
			}
		}
	}
}

// HashOf is the hash of an event as stored. The error is a *NoEventError where
// there is none of that number.
func (t *Tx) HashOf(job string, seq uint64) (session.Hash, error) {
	stored := t.bucket(bucketLog).Get(under(job, number(seq)))
	if stored == nil {
		return session.Hash{}, &NoEventError{job, seq}
	}
	return session.HashOf(stored), nil
}

// chain yields the events of a job, each checked against the one before: it
// decodes, its number is the next, it carries the hash of the bytes before it.
// It ends with the first *ChainError, and with one where the log ends before the
// header says that it does.
func (t *Tx) chain(h Header, from uint64) iter.Seq2[session.Event, error] {
	return func(yield func(session.Event, error) bool) {
		next := from
		var prev session.Hash
		if from > 1 {
			prev = session.HashOf(t.bucket(bucketLog).Get(under(h.ID, number(from-1))))
		}
		for stored := range t.Stored(h.ID, from) {
			e, before, err := session.Decode(stored)
			switch {
			case err != nil:
			case e.Seq != next:
				err = fmt.Errorf("it says that it is event %d", e.Seq)
			case before != prev:
				err = &HashError{Want: prev, Got: before}
			}
			if err != nil {
				yield(session.Event{}, &ChainError{h.ID, next, err})
				return
			}
			if !yield(e, nil) {
				return
			}
			prev = session.HashOf(stored)
			next++
		}
		switch {
		case next-1 != h.Seq:
			yield(session.Event{}, &ChainError{h.ID, next, fmt.Errorf("the log ends at event %d, its header at %d", next-1, h.Seq)})
		case prev != h.Head:
			yield(session.Event{}, &ChainError{h.ID, next - 1, fmt.Errorf("its hash is %.12s, the header says %.12s", prev, h.Head)})
		}
	}
}

// Job folds the log of a job and checks the chain on the way. The error is a
// *ChainError that names the first event that does not fit, or a *NoJobError.
func (t *Tx) Job(job string) (*session.Job, error) {
	j := session.NewJob()
	if err := t.CatchUp(job, j); err != nil {
		return nil, err
	}
	return j, nil
}

// JobAt folds the log of a job up to an event, and checks the chain up to there.
// The error is a *ChainError that names the first event that does not fit, a
// *NoJobError, or a *NoEventError where the log ends before it.
func (t *Tx) JobAt(job string, seq uint64) (*session.Job, error) {
	h, ok, err := t.Header(job)
	switch {
	case err != nil:
		return nil, err
	case !ok:
		return nil, &NoJobError{job}
	case seq < 1 || seq > h.Seq:
		return nil, &NoEventError{job, seq}
	}
	j := session.NewJob()
	for e, err := range t.chain(h, 1) {
		if err != nil {
			return nil, err
		}
		if err := j.Apply(e); err != nil {
			return nil, &ChainError{job, e.Seq, err}
		}
		if e.Seq == seq {
			return j, nil
		}
	}
	return nil, &NoEventError{job, seq}
}

// CatchUp applies to a job the events of its log that it does not have. After
// an error the job must be dropped.
func (t *Tx) CatchUp(job string, j *session.Job) error {
	h, ok, err := t.Header(job)
	if err != nil {
		return err
	}
	if !ok {
		return &NoJobError{job}
	}
	if h.Seq == 0 {
		return &ChainError{job, 1, errors.New("its header says that it has no event")}
	}
	if j.Seq > h.Seq {
		return &ChainError{job, j.Seq, fmt.Errorf("it is not in the log, which ends at event %d", h.Seq)}
	}
	if j.Seq == h.Seq {
		return nil
	}
	for e, err := range t.chain(h, j.Seq+1) {
		if err != nil {
			return err
		}
		if err := j.Apply(e); err != nil {
			return &ChainError{job, e.Seq, err}
		}
	}
	if j.ID != job || j.Chat != h.Chat && h.Chat != "" {
		return &ChainError{job, 1, fmt.Errorf("it opens job %q of chat %q, the header has chat %q", j.ID, j.Chat, h.Chat)}
	}
	return nil
}

// Verify reads the whole log of a job and returns a *ChainError that names
// the first event that does not fit.
func (t *Tx) Verify(job string) error {
	_, err := t.Job(job)
	return err
}
