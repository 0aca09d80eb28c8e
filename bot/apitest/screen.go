package apitest

import (
	"context"
	"fmt"
	"slices"
	"strings"
)

// Messages are what is on the screen of a chat now: all messages, in order,
// as they are after edits, without those deleted.
func (s *Server) Messages(chatID int64) []Message {
	s.mu.Lock()
	defer s.mu.Unlock()
	c := s.chats[chatID]
	if c == nil {
		return nil
	}
	var list []Message
	for _, m := range c.messages {
		list = append(list, m.shown())
	}
	return list
}

// Messages are what is on the screen of the chat, or of the topic.
func (c *Chat) Messages() []Message {
	return slices.DeleteFunc(c.srv.Messages(c.id), func(m Message) bool { return c.topic != 0 && m.Topic != c.topic })
}

// FromBot are the bot's own of Messages.
func (c *Chat) FromBot() []Message {
	return slices.DeleteFunc(c.Messages(), func(m Message) bool { return !m.From.IsBot })
}

// Actions are the signs, such as "typing", that the bot showed in the chat.
func (c *Chat) Actions() []Action {
	c.srv.mu.Lock()
	defer c.srv.mu.Unlock()
	return slices.Clone(c.srv.chats[c.id].actions)
}

// Screen is Messages as text, for people and for comparing: who, what, and the
// buttons. It holds no id and no time.
func (c *Chat) Screen() string {
	var b strings.Builder
	for _, m := range c.Messages() {
		fmt.Fprintf(&b, "%s: %s%s", m.From.FirstName, m.Text, m.Caption)
		if m.Service != "" {
			fmt.Fprintf(&b, "(%s)", m.Service)
		}
		if f := m.file(); f != nil {
			fmt.Fprintf(&b, " [%s %s %d bytes %.8s]", f.Kind, f.Name, f.Size, f.SHA256)
		}
		if m.Reaction != "" {
			fmt.Fprintf(&b, " {%s}", m.Reaction)
		}
		b.WriteByte('\n')
		for _, row := range m.Buttons {
			for _, button := range row {
				fmt.Fprintf(&b, "  [%s]", button.Text)
			}
			b.WriteByte('\n')
		}
		for _, row := range m.Keys {
			fmt.Fprintf(&b, "  ⌨ %s\n", strings.Join(row, " | "))
		}
	}
	return b.String()
}

// Wait returns when ready does so with true, which it is asked at first and
// after everything that happens, or with the error of ctx. ready may call the
// server's methods.
func (s *Server) Wait(ctx context.Context, ready func() bool) error {
	for {
		s.mu.Lock()
		changed := s.changed
		s.mu.Unlock()
		if ready() {
			return nil
		}
		select {
		case <-changed:
		case <-ctx.Done():
			return ctx.Err()
		}
	}
}
