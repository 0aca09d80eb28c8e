package apitest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"iter"
	"net/url"
	"slices"
	"strings"
	"unicode/utf16"
)

// A Chat is the hand with which people act in a chat, or in one topic of a
// forum.
type Chat struct {
	srv   *Server
	id    int64
	topic int
}

// ID is the chat's id, as the Bot API has it.
func (c *Chat) ID() int64 { return c.id }

// Topic is the message_thread_id of the topic, 0 outside of one.
func (c *Chat) Topic() int { return c.topic }

// User makes a person with an id of their own, who reads English.
func (s *Server) User(firstName string) User {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.lastID++
	u := User{ID: s.lastID, FirstName: firstName, LanguageCode: "en"}
	s.users[u.ID] = u
	return u
}

// know remembers a user as they are now. s.mu is held.
func (s *Server) know(u User) {
	if u.ID == s.bot.ID || u.ID <= 0 {
		panic(fmt.Sprintf("apitest: %d is no id of a person", u.ID))
	}
	s.users[u.ID] = u
}

// Private is the user's private chat with the bot. The bot can write there
// only after the user did.
func (s *Server) Private(u User) *Chat {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.know(u)
	if s.chats[u.ID] == nil {
		c := s.newChat(u.ID, kindPrivate, "")
		c.person = u
		c.members[u.ID], c.members[s.bot.ID] = standingMember, standingMember
	}
	return &Chat{srv: s, id: u.ID}
}

// Group makes a supergroup with the bot in it; the first member owns it.
func (s *Server) Group(title string, members ...User) *Chat {
	return s.group(kindSupergroup, title, members)
}

// SmallGroup makes a group as they are before they become supergroups; see
// [Chat.Migrate].
func (s *Server) SmallGroup(title string, members ...User) *Chat {
	return s.group(kindGroup, title, members)
}

func (s *Server) group(kind, title string, members []User) *Chat {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.lastID++
	id := -s.lastID
	if kind == kindSupergroup {
		id = -1_000_000_000_000 - 2_000_000_000 - s.lastID // beyond 32 bits, as they are
	}
	c := s.newChat(id, kind, title)
	for i, u := range members {
		s.know(u)
		c.members[u.ID] = standingMember
		if i == 0 {
			c.members[u.ID] = standingOwner
		}
	}
	if len(members) > 0 {
		s.stand(c, members[0], s.bot, standingMember)
	}
	c.members[s.bot.ID] = standingMember
	return &Chat{srv: s, id: id}
}

// Chat is the hand for a chat that exists, or nil.
func (s *Server) Chat(id int64) *Chat {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.chats[id] == nil {
		return nil
	}
	return &Chat{srv: s, id: id}
}

// by locks, and hands out the chat with the user known and in it. It panics,
// unlocked, where the user cannot act there.
func (c *Chat) by(u User) (*chat, func()) {
	c.srv.mu.Lock()
	ok := false
	defer func() {
		if !ok {
			c.srv.mu.Unlock()
		}
	}()
	in := c.srv.chats[c.id]
	c.srv.know(u)
	if st := in.members[u.ID]; st == "" || st == standingLeft {
		in.members[u.ID] = standingMember
	}
	if in.kind == kindPrivate {
		if u.ID != in.id {
			panic(fmt.Sprintf("apitest: %d writes in the private chat of %d", u.ID, in.id))
		}
		in.started = true
	}
	ok = true
	return in, c.srv.mu.Unlock
}

// Say sends a text and returns its message id. If a message of the bot's
// forces the user to reply, it is the reply to it, as clients make it. The bot
// is sent it if the group's privacy mode lets it through. A text that is too
// long for one message is sent as several, as clients do; the id is the last
// one's.
func (c *Chat) Say(u User, text string) int {
	in, done := c.by(u)
	defer done()
	id := 0
	for piece := range pieces(text) {
		id = c.put(in, &Message{From: u, Text: piece, ReplyTo: in.forced[u.ID]})
	}
	return id
}

// pieces cuts a text where a message is full.
func pieces(text string) iter.Seq[string] {
	return func(yield func(string) bool) {
		from, length := 0, 0
		for i, r := range text {
			n := utf16.RuneLen(r)
			if n < 0 {
				n = 1 // a byte that is no UTF-8 goes out as U+FFFD
			}
			if length += n; length > Limits.Text {
				if !yield(text[from:i]) {
					return
				}
				from, length = i, n
			}
		}
		yield(text[from:])
	}
}

// Follow opens a deep link to the bot, such as https://t.me/<bot>?start=x, and
// presses Start: "/start x" is said in the user's private chat.
func (s *Server) Follow(u User, link string) (*Chat, error) {
	l, err := url.Parse(link)
	if err != nil {
		return nil, err
	}
	if name := strings.Trim(l.Path, "/"); l.Host != "t.me" || !strings.EqualFold(name, s.bot.Username) {
		return nil, fmt.Errorf("%q leads to no chat with %s", link, s.bot.Username)
	}
	if err := checkLinks(link); err != nil {
		return nil, err
	}
	c := s.Private(u)
	c.Say(u, strings.TrimSpace("/start "+l.Query().Get("start")))
	return c, nil
}

// Reply sends a text that replies to a message.
func (c *Chat) Reply(u User, to int, text string) int {
	in, done := c.by(u)
	defer done()
	return c.put(in, &Message{From: u, Text: text, ReplyTo: to})
}

// Voice sends a voice message.
func (c *Chat) Voice(u User, data []byte) int { return c.sendFile(u, "voice", "", data, "") }

// Photo sends a picture; its bytes are kept as they are.
func (c *Chat) Photo(u User, data []byte, caption string) int {
	return c.sendFile(u, "photo", "", data, caption)
}

// Document sends a file.
func (c *Chat) Document(u User, name string, data []byte, caption string) int {
	return c.sendFile(u, "document", name, data, caption)
}

func (c *Chat) sendFile(u User, kind, name string, data []byte, caption string) int {
	return c.Attach(u, Attachment{Kind: kind, Name: name, Data: data, Seconds: 1, Caption: caption})
}

// An Attachment is a file that a person sends, and what goes with it.
type Attachment struct {
	Kind    string // voice, audio, photo or document
	Name    string // of a document or audio
	Data    []byte
	MIME    string         // "": as kind and name have it
	Seconds int            // how long a voice message or audio is said to be
	Size    int            // what the platform says; 0: what it is, below 0: it does not say
	Gone    bool           // the platform has it no more
	Caption string         //
	ReplyTo int            // message id
	Fields  map[string]any // more of the message's fields: what it was forwarded from
}

// Attach sends a file, of which nothing need be true that is said of it.
func (c *Chat) Attach(u User, a Attachment) int {
	in, done := c.by(u)
	defer done()
	f := c.srv.keep(a.Kind, a.Name, slices.Clone(a.Data))
	f.Seconds, f.gone = a.Seconds, a.Gone
	if a.MIME != "" {
		f.MIME = a.MIME
	}
	if a.Size != 0 {
		f.Size = max(0, a.Size)
	}
	m := &Message{From: u, Caption: a.Caption, ReplyTo: a.ReplyTo, extra: a.Fields}
	switch a.Kind {
	case "voice":
		m.Voice = f
	case "audio":
		m.Audio = f
	case "photo":
		w, h := 640, 480 // of what is no picture
		if is, _, err := image.DecodeConfig(bytes.NewReader(a.Data)); err == nil {
			w, h = is.Width, is.Height
		}
		c.srv.measure(f, w, h)
		m.Photo = f
	default:
		m.Document = f
	}
	return c.put(in, m)
}

// Send sends a message with more fields, as the Bot API has them: a sticker, a
// location, what it was forwarded from. It carries no text unless they do.
func (c *Chat) Send(u User, fields map[string]any) int {
	in, done := c.by(u)
	defer done()
	return c.put(in, &Message{From: u, extra: fields})
}

// put adds a person's message and sends it to the bot. s.mu is held.
func (c *Chat) put(in *chat, m *Message) int {
	m.thread = c.topic
	m.entities = entitiesOf(m.Text + m.Caption)
	delete(in.forced, m.From.ID)
	c.srv.add(in, m)
	if c.srv.reaches(in, m) {
		c.srv.push("message", in.id, Limits.UpdateLife, c.srv.api(m, true))
	}
	return m.ID
}

// reaches reports whether the bot is sent a message. With privacy mode on, and
// without being an administrator, it gets from a group its commands, replies
// to it and service messages: https://core.telegram.org/bots/features#privacy-mode.
// s.mu is held.
func (s *Server) reaches(c *chat, m *Message) bool {
	switch standing := c.members[s.bot.ID]; {
	case c.migratedTo != 0 || standing == standingLeft || standing == standingKicked:
		return false
	case c.kind == kindPrivate || s.cfg.ReadsAll || standing == standingAdmin || m.Service != "":
		return true
	}
	if to := c.byID[m.ReplyTo]; to != nil && to.From.ID == s.bot.ID {
		return true
	}
	for _, e := range m.entities {
		e := e.(map[string]any)
		if e["type"] != "bot_command" || e["offset"] != 0 {
			continue
		}
		word, _, _ := strings.Cut(strings.Fields(m.Text + m.Caption)[0], "\n")
		_, name, addressed := strings.Cut(word, "@")
		return !addressed || strings.EqualFold(name, s.bot.Username)
	}
	return false
}

// Edit changes the text, or the caption, of a message of the user's. The same
// text as before reaches the bot as an edit all the same, as happens.
func (c *Chat) Edit(u User, id int, text string) error {
	in, done := c.by(u)
	defer done()
	m := in.byID[id]
	if m == nil || m.From.ID != u.ID {
		return fmt.Errorf("message %d is not of %s", id, u.FirstName)
	}
	if m.file() != nil {
		m.Caption = text
	} else {
		m.Text = text
	}
	m.entities, m.Edited = entitiesOf(text), c.srv.cfg.Now()
	c.srv.wake()
	if c.srv.reaches(in, m) {
		c.srv.push("edited_message", in.id, Limits.UpdateLife, c.srv.api(m, true))
	}
	return nil
}

// Delete takes a message away; the bot is not told.
func (c *Chat) Delete(id int) {
	c.srv.mu.Lock()
	defer c.srv.mu.Unlock()
	in := c.srv.chats[c.id]
	if m := in.byID[id]; m != nil {
		in.remove(m)
		c.srv.wake()
	}
}

// Deliver queues an update as it stands, whatever allowed_updates says. If it
// is an object, the server gives it its update_id. It must be JSON.
func (s *Server) Deliver(body json.RawMessage) error {
	var value any
	if err := json.Unmarshal(body, &value); err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.pushRaw("raw", 0, Limits.UpdateLife, func(id int64) json.RawMessage {
		var o map[string]json.RawMessage
		if json.Unmarshal(body, &o) != nil || o == nil {
			return body
		}
		o["update_id"] = jsonOf(id)
		return jsonOf(o)
	})
	return nil
}
