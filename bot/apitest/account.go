package apitest

import (
	"fmt"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"time"
)

func (s *Server) getMe(params, *call) (any, error) {
	return struct {
		User
		CanJoinGroups   bool `json:"can_join_groups"`
		CanReadAll      bool `json:"can_read_all_group_messages"`
		InlineQueries   bool `json:"supports_inline_queries"`
		CanBusiness     bool `json:"can_connect_to_business"`
		HasMainWebApp   bool `json:"has_main_web_app"`
		HasTopicsMode   bool `json:"has_topics_enabled"`
		UsersMakeTopics bool `json:"allows_users_to_create_topics"`
	}{User: s.bot, CanJoinGroups: true, CanReadAll: s.cfg.ReadsAll}, nil
}

func (s *Server) logOut(params, *call) (any, error) {
	s.loggedOut = true
	return true, nil
}

// closeBot is the method close, refused for ten minutes from the start.
func (s *Server) closeBot(params, *call) (any, error) {
	if left := 10*time.Minute - s.cfg.Now().Sub(s.started); left > 0 {
		return nil, tooMany(int((left + time.Second - 1) / time.Second))
	}
	return true, nil
}

var actions = []string{"typing", "upload_photo", "record_video", "upload_video", "record_voice", "upload_voice",
	"upload_document", "choose_sticker", "find_location", "record_video_note", "upload_video_note"}

func (s *Server) sendChatAction(p params, _ *call) (any, error) {
	if err := checkBeyond(p); err != nil {
		return nil, err
	}
	c, err := s.find(p)
	if err != nil {
		return nil, err
	}
	topic := int(p.number("message_thread_id"))
	if topic != 0 && c.topics[topic] == "" {
		return nil, misplaced("message thread not found")
	}
	if !slices.Contains(actions, p.text("action")) {
		return nil, malformed("wrong parameter action in request")
	}
	c.actions = append(c.actions, Action{Time: s.cfg.Now(), Topic: topic, Action: p.text("action")})
	return true, nil
}

func (s *Server) answerCallbackQuery(p params, _ *call) (any, error) {
	t := s.taps[p.text("callback_query_id")]
	switch {
	case t == nil || s.cfg.Now().Sub(t.at) > Limits.CallbackLife:
		return nil, misplaced("query is too old and response timeout expired or query ID is invalid")
	case units(p.text("text")) > Limits.CallbackAnswer:
		return nil, malformed("MESSAGE_TOO_LONG: %d", units(p.text("text")))
	case p.text("url") != "":
		return nil, unmodelled("url in answerCallbackQuery")
	}
	t.Answered, t.Answer, t.Alert = true, p.text("text"), p.flag("show_alert")
	return true, nil
}

// reactions are those a bot may give, without those that must be bought;
// https://core.telegram.org/bots/api#reactiontypeemoji
var reactions = strings.Fields("❤ 👍 👎 🔥 🥰 👏 😁 🤔 🤯 😱 🤬 😢 🎉 🤩 🤮 💩 🙏 👌 🕊 🤡 🥱 🥴 😍 🐳 ❤‍🔥 🌚 🌭 💯 🤣 ⚡ " +
	"🍌 🏆 💔 🤨 😐 🍓 🍾 💋 🖕 😈 😴 😭 🤓 👻 👨‍💻 👀 🎃 🙈 😇 😨 🤝 ✍ 🤗 🫡 🎅 🎄 ☃ 💅 🤪 🗿 🆒 💘 🙉 🦄 😘 💊 🙊 😎 👾 🤷‍♂ 🤷 🤷‍♀ 😡")

func (s *Server) setMessageReaction(p params, _ *call) (any, error) {
	c, err := s.find(p)
	if err != nil {
		return nil, err
	}
	m, err := c.message(p, "react")
	if err != nil {
		return nil, err
	}
	list, _ := p["reaction"].([]any)
	if len(list) > 1 {
		return nil, malformed("REACTIONS_TOO_MANY: %d", len(list))
	}
	given := ""
	for _, r := range list {
		r := params(r.(map[string]any))
		if r.text("type") != "emoji" {
			return nil, unmodelled("reactions of type %q", r.text("type"))
		}
		given = r.text("emoji")
		if !slices.Contains(reactions, strings.TrimSuffix(given, "\ufe0f")) {
			return nil, malformed("REACTION_INVALID: %q", given)
		}
	}
	m.Reaction = given
	return true, nil
}

var (
	commandName = regexp.MustCompile(`^[a-z0-9_]+$`)
	language    = regexp.MustCompile(`^([a-z]{2})?$`)
)

// scopeOf is the key that commands are kept under.
func (s *Server) scopeOf(p params) (string, error) {
	if !language.MatchString(p.text("language_code")) {
		return "", malformed("invalid language code %q", p.text("language_code"))
	}
	scope := p.object("scope")
	kind := scope.text("type")
	if scope == nil {
		kind = "default"
	}
	key := kind + "/" + p.text("language_code")
	switch kind {
	case "default", "all_private_chats", "all_group_chats", "all_chat_administrators":
		return key, nil
	case "chat", "chat_administrators", "chat_member":
		c, err := s.find(scope)
		if err != nil {
			return "", err
		}
		if kind == "chat_member" && c.members[scope.number("user_id")] == "" {
			return "", misplaced("user not found")
		}
		return fmt.Sprintf("%s/%d/%d", key, c.id, scope.number("user_id")), nil
	}
	return "", malformed("unsupported scope %q", kind)
}

func (s *Server) setMyCommands(p params, _ *call) (any, error) {
	key, err := s.scopeOf(p)
	if err != nil {
		return nil, err
	}
	list, _ := p["commands"].([]any)
	if len(list) > Limits.Commands {
		return nil, malformed("BOT_COMMANDS_TOO_MUCH: %d", len(list))
	}
	for _, c := range list {
		c := params(c.(map[string]any))
		name, text := c.text("command"), c.text("description")
		if len(name) > Limits.CommandName || !commandName.MatchString(name) {
			return nil, malformed("BOT_COMMAND_INVALID: %q", name)
		}
		if n := units(strings.TrimSpace(text)); n < 1 || n > Limits.CommandText {
			return nil, malformed("BOT_COMMAND_DESCRIPTION_INVALID: %q has %d characters", name, n)
		}
	}
	s.commands[key] = list
	return true, nil
}

func (s *Server) getMyCommands(p params, _ *call) (any, error) {
	key, err := s.scopeOf(p)
	if err != nil {
		return nil, err
	}
	if list, ok := s.commands[key]; ok {
		return list, nil
	}
	return []any{}, nil
}

func (s *Server) deleteMyCommands(p params, _ *call) (any, error) {
	key, err := s.scopeOf(p)
	if err != nil {
		return nil, err
	}
	delete(s.commands, key)
	return true, nil
}

func (s *Server) getChat(p params, _ *call) (any, error) {
	c, err := s.find(p)
	if err != nil {
		return nil, err
	}
	o := c.api()
	o["accent_color_id"], o["max_reaction_count"] = 0, 11
	o["accepted_gift_types"] = map[string]bool{"unlimited_gifts": false, "limited_gifts": false, "unique_gifts": false,
		"premium_subscription": false, "gifts_from_channels": false}
	if c.kind != kindPrivate {
		o["permissions"] = map[string]bool{"can_send_messages": true, "can_send_photos": true, "can_send_documents": true}
	}
	return o, nil
}

// memberOf is a member as the Bot API gives it.
func (s *Server) memberOf(c *chat, id int64) map[string]any {
	standing, known := c.members[id]
	if !known {
		standing = standingLeft
	}
	user := s.users[id]
	if id == s.bot.ID {
		user = s.bot
	}
	o := map[string]any{"user": user, "status": standing}
	switch standing {
	case standingOwner:
		o["is_anonymous"] = false
	case standingKicked:
		o["until_date"] = 0
	case standingAdmin:
		for _, right := range []string{"is_anonymous", "can_promote_members", "can_post_stories", "can_edit_stories", "can_delete_stories"} {
			o[right] = false
		}
		for _, right := range []string{"can_be_edited", "can_manage_chat", "can_delete_messages", "can_manage_video_chats",
			"can_restrict_members", "can_change_info", "can_invite_users", "can_pin_messages"} {
			o[right] = true
		}
	}
	return o
}

func (s *Server) getChatMember(p params, _ *call) (any, error) {
	c, err := s.find(p)
	if err != nil {
		return nil, err
	}
	id := p.number("user_id")
	if _, known := s.users[id]; !known && id != s.bot.ID {
		return nil, misplaced("user not found")
	}
	return s.memberOf(c, id), nil
}

func (s *Server) getChatMemberCount(p params, _ *call) (any, error) {
	c, err := s.find(p)
	if err != nil {
		return nil, err
	}
	count := 0
	for _, standing := range c.members {
		if standing != standingLeft && standing != standingKicked {
			count++
		}
	}
	return count, nil
}

func (s *Server) getChatAdministrators(p params, _ *call) (any, error) {
	c, err := s.find(p)
	if err != nil {
		return nil, err
	}
	if c.kind == kindPrivate {
		return nil, &refusal{code: http.StatusBadRequest, class: Misplaced,
			text: "Bad Request: there are no administrators in the private chat"}
	}
	list := []any{}
	for _, id := range sortedKeys(c.members) {
		// Other bots are not listed, and neither is this one.
		if st := c.members[id]; (st == standingOwner || st == standingAdmin) && id != s.bot.ID && !s.users[id].IsBot {
			list = append(list, s.memberOf(c, id))
		}
	}
	return list, nil
}
