package apitest_test

import (
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"rodcall/bot/apitest"
)

func buttons(list ...fields) fields { return fields{"inline_keyboard": [][]fields{list}} }

func many(n int) []fields {
	list := make([]fields, n)
	for i := range list {
		list[i] = fields{"command": fmt.Sprintf("c%d", i), "description": "d"}
	}
	return list
}

// TestLimits asks for the most that is allowed, and for one more. The limits
// are those of https://core.telegram.org/bots/api at each method, and are
// written here once more, apart from the table.
func TestLimits(t *testing.T) {
	srv := start(t, apitest.Config{})
	_, c := private(t, srv)
	key := func(f fields) fields { return fields{"chat_id": c.ID(), "text": "?", "reply_markup": f} }
	deep := func(n int) string { return "https://t.me/stand_in_bot?start=" + strings.Repeat("a", n) }
	for _, test := range []struct {
		method string
		make   func(n int) fields
		most   int
		class  apitest.FaultClass
	}{
		{"sendMessage", func(n int) fields { return fields{"chat_id": c.ID(), "text": strings.Repeat("é", n)} }, 4096, apitest.Malformed},
		{"sendMessage", func(n int) fields {
			return fields{"chat_id": c.ID(), "parse_mode": "HTML", "text": "<b>" + strings.Repeat("&lt;", n) + "</b>"}
		}, 4096, apitest.Malformed},
		{"sendMessage", func(n int) fields { return key(buttons(fields{"text": "a", "callback_data": strings.Repeat("d", n)})) }, 64, apitest.Malformed},
		{"sendMessage", func(n int) fields {
			return key(fields{"force_reply": true, "input_field_placeholder": strings.Repeat("p", n)})
		}, 64, apitest.Malformed},
		{"sendMessage", func(n int) fields { return key(buttons(fields{"text": "a", "url": deep(n)})) }, 64, apitest.Malformed},
		{"sendMessage", func(n int) fields { return fields{"chat_id": c.ID(), "text": "Invite: " + deep(n)} }, 64, apitest.Malformed},
		{"setMyCommands", func(n int) fields { return fields{"commands": many(n)} }, 100, apitest.Malformed},
		{"setMyCommands", func(n int) fields {
			return fields{"commands": []fields{{"command": strings.Repeat("c", n), "description": "d"}}}
		}, 32, apitest.Malformed},
		{"setMyCommands", func(n int) fields {
			return fields{"commands": []fields{{"command": "c", "description": strings.Repeat("d", n)}}}
		}, 256, apitest.Malformed},
	} {
		must(t, srv, test.method, test.make(test.most))
		before := len(srv.Faults(test.class))
		refused(t, srv, test.method, test.make(test.most+1), 400, "")
		if len(srv.Faults(test.class)) != before+1 {
			t.Errorf("%s with %d is no fault", test.method, test.most+1)
		}
	}
}

// TestRefusals asks for one thing after another that is wrong, each made from
// a request that is right.
func TestRefusals(t *testing.T) {
	srv := start(t, apitest.Config{})
	_, c := private(t, srv)
	id := sent(t, must(t, srv, "sendMessage", fields{"chat_id": c.ID(), "text": "one", "reply_markup": buttons(fields{"text": "a", "callback_data": "1"})}))
	said := c.Messages()[0].ID
	keyed := sent(t, must(t, srv, "sendMessage", fields{"chat_id": c.ID(), "text": "keys", "reply_markup": fields{"keyboard": [][]string{{"a"}}}}))
	with := func(base fields, more fields) fields {
		f := maps.Clone(base)
		maps.Copy(f, more)
		return f
	}
	send := fields{"chat_id": c.ID(), "text": "hello"}
	edit := fields{"chat_id": c.ID(), "message_id": id, "text": "two"}
	must(t, srv, "sendMessage", send)
	must(t, srv, "editMessageText", edit)
	for _, test := range []struct {
		method string
		f      fields
		code   int
		text   string
	}{
		{"sendMesage", send, 404, "Not Found"},
		{"sendMessage", with(send, fields{"reply_to": 3}), 400, `no field "reply_to"`},
		{"sendMessage", fields{"chat_id": c.ID()}, 400, "message text is empty"},
		{"sendMessage", with(send, fields{"text": " \n "}), 400, "message text is empty"},
		{"sendMessage", fields{"text": "x"}, 400, "chat_id is empty"},
		{"sendMessage", with(send, fields{"chat_id": "12"}), 400, "chat_id must be chat"},
		{"sendMessage", with(send, fields{"chat_id": 4}), 400, "chat not found"},
		{"sendMessage", with(send, fields{"chat_id": "@nobody_here"}), 400, "chat not found"},
		{"sendMessage", with(send, fields{"text": 4}), 400, "text must be string"},
		{"sendMessage", with(send, fields{"disable_notification": "true"}), 400, "disable_notification must be bool"},
		{"sendMessage", with(send, fields{"message_thread_id": 1.5}), 400, "message_thread_id must be int"},
		{"sendMessage", with(send, fields{"message_thread_id": 7}), 400, "message thread not found"},
		{"sendMessage", with(send, fields{"parse_mode": "html5"}), 400, "unsupported parse_mode"},
		{"sendMessage", with(send, fields{"parse_mode": "HTML", "text": "1 < 2"}), 400, "can't parse entities"},
		{"sendMessage", with(send, fields{"parse_mode": "HTML", "text": "<b>1"}), 400, "can't find end tag"},
		{"sendMessage", with(send, fields{"parse_mode": "HTML", "text": "<b>1</i>"}), 400, "unmatched end tag"},
		{"sendMessage", with(send, fields{"parse_mode": "HTML", "text": "<h1>1</h1>"}), 400, "unsupported start tag"},
		{"sendMessage", with(send, fields{"entities": []fields{{"type": "bold", "offset": 0, "length": 6}}}), 400, "beyond the text"},
		{"sendMessage", with(send, fields{"reply_parameters": fields{"message_id": 999}}), 400, "message to be replied not found"},
		{"sendMessage", with(send, fields{"reply_parameters": fields{"message_id": said, "quote": "no"}}), 400, "QUOTE_TEXT_INVALID"},
		{"sendMessage", with(send, fields{"reply_markup": fields{}}), 400, "is none of"},
		{"sendMessage", with(send, fields{"reply_markup": buttons(fields{"text": "a"})}), 400, "does 0 things"},
		{"sendMessage", with(send, fields{"reply_markup": buttons(fields{"text": "a", "callback_data": ""})}), 400, "BUTTON_DATA_INVALID"},
		{"sendMessage", with(send, fields{"reply_markup": buttons(fields{"text": "", "callback_data": "1"})}), 400, "without text"},
		{"sendMessage", with(send, fields{"reply_markup": buttons(fields{"text": "a", "callback_data": "1", "url": "https://example.org"})}), 400, "does 2 things"},
		{"sendMessage", with(send, fields{"reply_markup": buttons(fields{"text": "a", "data": "1"})}), 400, `no field "data"`},
		{"sendMessage", with(send, fields{"reply_markup": fields{"inline_keyboard": []fields{{"text": "a", "callback_data": "1"}}}}), 400, "must be []InlineKeyboardButton"},
		{"sendMessage", with(send, fields{"reply_markup": fields{"keyboard": [][]string{{""}}}}), 400, "must be non-empty"},
		{"sendMessage", with(send, fields{"reply_markup": fields{"remove_keyboard": false}}), 400, "must be true"},
		{"sendMessage", with(send, fields{"text": "t.me/stand_in_bot?start=a%20b"}), 400, "deep link"},
		{"editMessageText", edit, 400, "message is not modified"},
		{"editMessageText", with(edit, fields{"message_id": 999}), 400, "message to edit not found"},
		{"editMessageText", with(edit, fields{"message_id": said}), 400, "message can't be edited"},
		{"editMessageText", with(edit, fields{"message_id": keyed}), 400, "message can't be edited"},
		{"editMessageText", with(edit, fields{"reply_markup": fields{"keyboard": [][]string{{"a"}}}}), 400, `no field "keyboard"`},
		{"editMessageCaption", fields{"chat_id": c.ID(), "message_id": id, "caption": "x"}, 400, "no caption"},
		{"editMessageReplyMarkup", fields{"chat_id": c.ID(), "message_id": id}, 400, "message is not modified"},
		{"deleteMessage", fields{"chat_id": c.ID(), "message_id": 999}, 400, "message to delete not found"},
		{"sendChatAction", fields{"chat_id": c.ID(), "action": "thinking"}, 400, "wrong parameter action"},
		{"answerCallbackQuery", fields{"callback_query_id": "1"}, 400, "query is too old"},
		{"setMessageReaction", fields{"chat_id": c.ID(), "message_id": id, "reaction": []fields{{"type": "emoji", "emoji": "✅"}}}, 400, "REACTION_INVALID"},
		{"setMessageReaction", fields{"chat_id": c.ID(), "message_id": id, "reaction": []fields{
			{"type": "emoji", "emoji": "👍"}, {"type": "emoji", "emoji": "👎"}}}, 400, "REACTIONS_TOO_MANY"},
		{"setMyCommands", fields{"commands": []fields{{"command": "Start", "description": "d"}}}, 400, "BOT_COMMAND_INVALID"},
		{"setMyCommands", fields{"commands": []fields{{"command": "start", "description": ""}}}, 400, "BOT_COMMAND_DESCRIPTION_INVALID"},
		{"setMyCommands", fields{"commands": many(1), "language_code": "english"}, 400, "invalid language code"},
		{"setMyCommands", fields{"commands": many(1), "scope": fields{"type": "all"}}, 400, "unsupported scope"},
		{"getFile", fields{"file_id": "x"}, 400, "invalid file_id"},
		{"getChatMember", fields{"chat_id": c.ID(), "user_id": 5}, 400, "user not found"},
		{"getChatAdministrators", fields{"chat_id": c.ID()}, 400, "no administrators"},
		{"sendPhoto", fields{"chat_id": c.ID(), "photo": "https://example.org/a.png"}, 400, "files by URL"},
		{"sendPhoto", fields{"chat_id": c.ID(), "photo": "AgACnothing"}, 400, "wrong file identifier"},
	} {
		before := len(srv.Faults())
		refused(t, srv, test.method, test.f, test.code, test.text)
		faults := srv.Faults()
		if len(faults) != before+1 {
			t.Errorf("%s %v: %d faults more, want 1", test.method, test.f, len(faults)-before)
			continue
		}
		f := faults[before]
		if f.Method != test.method || !strings.Contains(f.Text, test.text) || len(f.Params) < 2 {
			t.Errorf("%s %v: fault %+v", test.method, test.f, f)
		}
	}
	if n := len(c.FromBot()); n != 3 {
		t.Errorf("what was refused was sent: %d messages of the bot, want 3:\n%s", n, c.Screen())
	}
}

func TestTokensAndBodies(t *testing.T) {
	srv := start(t, apitest.Config{})
	_, c := private(t, srv)
	at := srv.URL() + "/bot" + srv.Token()
	for path, want := range map[string]int{
		"/bot" + srv.Token() + "/getMe":           200,
		"/bot" + srv.Token() + "x/getMe":          401,
		"/bot4242:short/getMe":                    404,
		"/bot/getMe":                              404,
		"/":                                       404,
		"/file/bot" + srv.Token() + "x/a.jpg":     401,
		"/file/bot" + srv.Token() + "/photos/a":   404,
		"/bot" + srv.Token() + "/":                404,
		"/bot" + srv.Token() + "/getMe?answer=42": 400,
	} {
		if code, body := get(t, srv.URL()+path); code != want {
			t.Errorf("%s: %d %s, want %d", strings.ReplaceAll(path, srv.Token(), "<token>"), code, body, want)
		}
	}
	for _, f := range srv.Faults() {
		if strings.Contains(f.Text, srv.Token()) {
			t.Errorf("a fault tells the token: %+v", f)
		}
	}
	values := url.Values{"chat_id": {fmt.Sprint(c.ID())}, "text": {"form"}, "disable_notification": {"true"},
		"reply_markup": {`{"inline_keyboard":[[{"text":"a","callback_data":"1"}]]}`}}
	for name, do := range map[string]func() (*http.Response, error){
		"query": func() (*http.Response, error) { return http.Get(at + "/sendMessage?" + values.Encode()) },
		"form":  func() (*http.Response, error) { return http.PostForm(at+"/sendMessage", values) },
	} {
		if a, err := read(do()); err != nil || !a.OK {
			t.Errorf("%s: %+v %v", name, a, err)
		}
	}
	for name, body := range map[string][2]string{
		"not JSON":       {"application/json", `{"chat_id":`},
		"two values":     {"application/json", `{} {}`},
		"no object":      {"application/json", `[1]`},
		"unknown type":   {"text/plain", "hello"},
		"twice":          {"application/x-www-form-urlencoded", "chat_id=1&chat_id=2&text=a"},
		"a word for int": {"application/x-www-form-urlencoded", values.Encode() + "&message_thread_id=one"},
		"a bad object":   {"application/x-www-form-urlencoded", "text=a&chat_id=1&reply_markup=%7B"},
		"not UTF-8":      {"application/x-www-form-urlencoded", fmt.Sprintf("chat_id=%d&text=%%ff%%fe", c.ID())},
	} {
		a, err := read(http.Post(at+"/sendMessage", body[0], strings.NewReader(body[1])))
		if err != nil || a.ErrorCode != 400 {
			t.Errorf("%s: %+v %v, want 400", name, a, err)
		}
	}
	if n := len(c.FromBot()); n != 2 {
		t.Errorf("%d messages of the bot, want 2", n)
	}
}
