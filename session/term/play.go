package term

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"rodcall/session/engine"
)

// maxStep is the longest line of a played chat, in bytes.
const maxStep = 1 << 20

// StepError says which step of a played chat could not be done, and why. The
// steps before it were.
type StepError struct {
	Line int    // from 1
	Step string // as written
	Err  error
}

func (e *StepError) Error() string { return fmt.Sprintf("line %d, %q: %v", e.Line, e.Step, e.Err) }

func (e *StepError) Unwrap() error { return e.Err }

// Play plays a chat, one step a line of o.In, and prints each step behind
// "> " and the replies indented below it. Without a folder pictures are shown
// as [picture]. It ends with the first step that cannot be done, by a
// *StepError; all before it is in the file.
func Play(ctx context.Context, o Options) (err error) {
	// The clock stands still between messages: a drawing is made when the
	// newest message was sent.
	now := func(p *phone) time.Time { return p.Now }
	d, err := openDesk(ctx, o, now)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, d.close()) }()

	player := &player{desk: d, speaker: "crew", now: now}
	in := bufio.NewScanner(o.In)
	in.Buffer(nil, maxStep)
	for line := 1; in.Scan(); line++ {
		text := strings.TrimSuffix(in.Text(), "\r")
		if line == 1 {
			text = strings.TrimPrefix(text, "\ufeff")
		}
		if !isStep(text) {
			continue
		}
		if _, err := fmt.Fprintf(o.Out, "> %s\n", text); err != nil {
			return err
		}
		if err := player.play(ctx, text); err != nil {
			return &StepError{Line: line, Step: text, Err: err}
		}
	}
	if errors.Is(in.Err(), bufio.ErrTooLong) {
		return fmt.Errorf("read steps: a line is longer than %d bytes: %w", maxStep, in.Err())
	}
	if in.Err() != nil {
		return fmt.Errorf("read steps: %w", in.Err())
	}
	return nil
}

// player is a chat being played.
type player struct {
	*desk
	speaker string
	now     func(*phone) time.Time
}

func (p *player) play(ctx context.Context, line string) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	s, err := parseStep(line)
	if err != nil {
		return err
	}
	switch s.kind {
	case waits:
		p.phone.Clock = p.phone.Clock.Add(s.wait)
		return nil
	case restart:
		if err := p.close(); err != nil {
			return err
		}
		return p.open(ctx, p.now)
	case repeat:
		if p.phone.Last == nil {
			return errors.New("nothing was sent yet that could come again")
		}
		return p.deliver(ctx, engine.Update{ID: p.phone.Update, Raw: p.phone.Last})
	case says, edits, replies, taps, shows, speaks:
	}
	if s.speaker != "" {
		p.speaker = s.speaker
	}
	u, err := p.phone.act(s, p.speaker, p.phone.Clock)
	if err != nil {
		return err
	}
	return p.deliver(ctx, u)
}
