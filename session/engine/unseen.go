package engine

import (
	"sync"
	"time"

	"rodcall/session/store"
)

// maxEchoes is of how many chats it is kept when they were last answered.
const maxEchoes = 4096

// clockBehind is how much later than now a message may have been sent for this
// clock still to be taken for right.
const clockBehind = 2 * time.Second

// echoes keeps when each chat's last reply was delivered. Of what was delivered
// before since nothing is known: what was sent before that has seen nothing.
type echoes struct {
	mu    sync.Mutex
	since time.Time
	chats map[string]lastSent
	// lost is when the newest reply to each chat was made that was given up; of
	// any chat that is not in it, allLost is.
	lost    map[string]time.Time
	allLost time.Time
}

// lastSent is the newest row delivered to a chat, and when it was.
type lastSent struct {
	row uint64
	at  time.Time
}

// delivered notes that a row was delivered, or given up.
func (e *echoes) delivered(chat string, row uint64, at time.Time) {
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.chats == nil || len(e.chats) >= maxEchoes {
		if e.chats != nil {
			e.since = at
		}
		e.chats = map[string]lastSent{}
	}
	e.chats[chat] = lastSent{row, at}
}

// gaveUp notes that a reply to a chat, made then, was given up.
func (e *echoes) gaveUp(chat string, made time.Time) {
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.lost == nil || len(e.lost) >= maxEchoes {
		for _, at := range e.lost {
			e.allLost = later(e.allLost, at)
		}
		e.lost = map[string]time.Time{}
	}
	e.lost[chat] = later(e.lost[chat], made)
}

func later(a, b time.Time) time.Time {
	if a.Before(b) {
		return b
	}
	return a
}

// lost is when the newest reply to a chat was made that was given up, zero for
// none; not after now, where the clock was ahead then.
func (e *Engine) lost(chat string) time.Time {
	now := e.cfg.Now()
	e.echoes.mu.Lock()
	defer e.echoes.mu.Unlock()
	if at, ok := e.echoes.lost[chat]; ok && at.After(now) {
		e.echoes.lost[chat] = now
	}
	if e.echoes.allLost.After(now) {
		e.echoes.allLost = now
	}
	return later(e.echoes.lost[chat], e.echoes.allLost)
}

// resumeLost notes which replies were given up before.
func (e *Engine) resumeLost(tx *store.Tx) error {
	parked, err := tx.Parked(store.ParkedAtMost)
	for _, p := range parked {
		e.echoes.gaveUp(p.Chat, p.Made)
	}
	return err
}

// unseen says whether a message was sent before all replies to its chat had been
// delivered. Where a clock is ahead, or behind the platform's, it errs towards that:
// it costs a tap.
func (e *Engine) unseen(chat string, sent time.Time) bool {
	now := e.cfg.Now()
	e.echoes.mu.Lock()
	if e.echoes.since.After(now) {
		e.echoes.since = now // the clock was ahead when the engine began
	}
	last, since := e.echoes.chats[chat], e.echoes.since
	e.echoes.mu.Unlock()
	if sent.Before(since) || sent.Before(last.at) || sent.Sub(now) > clockBehind {
		return true
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	q := e.out[chat]
	// A row leaves the queue a moment after it was delivered.
	return q != nil && len(q.rows) > 0 && q.rows[len(q.rows)-1].seq > last.row
}
