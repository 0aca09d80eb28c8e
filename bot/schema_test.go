package bot_test

import (
	"bytes"
	"encoding/json"
	"path/filepath"
	"sync"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"rodcall/bot/apitest"
)

// outside is a description of the Bot API that others made: see
// testdata/schema/README.txt.
var outside = sync.OnceValues(func() (*jsonschema.Schema, error) {
	return jsonschema.NewCompiler().Compile(filepath.Join("testdata", "schema", "methods.json"))
})

// described checks a request against it: what fields it has, which of them are
// needed, and what kinds of value they hold.
func described(q apitest.Request) error {
	s, err := outside()
	if err != nil {
		return err
	}
	params := q.Params
	if len(bytes.TrimSpace(params)) == 0 {
		params = json.RawMessage("{}")
	}
	b, err := json.Marshal(map[string]json.RawMessage{q.Method: params})
	if err != nil {
		return err
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(b))
	if err != nil {
		return err
	}
	return s.Validate(v)
}

// asDescribed fails on requests that the outside description does not know.
func (r *rig) asDescribed() {
	r.t.Helper()
	for _, q := range r.srv.Requests() {
		if q.Method == "getMe" || q.Method == "download" || !q.Accepted && q.Trouble != "" {
			continue // has nothing to describe, is no method, or was not read
		}
		if err := described(q); err != nil {
			r.t.Errorf("%s %s: %v", q.Method, q.Params, err)
		}
	}
}

// TestTheDescriptionBites feeds it requests that are wrong.
func TestTheDescriptionBites(t *testing.T) {
	for params, good := range map[string]bool{
		`{"chat_id": 5, "text": "x"}`: true,
		`{"chat_id": "5", "text": "x", "reply_markup": {"force_reply": true, "selective": true}}`: true,
		`{"text": "x"}`:                                        false,
		`{"chat_id": 5}`:                                       false,
		`{"chat_id": 5, "text": 7}`:                            false,
		`{"chat_id": 5, "text": "x", "shout": true}`:           false,
		`{"chat_id": 5, "text": "x", "parse_mode": "Shouted"}`: false,
		`{"chat_id": 5, "text": "x", "reply_markup": {"keyboard": [[{"txt": "x"}]]}}`:                                    false,
		`{"chat_id": 5, "text": "x", "reply_markup": {"inline_keyboard": [[{"text": "x", "callback_data": "1.1.1"}]]}}`:  true,
		`{"chat_id": 5, "text": "x", "reply_markup": {"inline_keyboard": [[{"text": "x", "callback_datum": "1.1.1"}]]}}`: false,
	} {
		err := described(apitest.Request{Method: "sendMessage", Params: json.RawMessage(params)})
		if (err == nil) != good {
			t.Errorf("%s: %v", params, err)
		}
	}
}

// TestEveryMethodIsDescribed: what the bot calls in its everyday life is what
// the description has.
func TestEveryMethodIsDescribed(t *testing.T) {
	r := newRig(t, apitest.Config{})
	ann, c := r.owner("ann")
	if err := r.bot.RegisterCommands(t.Context()); err != nil {
		t.Fatal(err)
	}
	walkTo(r, c, ann, "", "0", "3/8")
	r.tap(ann, c, "3/8 low")
	r.settle()
	r.say(c, ann, "picture")
	r.say(c, ann, "original")
	g := r.srv.Group("crew", ann, r.srv.User("bob"))
	r.settle()
	walkTo(r, g, ann, "/", "0")
	r.say(g, r.srv.User("cid"), "/datum high")
	called := map[string]int{}
	for _, q := range r.srv.Requests() {
		called[q.Method]++
	}
	for _, m := range []string{"getMe", "getUpdates", "deleteWebhook", "setMyCommands", "sendMessage", "sendPhoto", "sendDocument",
		"sendChatAction", "answerCallbackQuery", "getChatMember"} {
		if called[m] == 0 {
			t.Errorf("%s was not called", m)
		}
	}
	r.noFaults()
}
