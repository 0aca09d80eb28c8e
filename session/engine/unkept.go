package engine

import (
	"runtime/debug"
	"sync"
	"time"

	"rodcall/session"
	"rodcall/session/store"
)

// unkeptAgain is how long a chat is not told again that what it sends is not
// kept: an outage may last, and a crew sends on.
const unkeptAgain = 10 * time.Minute

// unkept remembers which chats were told that what they sent is not kept. It goes
// by a clock that cannot jump.
type unkept struct {
	mu   sync.Mutex
	when map[string]time.Time
}

// first says whether a chat was not told lately, and notes that it is now.
func (u *unkept) first(chat string) bool {
	u.mu.Lock()
	defer u.mu.Unlock()
	if at, ok := u.when[chat]; ok && time.Since(at) < unkeptAgain {
		return false
	}
	if u.when == nil || len(u.when) >= maxTold {
		u.when = map[string]time.Time{}
	}
	u.when[chat] = time.Now()
	return true
}

// kept forgets that a chat was told: what it sends is kept again, and should that
// fail once more it is news.
func (u *unkept) kept(chat string) {
	u.mu.Lock()
	defer u.mu.Unlock()
	delete(u.when, chat)
}

// notStored tells those who sent updates that these could not be stored.
func (e *Engine) notStored(updates []Update) {
	for _, u := range updates {
		if in, err := e.decode(u.Raw); err == nil {
			e.notKept(in)
		}
	}
}

// notKept tells whoever sent a message that it cannot be written down. There is no
// place in the outbox for that: it is sent once, and what comes of it is not
// looked at. Strangers, and talk that the bot would not hear, get nothing.
func (e *Engine) notKept(in Incoming) {
	a, err := e.accessOf(in)
	if err != nil {
		e.log.Error("cannot look up who is to be told that nothing is kept", "err", err)
		return
	}
	r, ok := session.Unkept(a, in.Message)
	if !ok || !e.unkept.first(in.Chat) {
		return
	}
	e.spawn(func() { e.sendPast(in.Chat, r) })
}

// accessOf looks up what is known of who sent a message, whatever it says, and which
// language they are to be answered in.
func (e *Engine) accessOf(in Incoming) (a session.Access, err error) {
	err = e.cfg.Store.View(func(tx *store.Tx) error {
		a = tx.Access(in.PersonPlatformID, in.group(), "")
		return nil
	})
	if err != nil {
		return a, err
	}
	err = e.cfg.Store.View(func(tx *store.Tx) error {
		t, err := tx.Chat(in.Chat)
		if err != nil {
			return err
		}
		c, err := tx.Conversation(in.Chat, tx.PersonOf(in.PersonPlatformID))
		a.Person, a.Job = c.Lang, t.Lang()
		return err
	})
	if unreadable(err) {
		err = nil // in the language of their program, then
	}
	return a, err
}

// sendPast sends a reply past the outbox.
func (e *Engine) sendPast(chat string, r session.Reply) {
	defer func() {
		if p := recover(); p != nil {
			e.log.Error("panic while sending a word of trouble", "panic", p, "stack", string(debug.Stack()))
		}
	}()
	if e.cfg.Limiter != nil && e.cfg.Limiter.Wait(e.hearCtx, chat) != nil {
		return
	}
	select {
	case e.slots <- struct{}{}:
	case <-e.hearCtx.Done():
		return
	}
	defer func() { <-e.slots }()
	if _, err := e.cfg.Port.Send(e.hearCtx, Delivery{Chat: chat, Reply: r, Made: e.cfg.Now()}); err != nil {
		e.log.Warn("a word of trouble was not sent", "err", err)
	}
}
