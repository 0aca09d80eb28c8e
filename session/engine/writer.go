package engine

import (
	"errors"
	"time"

	"rodcall/session/store"
)

// maxGroup is how many writes one transaction takes at most.
const maxGroup = 512

// op is one thing to write. The error of do is its own if it is a
// *store.GoneError or *store.RefusedError, and ends the transaction if not.
type op struct {
	do func(*store.Tx) error
	// after runs once do is on the disk, before anybody who waits for the op
	// goes on, and in the order of the commits.
	after func()
	err   error
	done  chan struct{}
}

// commit gives an op to the writer and waits until it is on the disk.
func (e *Engine) commit(do func(*store.Tx) error, after func()) error {
	o := &op{do: do, after: after, done: make(chan struct{})}
	select {
	case e.ops <- o:
	case <-e.stopWriter:
		return ErrClosed
	}
	select {
	case <-o.done:
		return o.err
	case <-e.writerDone:
		return ErrClosed
	}
}

// insist commits until it succeeds, is refused, meets a part of the file that cannot
// be read, or the engine closes.
func (e *Engine) insist(what string, do func(*store.Tx) error, after func()) error {
	return e.insistOr(what, do, after, func() {})
}

// insistOr does what insist does, and calls lasting once it is clear that the
// trouble is not over at once.
func (e *Engine) insistOr(what string, do func(*store.Tx) error, after, lasting func()) error {
	for attempt := 0; ; attempt++ {
		err := e.commit(do, after)
		if err == nil || own(err) || errors.Is(err, ErrClosed) {
			return err
		}
		if e.damaged(err) {
			lasting()
			return err
		}
		e.log.Error("cannot write; it will be tried again", "what", what, "attempt", attempt+1, "err", err)
		if attempt == writeLasts {
			lasting()
		}
		if !e.pause(backoff(attempt, writeRetry, writeRetryMost)) {
			return ErrClosed
		}
	}
}

// How long to wait before writing again what could not be written.
const (
	writeRetry     = 20 * time.Millisecond
	writeRetryMost = 5 * time.Second
	writeLasts     = 4 // attempts in 300 ms
)

// own says whether an error of an op leaves the transaction sound.
func own(err error) bool {
	var gone *store.GoneError
	var refused *store.RefusedError
	return errors.As(err, &gone) || errors.As(err, &refused)
}

// write is the one writer.
func (e *Engine) write() {
	defer close(e.writerDone)
	var group []*op
	last := 0
	for {
		select {
		case o := <-e.ops:
			group = append(group[:0], o)
		case <-e.stopWriter:
			return
		}
		group = e.gather(group, last)
		last = len(group)
		if err := e.writeGroup(group); err != nil && len(group) > 1 {
			// One of them may be at fault: each by itself, then.
			for _, o := range group {
				o.err = e.writeGroup([]*op{o})
			}
		}
		for i, o := range group {
			close(o.done)
			group[i] = nil
		}
	}
}

// gather takes into a group what else is to be written. Being durable costs a
// transaction the same whatever it holds, so where the last one was shared
// this one waits a little for as many: chats that were answered together go on
// together. A chat by itself never waits.
func (e *Engine) gather(group []*op, last int) []*op {
	var late <-chan time.Time
	for len(group) < maxGroup {
		select {
		case o := <-e.ops:
			group = append(group, o)
			continue
		default:
		}
		if len(group) >= last || last < shared {
			return group
		}
		if late == nil {
			t := time.NewTimer(linger)
			defer t.Stop()
			late = t.C
		}
		select {
		case o := <-e.ops:
			group = append(group, o)
		case <-late:
			return group
		}
	}
	return group
}

const (
	// shared is the least group after which the next one is waited for.
	shared = 4
	// linger is how long it is waited for: less than being durable takes.
	linger = time.Millisecond
)

// writeGroup writes ops in one transaction and, where that succeeds, does
// what is to be done after each.
func (e *Engine) writeGroup(group []*op) error {
	began := time.Now()
	err := e.cfg.update(func(tx *store.Tx) error {
		for _, o := range group {
			if o.err = o.do(tx); o.err != nil && !own(o.err) {
				return o.err
			}
		}
		return nil
	})
	if err != nil {
		e.unwritten.Store(&unwritten{err, began})
		e.damaged(err)
		for _, o := range group {
			o.err = err
		}
		return err
	}
	e.unwritten.Store(nil)
	e.cfg.Meter.Committed(len(group), time.Since(began))
	for _, o := range group {
		if o.err == nil && o.after != nil {
			o.after()
		}
	}
	return nil
}
