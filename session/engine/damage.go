package engine

import (
	"errors"
	"fmt"
	"time"

	"rodcall/session/store"
)

// wordGrace is how long the word that nothing is kept has to get away before an
// engine ends whose file is damaged.
const wordGrace = 3 * time.Second

// unreadable says that part of the file cannot be read: a page, a row, or an event
// that does not follow the one before it; or that it is not there any more.
func unreadable(err error) bool {
	var moved *store.MovedError
	var damaged *store.DamagedError
	var chain *store.ChainError
	return errors.As(err, &damaged) || errors.As(err, &chain) || errors.As(err, &moved)
}

// damaged says that an error is of a part of the file that cannot be read, and notes
// where nothing can be written any more.
func (e *Engine) damaged(err error) bool {
	if !unreadable(err) {
		return false
	}
	if bad := e.cfg.Store.Broken(); bad != nil {
		e.breaks(bad)
	}
	return true
}

// Broken is closed once nothing can be heard any more, for the file is damaged: Err
// says how. The engine is to be closed then, and all that was received is in the file.
func (e *Engine) Broken() <-chan struct{} { return e.broken }

// Err is why nothing can be heard any more, nil while it can.
func (e *Engine) Err() error {
	e.mu.Lock()
	defer e.mu.Unlock()
	return e.why
}

// breaks notes that nothing can be heard any more.
func (e *Engine) breaks(why error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.why != nil {
		return
	}
	e.why = why
	close(e.broken)
}

// look is what an operator does about it.
func (e *Engine) look() string { return "rodcall check --db " + e.cfg.Store.Path() }

// block leaves in the inbox what waits in a chat, first what was taken out of its
// queue, and what comes there from now on: part of the file that it needs cannot be
// read. Were the next message heard all the same, its reading could come to stand at
// another station. Other chats are heard. This one waits for the next start.
func (e *Engine) block(q *inQueue, taken []waiting, why error) {
	if e.Err() == nil {
		e.log.Error("part of the file cannot be read, and what a chat sends waits in the inbox; the other chats go on",
			"inbox", taken[0].seq, "err", why, "look", e.look())
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	q.blocked = true
	if e.blocked++; e.unread == nil {
		e.unread = why
	}
	e.strand(len(taken) + len(q.letters))
	for len(q.letters) > 0 {
		e.pop(q)
	}
}

// strand counts messages that wait for the next start. e.mu is held.
func (e *Engine) strand(n int) {
	e.stranded += n
	e.counted(-n)
}

// skip leaves a reply in the outbox that cannot be read, and says whether it did: the
// next one is sent. Whoever waits for it has seen nothing.
func (e *Engine) skip(q *outQueue, row uint64, why error) bool {
	if !e.damaged(why) || e.Err() != nil {
		return false
	}
	e.log.Error("a reply cannot be read from the file; it is not sent", "row", row, "err", why, "look", e.look())
	e.echoes.gaveUp(q.chat, e.cfg.Now())
	e.count(-1)
	return true
}

// waits says whether chats wait for a part of the file that cannot be read.
func (e *Engine) waits() error {
	e.mu.Lock()
	defer e.mu.Unlock()
	switch {
	case e.why != nil:
		return e.why
	case e.blocked > 0:
		return fmt.Errorf("part of the file cannot be read, and %d chats wait (look: %s): %w", e.blocked, e.look(), e.unread)
	}
	return nil
}
