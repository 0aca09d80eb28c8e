package apitest_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"rodcall/bot/apitest"
)

// The rules are those of https://core.telegram.org/bots/api#getupdates.

func TestOffsetConfirmsWhatIsBelow(t *testing.T) {
	clk := newClock()
	srv := start(t, apitest.Config{Now: clk.now})
	u, c := private(t, srv)
	for i := range 5 {
		c.Say(u, fmt.Sprint(i))
	}
	all := poll(t, srv, fields{})
	if got := texts(all); !slices.Equal(got, []string{"0", "1", "2", "3", "4"}) {
		t.Fatalf("got %q", got)
	}
	for i, up := range all {
		if up.ID != all[0].ID+int64(i) {
			t.Fatalf("update ids are not sequential: %+v", all)
		}
	}
	clk.pass(time.Second)
	if got := texts(poll(t, srv, fields{"limit": 2})); !slices.Equal(got, []string{"0", "1"}) {
		t.Errorf("a poll confirmed without an offset, or limit is not kept: %q", got)
	}
	if got := texts(poll(t, srv, fields{"offset": all[2].ID})); !slices.Equal(got, []string{"2", "3", "4"}) {
		t.Errorf("offset of the third: %q", got)
	}
	clk.pass(time.Second)
	if got := texts(poll(t, srv, fields{"offset": 0})); !slices.Equal(got, []string{"2", "3", "4"}) {
		t.Errorf("what was confirmed came again: %q", got)
	}
	if got := texts(poll(t, srv, fields{"offset": -1})); !slices.Equal(got, []string{"4"}) {
		t.Errorf("offset -1: %q", got)
	}
	if srv.Pending() != 1 {
		t.Errorf("a negative offset forgets those before: %d pending", srv.Pending())
	}
	clk.pass(time.Second)
	// From the server's published source: an offset that cannot be is answered
	// from the start, and confirms nothing.
	if got := texts(poll(t, srv, fields{"offset": all[4].ID + 1000})); !slices.Equal(got, []string{"4"}) {
		t.Errorf("offset far ahead: %q", got)
	}
	poll(t, srv, fields{"offset": all[4].ID + 1})
	if srv.Pending() != 0 {
		t.Errorf("%d pending after the last was confirmed", srv.Pending())
	}
	if f := srv.Faults(); len(f) > 0 {
		t.Errorf("faults: %+v", f)
	}
}

func TestSameOffsetWithinHalfASecondGetsOneUpdate(t *testing.T) {
	clk := newClock()
	srv := start(t, apitest.Config{Now: clk.now})
	u, c := private(t, srv)
	c.Say(u, "a")
	c.Say(u, "b")
	clk.pass(time.Second)
	if n := len(poll(t, srv, fields{})); n != 2 {
		t.Fatalf("first poll: %d updates", n)
	}
	clk.pass(499 * time.Millisecond)
	if n := len(poll(t, srv, fields{})); n != 1 {
		t.Errorf("the same offset after 0.499 s: %d updates, want 1", n)
	}
	clk.pass(500 * time.Millisecond)
	if n := len(poll(t, srv, fields{})); n != 2 {
		t.Errorf("the same offset after 0.5 s: %d updates, want 2", n)
	}
}

func TestUpdatesExpire(t *testing.T) {
	clk := newClock()
	srv := start(t, apitest.Config{Now: clk.now})
	u, c := private(t, srv)
	id := sent(t, must(t, srv, "sendMessage", fields{"chat_id": c.ID(), "text": "?", "reply_markup": fields{
		"inline_keyboard": [][]fields{{{"text": "Yes", "callback_data": "y"}}}}}))
	c.Say(u, "old")
	if _, err := c.Tap(u, id, "Yes"); err != nil {
		t.Fatal(err)
	}
	clk.pass(150 * time.Second)
	if list := poll(t, srv, fields{}); len(list) != 1 || list[0].Query != nil {
		t.Errorf("a tap outlived 150 s: %+v", list)
	}
	clk.pass(24*time.Hour - 151*time.Second)
	if got := texts(poll(t, srv, fields{})); !slices.Equal(got, []string{"old"}) {
		t.Errorf("a second before 24 h: %q", got)
	}
	clk.pass(time.Second)
	if got := texts(poll(t, srv, fields{})); len(got) != 0 {
		t.Errorf("after 24 h: %q", got)
	}
}

func TestUpdateIDsAfterAWeek(t *testing.T) {
	clk := newClock()
	srv := start(t, apitest.Config{Now: clk.now, Seed: 3})
	u, c := private(t, srv)
	c.Say(u, "a")
	first := poll(t, srv, fields{})[0].ID
	clk.pass(7 * 24 * time.Hour)
	c.Say(u, "b")
	list := poll(t, srv, fields{"offset": first + 1})
	if len(list) != 1 || list[0].ID == first+1 {
		t.Errorf("after a week the next id is not by chance: %d then %+v", first, list)
	}
	if srv.JumpUpdateID(5) {
		t.Error("jumped back with an update pending")
	}
	poll(t, srv, fields{"offset": list[0].ID + 1})
	if !srv.JumpUpdateID(5) {
		t.Fatal("did not jump back with nothing pending")
	}
	c.Say(u, "c")
	// A bot that still asks by its old offset is answered, and confirms nothing.
	if got := poll(t, srv, fields{"offset": list[0].ID + 1}); len(got) != 1 || got[0].ID != 5 {
		t.Errorf("after a jump back: %+v", got)
	}
}

func TestAllowedUpdatesAreRemembered(t *testing.T) {
	clk := newClock()
	srv := start(t, apitest.Config{Now: clk.now})
	u, c := private(t, srv)
	only := func(f fields, want ...string) {
		t.Helper()
		clk.pass(time.Second)
		poll(t, srv, f)
		id := c.Say(u, "said")
		if err := c.Edit(u, id, "edited"); err != nil {
			t.Fatal(err)
		}
		c.React(u, id, "👍")
		clk.pass(time.Second)
		var got []string
		list := poll(t, srv, fields{})
		for _, up := range list {
			switch {
			case up.Message != nil:
				got = append(got, "message")
			case up.Edited != nil:
				got = append(got, "edited_message")
			case up.Reaction != nil:
				got = append(got, "message_reaction")
			}
		}
		if !slices.Equal(got, want) {
			t.Errorf("after %v: got %q, want %q", f, got, want)
		}
		poll(t, srv, fields{"offset": list[len(list)-1].ID + 1})
	}
	only(fields{}, "message", "edited_message")
	only(fields{"allowed_updates": []string{"message", "message_reaction"}}, "message", "message_reaction")
	only(fields{}, "message", "message_reaction")
	only(fields{"allowed_updates": []string{"edited_message"}}, "edited_message")
	only(fields{"allowed_updates": []string{}}, "message", "edited_message")
	refused(t, srv, "getUpdates", fields{"allowed_updates": []string{"messages"}}, 400, "messages")
	// The platform cuts what is out of range; a fault all the same.
	for i, f := range []fields{{"limit": 0}, {"limit": 101}, {"timeout": -1}} {
		poll(t, srv, f)
		if n := len(srv.Faults()); n != 2+i {
			t.Errorf("after %v: %d faults, want %d", f, n, 2+i)
		}
	}
}

// background begins a poll and returns when it waits.
func background(t *testing.T, srv *apitest.Server, f fields) <-chan answer {
	t.Helper()
	got := make(chan answer, 1)
	go func() {
		a, err := try(srv, "getUpdates", f)
		if err != nil {
			a.Description = err.Error()
		}
		got <- a
	}()
	ctx, stop := context.WithTimeout(t.Context(), 20*time.Second)
	defer stop()
	if err := srv.Wait(ctx, srv.Polling); err != nil {
		t.Fatal(err)
	}
	return got
}

func TestLongPollWaits(t *testing.T) {
	srv := start(t, apitest.Config{})
	u, c := private(t, srv)
	got := background(t, srv, fields{"timeout": 50, "offset": 1})
	c.Say(u, "now")
	if list := result[[]update](t, <-got); len(list) != 1 || list[0].Message.Text != "now" {
		t.Errorf("got %+v", list)
	}
	if srv.Polling() {
		t.Error("a poll waits after its answer")
	}
	began := time.Now()
	if list := poll(t, srv, fields{"timeout": 1, "offset": result[[]update](t, must(t, srv, "getUpdates", nil))[0].ID + 1}); len(list) != 0 {
		t.Errorf("got %+v", list)
	}
	if took := time.Since(began); took < time.Second {
		t.Errorf("a poll with nothing to give took %v of its second", took)
	}
}

func TestSecondPollerEndsTheFirst(t *testing.T) {
	srv := start(t, apitest.Config{})
	u, c := private(t, srv)
	first := background(t, srv, fields{"timeout": 50, "offset": 1})
	second := make(chan answer, 1)
	go func() { second <- ask(t, srv, "getUpdates", fields{"timeout": 50, "offset": 1}) }()
	if a := <-first; a.ErrorCode != 409 || !strings.Contains(a.Description, "terminated by other getUpdates request") {
		t.Fatalf("the older poll: %+v, want 409", a)
	}
	c.Say(u, "to the one left")
	if a := <-second; !a.OK || len(result[[]update](t, a)) != 1 {
		t.Errorf("the newer poll: %+v", a)
	}
	if f := srv.Faults(); len(f) > 0 {
		t.Errorf("409 is no fault of the one who gets it: %+v", f)
	}
}
