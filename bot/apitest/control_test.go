package apitest_test

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"rodcall/bot/apitest"
)

// drive posts to the control and reads what comes back.
func drive[T any](t *testing.T, base, verb string, f fields) T {
	t.Helper()
	body, err := json.Marshal(f)
	if err != nil {
		t.Fatal(err)
	}
	resp, err := http.Post(base+"/control/"+verb, "application/json", bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = resp.Body.Close() }()
	got, err := io.ReadAll(resp.Body)
	if err != nil || resp.StatusCode != 200 {
		t.Fatalf("%s %v: %d %s %v", verb, f, resp.StatusCode, got, err)
	}
	var v T
	if err := json.Unmarshal(got, &v); err != nil {
		t.Fatalf("%s: %s: %v", verb, got, err)
	}
	return v
}

// The stand-in as another process serves it: no method of Server is called
// after it began.
func TestControl(t *testing.T) {
	srv := apitest.NewUnstarted(apitest.Config{Control: true})
	web := httptest.NewServer(srv)
	defer web.Close()
	defer srv.Close()
	bot := func(method string, f fields) answer {
		t.Helper()
		body, err := json.Marshal(f)
		if err != nil {
			t.Fatal(err)
		}
		a, err := read(http.Post(web.URL+"/bot"+srv.Token()+"/"+method, "application/json", bytes.NewReader(body)))
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	type ids struct {
		ChatID    int64 `json:"chat_id"`
		MessageID int   `json:"message_id"`
		Topic     int   `json:"topic"`
	}
	ana := drive[apitest.User](t, web.URL, "user", fields{"text": "Ana", "name": "ana_builds", "language": "es"})
	ben := drive[apitest.User](t, web.URL, "user", fields{"text": "Ben"})
	if ana.LanguageCode != "es" || ana.Username != "ana_builds" {
		t.Errorf("%+v", ana)
	}
	c := drive[ids](t, web.URL, "private", fields{"user": ana.ID}).ChatID
	said := drive[ids](t, web.URL, "say", fields{"chat_id": c, "user": ana.ID, "text": "/start"}).MessageID
	a := bot("sendMessage", fields{"chat_id": c, "text": "Sure?", "reply_markup": buttons(fields{"text": "Yes", "callback_data": "y"})})
	id := sent(t, a)
	drive[map[string]string](t, web.URL, "tap", fields{"chat_id": c, "user": ana.ID, "message_id": id, "text": "Yes"})
	drive[any](t, web.URL, "edit", fields{"chat_id": c, "user": ana.ID, "message_id": said, "text": "/help"})
	drive[ids](t, web.URL, "voice", fields{"chat_id": c, "user": ana.ID, "data": []byte("OggS")})
	list := result[[]update](t, bot("getUpdates", nil))
	if len(list) != 4 || list[1].Query == nil || list[1].Query.Data != "y" || list[2].Edited == nil {
		t.Errorf("updates: %+v", list)
	}
	if n := drive[int](t, web.URL, "pending", nil); n != 4 {
		t.Errorf("%d pending", n)
	}
	g := drive[ids](t, web.URL, "small-group", fields{"text": "Pad 4", "members": []int64{ana.ID, ben.ID}}).ChatID
	big := drive[ids](t, web.URL, "migrate", fields{"chat_id": g, "user": ana.ID}).ChatID
	if a := bot("sendMessage", fields{"chat_id": g, "text": "x"}); a.Parameters.MigrateTo != big {
		t.Errorf("%+v, want %d", a, big)
	}
	topic := drive[ids](t, web.URL, "topic", fields{"chat_id": big, "user": ana.ID, "text": "Footings"}).Topic
	drive[ids](t, web.URL, "say", fields{"chat_id": big, "topic": topic, "user": ben.ID, "text": "/level"})
	drive[any](t, web.URL, "inject", fields{"troubles": []apitest.Trouble{{Kind: apitest.TooMany, RetryAfter: 4}}})
	if a := bot("sendMessage", fields{"chat_id": big, "text": "x"}); a.Parameters.RetryAfter != 4 {
		t.Errorf("%+v", a)
	}
	bot("sendMessage", fields{"chat_id": big, "txt": "x"})
	if f := drive[[]apitest.Fault](t, web.URL, "faults", nil); len(f) != 1 || f[0].Class != apitest.Malformed {
		t.Errorf("faults: %+v", f)
	}
	if r := drive[[]apitest.Request](t, web.URL, "requests", fields{"methods": []string{"sendMessage"}}); len(r) != 4 || !r[0].Accepted {
		t.Errorf("requests: %+v", r)
	}
	m := drive[[]apitest.Message](t, web.URL, "messages", fields{"chat_id": c})
	if len(m) != 3 || m[0].Text != "/help" || m[1].Buttons[0][0].Data != "y" || !m[1].From.IsBot {
		t.Errorf("messages: %+v", m)
	}
	if s := drive[string](t, web.URL, "screen", fields{"chat_id": big, "topic": topic}); !strings.Contains(s, "Ben: /level\n") {
		t.Errorf("screen: %q", s)
	}
	for verb, f := range map[string]fields{"dance": {}, "say": {"chat_id": 3, "user": ana.ID}, "tap": {"chat_id": c, "user": ana.ID, "text": "No"},
		"press": {"chat_id": c, "user": ben.ID}, "migrate": {"chat_id": big, "user": ana.ID}, "user": {"nam": "x"}} {
		body, err := json.Marshal(f)
		if err != nil {
			t.Fatal(err)
		}
		resp, err := http.Post(web.URL+"/control/"+verb, "application/json", bytes.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		got, err := io.ReadAll(resp.Body)
		_ = resp.Body.Close()
		if err != nil || resp.StatusCode != 400 || !bytes.Contains(got, []byte(`"error"`)) {
			t.Errorf("%s %v: %d %s %v, want 400", verb, f, resp.StatusCode, got, err)
		}
	}
	if n := drive[int](t, web.URL, "pending", nil); n == 0 {
		t.Error("nothing pending after what was refused: the server is stuck or forgot")
	}
}

func TestRecordsAsLines(t *testing.T) {
	srv := start(t, apitest.Config{})
	_, c := private(t, srv)
	must(t, srv, "sendMessage", fields{"chat_id": c.ID(), "text": "x", "reply_parameters": fields{"message_id": 1}})
	kind, body := form(t, map[string]string{"chat_id": "1", "caption": "c"}, map[string][]byte{"photo": picture(t, 9, 9)})
	upload(t, srv, "sendPhoto", kind, body)
	var requests, messages bytes.Buffer
	if err := srv.WriteRequests(&requests, "sendMessage", "sendPhoto"); err != nil {
		t.Fatal(err)
	}
	if err := srv.WriteMessages(&messages); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(requests.String()), "\n")
	if len(lines) != 2 {
		t.Fatalf("requests:\n%s", requests.String())
	}
	var first, second apitest.Request
	if json.Unmarshal([]byte(lines[0]), &first) != nil || json.Unmarshal([]byte(lines[1]), &second) != nil {
		t.Fatalf("requests:\n%s", requests.String())
	}
	// Types as the Bot API names them, also where they came in a form.
	if string(second.Params) != `{"caption":"c","chat_id":1,"photo":"attach://photo"}` || second.Accepted || second.Status != 400 ||
		len(second.Files) != 1 || second.Files[0].Size == 0 || !strings.Contains(string(first.Params), `"reply_parameters":{"message_id":1}`) {
		t.Errorf("requests:\n%s", requests.String())
	}
	if n := strings.Count(messages.String(), "\n"); n != 2 || !strings.Contains(messages.String(), `"text":"/start"`) {
		t.Errorf("messages:\n%s", messages.String())
	}
}
