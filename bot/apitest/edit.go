package apitest

import "reflect"

// edit changes a message of the bot's. fill changes a copy, which is compared
// with what was there.
func (s *Server) edit(p params, fill func(m *Message) error) (any, error) {
	if err := checkBeyond(p); err != nil {
		return nil, err
	}
	if !p.has("chat_id") {
		return nil, malformed("chat_id is empty")
	}
	c, err := s.find(p)
	if err != nil {
		return nil, err
	}
	m, err := c.message(p, "edit")
	if err != nil {
		return nil, err
	}
	// Only messages without a reply_markup or with an inline keyboard can be
	// edited.
	if m.From.ID != s.bot.ID || m.Service != "" || m.markup != nil && m.markup["inline_keyboard"] == nil {
		return nil, misplaced("message can't be edited")
	}
	markup := p.object("reply_markup")
	if err := checkMarkup(markup, c.kind); err != nil {
		return nil, err
	}
	next := *m
	if err := fill(&next); err != nil {
		return nil, err
	}
	next.setMarkup(markup) // none given takes the old one away
	if m.Text == next.Text && m.Caption == next.Caption && m.file() == next.file() &&
		sameEntities(m.entities, next.entities) && sameMarkup(m.markup, next.markup) {
		return nil, misplaced("message is not modified: specified new message content and reply markup are exactly " +
			"the same as a current content and reply markup of the message")
	}
	next.Edited = s.cfg.Now()
	*m = next
	return s.api(m, true), nil
}

func sameEntities(a, b []any) bool {
	return len(a) == 0 && len(b) == 0 || reflect.DeepEqual(a, b)
}

func (s *Server) editMessageText(p params, _ *call) (any, error) {
	return s.edit(p, func(m *Message) (err error) {
		if m.file() != nil {
			return misplaced("there is no text in the message to edit")
		}
		m.Text, m.entities, err = words(p, "text")
		return err
	})
}

func (s *Server) editMessageCaption(p params, _ *call) (any, error) {
	return s.edit(p, func(m *Message) (err error) {
		if m.file() == nil {
			return misplaced("there is no caption in the message to edit")
		}
		m.Caption, m.entities, err = words(p, "caption")
		return err
	})
}

func (s *Server) editMessageMedia(p params, c *call) (any, error) {
	media := p.object("media")
	if err := checkBeyond(media); err != nil {
		return nil, err
	}
	return s.edit(p, func(m *Message) (err error) {
		kind := media.text("type")
		f, err := s.take(kind, media.text("media"), c)
		if err != nil {
			return err
		}
		m.Text, m.Photo, m.Document = "", nil, nil
		if kind == "photo" {
			m.Photo = f
		} else {
			m.Document = f
		}
		m.Caption, m.entities, err = words(media, "caption")
		return err
	})
}

func (s *Server) editMessageReplyMarkup(p params, _ *call) (any, error) {
	return s.edit(p, func(*Message) error { return nil })
}

func (s *Server) deleteMessage(p params, _ *call) (any, error) {
	c, err := s.find(p)
	if err != nil {
		return nil, err
	}
	m, err := c.message(p, "delete")
	if err != nil {
		return nil, err
	}
	own := m.From.ID == s.bot.ID
	switch {
	case s.cfg.Now().Sub(m.Date) > Limits.DeleteAge,
		!own && c.kind != kindPrivate && c.members[s.bot.ID] != standingAdmin:
		return nil, misplaced("message can't be deleted for everyone")
	}
	c.remove(m)
	return true, nil
}
