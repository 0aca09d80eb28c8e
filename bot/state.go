package bot

import (
	"encoding/json"
	"fmt"
	"maps"
	"strconv"
	"strings"
	"time"
)

// state is the adapter's cursor: stored with the updates that it comes from.
type state struct {
	Bot    int64     `json:"bot"`              // the bot that this file belongs to
	Offset int64     `json:"offset,omitempty"` // of the next update
	Last   time.Time `json:"last,omitzero"`    // when the last update came
	// First is the id that a supergroup had as a group, by its id now.
	First map[int64]int64 `json:"first,omitempty"`
	// Admin are the groups in which the bot is an administrator, by their
	// first id: it hears all there.
	Admin map[int64]bool `json:"admin,omitempty"`
}

func (s state) clone() state {
	s.First, s.Admin = maps.Clone(s.First), maps.Clone(s.Admin)
	if s.First == nil {
		s.First = map[int64]int64{}
	}
	if s.Admin == nil {
		s.Admin = map[int64]bool{}
	}
	return s
}

func (s state) bytes() ([]byte, error) { return json.Marshal(s) }

// restore reads the cursor. A file belongs to one bot: another one's updates
// have ids of their own.
func (b *Bot) restore(cursor []byte) error {
	s := state{Bot: b.id}
	if cursor != nil {
		if err := json.Unmarshal(cursor, &s); err != nil || s.Bot == 0 {
			return fmt.Errorf("the file was not made by serve; %w", errCursor)
		}
		if s.Bot != b.id {
			return fmt.Errorf("the file belongs to bot %d, and this is bot %d; %w", s.Bot, b.id, errCursor)
		}
	}
	b.state = s.clone()
	return nil
}

// look is the state as it stands.
func (b *Bot) look() state {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.state
}

// keep takes over a state that has been stored. States are replaced, never
// changed in place.
func (b *Bot) keep(s state) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.state = s
}

// first is the id under which a chat is known here.
func (s state) first(chat int64) int64 {
	for range len(s.First) {
		f, ok := s.First[chat]
		if !ok {
			return chat
		}
		chat = f
	}
	return chat
}

// newest is the id that the platform knows a chat by now.
func (s state) newest(first int64) int64 {
	for now := range s.First {
		if s.first(now) == first && !s.isOld(now) {
			return now
		}
	}
	return first
}

func (s state) isOld(chat int64) bool {
	for _, old := range s.First {
		if old == chat {
			return true
		}
	}
	return false
}

// migrated notes that a group became a supergroup.
func (s *state) migrated(old, now int64) {
	if old != now && s.first(old) != now {
		s.First[now] = old
	}
}

const chatPrefix = "tg:"

// chatKey is the key of a chat with its topic, 0 for none.
func (s state) chatKey(chat int64, topic int) string {
	key := chatPrefix + strconv.FormatInt(s.first(chat), 10)
	if topic != 0 {
		key += "/" + strconv.Itoa(topic)
	}
	return key
}

// address is where a chat's messages go now.
func (s state) address(key string) (chat int64, topic int, err error) {
	id, thread, hasTopic := strings.Cut(strings.TrimPrefix(key, chatPrefix), "/")
	if chat, err = strconv.ParseInt(id, 10, 64); err == nil && hasTopic {
		topic, err = strconv.Atoi(thread)
	}
	if err != nil || !strings.HasPrefix(key, chatPrefix) {
		return 0, 0, fmt.Errorf("%q is no chat of this platform", key)
	}
	return s.newest(chat), topic, nil
}

// messageID is the id of a message here: ids of a supergroup begin anew.
func (s state) messageID(chat int64, id int) string {
	text := strconv.Itoa(id)
	if _, moved := s.First[chat]; moved {
		return "s" + text
	}
	return text
}

// withoutTopic is a chat's key without its topic.
func withoutTopic(key string) string {
	chat, _, _ := strings.Cut(key, "/")
	return chat
}
