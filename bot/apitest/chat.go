package apitest

import (
	"encoding/json"
	"slices"
	"time"
)

// Kinds of chats, as the Bot API names them.
const (
	kindPrivate    = "private"
	kindGroup      = "group"
	kindSupergroup = "supergroup"
)

// Standings of a member, as the Bot API names them.
const (
	standingOwner  = "creator"
	standingAdmin  = "administrator"
	standingMember = "member"
	standingLeft   = "left"
	standingKicked = "kicked"
)

// A chat is all that the server knows of one.
type chat struct {
	id         int64
	kind       string
	title      string
	name       string // @name without the @
	person     User   // whose private chat it is
	forum      bool
	started    bool // private: the person wrote first
	migratedTo int64

	members  map[int64]string // standing by user, the bot among them
	messages []*Message       // in order, without those deleted
	byID     map[int]*Message
	lastID   int // of a supergroup's own numbering
	topics   map[int]string

	keyboards map[int64]*Message // by user: the message whose keys a person sees
	forced    map[int64]int      // by user: the message that asked for a reply
	actions   []Action
}

// An Action is a sign such as "typing" that the bot showed.
type Action struct {
	Time   time.Time `json:"time"`
	Topic  int       `json:"topic,omitempty"`
	Action string    `json:"action"`
}

// newChat makes a chat and keeps it. s.mu is held.
func (s *Server) newChat(id int64, kind, title string) *chat {
	c := &chat{id: id, kind: kind, title: title, members: make(map[int64]string), byID: make(map[int]*Message),
		topics: make(map[int]string), keyboards: make(map[int64]*Message), forced: make(map[int64]int)}
	s.chats[id] = c
	return c
}

func (c *chat) api() map[string]any {
	o := map[string]any{"id": c.id, "type": c.kind}
	if c.kind == kindPrivate {
		o["first_name"] = c.person.FirstName
		if c.person.LastName != "" {
			o["last_name"] = c.person.LastName
		}
		if c.person.Username != "" {
			o["username"] = c.person.Username
		}
		return o
	}
	o["title"] = c.title
	if c.name != "" {
		o["username"] = c.name
	}
	if c.forum {
		o["is_forum"] = true
	}
	return o
}

// add gives a message its number and date and puts it at the end. s.mu is held.
func (s *Server) add(c *chat, m *Message) *Message {
	if c.kind == kindSupergroup {
		c.lastID++
		m.ID = c.lastID
	} else {
		s.messageID++
		m.ID = s.messageID
	}
	m.ChatID = c.id
	if m.Date.IsZero() {
		m.Date = s.cfg.Now()
	}
	if to := c.byID[m.ReplyTo]; to != nil && m.thread == 0 && c.kind == kindSupergroup {
		// Supergroups number the thread of a reply by its first message even
		// where there are no topics.
		if m.thread = to.thread; m.thread == 0 && !c.forum {
			m.thread = to.ID
		}
	}
	if c.forum && m.thread != 0 {
		m.Topic = m.thread
	}
	c.messages = append(c.messages, m)
	c.byID[m.ID] = m
	s.wake()
	return m
}

// remove takes a message away. s.mu is held.
func (c *chat) remove(m *Message) {
	c.messages = slices.DeleteFunc(c.messages, func(o *Message) bool { return o == m })
	delete(c.byID, m.ID)
}

// find is the chat that a request names, if the bot may act in it.
// s.mu is held.
func (s *Server) find(p params) (*chat, error) {
	var c *chat
	switch id := p["chat_id"].(type) {
	case json.Number:
		n, _ := id.Int64()
		c = s.chats[n]
	case string:
		c = s.chats[s.byName[id]]
	}
	switch {
	case c == nil:
		return nil, misplaced("chat not found")
	case c.migratedTo != 0:
		no := misplaced("group chat was upgraded to a supergroup chat")
		no.migrateTo, no.class = c.migratedTo, ""
		return nil, no
	case c.kind == kindPrivate && !c.started:
		no := forbidden("bot can't initiate conversation with a user")
		no.class = Misplaced
		return nil, no
	}
	switch standing := c.members[s.bot.ID]; {
	case standing == standingKicked && c.kind == kindPrivate:
		return nil, forbidden("bot was blocked by the user")
	case standing == standingKicked:
		return nil, forbidden("bot was kicked from the " + c.kind + " chat")
	case standing == standingLeft:
		return nil, forbidden("bot is not a member of the " + c.kind + " chat")
	}
	return c, nil
}

// message is the message that a request names. s.mu is held.
func (c *chat) message(p params, purpose string) (*Message, error) {
	if m := c.byID[int(p.number("message_id"))]; m != nil {
		return m, nil
	}
	return nil, misplaced("message to %s not found", purpose)
}
