package apitest_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"pgregory.net/rapid"

	"rodcall/bot/apitest"
)

// TestPollingAgainstAModel plays people and a bot that polls as it likes, and
// compares what it is given with the rules of getUpdates written as a list.
func TestPollingAgainstAModel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		clk := newClock()
		srv := apitest.NewUnstarted(apitest.Config{Now: clk.now, FirstUpdateID: 1})
		defer srv.Close()
		people := []apitest.User{srv.User("Ana"), srv.User("Ben")}
		type waiting struct {
			id   int64
			text string
			at   time.Time
		}
		var model []waiting
		next := int64(1)
		lastOffset, lastPoll := int64(0), time.Time{}
		poll := func(offset int64, limit int) []update {
			body, err := json.Marshal(fields{"offset": offset, "limit": limit})
			if err != nil {
				t.Fatal(err)
			}
			req := httptest.NewRequest(http.MethodPost, "/bot"+srv.Token()+"/getUpdates", bytes.NewReader(body))
			req.Header.Set("Content-Type", "application/json")
			w := httptest.NewRecorder()
			srv.ServeHTTP(w, req)
			var a answer
			var list []update
			if json.Unmarshal(w.Body.Bytes(), &a) != nil || !a.OK || json.Unmarshal(a.Result, &list) != nil {
				t.Fatalf("%s", w.Body)
			}
			return list
		}
		t.Repeat(map[string]func(*rapid.T){
			"say": func(t *rapid.T) {
				u := rapid.SampledFrom(people).Draw(t, "who")
				text := fmt.Sprint(next)
				srv.Private(u).Say(u, text)
				model = append(model, waiting{next, text, clk.now()})
				next++
			},
			"pass": func(t *rapid.T) {
				clk.pass(rapid.SampledFrom([]time.Duration{100 * time.Millisecond, time.Second, 11 * time.Hour}).Draw(t, "time"))
			},
			"poll": func(t *rapid.T) {
				offset := rapid.Int64Range(-3, next+12).Draw(t, "offset")
				limit := rapid.IntRange(1, 4).Draw(t, "limit")
				var kept []waiting
				for _, w := range model {
					if clk.now().Sub(w.at) < 24*time.Hour && (offset < 0 || offset > next+10 || w.id >= offset) {
						kept = append(kept, w)
					}
				}
				if n := len(kept) + int(offset); offset < 0 && n > 0 {
					kept = kept[n:]
				}
				model = kept
				most := limit
				if offset == lastOffset && !lastPoll.IsZero() && clk.now().Sub(lastPoll) < 500*time.Millisecond {
					most = 1
				}
				lastOffset, lastPoll = offset, clk.now()
				want := model[:min(most, len(model))]
				got := poll(offset, limit)
				if len(got) != len(want) || srv.Pending() != len(model) {
					t.Fatalf("offset %d limit %d: got %+v, want %+v; pending %d, want %d", offset, limit, got, want, srv.Pending(), len(model))
				}
				for i, u := range got {
					if u.ID != want[i].id || u.Message.Text != want[i].text {
						t.Fatalf("offset %d limit %d: got %+v, want %+v", offset, limit, got, want)
					}
				}
			},
		})
	})
}

// FuzzRequests sends any bytes: the answer is always in the Bot API's form, a
// refusal is recorded as one, and the server goes on.
func FuzzRequests(f *testing.F) {
	kind, body := form(f, map[string]string{"chat_id": "700001", "caption": "c"}, map[string][]byte{"photo": picture(f, 8, 8)})
	f.Add("sendPhoto", kind, body)
	f.Add("sendMessage", "application/json", []byte(`{"chat_id":700001,"text":"<b>a</b>","parse_mode":"HTML","reply_markup":{"keyboard":[["a",{"text":"b"}]]}}`))
	f.Add("sendMessage", "application/json", []byte(`{"chat_id":700001,"text":"a","entities":[{"type":"bold","offset":0,"length":1}],"reply_parameters":{"message_id":1}}`))
	f.Add("editMessageMedia", "application/json", []byte(`{"chat_id":700001,"message_id":2,"media":{"type":"photo","media":"x"}}`))
	f.Add("editMessageText", "application/json", []byte(`{"chat_id":700001,"message_id":2,"text":"b","reply_markup":{"inline_keyboard":[[{"text":"a","url":"https://t.me/x?start=a"}]]}}`))
	f.Add("setMessageReaction", "application/x-www-form-urlencoded", []byte(`chat_id=700001&message_id=1&reaction=[{"type":"emoji","emoji":"👍"}]`))
	f.Add("setMyCommands", "application/json", []byte(`{"commands":[{"command":"a","description":"b"}],"scope":{"type":"chat","chat_id":700001}}`))
	f.Add("setWebhook", "application/json", []byte(`{"url":"https://bot.example.org"}`))
	f.Add("getUpdates", "application/json", []byte(`{"offset":-1,"allowed_updates":["message"]}`))
	f.Fuzz(func(t *testing.T, method, kind string, body []byte) {
		srv := apitest.NewUnstarted(apitest.Config{})
		defer srv.Close()
		ana := srv.User("Ana")
		srv.Private(ana).Say(ana, "/start")
		if bytes.Contains(body, []byte("timeout")) {
			return // it may wait for as long as that says
		}
		send := func(method, kind string, body []byte) (int, answer) {
			req := httptest.NewRequest(http.MethodPost, "/", bytes.NewReader(body))
			req.URL.Path = "/bot" + srv.Token() + "/" + method
			req.Header.Set("Content-Type", kind)
			w := httptest.NewRecorder()
			srv.ServeHTTP(w, req)
			var a answer
			if err := json.Unmarshal(w.Body.Bytes(), &a); err != nil || a.OK != (w.Code == 200) {
				t.Fatalf("%d %q: %v", w.Code, w.Body, err)
			}
			return w.Code, a
		}
		send("sendMessage", "application/json", []byte(`{"chat_id":700001,"text":"first"}`))
		code, a := send(method, kind, body)
		if code != 200 && (a.Description == "" || a.ErrorCode != code) {
			t.Errorf("refused with %d %+v", code, a)
		}
		if blamed := len(srv.Faults()) > 0; code != 200 && code != 429 && code != 409 && !blamed {
			t.Errorf("%d %s is recorded as no fault", code, a.Description)
		}
		if _, a := send("getMe", "", nil); !a.OK && a.Description != "Logged out" {
			t.Errorf("after it: %+v", a)
		}
	})
}
