package engine

import (
	"context"
	"errors"
	"fmt"
	"time"

	"rodcall/session"
	"rodcall/session/store"
)

// Meter is told what an engine does, as it does it. Its methods are called from
// several goroutines and return at once. Nothing tells it of a person or a chat.
type Meter interface {
	// Stored updates are safe, and were not there before.
	Stored(updates int)
	// Heard is a message whose outcome was committed, and how long after it was
	// read from the inbox.
	Heard(kind session.MessageKind, took time.Duration)
	// Refused messages were not taken, for their senders flood.
	Refused(messages int)
	// Dead is a message put among the dead letters.
	Dead()
	// Listened to a voice note; fail is "" where it was heard.
	Listened(fail session.HeardFail)
	// Drawn is a picture or a paper, made.
	Drawn(kind session.PictureKind, took time.Duration)
	// Sent is a reply that the platform took, and how long after it was made.
	Sent(took time.Duration)
	// NotSent is a reply that was not taken.
	NotSent(why SendFail)
	// Committed is a transaction, of how many writes.
	Committed(writes int, took time.Duration)
}

// SendFail is why a reply was not sent.
type SendFail string

// The reasons.
const (
	SendLater  SendFail = "later"  // the platform wants it later
	SendFailed SendFail = "failed" // it will be tried again
	SendParked SendFail = "parked" // it can never be sent, and was put aside
)

// unwritten is a write that failed.
type unwritten struct {
	err error
	at  time.Time
}

// unmetered is the Meter of an engine that was given none.
type unmetered struct{}

func (unmetered) Stored(int)                               {}
func (unmetered) Heard(session.MessageKind, time.Duration) {}
func (unmetered) Refused(int)                              {}
func (unmetered) Dead()                                    {}
func (unmetered) Listened(session.HeardFail)               {}
func (unmetered) Drawn(session.PictureKind, time.Duration) {}
func (unmetered) Sent(time.Duration)                       {}
func (unmetered) NotSent(SendFail)                         {}
func (unmetered) Committed(int, time.Duration)             {}

// Waiting is how many messages wait to be heard, and how many replies to be
// sent.
func (e *Engine) Waiting() (inbox, outbox int) {
	e.mu.Lock()
	defer e.mu.Unlock()
	for _, q := range e.out {
		outbox += len(q.rows)
	}
	outbox = min(outbox, e.waiting) // one that was just sent may still be in its queue
	return e.waiting - outbox + e.stranded, outbox
}

// Alive says why the engine cannot do its work, nil where it can: the file is
// read, and something is committed to it; ctx bounds how long that may take. It
// costs a transaction.
func (e *Engine) Alive(ctx context.Context) error {
	if err := e.cfg.Store.View(func(tx *store.Tx) error { tx.Cursor(); return nil }); err != nil {
		return fmt.Errorf("the file cannot be read: %w", err)
	}
	// What costs no room may succeed where nothing else does, so what really was
	// to be written comes first; it is tried again every few seconds.
	if u := e.unwritten.Load(); u != nil && time.Since(u.at) < time.Minute {
		return fmt.Errorf("the file cannot be written: %w", u.err)
	}
	if err := e.waits(); err != nil {
		return err
	}
	done := make(chan error, 1)
	go func() {
		defer Crash(e.log)
		done <- e.commit(func(*store.Tx) error { return nil }, nil)
	}()
	select {
	case err := <-done:
		if err != nil {
			return fmt.Errorf("the file cannot be written: %w", err)
		}
		return nil
	case <-ctx.Done():
		return errors.New("writing to the file takes too long")
	}
}
