package bot_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"rodcall/bot/apitest"
	"rodcall/session/store"
)

// TestBadInput: odd things get a short answer or silence; nothing is lost, and
// the walk goes on.
func TestBadInput(t *testing.T) {
	r := newRig(t, apitest.Config{})
	ann, c := r.owner("ann")
	walkTo(r, c, ann, "", "0", "1/8 low")
	before := job(t, r.file)
	raw := func(kind string, body string) {
		t.Helper()
		if err := r.srv.Deliver(json.RawMessage(fmt.Sprintf(`{%q: %s}`, kind, body))); err != nil {
			t.Fatal(err)
		}
	}
	from := fmt.Sprintf(`"from": {"id": %d, "is_bot": false, "first_name": "ann"}, "chat": {"id": %d, "type": "private"}, "date": 1770000000`, ann.ID, c.ID())
	for name, send := range map[string]func(){
		"4096 letters":     func() { c.Say(ann, strings.Repeat("x", 4096)) },
		"4096 odd letters": func() { c.Say(ann, strings.Repeat("𝟛", 2048)) },
		"2000 lines":       func() { c.Say(ann, strings.Repeat("?\n", 2000)) },
		"right to left":    func() { c.Say(ann, "\u202e3/8 wol\u202c") },
		"zero bytes":       func() { c.Say(ann, "\x00\x01") },
		"sticker":          func() { c.Send(ann, map[string]any{"sticker": map[string]any{"file_id": "s", "emoji": "x"}}) },
		"a place":          func() { c.Send(ann, map[string]any{"location": map[string]any{"latitude": 1.5, "longitude": 2.5}}) },
		"photo":            func() { c.Photo(ann, []byte("no picture"), "mud") },
		"voice":            func() { c.Voice(ann, []byte("OggS")) },
		"forward": func() {
			c.Send(ann, map[string]any{"text": "3/8 low", "forward_origin": map[string]any{"type": "hidden_user", "sender_user_name": "x", "date": 1}})
		},
		"a forward of a kind to come": func() {
			c.Send(ann, map[string]any{"text": "3/8 low", "forward_origin": map[string]any{"type": "from_the_moon"}})
		},
		"through another bot": func() {
			c.Send(ann, map[string]any{"text": "3/8 low", "via_bot": map[string]any{"id": 9, "is_bot": true}})
		},
		"channel post": func() {
			raw("channel_post", `{"message_id": 1, "chat": {"id": -100, "type": "channel"}, "date": 1, "text": "3/8 low"}`)
		},
		"from a channel": func() {
			raw("message", `{"message_id": 90001, "chat": {"id": -1005, "type": "supergroup"}, "sender_chat": {"id": -100, "type": "channel"}, "date": 1, "text": "3/8 low"}`)
		},
		"another bot": func() {
			raw("message", `{"message_id": 90002, "chat": {"id": -1005, "type": "supergroup"}, "from": {"id": 77, "is_bot": true, "first_name": "b"}, "date": 1, "text": "3/8 low"}`)
		},
		"poll":           func() { raw("poll", `{"id": "1"}`) },
		"a kind to come": func() { raw("telepathy", `{"thought": 1}`) },
		"not an object":  func() { raw("message", `7`) },
		"wrong types":    func() { raw("message", `{"message_id": "x", "text": []}`) },
		"no chat":        func() { raw("message", `{"message_id": 90003, "text": "3/8 low"}`) },
		"no sender": func() {
			raw("message", `{"message_id": 90004, "chat": {"id": 5, "type": "private"}, "text": "3/8 low"}`)
		},
		"tap without message": func() {
			raw("callback_query", fmt.Sprintf(`{"id": "5", "from": {"id": %d, "is_bot": false, "first_name": "a"}, "data": "1.1.1"}`, ann.ID))
		},
		"edit of the unknown": func() {
			raw("edited_message", fmt.Sprintf(`{"message_id": 90005, %s, "edit_date": 1770000001, "text": "3/8 low"}`, from))
		},
		"edit that is none": func() { raw("edited_message", fmt.Sprintf(`{"message_id": 90006, %s, "edit_date": 1770000001}`, from)) },
	} {
		n := len(c.FromBot())
		send()
		r.settle()
		all := c.FromBot()[n:]
		if len(all) > 1 {
			t.Errorf("%s: answered %d times", name, len(all))
		}
		for _, m := range all {
			if len(m.Text) > 2000 { // the help screen, behind many lines that ask for it
				t.Errorf("%s: answered with %d bytes", name, len(m.Text))
			}
			if m.Text == "" {
				t.Errorf("%s: an empty answer", name)
			}
		}
		if got := job(t, r.file); got != before {
			t.Fatalf("%s: changed the job:\n%s", name, got)
		}
	}
	if got := r.say(c, ann, "1/4 low"); !strings.Contains(got, "c2: 1/4 low") {
		t.Errorf("the walk goes on with %q", got)
	}
	dead := 0
	err := r.file.View(func(tx *store.Tx) error {
		list, err := tx.Dead(100)
		dead = len(list)
		return err
	})
	if err != nil || dead != 2 {
		t.Errorf("%d dead letters (%v), want the two that cannot be decoded", dead, err)
	}
	for _, f := range r.srv.Faults() {
		if f.Method != "answerCallbackQuery" { // the tap that was made up here
			t.Errorf("a request was refused: %+v", f)
		}
	}
}
