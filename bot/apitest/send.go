package apitest

import (
	"strings"
)

// beyond are fields that no test of this stand-in can say anything about.
var beyond = []string{"business_connection_id", "direct_messages_topic_id", "suggested_post_parameters",
	"message_effect_id", "allow_paid_broadcast", "inline_message_id", "thumbnail"}

func checkBeyond(p params) error {
	for _, name := range beyond {
		if p.has(name) {
			return unmodelled("%s", name)
		}
	}
	return nil
}

// words takes the text or caption of p: what is shown, and its entities.
func words(p params, name string) (string, []any, error) {
	entities, limit := "entities", Limits.Text
	if name == "caption" {
		entities, limit = "caption_entities", Limits.Caption
	}
	text, marked, err := parseText(p.text(name), p.text("parse_mode"), p[entities])
	if err != nil {
		return "", nil, err
	}
	if len(marked) == 0 {
		text = strings.TrimSpace(text)
	}
	switch n := units(text); {
	case n > limit && name == "caption":
		return "", nil, malformed("message caption is too long: %d", n)
	case n > limit:
		return "", nil, malformed("message is too long: %d", n)
	case name == "text" && strings.TrimSpace(text) == "":
		return "", nil, malformed("message text is empty")
	}
	return text, marked, checkLinks(p.text(name))
}

// send puts a message of the bot's into a chat, after everything about it that
// does not depend on what it carries is checked.
func (s *Server) send(p params, fill func(m *Message) error) (any, error) {
	if err := checkBeyond(p); err != nil {
		return nil, err
	}
	c, err := s.find(p)
	if err != nil {
		return nil, err
	}
	markup := p.object("reply_markup")
	if err := checkMarkup(markup, c.kind); err != nil {
		return nil, err
	}
	m := &Message{From: s.bot, thread: int(p.number("message_thread_id"))}
	if p.has("message_thread_id") && c.topics[m.thread] == "" {
		return nil, misplaced("message thread not found")
	}
	if reply := p.object("reply_parameters"); reply != nil {
		if err := s.replyTo(c, m, reply); err != nil {
			return nil, err
		}
	}
	if err := fill(m); err != nil {
		return nil, err
	}
	m.setMarkup(markup)
	s.add(c, m)
	s.showKeys(c, m)
	return s.api(m, true), nil
}

func (s *Server) replyTo(c *chat, m *Message, reply params) error {
	if reply.has("chat_id") {
		other, err := s.find(reply)
		if err != nil {
			return err
		}
		if other != c {
			return unmodelled("replies into another chat")
		}
	}
	to := c.byID[int(reply.number("message_id"))]
	switch {
	case to == nil && !reply.flag("allow_sending_without_reply"):
		return misplaced("message to be replied not found")
	case to == nil:
		return nil
	case !strings.Contains(to.Text+to.Caption, reply.text("quote")):
		return misplaced("QUOTE_TEXT_INVALID")
	}
	m.ReplyTo = to.ID
	return nil
}

// showKeys changes what people see below their chat, as the message says.
// s.mu is held.
func (s *Server) showKeys(c *chat, m *Message) {
	markup := params(m.markup)
	for id := range c.members {
		if id == s.bot.ID || markup.flag("selective") && !s.meant(c, m, id) {
			continue
		}
		switch {
		case markup.has("keyboard"):
			c.keyboards[id] = m
			delete(c.forced, id)
		case markup.has("remove_keyboard"):
			delete(c.keyboards, id)
			delete(c.forced, id)
		case markup.has("force_reply"):
			c.forced[id] = m.ID
		}
	}
}

// meant reports whether a selective keyboard is for the user: named in the
// text, or the one replied to.
func (s *Server) meant(c *chat, m *Message, id int64) bool {
	if to := c.byID[m.ReplyTo]; to != nil && to.From.ID == id {
		return true
	}
	name := s.users[id].Username
	return name != "" && strings.Contains(m.Text+m.Caption, "@"+name)
}

func (s *Server) sendMessage(p params, _ *call) (any, error) {
	return s.send(p, func(m *Message) (err error) {
		m.Text, m.entities, err = words(p, "text")
		return err
	})
}

func (s *Server) sendPhoto(p params, c *call) (any, error) {
	return s.send(p, func(m *Message) (err error) {
		if m.Caption, m.entities, err = words(p, "caption"); err == nil {
			m.Photo, err = s.take("photo", p.text("photo"), c)
		}
		return err
	})
}

func (s *Server) sendVoice(p params, c *call) (any, error) {
	return s.send(p, func(m *Message) (err error) {
		if m.Caption, m.entities, err = words(p, "caption"); err == nil {
			m.Voice, err = s.take("voice", p.text("voice"), c)
		}
		return err
	})
}

func (s *Server) sendDocument(p params, c *call) (any, error) {
	return s.send(p, func(m *Message) (err error) {
		if m.Caption, m.entities, err = words(p, "caption"); err == nil {
			m.Document, err = s.take("document", p.text("document"), c)
		}
		return err
	})
}
