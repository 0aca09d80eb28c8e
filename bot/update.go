package bot

import (
	"encoding/json"
	"errors"
	"fmt"
)

// update is what is read of an update. The library's models know every field,
// and refuse an update for one kind of forward or button that they do not
// know; a reading must not be lost for that.
type update struct {
	ID       int64         `json:"update_id"`
	Message  *message      `json:"message"`
	Edited   *message      `json:"edited_message"`
	Callback *callback     `json:"callback_query"`
	Member   *memberUpdate `json:"my_chat_member"`
}

type message struct {
	ID         int             `json:"message_id"`
	Topic      int             `json:"message_thread_id"`
	InTopic    bool            `json:"is_topic_message"`
	From       *user           `json:"from"`
	SenderChat *chat           `json:"sender_chat"`
	Chat       chat            `json:"chat"`
	Date       int64           `json:"date"`
	EditDate   int64           `json:"edit_date"`
	Text       string          `json:"text"`
	Caption    string          `json:"caption"`
	Voice      *sound          `json:"voice"`
	Audio      *sound          `json:"audio"`
	Photo      []photoSize     `json:"photo"`
	Album      string          `json:"media_group_id"`
	Document   *document       `json:"document"`
	ReplyTo    *message        `json:"reply_to_message"`
	Forward    json.RawMessage `json:"forward_origin"`
	ViaBot     *user           `json:"via_bot"`
	ToSuper    int64           `json:"migrate_to_chat_id"`
	FromGroup  int64           `json:"migrate_from_chat_id"`

	// Kinds of message that nobody sends to a bot to be answered.
	NewMembers []user          `json:"new_chat_members"`
	LeftMember *user           `json:"left_chat_member"`
	NewTitle   string          `json:"new_chat_title"`
	NewPhoto   json.RawMessage `json:"new_chat_photo"`
	Pinned     json.RawMessage `json:"pinned_message"`
	Created    bool            `json:"group_chat_created"`
	SuperMade  bool            `json:"supergroup_chat_created"`
	TopicMade  json.RawMessage `json:"forum_topic_created"`
	TopicEdit  json.RawMessage `json:"forum_topic_edited"`
	TopicShut  json.RawMessage `json:"forum_topic_closed"`
	TopicOpen  json.RawMessage `json:"forum_topic_reopened"`
	AutoDelete json.RawMessage `json:"message_auto_delete_timer_changed"`
}

// service says that the platform itself sent the message.
func (m *message) service() bool {
	return m.NewMembers != nil || m.LeftMember != nil || m.NewTitle != "" || m.NewPhoto != nil || m.Pinned != nil ||
		m.Created || m.SuperMade || m.ToSuper != 0 || m.FromGroup != 0 ||
		m.TopicMade != nil || m.TopicEdit != nil || m.TopicShut != nil || m.TopicOpen != nil || m.AutoDelete != nil
}

type user struct {
	ID       int64  `json:"id"`
	Bot      bool   `json:"is_bot"`
	Name     string `json:"first_name"`
	Language string `json:"language_code"`
}

type chat struct {
	ID   int64  `json:"id"`
	Type string `json:"type"`
}

func (c chat) private() bool { return c.Type == "private" }
func (c chat) group() bool   { return c.Type == "group" || c.Type == "supergroup" }

type callback struct {
	ID      string   `json:"id"`
	From    user     `json:"from"`
	Message *message `json:"message"`
	Data    string   `json:"data"`
}

type memberUpdate struct {
	Chat chat   `json:"chat"`
	From user   `json:"from"`
	Date int64  `json:"date"`
	Old  member `json:"old_chat_member"`
	New  member `json:"new_chat_member"`
}

type member struct {
	Status string `json:"status"`
}

func (m member) in() bool {
	return m.Status == "member" || m.Status == "administrator" || m.Status == "creator" || m.Status == "restricted"
}

func (m member) admin() bool { return m.Status == "administrator" || m.Status == "creator" }

// wanted are the kinds of update that the platform is asked for, always: a
// bot that does not say keeps what another program said last.
var wanted = []string{"message", "edited_message", "callback_query", "my_chat_member"}

func parseUpdate(raw []byte) (update, error) {
	var u update
	if err := json.Unmarshal(raw, &u); err != nil {
		return u, fmt.Errorf("update: %w", err)
	}
	return u, nil
}

// updateID reads only the id of an update.
func updateID(raw []byte) (int64, error) {
	var u struct {
		ID *int64 `json:"update_id"`
	}
	if err := json.Unmarshal(raw, &u); err != nil {
		return 0, fmt.Errorf("update without an id: %w", err)
	}
	if u.ID == nil {
		return 0, errors.New("update without an id")
	}
	return *u.ID, nil
}
