package apitest_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"

	"rodcall/bot/apitest"
)

// A bot that answers one message, as a bot in another process would.
func Example() {
	srv := apitest.New(apitest.Config{})
	defer srv.Close()

	ana := srv.User("Ana")
	chat := srv.Private(ana)
	chat.Say(ana, "1.20")

	call := func(method, body string) json.RawMessage {
		resp, err := http.Post(srv.URL()+"/bot"+srv.Token()+"/"+method, "application/json", bytes.NewReader([]byte(body)))
		if err != nil {
			panic(err)
		}
		defer func() { _ = resp.Body.Close() }()
		var answer struct{ Result json.RawMessage }
		if err := json.NewDecoder(resp.Body).Decode(&answer); err != nil {
			panic(err)
		}
		return answer.Result
	}
	var updates []struct {
		Message struct {
			Text string
			Chat struct{ ID int64 }
		}
	}
	if err := json.Unmarshal(call("getUpdates", `{"timeout": 10}`), &updates); err != nil {
		panic(err)
	}
	for _, u := range updates {
		call("sendMessage", fmt.Sprintf(`{"chat_id": %d, "text": "Heard %s"}`, u.Message.Chat.ID, u.Message.Text))
	}

	fmt.Print(chat.Screen())
	fmt.Println(len(srv.Faults()), "faults")
	// Output:
	// Ana: 1.20
	// Stand-in: Heard 1.20
	// 0 faults
}
