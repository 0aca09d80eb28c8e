package bot_test

import (
	"context"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"rodcall/bot/apitest"
	"rodcall/session"
	"rodcall/session/store"
)

// phoneClock is the platform's clock, which stands still until a test moves it.
type phoneClock struct{ at atomic.Int64 }

func (c *phoneClock) now() time.Time         { return time.Unix(0, c.at.Load()) }
func (c *phoneClock) pause(by time.Duration) { c.at.Add(int64(by)) }

// flooded is a rig on a platform with such a clock, and a walk in ann's chat whose
// walls have more marks than anybody reads here.
func flooded(t *testing.T) (r *rig, clock *phoneClock, ann apitest.User, c *apitest.Chat) {
	clock = &phoneClock{}
	clock.at.Store(time.Now().UnixNano())
	r = newRig(t, apitest.Config{Now: clock.now})
	ann, c = r.owner("ann")
	for _, text := range []string{"new East house", "400x300", "direct rod", "0"} {
		r.say(c, ann, text)
	}
	clock.pause(time.Minute)
	return r, clock, ann, c
}

// readings are how many the only job of the file holds.
func (r *rig) readings() (n int) {
	r.t.Helper()
	eachJob(r.t, r.file, func(_ *store.Tx, j *session.Job) error {
		n += len(j.Readings())
		return nil
	})
	return n
}

// wantTaken says what was taken, and answered, of what was sent, and how often it was
// said that it is too much.
func (r *rig) wantTaken(c *apitest.Chat, taken, warnings int) {
	r.t.Helper()
	if n, warned := echoes(c); r.readings() != taken || n != taken || warned != warnings {
		r.t.Errorf("%d readings are kept, %d were answered, with %d warnings; want %d of each and %d", r.readings(), n, warned, taken, warnings)
	}
}

// echoes is how many of the bot's messages are echoes of readings, and warnings how
// many say that there are too many.
func echoes(c *apitest.Chat) (echoes, warnings int) {
	for _, m := range c.FromBot() {
		switch {
		case strings.HasPrefix(m.Text, "Too many messages: "):
			warnings++
		case strings.HasPrefix(m.Text, "c") && strings.Contains(m.Text, "Next: "):
			echoes++
		}
	}
	return echoes, warnings
}

// TestWalkersAreNoFlood: a walker who sends a reading a second for minutes, also
// where all of it comes at once since the program was down, and sixty lines at once
// after a gap in the signal: every reading is taken.
func TestWalkersAreNoFlood(t *testing.T) {
	t.Parallel()
	r, clock, ann, c := flooded(t)
	walk := func(n int) {
		for range n {
			c.Say(ann, "1/16 low")
			clock.pause(time.Second)
		}
	}
	walk(40)
	r.stop()
	walk(240)
	clock.pause(3 * time.Minute)
	for range 60 {
		c.Say(ann, "1/16 low")
	}
	r.start()
	r.settle()
	r.wantTaken(c, 341, 0)
	r.noFaults()
}

// TestFlood: what somebody sends beyond what a crew can is refused in one piece,
// once in so many words, and all that was taken before is answered; after a pause
// they go on where they were.
func TestFlood(t *testing.T) {
	t.Parallel()
	r, clock, ann, c := flooded(t)
	for range 500 {
		c.Say(ann, "1/16 low")
	}
	r.settle()
	r.wantTaken(c, 121, 1)
	all := c.FromBot()
	if last := all[len(all)-1].Text; !strings.HasPrefix(last, "Too many messages: ") || !strings.Contains(last, "that of c2+84") {
		t.Errorf("the bot's last word is %q", last)
	}
	// Whoever slows down without a pause is not heard half.
	for range 20 {
		clock.pause(5 * time.Second)
		c.Say(ann, "1/16 low")
	}
	r.settle()
	if r.readings() != 121 {
		t.Errorf("without a pause %d readings are kept", r.readings())
	}
	clock.pause(30 * time.Second)
	// 120 stations past c1, at 4 ft each: c2 is the hundredth, then a wall of 300.
	want := "What you send is taken again, from c2+84 on. Messages of yours that were NOT taken: 400.\nc2+84: 1/16 low"
	if got := r.say(c, ann, "1/16 low"); !strings.HasPrefix(got, want) {
		t.Errorf("after a pause: %q", got)
	}
	if got := r.say(c, ann, "1/16 low"); !strings.HasPrefix(got, "c2+88: 1/16 low") {
		t.Errorf("after that: %q", got)
	}
	var waits int
	err := r.file.View(func(tx *store.Tx) error { waits = tx.InboxLen(); return nil })
	if err != nil || waits != 0 {
		t.Errorf("%d messages are left in the inbox, %v", waits, err)
	}
	r.noFaults()
}

// TestFloodOutlastsRestart: whoever floods is not heard again because the program
// was begun anew; and once they paused, is told where they are.
func TestFloodOutlastsRestart(t *testing.T) {
	t.Parallel()
	r, clock, ann, c := flooded(t)
	for range 200 {
		c.Say(ann, "1/16 low")
	}
	r.settle()
	r.restart()
	for range 10 {
		clock.pause(time.Second)
		c.Say(ann, "1/8 low")
	}
	r.settle()
	if n := r.readings(); n != 121 {
		t.Errorf("%d readings are kept, want 121", n)
	}
	r.restart()
	clock.pause(30 * time.Second)
	want := "What you send is taken again, from c2+84 on. Messages of yours that were NOT taken: 90.\nc2+84: 1/16 low"
	if got := r.say(c, ann, "1/16 low"); !strings.HasPrefix(got, want) {
		t.Errorf("after a pause: %q", got)
	}
	r.noFaults()
}

// TestUnwarned: a pause in a queue that was sent while the program was down opens
// nothing, for whoever sent it could not know that nothing of theirs was taken.
func TestUnwarned(t *testing.T) {
	t.Parallel()
	r, clock, ann, c := flooded(t)
	r.stop()
	for range 150 {
		c.Say(ann, "1/16 low")
	}
	clock.pause(time.Minute)
	for range 20 {
		c.Say(ann, "1/8 low")
	}
	r.start()
	r.settle()
	if n := r.readings(); n != 121 {
		t.Errorf("%d readings are kept, want 121", n)
	}
	clock.pause(30 * time.Second)
	if got := r.say(c, ann, "1/16 low"); !strings.HasPrefix(got, "What you send is taken again, from c2+84 on. Messages of yours that were NOT taken: 50.") {
		t.Errorf("after a pause: %q", got)
	}
	r.noFaults()
}

// TestTapIsNoPause: in a queue that was sent while the program was down a tap has
// the time at which it is heard. It opens nothing: what is kept is one piece.
func TestTapIsNoPause(t *testing.T) {
	t.Parallel()
	r, clock, ann, c := flooded(t)
	r.say(c, ann, "3/8")
	clock.pause(time.Minute)
	r.stop()
	r.age(time.Hour)
	for range 150 {
		c.Say(ann, "1/16 low")
	}
	r.tap(ann, c, "3/8 low")
	for range 50 {
		c.Say(ann, "1/8 low")
	}
	r.start()
	r.settle()
	for _, m := range c.FromBot() {
		if strings.Contains(m.Text, ": 1/8 low") {
			t.Errorf("taken behind what was refused: %q", m.Text)
		}
	}
	if n := r.readings(); n != 121 {
		t.Errorf("%d readings are kept, want 121", n)
	}
	r.noFaults()
}

// TestFloodStarvesNobody: while somebody's hundreds of voice notes and photos keep the
// recogniser busy, another chat is answered; no more than sixty of them are heard,
// and a stranger who floods is told nothing of it.
func TestFloodStarvesNobody(t *testing.T) {
	t.Parallel()
	r, _, ann, c := flooded(t)
	r.stop()
	var heard atomic.Int64
	free := make(chan struct{})
	r.ear = ear(func(ctx context.Context, _ []byte) session.Heard {
		select {
		case <-free:
		case <-ctx.Done():
		}
		heard.Add(1)
		return session.Heard{Text: "1/16 low"}
	})
	r.start()
	bob, strange := r.srv.User("bob"), r.srv.User("strange")
	if err := r.file.Update(func(tx *store.Tx) error { return tx.SetClaim("claim-bob") }); err != nil {
		t.Fatal(err)
	}
	note := opus(t)
	for range 300 {
		c.Voice(ann, note)
		r.srv.Private(strange).Say(strange, "hello")
	}
	bobs := r.srv.Private(bob)
	for _, text := range []string{"/start claim-bob", "new West house", "40x28", "direct rod", "0", "1/8 low"} {
		bobs.Say(bob, text)
	}
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	if err := r.srv.Wait(ctx, func() bool { return strings.HasPrefix(r.last(bobs), "c1+4: 1/8 low") }); err != nil {
		t.Fatalf("bob waits for ann: %v", err)
	}
	if heard.Load() > 0 {
		t.Error("ann's notes are heard, and nobody was kept waiting")
	}
	close(free)
	r.settle()
	if _, warned := echoes(c); heard.Load() != 60 || warned != 1 {
		t.Errorf("%d notes were heard, with %d warnings; want 60 and one", heard.Load(), warned)
	}
	if n := len(r.srv.Private(strange).FromBot()); n != 1 {
		t.Errorf("a stranger was told %d things", n)
	}
	r.noFaults()
}

// TestFloodInAGroup: in a group as well it is told at which station whoever floods is:
// who holds the rod, where they were; who holds none, where the others are by then.
func TestFloodInAGroup(t *testing.T) {
	t.Parallel()
	clock := &phoneClock{}
	clock.at.Store(time.Now().UnixNano())
	r := newRig(t, apitest.Config{Now: clock.now})
	ann, bob, g := crew(r)
	g.Promote(ann, r.srv.Bot())
	for _, text := range []string{"new East house", "400x300", "direct rod", "0"} {
		r.say(g, ann, text)
	}
	clock.pause(time.Minute)
	// told are what the bot said of it in the group, since it had said so many things.
	told := func(from int, what string) (all []string) {
		for _, m := range g.FromBot()[from:] {
			if strings.HasPrefix(m.Text, what) {
				all = append(all, m.Text)
			}
		}
		return all
	}
	for range 130 {
		g.Say(ann, "1/16 low")
	}
	r.settle()
	if all := told(0, "Too many messages: "); len(all) != 1 || !strings.Contains(all[0], "will be that of c2+84.") {
		t.Errorf("ann was told %q", all)
	}
	clock.pause(time.Minute)
	if got := r.say(g, ann, "1/16 low"); !strings.HasPrefix(got, "What you send is taken again, from c2+84 on. Messages of yours that were NOT taken: 10.\nc2+84: 1/16 low") {
		t.Errorf("after a pause: %q", got)
	}

	from := len(g.FromBot())
	for range 130 {
		g.Say(bob, "picture")
	}
	r.settle()
	if all := told(from, "Too many messages: "); len(all) != 1 || !strings.Contains(all[0], "will be that of c2+88.") {
		t.Errorf("bob was told %q", all)
	}
	clock.pause(time.Minute)
	for range 3 {
		r.say(g, ann, "1/16 low")
	}
	if got := r.say(g, bob, "picture"); !strings.HasPrefix(got, "What you send is taken again, from c2+100 on. ") {
		t.Errorf("after a pause bob is told %q", got)
	}
	r.noFaults()
}
