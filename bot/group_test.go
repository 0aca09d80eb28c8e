package bot_test

import (
	"encoding/json"
	"strings"
	"testing"

	"rodcall/bot/apitest"
)

// crew is a group of ann, who owns the bot and the group, and bob.
func crew(r *rig) (ann, bob apitest.User, g *apitest.Chat) {
	r.t.Helper()
	ann, _ = r.owner("ann")
	bob = r.srv.User("bob")
	g = r.srv.Group("crew", ann, bob)
	r.settle()
	return ann, bob, g
}

// walkTo opens a job with an outline and a rod.
func walkTo(r *rig, c *apitest.Chat, u apitest.User, slash string, texts ...string) {
	r.t.Helper()
	for _, text := range append([]string{"new East house", "8x8", "direct rod"}, texts...) {
		r.say(c, u, slash+text)
	}
}

// TestDeafGroup: with the privacy mode on, commands and replies are heard; the
// bot says so, and asks for replies.
func TestDeafGroup(t *testing.T) {
	r := newRig(t, apitest.Config{})
	ann, bob, g := crew(r)
	if got := r.last(g); !strings.Contains(got, "privacy mode") {
		t.Errorf("on joining: %q", got)
	}
	if got := r.say(g, ann, "/new@stand_in_bot East house"); !strings.Contains(got, "is open") || !strings.Contains(got, "privacy mode") {
		t.Errorf("new: %q", got)
	}
	if got := r.say(g, ann, "/undo@another_bot"); got != "" {
		t.Errorf("a command to another bot: %q", got)
	}
	r.say(g, ann, "/8x8")
	r.say(g, ann, "/direct_rod")
	if got := r.say(g, ann, "0"); got == "" {
		t.Error("the reply that the bot asked for was not heard")
	}
	if got := r.say(g, ann, "1/8 low"); !strings.Contains(got, "c1+4: 1/8 low") {
		t.Errorf("the next one: %q", got)
	}
	if got := r.say(g, bob, "see you at 4"); got != "" {
		t.Errorf("talk: %q", got)
	}
	// A reply to an older question finds its station.
	var asked int
	for _, m := range g.FromBot() {
		if strings.Contains(m.Text, "Next: c1+4") {
			asked = m.ID
		}
	}
	g.Reply(ann, asked, "1/4 low")
	r.settle()
	if got := r.last(g); !strings.Contains(got, "c1+4: 1/4 low") {
		t.Errorf("a reply to the question for c1+4: %q", got)
	}
	// As administrator the bot hears all.
	g.Promote(ann, r.srv.Bot())
	r.settle()
	if got := r.say(g, bob, "lunch at 12"); got != "" {
		t.Errorf("talk: %q", got)
	}
	if got := r.say(g, bob, "picture"); len(g.FromBot()) == 0 || g.FromBot()[len(g.FromBot())-1].Photo == nil {
		t.Errorf("picture: %q", got)
	}
	r.noFaults()
}

// TestOneLanguageInAGroup: whoever opened the job is Spanish, so all in the group
// are answered in Spanish, at the door too; each in private in their own.
func TestOneLanguageInAGroup(t *testing.T) {
	r := newRig(t, apitest.Config{ReadsAll: true})
	ann, bob, g := crew(r)
	annChat := r.srv.Private(ann)
	r.say(annChat, ann, "español")
	if got := r.say(annChat, ann, "/invite"); !strings.Contains(got, "Manda esto a una persona") {
		t.Errorf("invitation in private: %q", got)
	}
	for _, c := range []struct {
		who        apitest.User
		text, want string
	}{
		{ann, "nuevo Casa este", "Obra Casa este abierta"},
		{ann, "8x8", "Contorno: 4 esquinas"},
		{bob, "direct rod", "Anotado: regla directa"},
		{bob, "an eighth low", "c1: regla 1/8 bajo"},
		{bob, "english", "quien la abrió, o un administrador"},
		{ann, "/invite", "en el chat privado"},
		{ann, "english", "for everybody on this job"},
		{bob, "1/4 bajo", "c1+4: 1/8 low"},
	} {
		if got := r.say(g, c.who, c.text); !strings.Contains(strings.ToLower(got), strings.ToLower(c.want)) {
			t.Errorf("%q: %q, want %q", c.text, got, c.want)
		}
	}
	if got := r.say(annChat, ann, "ayuda"); !strings.Contains(got, "Manda lo que marca la regla") {
		t.Errorf("ann in private: %q", got)
	}
	r.noFaults()
}

// TestKeysOfOneInAGroup: in a group that is heard, keys are under the text of
// whoever walks with a rod, and of nobody else: every keyboard is selective and
// answers a message of theirs. Where little is heard there are none: a reply is
// asked for.
func TestKeysOfOneInAGroup(t *testing.T) {
	for _, hears := range []bool{true, false} {
		r := newRig(t, apitest.Config{ReadsAll: hears})
		ann, bob, g := crew(r)
		walkTo(r, g, ann, map[bool]string{false: "/"}[hears], "0", "1/8 low", "more", "more low", "1/16 low")
		if got := g.Keyboard(ann); (len(got) == 3) != hears {
			t.Errorf("hears all: %v: ann's keys %q", hears, got)
		}
		if got := g.Keyboard(bob); got != nil {
			t.Errorf("bob, who has no rod, has keys %q", got)
		}
		if hears {
			before := g.Keyboard(ann)
			if _, err := g.Press(ann, before[0][3]); err != nil {
				t.Fatal(err)
			}
			r.settle()
			if got := r.last(g); !strings.Contains(got, before[0][3]) {
				t.Errorf("%q pressed: %q", before[0][3], got)
			}
			r.say(g, bob, "my own rod")
			r.say(g, bob, "c1 1/2 high")
			if a, b := g.Keyboard(ann), g.Keyboard(bob); len(a) != 3 || len(b) != 3 || a[0][0] == b[0][0] {
				t.Errorf("ann's keys %q, bob's %q", a, b)
			}
		}
		from := map[int]int64{}
		for _, m := range g.Messages() {
			from[m.ID] = m.From.ID
			if len(m.Keys) == 0 {
				continue
			}
			to := from[m.ReplyTo]
			if !hears || to != ann.ID && to != bob.ID {
				t.Errorf("%q, with keys, answers nobody", m.Text)
			}
		}
		for _, m := range r.srv.Requests("sendMessage") {
			var sent struct {
				Chat    int64           `json:"chat_id"`
				Markup  map[string]any  `json:"reply_markup"`
				Answers json.RawMessage `json:"reply_parameters"`
			}
			if err := json.Unmarshal(m.Params, &sent); err != nil {
				t.Fatal(err)
			}
			if sent.Markup["keyboard"] != nil && sent.Chat == g.ID() && (sent.Markup["selective"] != true || len(sent.Answers) == 0) {
				t.Errorf("a keyboard for all: %s", m.Params)
			}
		}
		r.noFaults()
	}
}

// TestWhoChoosesTheLevel: whoever opened the job, and administrators.
func TestWhoChoosesTheLevel(t *testing.T) {
	r := newRig(t, apitest.Config{ReadsAll: true})
	ann, bob, g := crew(r)
	walkTo(r, g, bob, "/", "0", "1/8 low", "1/8 low", "1/4 low", "0", "0", "0", "0")
	cid := r.srv.User("cid")
	if got := r.say(g, cid, "/datum high"); !strings.Contains(got, "whoever opened the job") {
		t.Errorf("cid: %q", got)
	}
	if got := r.say(g, bob, "/datum high"); !strings.Contains(got, "Datum") {
		t.Errorf("bob, who opened the job: %q", got)
	}
	if got := r.say(g, ann, "/datum first"); !strings.Contains(got, "Datum") {
		t.Errorf("ann, who owns the group: %q", got)
	}
	g.Promote(ann, cid)
	r.settle()
	if got := r.say(g, cid, "/datum high"); !strings.Contains(got, "Datum") {
		t.Errorf("cid, an administrator: %q", got)
	}
	r.noFaults()
}

// TestButtonsOfAnother: a question is for one person.
func TestButtonsOfAnother(t *testing.T) {
	r := newRig(t, apitest.Config{ReadsAll: true})
	ann, bob, g := crew(r)
	walkTo(r, g, ann, "", "0")
	r.say(g, ann, "3/8")
	before := job(t, r.file)
	r.tap(bob, g, "3/8 low")
	r.settle()
	if job(t, r.file) != before {
		t.Error("another's tap was taken for an answer")
	}
	if got := r.last(g); !strings.Contains(got, "button is past") {
		t.Errorf("bob is told %q", got)
	}
	r.tap(ann, g, "3/8 low")
	r.settle()
	if got := r.last(g); !strings.Contains(got, "c1+4: 3/8 low") {
		t.Errorf("ann is told %q", got)
	}
	after := job(t, r.file)
	r.tap(ann, g, "3/8 low")
	r.settle()
	if job(t, r.file) != after {
		t.Error("a button acted twice")
	}
	r.noFaults()
}

// TestMigration: a group that becomes a supergroup keeps its jobs.
func TestMigration(t *testing.T) {
	r := newRig(t, apitest.Config{ReadsAll: true})
	ann, _ := r.owner("ann")
	g := r.srv.SmallGroup("crew", ann)
	r.settle()
	walkTo(r, g, ann, "", "0", "1/8 low")
	super := g.Migrate(ann)
	r.settle()
	if got := r.say(super, ann, "1/4 low"); !strings.Contains(got, "c2: 1/4 low") {
		t.Errorf("in the supergroup: %q", got)
	}
	r.restart()
	if got := r.say(super, ann, "summary"); !strings.Contains(got, "3 of 8") {
		t.Errorf("after a restart: %q", got)
	}
	r.noFaults()
}

// TestTopics are chats of their own.
func TestTopics(t *testing.T) {
	r := newRig(t, apitest.Config{ReadsAll: true})
	ann, _, g := crew(r)
	east, west := g.OpenTopic(ann, "East"), g.OpenTopic(ann, "West")
	r.settle()
	walkTo(r, east, ann, "", "0", "1/8 low")
	if got := r.say(west, ann, "/jobs"); !strings.Contains(got, "No job is open") {
		t.Errorf("in the other topic: %q", got)
	}
	if got := r.say(east, ann, "1/8 low"); !strings.Contains(got, "c2: 1/8 low") {
		t.Errorf("in the topic: %q", got)
	}
	r.noFaults()
}
