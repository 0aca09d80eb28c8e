package store

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"rodcall/session"
)

// Commit is what one message came to.
type Commit struct {
	Inbox        uint64 // the update, to be taken out
	Message      string // id of the message in its chat, "" to remember nothing of it
	Answers      string // id of the message that the replies answer, "" for none
	About        string // id of the job it was heard for, "" for none
	Person       Person
	Chat         session.Chat
	Conversation session.Conversation
	Job          string // that Events belong to
	Events       []session.Event
	Replies      []session.Reply
	Photo        []byte    // the photo that came with the message; kept where one of Events names its hash
	Door         *Door     // what was decided at the door, nil for nothing
	Made         time.Time // when the replies were

	ready *ready
}

// ready is what of a commit can be put into bytes before its transaction.
type ready struct {
	chat, talk []byte
	photo      session.Hash // of the photo
	keeps      bool         // an event names it
	rows       []Row
	bytes      [][]byte // of rows
}

// Prepare does what of a commit needs no transaction, so that it does not
// hold up others there. Commit does it itself where it was not done; the
// commit must not be changed in between. Its error is a *RefusedError.
func (c *Commit) Prepare() error {
	if err := c.prepare(); err != nil {
		return &RefusedError{c.Inbox, err}
	}
	return nil
}

func (c *Commit) prepare() error {
	r := &ready{}
	if err := checkKey("chat key", c.Chat.ID); err != nil {
		return err
	}
	var err error
	if r.chat, err = json.Marshal(c.Chat); err != nil {
		return fmt.Errorf("chat: %w", err)
	}
	if r.talk, err = json.Marshal(c.Conversation); err != nil {
		return fmt.Errorf("conversation: %w", err)
	}
	if r.photo, r.keeps, err = c.planPhoto(); err != nil {
		return err
	}
	for _, reply := range c.Replies {
		if reply.Live != "" {
			if err := checkKey("live name", reply.Live); err != nil {
				return err
			}
		}
		row := Row{Chat: c.Chat.ID, Reply: reply, Made: c.Made.UTC(), Person: c.Person.ID, Answers: c.Answers}
		b, err := json.Marshal(row)
		if err != nil {
			return fmt.Errorf("reply: %w", err)
		}
		r.rows, r.bytes = append(r.rows, row), append(r.bytes, b)
	}
	c.ready = r
	return nil
}

// Commit stores the outcome of a message, whole, and returns the numbers of
// the new outbox rows. A *GoneError or *RefusedError means that nothing of it
// was stored and the transaction may go on; after any other error it must not.
func (t *Tx) Commit(c Commit) ([]uint64, error) {
	if !t.waits(c.Inbox) {
		return nil, &GoneError{c.Inbox}
	}
	// All that can be wrong with the outcome itself is found before the first
	// write.
	p, err := t.plan(c)
	if err != nil {
		return nil, &RefusedError{c.Inbox, err}
	}
	if err := t.bucket(bucketInbox).Delete(number(c.Inbox)); err != nil {
		return nil, err
	}
	if c.Door != nil {
		if err := t.admit(*c.Door, c.Made); err != nil {
			return nil, err
		}
	}
	if err := t.append(c, p); err != nil {
		return nil, err
	}
	if p.keeps {
		if err := t.bucket(bucketPhotos).Put(p.photo[:], c.Photo); err != nil {
			return nil, err
		}
	}
	if err := t.bucket(bucketChat).Put([]byte(c.Chat.ID), p.chat); err != nil {
		return nil, err
	}
	if err := t.bucket(bucketTalk).Put(talkKey(c.Chat.ID, c.Person.ID), p.talk); err != nil {
		return nil, err
	}
	if err := t.savePerson(c.Person); err != nil {
		return nil, err
	}
	if c.Message != "" && c.About != "" {
		if err := t.remember(bucketHeard, c.Chat.ID, c.Message, c.Inbox, []byte(c.About)); err != nil {
			return nil, err
		}
	}
	var rows []uint64
	for i, r := range p.rows {
		seq, err := t.enqueue(r, p.bytes[i])
		if err != nil {
			return nil, err
		}
		if seq != 0 {
			rows = append(rows, seq)
		}
	}
	return rows, nil
}

// plan is a commit in bytes.
type plan struct {
	ready
	header Header
	events [][]byte
}

func (t *Tx) plan(c Commit) (plan, error) {
	var p plan
	if c.ready == nil {
		if err := c.prepare(); err != nil {
			return p, err
		}
	}
	p.ready = *c.ready
	if c.Person.ID != 0 {
		if err := checkKey("platform id of a person", c.Person.Platform); err != nil {
			return p, err
		}
		if known := t.PersonOf(c.Person.Platform); known != 0 && known != c.Person.ID {
			return p, fmt.Errorf("person %d has the platform id of person %d", c.Person.ID, known)
		}
	}
	if len(c.Events) > 0 {
		if err := t.planEvents(c, &p); err != nil {
			return p, err
		}
	}
	return p, nil
}

// maxKey is the longest text that becomes part of a key.
const maxKey = 256

func checkKey(what, key string) error {
	switch {
	case key == "":
		return fmt.Errorf("the %s is empty", what)
	case len(key) > maxKey:
		return fmt.Errorf("the %s has %d bytes: at most %d", what, len(key), maxKey)
	case strings.Contains(key, "\x00"):
		return fmt.Errorf("the %s %q holds a zero byte", what, key)
	}
	return nil
}

// planEvents encodes events onto the chain of their log.
func (t *Tx) planEvents(c Commit, p *plan) error {
	if err := checkKey("job id", c.Job); err != nil {
		return err
	}
	h, ok, err := t.Header(c.Job)
	if err != nil {
		return err
	}
	if ok && h.Chat != c.Chat.ID {
		return fmt.Errorf("job %s belongs to another chat", c.Job)
	}
	if !ok {
		if o, opens := c.Events[0].Body.(session.Opened); !opens || o.Job != c.Job || o.Chat != c.Chat.ID {
			return errors.Join(&NoJobError{c.Job}, errors.New("its first event must open it, in its chat"))
		}
	}
	h.Chat = c.Chat.ID
	h.JobHeader = session.JobHeader{ID: c.Job}
	for _, j := range c.Chat.Jobs {
		if j.ID == c.Job {
			h.JobHeader = j
		}
	}
	for _, e := range c.Events {
		if e.Seq != h.Seq+1 {
			return &SequenceError{Job: c.Job, Want: h.Seq + 1, Got: e.Seq}
		}
		b, err := session.Encode(e, h.Head)
		if err != nil {
			return err
		}
		p.events = append(p.events, b)
		h.Seq, h.Head = e.Seq, session.HashOf(b)
	}
	p.header = h
	return nil
}

// append adds events to the end of a log. What it costs does not depend on
// the log's length: the header knows the number and the hash of the last one.
func (t *Tx) append(c Commit, p plan) error {
	if len(p.events) == 0 {
		return nil
	}
	log := t.bucket(bucketLog)
	for i, b := range p.events {
		if err := log.Put(under(c.Job, number(c.Events[i].Seq)), b); err != nil {
			return err
		}
	}
	return save(t.bucket(bucketHeader), []byte(c.Job), p.header)
}
