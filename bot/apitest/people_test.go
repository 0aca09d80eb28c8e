package apitest_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"rodcall/bot/apitest"
)

// What privacy mode lets through:
// https://core.telegram.org/bots/features#privacy-mode
func TestPrivacyModeHidesWhatIsSaidInGroups(t *testing.T) {
	for _, test := range []struct {
		name   string
		change func(srv *apitest.Server, c *apitest.Chat, owner apitest.User)
		want   []string
	}{
		{"on", func(*apitest.Server, *apitest.Chat, apitest.User) {}, []string{"/level", "/level@Stand_In_Bot 3", "yes"}},
		{"off", func(srv *apitest.Server, _ *apitest.Chat, _ apitest.User) { srv.SetPrivacy(false) },
			[]string{"hello", "/level", "/level@other_bot", "/level@Stand_In_Bot 3", "see /level", "yes", "no"}},
		{"administrator", func(srv *apitest.Server, c *apitest.Chat, owner apitest.User) { c.Promote(owner, srv.Bot()) },
			[]string{"hello", "/level", "/level@other_bot", "/level@Stand_In_Bot 3", "see /level", "yes", "no"}},
	} {
		clk := newClock()
		srv := start(t, apitest.Config{Now: clk.now})
		ana, ben := srv.User("Ana"), srv.User("Ben")
		c := srv.Group("Pad 4", ana, ben)
		test.change(srv, c, ana)
		list := poll(t, srv, fields{})
		if len(list) == 0 || list[0].MyMember == nil {
			t.Fatalf("%s: the bot is not told that it was added: %+v", test.name, list)
		}
		poll(t, srv, fields{"offset": list[len(list)-1].ID + 1})
		mine := sent(t, must(t, srv, "sendMessage", fields{"chat_id": c.ID(), "text": "which?"}))
		hello := c.Say(ana, "hello")
		for _, text := range []string{"/level", "/level@other_bot", "/level@Stand_In_Bot 3", "see /level"} {
			c.Say(ben, text)
		}
		c.Reply(ben, mine, "yes")
		c.Reply(ben, hello, "no")
		clk.pass(time.Second)
		if got := texts(poll(t, srv, fields{})); !slices.Equal(got, test.want) {
			t.Errorf("privacy %s: got %q, want %q", test.name, got, test.want)
		}
		if me := result[map[string]any](t, must(t, srv, "getMe", nil)); me["can_read_all_group_messages"] != (test.name == "off") {
			t.Errorf("privacy %s: getMe says %v", test.name, me)
		}
		if f := srv.Faults(); len(f) > 0 {
			t.Errorf("privacy %s: faults %+v", test.name, f)
		}
	}
}

func TestTopicsAndThreads(t *testing.T) {
	clk := newClock()
	srv := start(t, apitest.Config{Now: clk.now, ReadsAll: true})
	ana := srv.User("Ana")
	plain, forum := srv.Group("Plain", ana), srv.Group("Forum", ana)
	footings := forum.OpenTopic(ana, "Footings")
	in := footings.Say(ana, "in the topic")
	forum.Say(ana, "outside")
	first := plain.Say(ana, "first")
	plain.Reply(ana, first, "a reply")
	seen := make(map[string]update)
	for _, u := range poll(t, srv, fields{}) {
		if u.Message != nil {
			seen[u.Message.Text] = u
		}
	}
	if m := seen["in the topic"].Message; m == nil || m.Thread != footings.Topic() || !m.InTopic {
		t.Errorf("in the topic: %+v", m)
	}
	if m := seen["outside"].Message; m == nil || m.Thread != 0 || m.InTopic {
		t.Errorf("outside of topics: %+v", m)
	}
	// Supergroups without topics stamp replies all the same.
	if m := seen["a reply"].Message; m == nil || m.Thread != first || m.InTopic || m.ReplyTo == nil || m.ReplyTo.ID != first {
		t.Errorf("a reply in a plain supergroup: %+v", m)
	}
	must(t, srv, "sendMessage", fields{"chat_id": forum.ID(), "message_thread_id": footings.Topic(), "text": "here"})
	must(t, srv, "sendMessage", fields{"chat_id": forum.ID(), "reply_parameters": fields{"message_id": in}, "text": "there"})
	must(t, srv, "sendMessage", fields{"chat_id": forum.ID(), "text": "elsewhere"})
	refused(t, srv, "sendMessage", fields{"chat_id": plain.ID(), "message_thread_id": first, "text": "x"}, 400, "message thread not found")
	var got []string
	for _, m := range footings.FromBot() {
		got = append(got, m.Text)
	}
	if !slices.Equal(got, []string{"here", "there"}) {
		t.Errorf("in the topic stand %q", got)
	}
}

func TestKeyboardsAndForcedReplies(t *testing.T) {
	clk := newClock()
	srv := start(t, apitest.Config{Now: clk.now})
	ana, ben := srv.User("Ana"), srv.User("Ben")
	c := srv.Group("Pad 4", ana, ben)
	asked := c.Say(ana, "/level")
	keys := fields{"keyboard": [][]any{{"1.20", fields{"text": "1.25"}}}, "selective": true, "one_time_keyboard": true}
	with := sent(t, must(t, srv, "sendMessage", fields{"chat_id": c.ID(), "text": "Reading?", "reply_markup": keys,
		"reply_parameters": fields{"message_id": asked}}))
	if got := c.Keyboard(ana); len(got) != 1 || !slices.Equal(got[0], []string{"1.20", "1.25"}) {
		t.Fatalf("Ana's keys: %q", got)
	}
	if got := c.Keyboard(ben); got != nil {
		t.Errorf("a selective keyboard shows for the other: %q", got)
	}
	if _, err := c.Press(ana, "9"); err == nil {
		t.Error("pressed a key that is not there")
	}
	if _, err := c.Press(ben, "1.20"); err == nil {
		t.Error("pressed another's key")
	}
	pressed, err := c.Press(ana, "1.25")
	if err != nil {
		t.Fatal(err)
	}
	if got := c.Keyboard(ana); got != nil {
		t.Errorf("a keyboard for one use stays: %q", got)
	}
	must(t, srv, "sendMessage", fields{"chat_id": c.ID(), "text": "Name?", "reply_markup": fields{"force_reply": true}})
	c.Say(ben, "B3")
	c.Say(ben, "not to the bot")
	list := poll(t, srv, fields{})
	if got := texts(list); !slices.Equal(got, []string{"", "/level", "1.25", "B3"}[1:]) {
		t.Fatalf("the bot was sent %q", got)
	}
	for _, u := range list {
		if u.Message != nil && u.Message.ID == pressed && (u.Message.ReplyTo == nil || u.Message.ReplyTo.ID != with) {
			t.Errorf("a key in a group does not reply to its keyboard: %+v", u.Message)
		}
	}
	must(t, srv, "sendMessage", fields{"chat_id": c.ID(), "text": "all", "reply_markup": fields{"keyboard": [][]string{{"a"}}}})
	if c.Keyboard(ana) == nil || c.Keyboard(ben) == nil {
		t.Error("a keyboard for all is not with all")
	}
	must(t, srv, "sendMessage", fields{"chat_id": c.ID(), "text": "gone", "reply_markup": fields{"remove_keyboard": true}})
	if c.Keyboard(ana) != nil || c.Keyboard(ben) != nil {
		t.Error("a removed keyboard stays")
	}
}

func TestTapsAndEdits(t *testing.T) {
	clk := newClock()
	srv := start(t, apitest.Config{Now: clk.now})
	ana, c := private(t, srv)
	id := sent(t, must(t, srv, "sendMessage", fields{"chat_id": c.ID(), "text": "Sure?", "reply_markup": buttons(
		fields{"text": "Yes", "callback_data": "y.1"}, fields{"text": "Site", "url": "https://example.org"})}))
	for _, wrong := range []string{"No", "Site", ""} {
		if _, err := c.Tap(ana, id, wrong); err == nil {
			t.Errorf("tapped %q", wrong)
		}
	}
	query, err := c.Tap(ana, id, "Yes")
	if err != nil {
		t.Fatal(err)
	}
	if !srv.TapAgain(query) {
		t.Fatal("the tap is not there to be repeated")
	}
	list := poll(t, srv, fields{})
	if len(list) != 2 || list[0].Query.ID != query || list[1].Query.ID == query || list[1].ID == list[0].ID ||
		list[0].Query.Data != "y.1" || list[1].Query.Data != "y.1" {
		t.Fatalf("a tap and its repetition: %+v", list)
	}
	must(t, srv, "answerCallbackQuery", fields{"callback_query_id": query, "text": strings.Repeat("x", 200), "show_alert": true})
	refused(t, srv, "answerCallbackQuery", fields{"callback_query_id": query, "text": strings.Repeat("x", 201)}, 400, "MESSAGE_TOO_LONG")
	taps := srv.Taps()
	if len(taps) != 2 || !taps[0].Answered || len(taps[0].Answer) != 200 || !taps[0].Alert || taps[1].Answered {
		t.Errorf("taps: %+v", taps)
	}
	clk.pass(151 * time.Second)
	refused(t, srv, "answerCallbackQuery", fields{"callback_query_id": list[1].Query.ID}, 400, "query is too old")

	must(t, srv, "editMessageText", fields{"chat_id": c.ID(), "message_id": id, "text": "Sure."})
	if m := c.FromBot()[0]; m.Text != "Sure." || m.Buttons != nil || m.Edited.IsZero() {
		t.Errorf("after the edit: %+v", m)
	}
	if _, err := c.Tap(ana, id, "Yes"); err == nil {
		t.Error("tapped a button that was edited away")
	}
	c.Forge(ana, id, "y.1")
	must(t, srv, "editMessageReplyMarkup", fields{"chat_id": c.ID(), "message_id": id, "reply_markup": buttons(fields{"text": "Back", "callback_data": "b"})})
	if m := c.FromBot()[0]; m.Text != "Sure." || m.Buttons[0][0] != (apitest.Button{Text: "Back", Data: "b"}) {
		t.Errorf("after the keyboard's edit: %+v", m)
	}
	must(t, srv, "setMessageReaction", fields{"chat_id": c.ID(), "message_id": c.Messages()[0].ID, "reaction": []fields{{"type": "emoji", "emoji": "👌"}}})
	if m := c.Messages()[0]; m.Reaction != "👌" {
		t.Errorf("reaction: %+v", m)
	}
	must(t, srv, "deleteMessage", fields{"chat_id": c.ID(), "message_id": id})
	if n := len(c.FromBot()); n != 0 {
		t.Errorf("%d messages of the bot after deletion", n)
	}
	c.Forge(ana, id, "b")
	if last := poll(t, srv, fields{"offset": list[1].ID + 1}); len(last) != 2 {
		t.Errorf("forged taps: %+v", last)
	}
}

func TestPeopleEditAndSendOtherThings(t *testing.T) {
	srv := start(t, apitest.Config{})
	ana, c := private(t, srv)
	id := c.Say(ana, "1.20")
	if err := c.Edit(ana, id, "1.25"); err != nil {
		t.Fatal(err)
	}
	if err := c.Edit(ana, id+50, "1.25"); err == nil {
		t.Error("edited what is not there")
	}
	voice := []byte("OggS and so on")
	c.Voice(ana, voice)
	c.Send(ana, map[string]any{"location": map[string]any{"latitude": 1.5, "longitude": 2.5}})
	if err := srv.Deliver([]byte(`{"purchased_paid_media":{"x":1}}`)); err != nil {
		t.Fatal(err)
	}
	if err := srv.Deliver([]byte(`[1`)); err == nil {
		t.Error("took what is no JSON")
	}
	raw := result[[]map[string]any](t, must(t, srv, "getUpdates", fields{"offset": 1}))
	if len(raw) != 5 {
		t.Fatalf("%d updates: %v", len(raw), raw)
	}
	if e, _ := raw[1]["edited_message"].(map[string]any); e["text"] != "1.25" || e["edit_date"] == nil {
		t.Errorf("the edit: %v", raw[1])
	}
	said, _ := raw[2]["message"].(map[string]any)
	file, _ := said["voice"].(map[string]any)
	path := result[map[string]any](t, must(t, srv, "getFile", fields{"file_id": file["file_id"]}))["file_path"].(string)
	if code, body := get(t, srv.URL()+"/file/bot"+srv.Token()+"/"+path); code != 200 || string(body) != string(voice) {
		t.Errorf("the voice message comes back as %d %q", code, body)
	}
	if m, _ := raw[3]["message"].(map[string]any); m["location"] == nil || m["text"] != nil {
		t.Errorf("the location: %v", raw[3])
	}
	if raw[4]["purchased_paid_media"] == nil || raw[4]["update_id"] == nil {
		t.Errorf("the update as it stands: %v", raw[4])
	}
}

func TestWhoKeepsTheBotOut(t *testing.T) {
	srv := start(t, apitest.Config{})
	ana := srv.User("Ana")
	c := srv.Private(ana)
	say := fields{"chat_id": c.ID(), "text": "hello"}
	refused(t, srv, "sendMessage", say, 403, "can't initiate conversation")
	if len(srv.Faults(apitest.Misplaced)) != 1 {
		t.Errorf("writing first is a fault: %+v", srv.Faults())
	}
	c.Say(ana, "/start")
	must(t, srv, "sendMessage", say)
	c.Block(ana)
	refused(t, srv, "sendMessage", say, 403, "blocked by the user")
	c.Unblock(ana)
	must(t, srv, "sendMessage", say)
	g := srv.Group("Pad 4", ana)
	g.Block(ana)
	refused(t, srv, "sendMessage", fields{"chat_id": g.ID(), "text": "x"}, 403, "kicked")
	g.Say(ana, "/alone")
	members := 0
	for _, u := range poll(t, srv, fields{}) {
		if u.MyMember != nil {
			members++
		}
		if u.Message != nil && u.Message.Text == "/alone" {
			t.Error("the bot hears a group that it was kicked from")
		}
	}
	if members != 4 {
		t.Errorf("%d updates of the bot's own standing, want 4: out, in, added, out", members)
	}
	if n := len(srv.Faults()); n != 1 {
		t.Errorf("being kept out is no fault: %+v", srv.Faults())
	}
}

func TestMigration(t *testing.T) {
	clk := newClock()
	srv := start(t, apitest.Config{Now: clk.now})
	ana := srv.User("Ana")
	small := srv.SmallGroup("Pad 4", ana)
	must(t, srv, "sendMessage", fields{"chat_id": small.ID(), "text": "before"})
	big := small.Migrate(ana)
	a := refused(t, srv, "sendMessage", fields{"chat_id": small.ID(), "text": "after"}, 400, "upgraded to a supergroup")
	if a.Parameters.MigrateTo != big.ID() {
		t.Errorf("migrate_to_chat_id %d, want %d", a.Parameters.MigrateTo, big.ID())
	}
	if big.ID() > -1_000_000_000_000 || int64(int32(big.ID())) == big.ID() {
		t.Errorf("%d is not in the form of a supergroup's id", big.ID())
	}
	must(t, srv, "sendMessage", fields{"chat_id": big.ID(), "text": "after"})
	var to, from int64
	for _, u := range poll(t, srv, fields{}) {
		if m := u.Message; m != nil && m.MigrateTo != 0 && m.Chat.ID == small.ID() {
			to = m.MigrateTo
		} else if m != nil && m.MigrateFrom != 0 && m.Chat.ID == big.ID() {
			from = m.MigrateFrom
		}
	}
	if to != big.ID() || from != small.ID() {
		t.Errorf("told to %d from %d, want %d and %d", to, from, big.ID(), small.ID())
	}
	if len(srv.Faults()) > 0 {
		t.Errorf("faults: %+v", srv.Faults())
	}
}

func TestMembersAndCommands(t *testing.T) {
	srv := start(t, apitest.Config{})
	ana, ben := srv.User("Ana"), srv.User("Ben")
	c := srv.Group("Pad 4", ana, ben)
	status := func(id int64) any {
		return result[map[string]any](t, must(t, srv, "getChatMember", fields{"chat_id": c.ID(), "user_id": id}))["status"]
	}
	c.Promote(ana, ben)
	if status(ana.ID) != "creator" || status(ben.ID) != "administrator" || status(srv.Bot().ID) != "member" {
		t.Errorf("standings: %v %v %v", status(ana.ID), status(ben.ID), status(srv.Bot().ID))
	}
	c.Demote(ana, ben)
	if list := result[[]any](t, must(t, srv, "getChatAdministrators", fields{"chat_id": c.ID()})); len(list) != 1 {
		t.Errorf("administrators: %v", list)
	}
	c.Leave(ben)
	if status(ben.ID) != "left" {
		t.Errorf("Ben left and is %v", status(ben.ID))
	}
	must(t, srv, "setMyCommands", fields{"commands": many(2)})
	must(t, srv, "setMyCommands", fields{"commands": many(3), "language_code": "es"})
	for language, want := range map[string]int{"": 2, "es": 3, "de": 0} {
		if n := len(result[[]any](t, must(t, srv, "getMyCommands", fields{"language_code": language}))); n != want {
			t.Errorf("%d commands in %q, want %d", n, language, want)
		}
	}
}
