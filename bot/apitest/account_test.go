package apitest_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"rodcall/bot/apitest"
)

func TestAccount(t *testing.T) {
	clk := newClock()
	srv := start(t, apitest.Config{Now: clk.now, Token: "77:a-token-of-the-test-0123456789abcdef", Name: "other_bot"})
	ana, ben := srv.User("Ana"), srv.User("Ben")
	c := srv.Group("Pad 4", ana)
	if me := result[apitest.User](t, must(t, srv, "getMe", nil)); me.ID != 77 || me.Username != "other_bot" || !me.IsBot || me != srv.Bot() {
		t.Errorf("getMe: %+v", me)
	}
	count := func() int { return result[int](t, must(t, srv, "getChatMemberCount", fields{"chat_id": c.ID()})) }
	c.Join(ben)
	if n := count(); n != 3 {
		t.Errorf("%d members, want Ana, Ben and the bot", n)
	}
	c.Leave(ben)
	if n := count(); n != 2 {
		t.Errorf("%d members after one left", n)
	}
	c.SetName("pad_four")
	must(t, srv, "sendMessage", fields{"chat_id": "@pad_four", "text": "x"})
	old := c.FromBot()[0].ID
	must(t, srv, "sendChatAction", fields{"chat_id": c.ID(), "action": "typing"})
	if a := c.Actions(); len(a) != 1 || a[0].Action != "typing" {
		t.Errorf("actions: %+v", a)
	}
	bens := c.Say(ben, "/x")
	refused(t, srv, "deleteMessage", fields{"chat_id": c.ID(), "message_id": bens}, 400, "can't be deleted")
	c.Promote(ana, srv.Bot())
	must(t, srv, "deleteMessage", fields{"chat_id": c.ID(), "message_id": bens})
	clk.pass(48*time.Hour + time.Second)
	refused(t, srv, "deleteMessage", fields{"chat_id": c.ID(), "message_id": old}, 400, "can't be deleted")
	must(t, srv, "setMyCommands", fields{"commands": many(2)})
	must(t, srv, "deleteMyCommands", nil)
	if n := len(result[[]any](t, must(t, srv, "getMyCommands", nil))); n != 0 {
		t.Errorf("%d commands after they were deleted", n)
	}
	must(t, srv, "close", nil)
	must(t, srv, "logOut", nil)
	refused(t, srv, "getMe", nil, 400, "Logged out")
	refused(t, srv, "getUpdates", nil, 400, "Logged out")
}

func TestCloseNeedsTenMinutes(t *testing.T) {
	clk := newClock()
	srv := start(t, apitest.Config{Now: clk.now})
	clk.pass(9*time.Minute + 30*time.Second)
	if a := refused(t, srv, "close", nil, 429, "retry after 30"); a.Parameters.RetryAfter != 30 {
		t.Errorf("%+v", a)
	}
}

func TestScreen(t *testing.T) {
	srv := start(t, apitest.Config{})
	ana, c := private(t, srv)
	c.Document(ana, "plan.txt", []byte("north"), "the plan")
	gone := c.Photo(ana, []byte("a picture"), "gone")
	c.Delete(gone)
	must(t, srv, "sendMessage", fields{"chat_id": c.ID(), "text": "Sure?", "reply_markup": fields{"inline_keyboard": [][]fields{
		{{"text": "Yes", "callback_data": "y"}, {"text": "No", "callback_data": "n"}}, {{"text": "Later", "callback_data": "l"}}}}})
	must(t, srv, "sendMessage", fields{"chat_id": c.ID(), "text": "Which?", "reply_markup": fields{"keyboard": [][]string{{"A1", "A2"}}}})
	must(t, srv, "setMessageReaction", fields{"chat_id": c.ID(), "message_id": c.Messages()[0].ID, "reaction": []fields{{"type": "emoji", "emoji": "👀"}}})
	const want = `Ana: /start {👀}
Ana: the plan [document plan.txt 5 bytes dc365e79]
Stand-in: Sure?
  [Yes]  [No]
  [Later]
Stand-in: Which?
  ⌨ A1 | A2
`
	if got := c.Screen(); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

func TestLongTextsComeInPieces(t *testing.T) {
	srv := start(t, apitest.Config{})
	ana, c := private(t, srv)
	text := strings.Repeat("x", 4095) + "🏗" + strings.Repeat("y", 4094) + "z"
	c.Say(ana, text)
	list := poll(t, srv, fields{"offset": 1})
	got := texts(list)
	if len(got) != 3 || strings.Join(got, "") != text || len(got[0]) != 4095 || got[2] != "z" {
		t.Errorf("%d pieces: %d, …", len(got), len(got[0]))
	}
}

func TestDeepLinksAreFollowed(t *testing.T) {
	srv := start(t, apitest.Config{})
	ana := srv.User("Ana")
	if _, err := srv.Follow(ana, "https://t.me/Stand_In_bot?start=a_B-9"); err != nil {
		t.Fatal(err)
	}
	if got := texts(poll(t, srv, fields{})); len(got) != 1 || got[0] != "/start a_B-9" {
		t.Errorf("said %q", got)
	}
	for _, wrong := range []string{"https://t.me/another_bot?start=x", "https://example.org/stand_in_bot?start=x", "https://t.me/stand_in_bot?start=" + strings.Repeat("a", 65)} {
		if _, err := srv.Follow(ana, wrong); err == nil {
			t.Errorf("followed %s", wrong)
		}
	}
}

func TestPhotosOfPeople(t *testing.T) {
	srv := start(t, apitest.Config{})
	ana, c := private(t, srv)
	data := picture(t, 30, 20)
	c.Photo(ana, data, "here")
	raw := result[[]struct {
		Message struct {
			Caption string `json:"caption"`
			Photo   []struct {
				ID string `json:"file_id"`
			} `json:"photo"`
		} `json:"message"`
	}](t, must(t, srv, "getUpdates", fields{"offset": 1}))
	if len(raw) != 1 || raw[0].Message.Caption != "here" || len(raw[0].Message.Photo) == 0 {
		t.Fatalf("%+v", raw)
	}
	path := result[map[string]any](t, must(t, srv, "getFile", fields{"file_id": raw[0].Message.Photo[0].ID}))["file_path"].(string)
	if _, body := get(t, srv.URL()+"/file/bot"+srv.Token()+"/"+path); !bytes.Equal(body, data) {
		t.Errorf("%d bytes came back, want %d", len(body), len(data))
	}
}
