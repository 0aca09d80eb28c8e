package bot_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"rodcall/bot/apitest"
)

// TestTheWholeWalkInTrouble plays the walk while requests are slow, fail, are
// refused for their rate, and are cut before and after they took effect, and
// updates come twice: the same is stored, and everything is said, some of it
// twice.
func TestTheWholeWalkInTrouble(t *testing.T) {
	t.Parallel()
	steps, want := chat(t, "walk-direct")
	stored := inTerminal(t, steps)
	for seed := range uint64(2) {
		r := newRig(t, apitest.Config{Seed: seed})
		u, c := r.owner("ann")
		r.srv.Schedule(apitest.Schedule{
			Seed: seed, Slow: .1, ServerError: .05, CutBefore: .05, CutAfter: .05, Delay: 20 * time.Millisecond, Polls: true,
			RepeatUpdates: .2, RepeatTaps: .2, JumpIDs: .1, ShuffleChats: true,
		})
		// One wait that the platform asks for: a second is its shortest.
		r.srv.Inject(apitest.Trouble{Kind: apitest.TooMany, Method: "sendMessage", Skip: 5})
		got := r.play(u, c, steps)
		r.srv.Schedule(apitest.Schedule{})
		r.settle()
		if diff := cmp.Diff(stored, job(t, r.file)); diff != "" {
			t.Errorf("seed %d: what is stored (-quiet +troubled)\n%s", seed, diff)
		}
		once, repeats := dedup(messages(got))
		quiet, _ := dedup(messages(said(want))) // two pictures in a row are alike
		if diff := cmp.Diff(lots.ReplaceAllString(strings.Join(quiet, "\n"), "drawn"), lots.ReplaceAllString(strings.Join(once, "\n"), "drawn")); diff != "" {
			t.Errorf("seed %d: what is said (-quiet +troubled)\n%s", seed, diff)
		}
		t.Logf("seed %d: %d messages, %d of them sent twice", seed, len(once), repeats)
		r.noFaults()
	}
}

// messages are the first lines of what was said: each message has one that
// begins it, and the walk has no two alike in a row.
func messages(text string) []string {
	var out []string
	for l := range strings.Lines(text) {
		out = append(out, strings.TrimRight(l, "\n"))
	}
	return out
}

// dedup takes out blocks of lines that repeat the block before them: a message
// that was sent again.
func dedup(lines []string) (once []string, repeats int) {
	for i := 0; i < len(lines); {
		n := 0
		for k := min(len(once), 16, len(lines)-i); k > 0 && n == 0; k-- {
			same := true
			for j := range k {
				same = same && lines[i+j] == once[len(once)-k+j]
			}
			if same {
				n = k
			}
		}
		if n > 0 {
			i += n
			repeats++
			continue
		}
		once = append(once, lines[i])
		i++
	}
	return once, repeats
}
