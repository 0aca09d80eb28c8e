package apitest_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"slices"
	"testing"
	"time"

	"rodcall/bot/apitest"
)

func TestInjectedTrouble(t *testing.T) {
	srv := start(t, apitest.Config{})
	_, c := private(t, srv)
	other := srv.Group("Pad 4", srv.User("Ben"))
	send := fields{"chat_id": c.ID(), "text": "x"}
	count := func() int { return len(c.FromBot()) }

	srv.Inject(apitest.Trouble{Kind: apitest.CutBefore, Method: "sendMessage", ChatID: c.ID(), Skip: 1, Times: 2})
	must(t, srv, "sendMessage", send)
	must(t, srv, "sendMessage", fields{"chat_id": other.ID(), "text": "x"})
	must(t, srv, "getMe", nil)
	for range 2 {
		if a, err := try(srv, "sendMessage", send); err == nil {
			t.Errorf("not cut: %+v", a)
		}
	}
	must(t, srv, "sendMessage", send)
	if count() != 2 {
		t.Errorf("cut before acceptance, and %d messages instead of 2", count())
	}

	srv.Inject(apitest.Trouble{Kind: apitest.CutAfter})
	if a, err := try(srv, "sendMessage", send); err == nil {
		t.Errorf("not cut: %+v", a)
	}
	if count() != 3 {
		t.Errorf("cut after acceptance, and %d messages instead of 3", count())
	}

	// A client that runs out of time has its message sent all the same.
	srv.Inject(apitest.Trouble{Kind: apitest.CutAfter, Delay: time.Minute})
	impatient := http.Client{Timeout: 300 * time.Millisecond}
	if resp, err := impatient.Get(fmt.Sprintf("%s/bot%s/sendMessage?chat_id=%d&text=late", srv.URL(), srv.Token(), c.ID())); err == nil {
		_ = resp.Body.Close()
		t.Errorf("answered within the minute: %s", resp.Status)
	}
	ctx, stop := context.WithTimeout(t.Context(), 20*time.Second)
	defer stop()
	if err := srv.Wait(ctx, func() bool { return count() == 4 }); err != nil {
		t.Errorf("timed out after acceptance, and %d messages instead of 4", count())
	}

	srv.Inject(apitest.Trouble{Kind: apitest.TooMany, RetryAfter: 9, Times: -1})
	for range 3 {
		if a := refused(t, srv, "sendMessage", send, 429, "retry after 9"); a.Parameters.RetryAfter != 9 {
			t.Errorf("retry_after: %+v", a.Parameters)
		}
	}
	if count() != 4 {
		t.Errorf("429, and %d messages instead of 4", count())
	}
	if f := srv.Faults(); len(f) > 0 {
		t.Errorf("trouble is no fault of the bot's: %+v", f)
	}
	var names []string
	for _, r := range srv.Requests("sendMessage") {
		names = append(names, fmt.Sprintf("%s%v%d", r.Trouble, r.Accepted, r.Status))
	}
	want := []string{"true200", "true200", "cut beforefalse0", "cut beforefalse0", "true200", "cut aftertrue0", "cut aftertrue0",
		"too manyfalse429", "too manyfalse429", "too manyfalse429"}
	if !slices.Equal(names, want) {
		t.Errorf("recorded %q, want %q", names, want)
	}
}

func TestServerErrorAndDelay(t *testing.T) {
	srv := start(t, apitest.Config{})
	_, c := private(t, srv)
	srv.Inject(apitest.Trouble{Kind: apitest.ServerError, Status: 504}, apitest.Trouble{Kind: apitest.Slow, Delay: 60 * time.Millisecond})
	resp, err := http.Post(srv.URL()+"/bot"+srv.Token()+"/sendMessage", "application/json",
		bytes.NewReader([]byte(fmt.Sprintf(`{"chat_id":%d,"text":"x"}`, c.ID()))))
	if err != nil {
		t.Fatal(err)
	}
	body, err := io.ReadAll(resp.Body)
	_ = resp.Body.Close()
	if err != nil || resp.StatusCode != 504 || json.Valid(body) || !bytes.Contains(body, []byte(srv.Token())) {
		t.Errorf("server error: %d %q %v; want 504, no JSON, with the path in it", resp.StatusCode, body, err)
	}
	if len(c.FromBot()) != 0 {
		t.Error("a failed request took effect")
	}
	began := time.Now()
	must(t, srv, "sendMessage", fields{"chat_id": c.ID(), "text": "x"})
	if took := time.Since(began); took < 60*time.Millisecond {
		t.Errorf("a delay of 60 ms took %v", took)
	}
	srv.SetDown(true)
	if a, err := try(srv, "getMe", nil); err == nil {
		t.Errorf("down, and answered: %+v", a)
	}
	srv.SetDown(false)
	must(t, srv, "getMe", nil)
}

// strikes are what a schedule does to a hundred sends.
func strikes(t *testing.T, seed uint64) []string {
	srv := start(t, apitest.Config{})
	_, c := private(t, srv)
	srv.Schedule(apitest.Schedule{Seed: seed, ServerError: 0.1, TooMany: 0.1, CutBefore: 0.1, CutAfter: 0.1})
	for i := range 100 {
		_, _ = try(srv, "sendMessage", fields{"chat_id": c.ID(), "text": fmt.Sprint(i)})
	}
	var list []string
	accepted := 0
	for _, r := range srv.Requests("sendMessage") {
		list = append(list, r.Trouble)
		if r.Accepted {
			accepted++
		}
	}
	if n := len(c.FromBot()); n != accepted {
		t.Errorf("%d messages, %d accepted", n, accepted)
	}
	return list
}

func TestScheduleGoesByItsSeed(t *testing.T) {
	first, again, other := strikes(t, 1), strikes(t, 1), strikes(t, 2)
	if !slices.Equal(first, again) {
		t.Error("the same seed, another schedule")
	}
	if slices.Equal(first, other) {
		t.Error("another seed, the same schedule")
	}
	counts := make(map[string]int)
	for _, name := range first {
		counts[name]++
	}
	// By chance 10 of 100 each; fixed by the seed.
	for _, kind := range []apitest.TroubleKind{apitest.ServerError, apitest.TooMany, apitest.CutBefore, apitest.CutAfter} {
		if n := counts[string(kind)]; n < 3 || n > 20 {
			t.Errorf("%s struck %d times of 100", kind, n)
		}
	}
	if counts[string(apitest.Slow)] != 0 {
		t.Error("slow, which was not scheduled")
	}
}

func TestScheduledUpdates(t *testing.T) {
	clk := newClock()
	srv := start(t, apitest.Config{Now: clk.now})
	ana, ben := srv.User("Ana"), srv.User("Ben")
	a, b := srv.Private(ana), srv.Private(ben)
	var said []string
	say := func() {
		for i := range 10 {
			a.Say(ana, fmt.Sprint("a", i))
			b.Say(ben, fmt.Sprint("b", i))
		}
	}
	for i := range 10 {
		said = append(said, fmt.Sprint("a", i), fmt.Sprint("b", i))
	}
	drain := func() (got []string) {
		for {
			clk.pass(time.Second)
			list := poll(t, srv, fields{})
			if len(list) == 0 {
				return got
			}
			got = append(got, texts(list)...)
			last := int64(0)
			for _, u := range list {
				last = max(last, u.ID)
			}
			poll(t, srv, fields{"offset": last + 1, "limit": 1})
		}
	}
	lane := func(list []string, of byte) (out []string) {
		for _, s := range list {
			if s[0] == of {
				out = append(out, s)
			}
		}
		return out
	}
	sorted := slices.Sorted(slices.Values(said))

	srv.Schedule(apitest.Schedule{Seed: 1, ShuffleChats: true})
	say()
	got := drain()
	if slices.Equal(got, said) || !slices.Equal(lane(got, 'a'), sorted[:10]) || !slices.Equal(lane(got, 'b'), sorted[10:]) {
		t.Errorf("shuffled among chats: %q", got)
	}

	srv.Schedule(apitest.Schedule{Seed: 1, ShuffleAll: true})
	say()
	if got = drain(); slices.Equal(lane(got, 'a'), sorted[:10]) || !slices.Equal(slices.Sorted(slices.Values(got)), sorted) {
		t.Errorf("shuffled throughout: %q", got)
	}

	srv.Schedule(apitest.Schedule{Seed: 1, RepeatUpdates: 1})
	say()
	if got = drain(); len(got) != 40 || !slices.Equal(slices.Compact(slices.Sorted(slices.Values(got))), sorted) {
		t.Errorf("all repeated: %q", got)
	}

	srv.Schedule(apitest.Schedule{Seed: 1, JumpIDs: 1, RepeatTaps: 1})
	a.Say(ana, "x")
	a.Forge(ana, 1, "d")
	clk.pass(time.Second)
	list := poll(t, srv, fields{})
	if len(list) != 3 || list[1].ID == list[0].ID+1 || list[1].Query == nil || list[2].Query == nil || list[1].Query.ID == list[2].Query.ID {
		t.Errorf("jumped and repeated: %+v", list)
	}
}

func TestRates(t *testing.T) {
	clk := newClock()
	srv := start(t, apitest.Config{Now: clk.now})
	_, c := private(t, srv)
	g := srv.Group("Pad 4", srv.User("Ben"))
	send := func(c *apitest.Chat) answer {
		return ask(t, srv, "sendMessage", fields{"chat_id": c.ID(), "text": "x"})
	}
	// upTo sends until it is refused.
	upTo := func(c *apitest.Chat) (int, int) {
		for n := 0; ; n++ {
			if a := send(c); !a.OK {
				if a.ErrorCode != 429 {
					t.Fatalf("%+v", a)
				}
				return n, a.Parameters.RetryAfter
			}
		}
	}
	srv.SetRates(apitest.Rates{ChatPerSecond: 1, ChatBurst: 3})
	if n, wait := upTo(c); n != 3 || wait != 1 {
		t.Errorf("a burst of %d, wait %d; want 3 and 1", n, wait)
	}
	clk.pass(999 * time.Millisecond)
	if a := send(c); a.OK {
		t.Error("sent after 0.999 s")
	}
	if !send(g).OK {
		t.Error("one chat's rate holds another's up")
	}
	must(t, srv, "sendChatAction", fields{"chat_id": c.ID(), "action": "typing"})
	clk.pass(time.Millisecond)
	if n, _ := upTo(c); n != 1 {
		t.Errorf("%d a second, want 1", n)
	}

	srv.SetRates(apitest.Rates{GroupPerMinute: 20})
	if n, wait := upTo(g); n != 20 || wait != 60 {
		t.Errorf("in a group %d, wait %d; want 20 and 60", n, wait)
	}
	clk.pass(500 * time.Millisecond)
	if a := send(g); a.Parameters.RetryAfter != 60 {
		t.Errorf("after half a second the wait is %d, want 59.5 s in whole ones: 60", a.Parameters.RetryAfter)
	}
	for range 25 {
		if !send(c).OK {
			t.Fatal("a private chat is held to a group's rate")
		}
	}
	clk.pass(time.Minute)
	if !send(g).OK {
		t.Error("not sent after a minute")
	}

	srv.SetRates(apitest.Rates{TotalPerSecond: 30})
	if n, wait := upTo(c); n != 30 || wait != 1 {
		t.Errorf("in all %d, wait %d; want 30 and 1", n, wait)
	}
	if a := ask(t, srv, "editMessageText", fields{"chat_id": c.ID(), "message_id": 3, "text": "y"}); a.ErrorCode != 429 {
		t.Errorf("an edit does not count: %+v", a)
	}
	if len(srv.Faults()) > 0 {
		t.Errorf("faults: %+v", srv.Faults())
	}
	srv.SetRates(apitest.Rates{})
	if !send(c).OK {
		t.Error("rates are off, and it is refused")
	}
	if r := apitest.PlatformRates(); r.GroupPerMinute != 20 || r.TotalPerSecond != 30 || r.ChatPerSecond != 1 {
		t.Errorf("the platform's rates: %+v", r)
	}
}
