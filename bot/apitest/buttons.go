package apitest

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"time"
)

// A Tap is a press of an inline button, and what the bot answered.
type Tap struct {
	ID        string `json:"id"` // callback_query_id
	User      User   `json:"user"`
	ChatID    int64  `json:"chat_id"`
	MessageID int    `json:"message_id"`
	Data      string `json:"data"`
	Answered  bool   `json:"answered"`
	Answer    string `json:"answer,omitempty"`
	Alert     bool   `json:"alert,omitempty"`
}

type tap struct {
	Tap
	at  time.Time
	seq int
}

// lane is that of a person's taps, apart from their chats' messages; so has it
// the server's published source.
func (t *tap) lane() int64 { return t.User.ID + 3<<33 }

// Tap presses a button of a message's inline keyboard, named by its label or
// by its data, and returns the id of the query. It fails where the message has
// no such button, or one that opens an address.
func (c *Chat) Tap(u User, messageID int, button string) (string, error) {
	in, done := c.by(u)
	defer done()
	m := in.byID[messageID]
	if m == nil {
		return "", fmt.Errorf("no message %d in chat %d", messageID, c.id)
	}
	for _, row := range m.Buttons {
		for _, b := range row {
			switch {
			case b.Text != button && (b.Data != button || button == ""):
			case b.Data == "":
				return "", fmt.Errorf("button %q has no callback data", button)
			default:
				return c.tap(in, u, messageID, b.Data), nil
			}
		}
	}
	return "", fmt.Errorf("message %d has no button %q", messageID, button)
}

// Forge sends a tap with any data, on a message that may be gone or may never
// have had such a button: a changed client can, and so can a phone that still
// shows what was edited away.
func (c *Chat) Forge(u User, messageID int, data string) string {
	in, done := c.by(u)
	defer done()
	return c.tap(in, u, messageID, data)
}

// tap queues a callback query. s.mu is held.
func (c *Chat) tap(in *chat, u User, messageID int, data string) string {
	s := c.srv
	t := &tap{Tap: Tap{User: u, ChatID: in.id, MessageID: messageID, Data: data}}
	s.number(t)
	// Of a message that is gone only its id is told.
	message := map[string]any{"chat": in.api(), "message_id": messageID, "date": 0}
	if m := in.byID[messageID]; m != nil {
		message = s.api(m, true)
	}
	if st := in.members[s.bot.ID]; in.migratedTo == 0 && st != standingLeft && st != standingKicked {
		s.push("callback_query", t.lane(), Limits.CallbackLife, map[string]any{"id": t.ID, "from": u, "message": message,
			"chat_instance": strconv.FormatInt(in.id*7919, 10), "data": data})
	}
	return t.ID
}

// number gives a tap its id and keeps it. s.mu is held.
func (s *Server) number(t *tap) {
	t.seq, t.at = len(s.taps)+1, s.cfg.Now()
	t.ID = fmt.Sprintf("%d%06d", 900_000_000_000, t.seq)
	s.taps[t.ID] = t
}

// tapAgain queues a tap once more, as after a reconnect: another update_id,
// another query id. s.mu is held.
func (s *Server) tapAgain(u *update) {
	var o map[string]json.RawMessage
	var query map[string]json.RawMessage
	var id string
	if json.Unmarshal(u.body, &o) != nil || json.Unmarshal(o["callback_query"], &query) != nil ||
		json.Unmarshal(query["id"], &id) != nil || s.taps[id] == nil {
		return
	}
	t := &tap{Tap: s.taps[id].Tap}
	t.Answered, t.Answer, t.Alert = false, "", false
	s.number(t)
	query = maps.Clone(query)
	query["id"] = jsonOf(t.ID)
	again := &update{id: s.queue.next, kind: u.kind, lane: u.lane, expires: u.expires,
		body: jsonOf(map[string]any{"update_id": s.queue.next, "callback_query": query})}
	s.queue.next++
	s.queue.list = append(s.queue.list, again)
	s.wake()
}

// TapAgain sends the tap of a query once more, as after a reconnect: under
// another update_id and another query id. The first must not be confirmed yet
// to be found; it reports whether it was.
func (s *Server) TapAgain(queryID string) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	t := s.taps[queryID]
	if t == nil {
		return false
	}
	for _, u := range s.queue.list {
		var o struct {
			Query struct {
				ID string `json:"id"`
			} `json:"callback_query"`
		}
		if json.Unmarshal(u.body, &o) == nil && o.Query.ID == queryID {
			s.tapAgain(u)
			return true
		}
	}
	return false
}

// Taps are all presses of inline buttons, in order.
func (s *Server) Taps() []Tap {
	s.mu.Lock()
	defer s.mu.Unlock()
	list := slices.SortedFunc(maps.Values(s.taps), func(a, b *tap) int { return a.seq - b.seq })
	var shown []Tap
	for _, t := range list {
		shown = append(shown, t.Tap)
	}
	return shown
}

// Keyboard is the reply keyboard that the user has below the chat, or nil.
func (c *Chat) Keyboard(u User) [][]string {
	c.srv.mu.Lock()
	defer c.srv.mu.Unlock()
	if m := c.srv.chats[c.id].keyboards[u.ID]; m != nil {
		return m.Keys
	}
	return nil
}

// Press presses a key of the reply keyboard that the user has. In groups it
// replies to the message that the keyboard came with, as clients do; a
// keyboard for one use is then gone.
func (c *Chat) Press(u User, key string) (int, error) {
	in, done := c.by(u)
	defer done()
	m := in.keyboards[u.ID]
	if m == nil {
		return 0, fmt.Errorf("%s has no keyboard in chat %d", u.FirstName, c.id)
	}
	for _, row := range m.Keys {
		if !slices.Contains(row, key) {
			continue
		}
		said := &Message{From: u, Text: key}
		if in.kind != kindPrivate {
			said.ReplyTo = m.ID
		}
		if params(m.markup).flag("one_time_keyboard") {
			delete(in.keyboards, u.ID)
		}
		return c.put(in, said), nil
	}
	return 0, fmt.Errorf("the keyboard of %s has no key %q", u.FirstName, key)
}

// React sets the user's reaction to a message; empty takes it away. The bot is
// sent it only as an administrator, and only if it asked for the kind.
func (c *Chat) React(u User, messageID int, emoji string) {
	in, done := c.by(u)
	defer done()
	if in.kind != kindPrivate && in.members[c.srv.bot.ID] != standingAdmin {
		return
	}
	list := []any{}
	if emoji != "" {
		list = append(list, map[string]any{"type": "emoji", "emoji": emoji})
	}
	c.srv.push("message_reaction", in.id, Limits.UpdateLife, map[string]any{"chat": in.api(), "message_id": messageID,
		"user": u, "date": c.srv.cfg.Now().Unix(), "old_reaction": []any{}, "new_reaction": list})
}
