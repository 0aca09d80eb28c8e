package store

import (
	"bytes"
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
	Onto         Top    // of Job, as it was heard for; zero to look when it is stored
	Events       []session.Event
	Replies      []session.Reply
	Photo        []byte    // the photo that came with the message; kept where one of Events names its hash
	Door         *Door     // what was decided at the door, nil for nothing
	Made         time.Time // when the replies were

	ready *ready
}

// ready is what of a commit can be put into bytes before its transaction.
type ready struct {
	chat, talk, person []byte
	photo              session.Hash // of the photo
	keeps              bool         // an event names it
	rows               []Row
	bytes              [][]byte // of rows
	events             [][]byte // of a job that is there, onto Onto
	top                Top      // with them
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
	if r.chat, err = json.Marshal(&c.Chat); err != nil {
		return fmt.Errorf("chat: %w", err)
	}
	if r.talk, err = json.Marshal(&c.Conversation); err != nil {
		return fmt.Errorf("conversation: %w", err)
	}
	if r.person, err = json.Marshal(&c.Person); err != nil {
		return fmt.Errorf("person: %w", err)
	}
	if r.photo, r.keeps, err = c.planPhoto(); err != nil {
		return err
	}
	if len(c.Events) > 0 && c.Onto.ID != "" && c.Onto.ID == c.Job {
		if r.events, r.top, err = c.chain(c.Onto.Header); err != nil {
			return err
		}
	}
	for _, reply := range c.Replies {
		if reply.Live != "" {
			if err := checkKey("live name", reply.Live); err != nil {
				return err
			}
		}
		r.rows = append(r.rows, Row{Chat: c.Chat.ID, Reply: reply, Made: c.Made.UTC(), Person: c.Person.ID, Answers: c.Answers})
		b, err := json.Marshal(&r.rows[len(r.rows)-1])
		if err != nil {
			return fmt.Errorf("reply: %w", err)
		}
		r.bytes = append(r.bytes, b)
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
	if err := t.append(c, &p); err != nil {
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
	if err := t.savePerson(c.Person, p.person); err != nil {
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

// plan is a commit in bytes, as the file stands.
func (t *Tx) plan(c Commit) (p ready, err error) {
	if c.ready == nil {
		if err := c.prepare(); err != nil {
			return p, err
		}
	}
	p = *c.ready
	if c.Person.ID != 0 {
		if err := checkKey("platform id of a person", c.Person.Platform); err != nil {
			return p, err
		}
		if known := t.PersonOf(c.Person.Platform); known != 0 && known != c.Person.ID {
			return p, fmt.Errorf("person %d has the platform id of person %d", c.Person.ID, known)
		}
	}
	if len(c.Events) > 0 {
		if err := t.planEvents(&c, &p); err != nil {
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

// planEvents has the events of a commit on the chain of their log.
func (t *Tx) planEvents(c *Commit, p *ready) error {
	if err := checkKey("job id", c.Job); err != nil {
		return err
	}
	if c.Onto.ID == c.Job && bytes.Equal(t.bucket(bucketHeader).Get([]byte(c.Job)), c.Onto.stored) {
		return nil
	}
	h, ok, err := t.Header(c.Job)
	if err != nil {
		return err
	}
	if !ok {
		if o, opens := c.Events[0].Body.(session.Opened); !opens || o.Job != c.Job || o.Chat != c.Chat.ID {
			return errors.Join(&NoJobError{c.Job}, errors.New("its first event must open it, in its chat"))
		}
		h.Chat = c.Chat.ID
	}
	p.events, p.top, err = c.chain(h)
	return err
}

// chain encodes the events of a commit onto the chain of their log, and the
// header that it then has.
func (c *Commit) chain(h Header) (events [][]byte, top Top, err error) {
	if h.Chat != c.Chat.ID {
		return nil, top, fmt.Errorf("job %s belongs to another chat", c.Job)
	}
	h.JobHeader = session.JobHeader{ID: c.Job}
	for _, j := range c.Chat.Jobs {
		if j.ID == c.Job {
			h.JobHeader = j
		}
	}
	for _, e := range c.Events {
		if e.Seq != h.Seq+1 {
			return nil, top, &SequenceError{Job: c.Job, Want: h.Seq + 1, Got: e.Seq}
		}
		b, err := session.Encode(e, h.Head)
		if err != nil {
			return nil, top, err
		}
		events = append(events, b)
		h.Seq, h.Head = e.Seq, session.HashOf(b)
	}
	top.Header = h
	if top.stored, err = json.Marshal(&h); err != nil {
		return nil, top, fmt.Errorf("header: %w", err)
	}
	return events, top, nil
}

// append adds events to the end of a log. What it costs does not depend on
// the log's length: the header knows the number and the hash of the last one.
func (t *Tx) append(c Commit, p *ready) error {
	if len(p.events) == 0 {
		return nil
	}
	log := t.bucket(bucketLog)
	for i, b := range p.events {
		if err := log.Put(under(c.Job, number(c.Events[i].Seq)), b); err != nil {
			return err
		}
	}
	return t.bucket(bucketHeader).Put([]byte(c.Job), p.top.stored)
}

// Top is the top of the job's log with the commit's events, where it was prepared
// onto one; else zero.
func (c *Commit) Top() Top {
	if c.ready == nil {
		return Top{}
	}
	return c.ready.top
}
