package bot_test

import (
	"regexp"
	"strings"
	"testing"

	"rodcall/bot/apitest"
	"rodcall/session/store"
)

// size counts what a file holds of people and chats.
func (r *rig) size() (people, chats int) {
	r.t.Helper()
	err := r.file.View(func(tx *store.Tx) error {
		names, err := tx.Names()
		people = len(names)
		if err != nil {
			return err
		}
		chats, err = tx.Chats()
		return err
	})
	if err != nil {
		r.t.Fatal(err)
	}
	return people, chats
}

// TestStrangers get one polite line, and fill nothing.
func TestStrangers(t *testing.T) {
	r := newRig(t, apitest.Config{})
	r.owner("ann")
	people, chats := r.size()
	for _, name := range []string{"bob", "cid", "dee"} {
		u := r.srv.User(name)
		c := r.srv.Private(u)
		if got := r.say(c, u, "/start"); !strings.Contains(got, "belongs to a crew") {
			t.Errorf("%s is told %q", name, got)
		}
		for _, text := range []string{"hello", "/start claim-ann", "/start ABCDEFGHIJKLMNOPQRSTUVWXYZ", "new House", "/invite", "0"} {
			if got := r.say(c, u, text); got != "" {
				t.Errorf("%s says %q and is told %q", name, text, got)
			}
		}
		g := r.srv.Group("strangers", u)
		r.settle()
		if got := r.say(g, u, "/new House"); got != "" {
			t.Errorf("a group of strangers is told %q", got)
		}
	}
	if p, c := r.size(); p != people || c != chats {
		t.Errorf("the file holds %d people and %d chats, before the strangers %d and %d", p, c, people, chats)
	}
	// After a restart a stranger may be told once more, and is not let in.
	r.restart()
	u := r.srv.User("eve")
	if got := r.say(r.srv.Private(u), u, "new House"); !strings.Contains(got, "belongs to a crew") {
		t.Errorf("eve is told %q", got)
	}
	r.noFaults()
}

var startLink = regexp.MustCompile(`https://t\.me/stand_in_bot\?start=([A-Za-z0-9_-]{1,64})\b`)

// TestInvitations let in one person each.
func TestInvitations(t *testing.T) {
	r := newRig(t, apitest.Config{})
	ann, annChat := r.owner("ann")
	invite := func() string {
		t.Helper()
		got := r.say(annChat, ann, "/invite")
		m := startLink.FindStringSubmatch(got)
		if m == nil {
			t.Fatalf("no invitation in %q", got)
		}
		return m[1]
	}
	code := invite()
	dan := r.srv.User("dan")
	if got := r.say(r.srv.Private(dan), dan, invite()); !strings.Contains(got, "Welcome") {
		t.Errorf("dan, who sends the bare code: %q", got)
	}
	bob, cid := r.srv.User("bob"), r.srv.User("cid")
	bobChat, cidChat := r.srv.Private(bob), r.srv.Private(cid)
	if got := r.say(bobChat, bob, "/start "+code); !strings.Contains(got, "Welcome") {
		t.Errorf("bob: %q", got)
	}
	if got := r.say(cidChat, cid, "/start "+code); !strings.Contains(got, "used") {
		t.Errorf("cid, with the same code: %q", got)
	}
	r.restart()
	if got := r.say(bobChat, bob, "new House"); !strings.Contains(got, "House is open") {
		t.Errorf("bob, after a restart: %q", got)
	}
	if got := r.say(bobChat, bob, "/invite"); !strings.Contains(got, "Only the owner") {
		t.Errorf("bob invites: %q", got)
	}
	if got := r.say(cidChat, cid, "new House"); strings.Contains(got, "open") {
		t.Errorf("cid: %q", got)
	}
	// Two send one code at the same time: one is let in.
	code = invite()
	for _, u := range []apitest.User{cid, r.srv.User("dee"), r.srv.User("eve"), r.srv.User("fay")} {
		r.srv.Private(u).Say(u, "/start "+code)
	}
	r.settle()
	in := 0
	for _, id := range []int64{cid.ID, cid.ID + 1, cid.ID + 2, cid.ID + 3} {
		if strings.Contains(r.last(r.srv.Chat(id)), "Welcome") {
			in++
		}
	}
	if in != 1 {
		t.Errorf("%d were let in by one code", in)
	}
	// A claim code works once, for one who was let in and for one who was not.
	if got := r.say(cidChat, cid, "/start claim-ann"); strings.Contains(got, "You own this bot") {
		t.Errorf("claimed twice: %q", got)
	}
	r.noFaults()
}

// TestJobsStayInTheirChats: no name, button, link or error of one chat shows
// in another.
func TestJobsStayInTheirChats(t *testing.T) {
	r := newRig(t, apitest.Config{ReadsAll: true})
	ann, private := r.owner("ann")
	r.say(private, ann, "new Secret house")
	r.say(private, ann, "40x28")
	r.say(private, ann, "direct rod")
	group := r.srv.Group("crew", ann, r.srv.User("bob"))
	r.settle()
	for _, text := range []string{"/jobs", "/job Secret house", "/picture", "/summary", "/left", "new Other house", "/jobs", "job Secret house", "/undo", "/repeat"} {
		if got := r.say(group, ann, text); strings.Contains(got, "Secret") && !strings.Contains(text, "Secret") {
			t.Errorf("%q in the group: %q", text, got)
		}
	}
	if got := r.say(group, ann, "/job Secret house"); !strings.Contains(got, "No one job here") {
		t.Errorf("going to a job of another chat: %q", got)
	}
	// A button of the private chat, forged in the group.
	buttons := private.FromBot()
	var data string
	for _, m := range buttons {
		for _, row := range m.Buttons {
			data = row[0].Data
		}
	}
	before := job(t, r.file)
	group.Forge(ann, group.FromBot()[0].ID, data)
	group.Forge(ann, 1, "1.1.1")
	for _, forged := range []string{"", "x", "1.1", "1.1.1.1", "-1.1.1", "99999999999999999999.1.1", "1.1.0", strings.Repeat("9", 64)} {
		group.Forge(ann, group.FromBot()[0].ID, forged)
	}
	r.settle()
	if job(t, r.file) != before {
		t.Error("a forged button changed a job")
	}
	r.noFaults()
}
