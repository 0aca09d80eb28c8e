package engine

import (
	"sync"

	"rodcall/session"
	"rodcall/session/store"
)

// maxTalks is how many chats' places in their talks are kept in memory.
const maxTalks = 4096

// talks keeps, for the chats that talked last, what the file holds of them, so
// that it need not be read again for each message. Only the goroutine that
// hears a chat touches its entry; what is in an entry is on the disk.
type talks struct {
	mu    sync.Mutex
	chats map[string]*talk
}

// talk is a chat, the place of each person in it, and the tops of its jobs' logs.
type talk struct {
	chat   session.Chat
	places map[session.PersonID]session.Conversation
	tops   map[string]store.Top
}

// of is a chat's entry, read where it is not kept.
func (t *talks) of(tx *store.Tx, chat string) (*talk, error) {
	t.mu.Lock()
	e := t.chats[chat]
	t.mu.Unlock()
	if e != nil {
		return e, nil
	}
	c, err := tx.Chat(chat)
	if err != nil {
		return nil, err
	}
	e = &talk{chat: c, places: map[session.PersonID]session.Conversation{}, tops: map[string]store.Top{}}
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.chats == nil || len(t.chats) >= maxTalks {
		t.chats = map[string]*talk{}
	}
	t.chats[chat] = e
	return e, nil
}

// place is a person's place in the chat, read where it is not kept.
func (e *talk) place(tx *store.Tx, p session.PersonID) (session.Conversation, error) {
	if c, ok := e.places[p]; ok {
		return c, nil
	}
	c, err := tx.Conversation(e.chat.ID, p)
	if err == nil {
		e.places[p] = c
	}
	return c, err
}

// top is the top of a job's log, zero where the chat has no such job.
func (e *talk) top(tx *store.Tx, job string) (store.Top, error) {
	known := e.tops[job]
	top, err := tx.TopOf(job, known)
	if err != nil || top.Chat != e.chat.ID {
		return store.Top{}, err
	}
	e.tops[job] = top
	return top, nil
}

// settle takes over what was committed.
func (t *talks) settle(c *store.Commit) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if e := t.chats[c.Chat.ID]; e != nil {
		e.chat, e.places[c.Person.ID] = c.Chat, c.Conversation
		if top := c.Top(); top.ID != "" {
			e.tops[top.ID] = top
		}
	}
}
