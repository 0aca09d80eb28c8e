package engine

import (
	"cmp"
	"errors"
	"fmt"
	"runtime/debug"
	"time"

	"rodcall/session"
	"rodcall/session/store"
)

const (
	// readAhead is how many letters are read from the inbox at a time.
	readAhead = 256
	// maxHeld is how many decoded messages wait in memory; of the others only
	// the number does, and they are read and decoded again.
	maxHeld = 1024
)

// inQueue is what waits to be heard in one chat. The goroutine that hears it
// lives as long as there is something in it.
type inQueue struct {
	chat    string
	letters []waiting
	blocked bool // see block
}

type waiting struct {
	seq    uint64
	since  time.Time           // when it was read from the inbox
	kind   session.MessageKind // once it was decoded
	update int64
	in     *Incoming // nil: not kept
	// over: not to be heard, for its sender floods; in is kept where that is to
	// be told.
	over   bool
	sender string    // of one that is over, where that is to be kept
	at     time.Time // when that was sent
	// reopened: its sender flooded, and is heard again from this one on.
	reopened bool
	// aside: not to be heard but to be put aside, because of err.
	aside bool
	err   error
}

// Receive stores updates, those that were not stored before, together with
// the adapter's cursor (nil leaves it as it is). When it has returned nil they
// are safe and may be confirmed to the platform.
func (e *Engine) Receive(updates []Update, cursor []byte) error {
	e.mu.Lock()
	if e.closed {
		e.mu.Unlock()
		return ErrClosed
	}
	e.work.Add(1)
	e.mu.Unlock()
	defer e.work.Done()

	stored := 0
	err := e.commit(func(tx *store.Tx) (err error) {
		stored, err = tx.Receive(updates, cursor, e.cfg.Now())
		return err
	}, func() {
		e.count(stored)
		if stored > 0 {
			e.cfg.Meter.Stored(stored)
			select {
			case e.arrived <- struct{}{}:
			default:
			}
		}
	})
	if err != nil {
		if !errors.Is(err, ErrClosed) {
			e.notStored(updates)
		}
		return fmt.Errorf("receive %d updates: %w", len(updates), err)
	}
	return nil
}

// dispatch reads the inbox, first what is left in it from before, and gives
// each letter to its chat.
func (e *Engine) dispatch() {
	next := uint64(1)
	for attempt := 0; ; {
		var letters []store.Letter
		err := e.cfg.Store.View(func(tx *store.Tx) error {
			letters = tx.Inbox(next, readAhead)
			return nil
		})
		if e.damaged(err) {
			e.breaks(err)
			return
		}
		if err != nil {
			e.log.Error("cannot read the inbox; it will be tried again", "err", err)
			if !e.pause(backoff(attempt, writeRetry, writeRetryMost)) {
				return
			}
			attempt++
			continue
		}
		attempt = 0
		for _, l := range letters {
			next = l.Seq + 1
			e.route(l)
		}
		if len(letters) > 0 && !e.isClosing() {
			continue
		}
		select {
		case <-e.arrived:
		case <-e.closing:
			return
		}
	}
}

// route decodes a letter and queues it for its chat.
func (e *Engine) route(l store.Letter) {
	w := waiting{seq: l.Seq, update: l.ID, since: time.Now()}
	in, err := e.decode(l.Raw)
	chat := in.Chat
	if err != nil {
		// All that is not to be heard waits in a queue of no chat.
		w.aside, w.err, chat = true, err, ""
	}
	tell := false
	if !w.aside {
		ok := false
		ok, tell, w.reopened = e.senders.take(cmp.Or(in.PersonPlatformID, chat), in.Message.Kind, in.Message.At)
		if w.over = !ok; w.over && in.Message.Kind != session.Tapped {
			w.sender, w.at = in.PersonPlatformID, in.Message.At
		}
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	if q := e.in[chat]; q != nil && q.blocked {
		e.strand(1)
		if !w.aside && !w.over {
			e.spawn(func() { e.notKept(in) })
		}
		return
	}
	if !w.aside && !w.over && e.held < maxHeld || tell {
		e.held++
		w.in = &in
	}
	q, running := e.in[chat]
	if !running {
		q = &inQueue{chat: chat}
		e.in[chat] = q
	}
	q.letters = append(q.letters, w)
	if !running {
		e.spawn(func() { e.hearAll(q) })
	}
}

// decode has the adapter decode an update, and looks at what it says.
func (e *Engine) decode(raw []byte) (in Incoming, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = &PanicError{p, debug.Stack()}
		}
	}()
	if in, err = e.cfg.Port.Decode(raw); err != nil {
		return in, err
	}
	if in.Chat == "" {
		return in, errors.New("it names no chat")
	}
	return in, nil
}

// hearAll hears what waits in a chat, in order, until nothing does.
func (e *Engine) hearAll(q *inQueue) {
	for {
		e.mu.Lock()
		if len(q.letters) == 0 || e.closed {
			delete(e.in, q.chat)
			e.mu.Unlock()
			return
		}
		w := e.pop(q)
		over := []waiting{w}
		for w.over && len(q.letters) > 0 && q.letters[0].over && len(over) < readAhead {
			over = append(over, e.pop(q))
		}
		e.mu.Unlock()

		var err error
		switch {
		case w.over:
			err = e.refuse(q.chat, over)
		case w.aside:
			err = e.putAside(q.chat, w, w.err)
		default:
			if w.reopened {
				e.reopen(q.chat, &w)
			}
			err = e.hear(q.chat, w)
		}
		if e.damaged(err) {
			e.block(q, over, err)
			return
		}
		if err != nil && !errors.Is(err, ErrClosed) {
			e.log.Error("a message was lost sight of", "inbox", w.seq, "err", err)
		}
	}
}

// pop takes the first letter out of a queue. e.mu is held.
func (e *Engine) pop(q *inQueue) waiting {
	w := q.letters[0]
	q.letters = q.letters[1:]
	if w.in != nil {
		e.held--
	}
	return w
}

// putAside takes a letter out of the inbox that is not to be heard.
func (e *Engine) putAside(chat string, w waiting, why error) error {
	if errors.Is(why, ErrIgnore) {
		return e.insist("an ignored update", func(tx *store.Tx) error { return tx.Ignore(w.seq) }, func() { e.count(-1) })
	}
	var alert error = &HearError{Inbox: w.seq, Chat: chat, Err: why}
	if w.aside {
		alert = &DecodeError{Inbox: w.seq, Update: w.update, Err: why}
	}
	if err := e.insist("a dead letter", func(tx *store.Tx) error { return tx.Bury(w.seq, e.reason(why)) }, nil); err != nil {
		return err
	}
	e.cfg.Meter.Dead()
	// Not in the writer: an alert may take its time.
	e.alert(alert)
	e.count(-1)
	return nil
}

// reason is why something was put aside, as it is kept in the file.
func (e *Engine) reason(why error) error {
	if p, ok := e.cfg.Port.(Discreet); ok {
		return errors.New(p.Hide(why.Error()))
	}
	return why
}

func (e *Engine) alert(err error) {
	attrs := []any{"err", err}
	var p *PanicError
	if errors.As(err, &p) {
		attrs = append(attrs, "stack", string(p.Stack))
	}
	e.log.Error("a message was put among the dead letters", attrs...)
	if e.cfg.Alert != nil {
		e.alerts.Lock()
		defer e.alerts.Unlock()
		e.cfg.Alert(err)
	}
}

// readRetryMost is the longest wait before reading again what could not be
// read.
const readRetryMost = time.Second
