package bot_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"rodcall/bot/apitest"
)

// jumps are what the clock of a machine may do that was wrong and is put right,
// or that was right and is not any more.
var jumps = []time.Duration{-24 * time.Hour, 365 * 24 * time.Hour, -365 * 24 * time.Hour, 25 * time.Hour}

// TestClockJumps plays walks while the machine's clock jumps after every message, and
// sends come back that have to wait: the same is said, in the same order, and the
// same is stored, and nothing waits for longer than it has to.
func TestClockJumps(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"corrections", "walk-direct", "batch"} {
		steps, want := chat(t, name)
		r := newRig(t, apitest.Config{})
		u, c := r.owner("ann")
		// The shortest wait that there is, just before and just after a jump.
		r.srv.Inject(
			apitest.Trouble{Kind: apitest.TooMany, Method: "sendMessage", Skip: 2},
			apitest.Trouble{Kind: apitest.TooMany, Method: "sendMessage", Skip: 6},
		)
		r.between = func(step int) { r.age(jumps[step%len(jumps)]) }
		got := r.play(u, c, steps)
		if diff := cmp.Diff(lots.ReplaceAllString(said(want), ""), lots.ReplaceAllString(got, "")); diff != "" {
			t.Errorf("%s: what is said (-quiet +jumping)\n%s", name, diff)
		}
		if diff := cmp.Diff(inTerminal(t, steps), job(t, r.file)); diff != "" {
			t.Errorf("%s: what is stored (-quiet +jumping)\n%s", name, diff)
		}
		r.noFaults()
	}
}

// TestClockJumpsWhileReplyWaits: a clock that is set back while a reply waits, or
// between two starts, makes it wait no longer than it was told to.
func TestClockJumpsWhileReplyWaits(t *testing.T) {
	t.Parallel()
	r := newRig(t, apitest.Config{})
	ann, c := r.owner("ann")
	walkTo(r, c, ann, "", "0")
	r.srv.Inject(apitest.Trouble{Kind: apitest.TooMany, Method: "sendMessage", RetryAfter: 2})
	c.Say(ann, "1/8 low")
	for end := time.Now().Add(20 * time.Second); !strings.Contains(r.log.String(), "a reply has to wait"); time.Sleep(time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal("no reply has to wait")
		}
	}
	r.stop()
	r.age(-24 * time.Hour)
	r.start()
	r.settle()
	if got := r.last(c); !strings.Contains(got, "c1+4: 1/8 low") {
		t.Errorf("the bot's last word is %q", got)
	}
	r.noFaults()
}

// TestNewNumbersAfterAClockThatWasAhead: the file was written by a clock a year
// ahead; after a week without updates the platform numbers them anew, and none of
// these is confirmed unseen.
func TestNewNumbersAfterAClockThatWasAhead(t *testing.T) {
	t.Parallel()
	r := newRig(t, apitest.Config{FirstUpdateID: 900_000_000})
	r.age(365 * 24 * time.Hour)
	ann, c := r.owner("ann")
	walkTo(r, c, ann, "", "0")
	r.stop()
	// So little below that the platform would take the old offset for one of its own.
	if !r.srv.JumpUpdateID(899_999_999) {
		t.Fatal("no jump")
	}
	r.age(-358 * 24 * time.Hour)
	c.Say(ann, "1/8 low")
	r.start()
	r.settle()
	if got := r.last(c); !strings.Contains(got, "c1+4: 1/8 low") {
		t.Errorf("the bot's last word is %q", got)
	}
	r.noFaults()
}
