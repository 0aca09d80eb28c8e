package engine

import (
	"errors"
	"runtime/debug"
	"strconv"
	"sync"
	"time"

	"rodcall/session"
	"rodcall/session/store"
)

// hear hears one message and commits what comes of it.
func (e *Engine) hear(chat string, w waiting) error {
	c, err := e.outcome(chat, &w)
	if c.Door != nil && c.Door.Code != "" {
		defer e.codes.Unlock()
	}
	switch {
	case store.IsClosed(err), errors.Is(err, ErrClosed):
		return ErrClosed
	case e.damaged(err):
		if w.in != nil {
			e.notKept(*w.in)
		}
		return err
	case err != nil:
		var undecoded *undecodedError
		if errors.As(err, &undecoded) {
			w.aside, err = true, undecoded.err
		}
		return e.putAside(chat, w, err)
	}
	if c.Door == nil || c.Door.Hear {
		if err := c.Prepare(); err != nil {
			return e.putAside(chat, w, err)
		}
	}
	var rows []uint64
	err = e.insistOr("a message", func(tx *store.Tx) (err error) {
		if c.Door != nil && !c.Door.Hear {
			rows, err = tx.TurnAway(c.Inbox, chat, *c.Door, c.Made)
			return err
		}
		rows, err = tx.Commit(*c)
		return err
	}, func() {
		e.unkept.kept(chat)
		e.count(len(rows) - 1)
		if c.Door != nil && !c.Door.Hear {
			c.Replies = c.Door.Replies
		}
		e.queueCommitted(chat, c, rows)
	}, func() { e.notKept(*w.in) })
	var refused *store.RefusedError
	if errors.As(err, &refused) {
		return e.putAside(chat, w, refused)
	}
	if err != nil {
		return err
	}
	e.cfg.Meter.Heard(w.kind, time.Since(w.since))
	if c.Door == nil || c.Door.Hear {
		e.talks.settle(c)
	}
	e.people.settle(c.Person)
	if len(c.Events) > 0 {
		if err := e.jobs.apply(c.Job, c.Events); err != nil {
			e.log.Error("a job does not take its own events; it was dropped from memory", "job", c.Job, "err", err)
		}
	}
	return nil
}

// undecodedError marks what is the adapter's fault.
type undecodedError struct{ err error }

func (e *undecodedError) Error() string { return e.err.Error() }

// outcome gives a message to Hear with all that it has to know.
func (e *Engine) outcome(chat string, w *waiting) (*store.Commit, error) {
	c := &store.Commit{Inbox: w.seq}
	in := w.in
	if in == nil {
		decoded, err := e.reread(chat, w.seq)
		if err != nil {
			return c, err
		}
		in = &decoded
		w.in = in
	}
	m := in.Message
	w.kind = m.Kind
	if e.cfg.Closed {
		door, err := e.atDoor(in, &m)
		if c.Door = door; err != nil || !door.Hear {
			c.Made = e.cfg.Now()
			return c, err
		}
	}
	m.At = m.At.UTC()
	m.Unseen, m.Lost = e.unseen(chat, m.At), e.lost(chat)
	m.FreshID = "j" + strconv.FormatUint(w.seq, 36)
	var id session.PersonID
	var job *entry
	var t *talk
	look := func(tx *store.Tx) (err error) {
		if id == 0 {
			id = tx.PersonOf(in.PersonPlatformID)
		}
		if id == 0 && in.PersonPlatformID != "" {
			return nil // new here: to be given a number first
		}
		if t, err = e.talks.of(tx, chat); err != nil {
			return err
		}
		c.Chat = t.chat
		if c.Conversation, err = t.place(tx, id); err != nil {
			return err
		}
		if in.ReplyToSent != "" {
			if m.Asked, err = tx.Asked(chat, in.ReplyToSent); err != nil {
				return err
			}
		}
		if in.Whose != 0 && in.Whose != id {
			m.Question = -1 // somebody else's
		}
		job, err = e.about(tx, t, c, &m)
		return err
	}
	err := e.cfg.Store.View(look)
	if err == nil && id == 0 && in.PersonPlatformID != "" {
		if id, err = e.people.number(e.cfg.Store, in.PersonPlatformID); err == nil {
			err = e.cfg.Store.View(look)
		}
	}
	if err != nil {
		return c, err
	}
	m.From = session.Person{ID: id, Name: in.PersonName}
	c.Person = store.Person{ID: id, Platform: in.PersonPlatformID, Name: in.PersonName}
	var o session.Outcome
	if err := e.hearWhole(c, job, in, &m, &o); err != nil {
		return c, err
	}
	if job != nil {
		c.About = job.id
	}
	if o.Job != "" {
		c.About = o.Job
	}
	switch m.Kind {
	case session.Said, session.Spoken, session.Showed:
		c.Message, c.Answers = m.ID, m.ID
	case session.Edited:
		c.Answers = m.ID
	case session.Tapped, session.Joined, session.Wordless:
	}
	c.Chat, c.Conversation = o.Chat, o.Conversation
	c.Chat.ID = chat
	c.Job, c.Events, c.Replies, c.Made = o.Job, o.Events, o.Replies, e.cfg.Now()
	if job != nil && c.Job == job.id {
		c.Onto = t.tops[job.id]
	}
	return c, nil
}

// reread decodes a message that was not kept in memory.
func (e *Engine) reread(chat string, seq uint64) (Incoming, error) {
	var l store.Letter
	err := e.cfg.Store.View(func(tx *store.Tx) error {
		ok := false
		if l, ok = tx.Letter(seq); !ok {
			return &store.GoneError{Inbox: seq}
		}
		return nil
	})
	if err != nil {
		return Incoming{}, err
	}
	in, err := e.decode(l.Raw)
	if err == nil && in.Chat != chat {
		err = errors.New("it names another chat than before")
	}
	if err != nil {
		return in, &undecodedError{err}
	}
	return in, nil
}

// about finds the job that a message is about: the one of the question whose
// button it taps, of the bot's message or the person's message that it
// replies to, or of its own first version where it is an edit; else the
// chat's current one. A job of another chat is never loaded.
func (e *Engine) about(tx *store.Tx, t *talk, c *store.Commit, m *session.Message) (*entry, error) {
	var tries []string
	if q := c.Conversation.Question; m.Kind == session.Tapped && q != nil && q.Number == m.Question {
		tries = append(tries, q.Job)
	}
	tries = append(tries, m.Asked.Job)
	if m.Kind == session.Edited {
		tries = append(tries, tx.HeardFor(c.Chat.ID, m.ID))
	}
	if m.ReplyTo != "" {
		tries = append(tries, tx.HeardFor(c.Chat.ID, m.ReplyTo))
	}
	tries = append(tries, c.Chat.Current)
	for _, id := range tries {
		if id == "" {
			continue
		}
		top, err := t.top(tx, id)
		if err != nil {
			return nil, err
		}
		if top.ID != "" {
			return e.jobs.at(tx, top.Header)
		}
	}
	return nil, nil
}

// hearWhole calls Hear, and again with what it asks for: the rights of the
// person, what is said in the voice note, the photo. Each is found out once.
func (e *Engine) hearWhole(c *store.Commit, job *entry, in *Incoming, m *session.Message, o *session.Outcome) error {
	if v, ok := e.cfg.Port.(Voiced); ok {
		m.Speaks = v.Speaks()
	}
	asked := false
	for {
		err := e.callHear(c, job, m, o)
		if err != nil {
			return err
		}
		switch {
		case o.AskRights && !asked:
			asked, m.Rights = true, e.rights(in)
		case o.Listen != nil && m.Heard == nil:
			m.Heard, err = e.listen(*in, *o.Listen)
		case o.Fetch && m.Photo == nil:
			c.Photo, m.Photo, err = e.fetchPhoto(*in)
		default:
			return nil
		}
		if err != nil {
			return err
		}
	}
}

// callHear calls Hear and catches its panic.
func (e *Engine) callHear(c *store.Commit, job *entry, m *session.Message, o *session.Outcome) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = &PanicError{p, debug.Stack()}
		}
	}()
	var j *session.Job
	if job != nil {
		job.mu.RLock()
		defer job.mu.RUnlock()
		j = job.job
	}
	*o = e.cfg.Hear(c.Chat, j, c.Conversation, *m)
	return nil
}

// peopleBook numbers people. A number given to a new person is kept here
// until the commit that first carries it is on the disk, for the same person
// may write in two chats at once.
type peopleBook struct {
	mu   sync.Mutex
	last session.PersonID
	new  map[string]session.PersonID
}

// number is the number of a person, given now where there is none. It must
// not be called within a transaction: one that begins within another waits
// for a writer that has to make room, which waits for the other to end.
func (b *peopleBook) number(s *store.Store, platform string) (id session.PersonID, err error) {
	if platform == "" {
		return 0, nil
	}
	known := func(tx *store.Tx) error { id = tx.PersonOf(platform); return nil }
	if err := s.View(known); err != nil || id != 0 {
		return id, err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if id := b.new[platform]; id != 0 {
		return id, nil
	}
	// The commit may have come between.
	if err := s.View(known); err != nil || id != 0 {
		return id, err
	}
	b.last++
	if b.new == nil {
		b.new = map[string]session.PersonID{}
	}
	b.new[platform] = b.last
	return b.last, nil
}

// settle forgets what is on the disk.
func (b *peopleBook) settle(p store.Person) {
	b.mu.Lock()
	defer b.mu.Unlock()
	delete(b.new, p.Platform)
}
