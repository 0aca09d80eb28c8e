package term

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// Chat talks with a person: each line of o.In is a message, and replies are
// printed. `ann: text` speaks as ann, who then stays; the first speaker is
// crew. A button is tapped by typing its label, or by `taps "label"`; edits
// and replies are written as in Play. /quit or the end of the input ends it.
// Without a folder pictures go beside the file, into FILE-pictures.
func Chat(ctx context.Context, o Options) (err error) {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Pictures == "" {
		o.Pictures = strings.TrimSuffix(o.DB, filepath.Ext(o.DB)) + "-pictures"
	}
	clock := func() time.Time { return o.Now().UTC().Truncate(time.Millisecond) }
	d, err := openDesk(ctx, o, func(*phone) time.Time { return clock() })
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, d.close()) }()
	d.port.named = o.Pictures + string(filepath.Separator)

	say := func(format string, args ...any) error {
		_, err := fmt.Fprintf(o.Out, format, args...)
		return err
	}
	if err := say("This chat is kept in %s. `new NAME` opens a job, `help` says what else there is, /quit ends.\n", o.DB); err != nil {
		return err
	}
	lines := readLines(o.In)
	speaker := "crew"
	for {
		if prompted(o.In) {
			if err := say("> "); err != nil {
				return err
			}
		}
		var l line
		select {
		case l = <-lines:
		case <-ctx.Done():
			return nil
		}
		if l.err != nil {
			if errors.Is(l.err, io.EOF) {
				return nil
			}
			return fmt.Errorf("read: %w", l.err)
		}
		text := strings.TrimSpace(l.text)
		if text == "" {
			continue
		}
		if text == "/quit" {
			return nil
		}
		s := d.phone.typed(text)
		if s.speaker != "" {
			speaker = s.speaker
		}
		u, err := d.phone.act(s, speaker, clock())
		if err != nil {
			if err := say("  (%v)\n", err); err != nil {
				return err
			}
			continue
		}
		if err := d.deliver(ctx, u); err != nil {
			if ctx.Err() != nil {
				return nil
			}
			if err := say("  (something went wrong here: %v)\n", err); err != nil {
				return err
			}
		}
	}
}

// typed reads a line that a person typed: what is no step of a message is a
// text, and the label of a button of the bot's newest message taps it.
func (p *phone) typed(text string) step {
	if n := len(p.Shown); n > 0 {
		newest := p.Shown[n-1].Sent
		if newest == fmt.Sprintf("b%d", p.Sent) && slices.ContainsFunc(p.Shown, func(l label) bool {
			return l.Sent == newest && l.Label == text
		}) {
			return step{kind: taps, target: text}
		}
	}
	s, err := parseStep(text)
	if err != nil || s.kind == waits || s.kind == restart || s.kind == repeat {
		return step{kind: says, text: breaks(text)}
	}
	return s
}

// prompted says whether somebody sits before the input.
func prompted(in io.Reader) bool {
	f, ok := in.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

type line struct {
	text string
	err  error
}

// readLines reads lines in a goroutine of its own, so that waiting for one
// can be given up; the goroutine ends with the input.
func readLines(r io.Reader) <-chan line {
	c := make(chan line)
	go func() {
		in := bufio.NewReader(r)
		for {
			text, err := in.ReadString('\n')
			if text != "" {
				c <- line{text: text}
			}
			if err != nil {
				c <- line{err: err}
				return
			}
		}
	}()
	return c
}
