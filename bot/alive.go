package bot

import (
	"errors"
	"fmt"
	"time"
)

// Meter is told how asking for updates goes. Its methods return at once.
type Meter interface {
	// Polled is told of each answered question, with nil, and of each that was
	// not.
	Polled(err error)
}

// silence is how long no question may have been answered: the platform keeps
// each open for pollTimeout at most.
const silence = 2 * time.Minute

// Taking says why no updates are taken, nil where they are: the listener of
// the webhook is up, or the platform has answered in the last two minutes.
func (b *Bot) Taking() error {
	if b.hooked.Load() {
		return nil
	}
	last := b.polled.Load()
	if last == nil {
		return errors.New("no updates are asked for yet")
	}
	if ago := time.Since(*last); ago > silence {
		return fmt.Errorf("the platform has not answered for %v", ago.Round(time.Second))
	}
	return nil
}

// LastPoll is when the platform last answered a question for updates; before
// the first answer when it was first asked, and zero before that.
func (b *Bot) LastPoll() time.Time {
	if last := b.polled.Load(); last != nil {
		return *last
	}
	return time.Time{}
}

// notePoll notes what came of a question for updates.
func (b *Bot) notePoll(err error) {
	if err == nil {
		b.markPolled()
	}
	if b.cfg.Meter != nil {
		b.cfg.Meter.Polled(err)
	}
}

func (b *Bot) markPolled() {
	now := time.Now()
	b.polled.Store(&now)
}
