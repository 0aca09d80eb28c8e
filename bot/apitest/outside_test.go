package apitest_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/go-telegram/bot/models"

	"rodcall/bot/apitest"
)

// gaps are fields of the Bot API that the library's models misspell or miss:
// https://core.telegram.org/bots/api#user, #acceptedgifttypes.
var gaps = strings.NewReplacer(`"supports_inline_queries":false`, `"support_inline_queries":false`, `"premium_subscription":false,`, ``,
	`"has_main_web_app":false,`, ``)

// strictly decodes into the client library's model and lets no field pass that
// the model does not have: a check from outside on how the stand-in names what
// it sends.
func strictly[T any](t *testing.T, name string, raw json.RawMessage) T {
	t.Helper()
	var v T
	d := json.NewDecoder(strings.NewReader(gaps.Replace(string(raw))))
	d.DisallowUnknownFields()
	if err := d.Decode(&v); err != nil {
		t.Errorf("%s: %v in %s", name, err, raw)
	}
	return v
}

func TestWhatIsSentIsKnownOutside(t *testing.T) {
	srv := start(t, apitest.Config{ReadsAll: true})
	ana := apitest.User{ID: 5001, FirstName: "Ana", LastName: "Builder", Username: "ana_builds", LanguageCode: "es"}
	c, forum, small := srv.Private(ana), srv.Group("Forum", ana), srv.SmallGroup("Small", ana)
	forum.SetName("forum_of_ana")
	topic := forum.OpenTopic(ana, "Footings")
	said := c.Say(ana, "/start @someone_else https://example.org")
	c.Reply(ana, said, "again")
	if err := c.Edit(ana, said, "/start over"); err != nil {
		t.Fatal(err)
	}
	c.Voice(ana, []byte("OggS"))
	c.Photo(ana, picture(t, 500, 90), "a picture")
	c.Document(ana, "plan.txt", []byte("north"), "")
	topic.Say(ana, "here")
	c.Forge(ana, said, "d")
	c.Forge(ana, 999, "d")
	forum.Promote(ana, srv.Bot())
	forum.Join(srv.User("Ben"))
	small.Migrate(ana)
	c.Block(ana)
	c.Unblock(ana)
	var all []json.RawMessage
	a := must(t, srv, "getUpdates", fields{"allowed_updates": []string{"message", "message_reaction", "chat_member"}})
	all = result[[]json.RawMessage](t, a)
	c.React(ana, said, "👍")
	forum.Promote(ana, srv.User("Cid"))
	all = append(all, result[[]json.RawMessage](t, must(t, srv, "getUpdates", fields{"offset": -2}))...)
	kinds := make(map[string]int)
	for _, raw := range all {
		u := strictly[models.Update](t, "update", raw)
		var o map[string]json.RawMessage
		if err := json.Unmarshal(raw, &o); err != nil {
			t.Fatal(err)
		}
		delete(o, "update_id")
		for kind := range o {
			kinds[kind]++
		}
		if u.ID == 0 {
			t.Errorf("no update_id in %s", raw)
		}
	}
	for _, kind := range []string{"message", "edited_message", "callback_query", "my_chat_member", "chat_member", "message_reaction"} {
		if kinds[kind] == 0 {
			t.Errorf("no %s among %v", kind, kinds)
		}
	}
	m := strictly[models.Message](t, "sendMessage", must(t, srv, "sendMessage", fields{"chat_id": forum.ID(), "message_thread_id": topic.Topic(),
		"text": "<b>x</b>", "parse_mode": "HTML", "reply_markup": buttons(fields{"text": "a", "callback_data": "1"})}).Result)
	strictly[models.Message](t, "editMessageText", must(t, srv, "editMessageText", fields{"chat_id": forum.ID(), "message_id": m.ID, "text": "y"}).Result)
	strictly[models.User](t, "getMe", must(t, srv, "getMe", nil).Result)
	strictly[models.ChatFullInfo](t, "getChat", must(t, srv, "getChat", fields{"chat_id": forum.ID()}).Result)
	strictly[models.ChatFullInfo](t, "getChat", must(t, srv, "getChat", fields{"chat_id": c.ID()}).Result)
	strictly[[]models.ChatMember](t, "getChatAdministrators", must(t, srv, "getChatAdministrators", fields{"chat_id": forum.ID()}).Result)
	strictly[models.WebhookInfo](t, "getWebhookInfo", must(t, srv, "getWebhookInfo", nil).Result)
	must(t, srv, "setWebhook", fields{"url": "https://bot.example.org/", "ip_address": "192.0.2.1"})
	strictly[models.WebhookInfo](t, "getWebhookInfo", must(t, srv, "getWebhookInfo", nil).Result)
}
