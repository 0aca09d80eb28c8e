package engine

import (
	"bytes"
	"errors"
	"fmt"
	"runtime"
	"runtime/debug"
	"slices"
	"time"

	"rodcall/session"
	"rodcall/session/report"
	"rodcall/session/store"
)

// How long to wait before sending again what could not be sent.
const (
	sendRetry     = time.Second
	sendRetryMost = 5 * time.Minute
	// waitMost bounds what a platform can ask.
	waitMost = 24 * time.Hour
)

// drawings is how many pictures are drawn at a time: drawing keeps a
// processor busy, and readings must not wait for it.
func drawings() int { return max(1, runtime.GOMAXPROCS(0)/2) }

// outQueue is what waits to be sent to one chat. The goroutine that sends it
// lives as long as there is something in it.
type outQueue struct {
	chat string
	rows []unsent
	// until is when the first of them may be sent; zero while it is being sent.
	until time.Time
}

// unsent is a row of the outbox: its number, and for the newest of them what
// stands in it, which spares reading it again.
type unsent struct {
	seq uint64
	row *store.Row // nil: to be read
}

// resumeOutbox queues what is in the outbox from before.
func (e *Engine) resumeOutbox(tx *store.Tx) error {
	for next := uint64(1); ; {
		rows, err := tx.Outbox(next, readAhead)
		if err != nil {
			return err
		}
		if len(rows) == 0 {
			return nil
		}
		e.waiting += len(rows)
		for _, r := range rows {
			q := e.out[r.Chat]
			if q == nil {
				q = &outQueue{chat: r.Chat}
				e.out[r.Chat] = q
			}
			q.rows = append(q.rows, unsent{seq: r.Seq})
			next = r.Seq + 1
		}
	}
}

// queueCommitted queues the replies of a message that was committed.
func (e *Engine) queueCommitted(chat string, c *store.Commit, seqs []uint64) {
	rows := make([]unsent, len(seqs))
	for i, seq := range seqs {
		rows[i].seq = seq
	}
	// A live reply may be replaced, or have replaced another, in the file.
	if len(seqs) == len(c.Replies) && !slices.ContainsFunc(c.Replies, func(r session.Reply) bool { return r.Live != "" }) {
		for i, r := range c.Replies {
			rows[i].row = &store.Row{
				Seq: seqs[i], Chat: chat, Reply: r, Made: c.Made.UTC(), Person: c.Person.ID, Answers: c.Answers,
			}
		}
	}
	e.queueRows(chat, rows)
}

// queueRows queues rows that were committed.
func (e *Engine) queueRows(chat string, rows []unsent) {
	if len(rows) == 0 {
		return
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	q, running := e.out[chat]
	if !running {
		q = &outQueue{chat: chat}
		e.out[chat] = q
	}
	for i := range rows {
		if rows[i].row == nil {
			continue
		}
		if e.kept >= maxHeld {
			rows[i].row = nil
			continue
		}
		e.kept++
	}
	q.rows = append(q.rows, rows...)
	if !running {
		e.spawn(func() { e.sendAll(q) })
	}
}

// sendAll sends what waits for a chat, in order, until nothing does.
func (e *Engine) sendAll(q *outQueue) {
	for {
		e.mu.Lock()
		if len(q.rows) == 0 || e.closed {
			delete(e.out, q.chat)
			e.mu.Unlock()
			return
		}
		next := q.rows[0]
		if next.row != nil {
			e.kept--
			q.rows[0].row = nil // another attempt reads it
		}
		e.mu.Unlock()

		done, err := e.sendRow(q, next)
		if err != nil {
			if store.IsClosed(err) || errors.Is(err, ErrClosed) {
				return
			}
			if e.Err() != nil {
				return
			}
			if done = e.skip(q, next.seq, err); !done {
				e.log.Error("cannot read or write the outbox; it will be tried again", "row", next.seq, "err", err)
				if !e.pause(readRetryMost) {
					return
				}
			}
		}
		if done {
			e.mu.Lock()
			q.rows = q.rows[1:]
			e.mu.Unlock()
		}
	}
}

// sendRow tries once to send a reply, and notes what came of it. It says
// whether the row is done with; if not it is tried again.
func (e *Engine) sendRow(q *outQueue, next unsent) (done bool, err error) {
	seq := next.seq
	var row store.Row
	var ok bool
	if next.row != nil {
		row = *next.row
	} else if row, ok, err = e.row(seq); err != nil || !ok {
		return err == nil, err
	}
	if now := e.cfg.Now(); row.Rest(now) > 0 {
		d := row.Rest(now)
		e.rest(q, now.Add(d))
		goesOn := e.pause(d)
		e.rest(q, time.Time{})
		if !goesOn {
			return false, ErrClosed
		}
	}
	if e.cfg.Limiter != nil {
		if err := e.cfg.Limiter.Wait(e.sendCtx, row.Chat); err != nil {
			return false, e.limited(err)
		}
	}
	// What is sent is what stands in the row by now.
	d := row
	if row.Reply.Live != "" {
		if d, ok, err = e.row(seq); err != nil || !ok {
			return err == nil, err
		}
	}
	sent, sendErr := e.deliver(d)
	switch {
	case sendErr == nil:
		e.cfg.Meter.Sent(max(0, e.cfg.Now().Sub(d.Made)))
		return e.finish(d, func(tx *store.Tx) (bool, error) { return tx.Delivered(d, sent) })
	case e.sendCtx.Err() != nil:
		return false, ErrClosed
	}
	var later *RetryAfterError
	var never *PermanentError
	switch {
	case errors.As(sendErr, &never):
		e.cfg.Meter.NotSent(SendParked)
		e.log.Warn("a reply cannot be sent and was parked", "row", seq, "err", sendErr)
		e.echoes.gaveUp(d.Chat, d.Made)
		return e.finish(d, func(tx *store.Tx) (bool, error) { return tx.Park(d, e.reason(sendErr)) })
	case errors.As(sendErr, &later):
		e.cfg.Meter.NotSent(SendLater)
		e.log.Info("a reply has to wait", "row", seq, "after", later.After)
		return false, e.postpone(d, later.After)
	}
	e.cfg.Meter.NotSent(SendFailed)
	wait := backoff(d.Attempt, sendRetry, sendRetryMost)
	e.log.Warn("a reply was not sent; it will be tried again", "row", seq, "attempt", d.Attempt+1, "after", wait, "err", sendErr)
	return false, e.postpone(d, wait)
}

// rest notes until when a queue waits by itself.
func (e *Engine) rest(q *outQueue, until time.Time) {
	e.mu.Lock()
	defer e.mu.Unlock()
	q.until = until
}

// limited tells a limiter that fails from one that was cut off.
func (e *Engine) limited(err error) error {
	if e.sendCtx.Err() != nil {
		return ErrClosed
	}
	return fmt.Errorf("limiter: %w", err)
}

func (e *Engine) row(seq uint64) (r store.Row, ok bool, err error) {
	err = e.cfg.Store.View(func(tx *store.Tx) (err error) {
		r, ok, err = tx.OutboxRow(seq)
		return err
	})
	return r, ok && err == nil, err
}

// finish takes a row out of the outbox, one way or the other.
func (e *Engine) finish(r store.Row, remove func(*store.Tx) (newer bool, err error)) (done bool, err error) {
	newer := false
	err = e.insist("a sent reply", func(tx *store.Tx) (err error) {
		newer, err = remove(tx)
		return err
	}, func() {
		if !newer {
			e.echoes.delivered(r.Chat, r.Seq, e.cfg.Now())
			e.count(-1)
		}
	})
	return err == nil && !newer, err
}

func (e *Engine) postpone(r store.Row, d time.Duration) error {
	now := e.cfg.Now()
	return e.insist("a reply's wait", func(tx *store.Tx) error { return tx.Postpone(r, now, min(d, waitMost)) }, nil)
}

// deliver draws the picture that a reply asks for, if any, and sends it.
func (e *Engine) deliver(r store.Row) (sent string, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = &PermanentError{&PanicError{p, debug.Stack()}}
			e.log.Error("panic while sending a reply", "row", r.Seq, "panic", p, "stack", string(debug.Stack()))
		}
	}()
	d := Delivery{
		Row: r.Seq, Chat: r.Chat, Reply: r.Reply, Attempt: r.Attempt, Made: r.Made, Person: r.Person, Answers: r.Answers,
	}
	if len(d.Reply.People) > 0 {
		d.Reply.Text = session.NamePeople(d.Reply.Lang, d.Reply.Text, d.Reply.People, e.nameOf)
	}
	if r.Reply.Picture != "" {
		if err = e.picture(&d); err != nil {
			return "", err
		}
	}
	select {
	case e.slots <- struct{}{}:
	case <-e.sendCtx.Done():
		return "", e.sendCtx.Err()
	}
	defer func() { <-e.slots }()
	return e.cfg.Port.Send(e.sendCtx, d)
}

// nameOf is a person's name as known now, "" where it is not.
func (e *Engine) nameOf(id session.PersonID) string {
	var p store.Person
	err := e.cfg.Store.View(func(tx *store.Tx) (err error) {
		p, _, err = tx.Person(id)
		return err
	})
	if err != nil {
		e.log.Error("cannot read a person's name", "person", id, "err", err)
	}
	return p.Name
}

// photoOf is the bytes of a photo, nil where they are not kept.
func (e *Engine) photoOf(hash session.Hash) (jpeg []byte) {
	err := e.cfg.Store.View(func(tx *store.Tx) error {
		jpeg, _ = tx.Photo(hash)
		return nil
	})
	if err != nil {
		e.log.Error("cannot read a photo", "photo", hash, "err", err)
	}
	return jpeg
}

// headOf is the newest event of a job as folded.
func (e *Engine) headOf(j *session.Job) report.Head {
	h := report.Head{Seq: j.Seq}
	err := e.cfg.Store.View(func(tx *store.Tx) (err error) {
		h.Hash, err = tx.HashOf(j.ID, j.Seq)
		return err
	})
	if err != nil {
		e.log.Error("cannot read the newest event of a job", "job", j.ID, "err", err)
		return report.Head{}
	}
	return h
}

// picture draws a job as it stands now, unless the adapter has that drawing.
func (e *Engine) picture(d *Delivery) error {
	var job *entry
	err := e.cfg.Store.View(func(tx *store.Tx) error {
		h, ok, err := tx.Header(d.Reply.Picture)
		if err != nil {
			return err
		}
		if !ok || h.Chat != d.Chat {
			return &store.NoJobError{Job: d.Reply.Picture}
		}
		job, err = e.jobs.at(tx, h)
		return err
	})
	if store.IsClosed(err) {
		return err
	}
	if err != nil {
		return &PermanentError{fmt.Errorf("draw: %w", err)}
	}
	if g, ok := e.cfg.Port.(Gallery); ok && d.Attempt == 0 {
		job.mu.RLock()
		d.Drawn = job.job.Seq
		job.mu.RUnlock()
		if g.Drawn(*d) {
			return nil
		}
	}
	select {
	case e.easels <- struct{}{}:
	case <-e.sendCtx.Done():
		return e.sendCtx.Err()
	}
	defer func() { <-e.easels }()
	job.mu.RLock()
	defer job.mu.RUnlock()
	d.Drawn = job.job.Seq
	src := report.Sources{Names: e.nameOf, Photos: e.photoOf, Head: e.headOf(job.job)}
	var b bytes.Buffer
	began := time.Now()
	if err := e.cfg.Draw(&b, job.job, d.Reply.Kind, d.Reply.Lang, e.cfg.Now(), src); err != nil {
		return &PermanentError{fmt.Errorf("draw: %w", err)}
	}
	e.cfg.Meter.Drawn(d.Reply.Kind, time.Since(began))
	d.Picture = b.Bytes()
	return nil
}
