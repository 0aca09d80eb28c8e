package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"rodcall/bot/apitest"
	"rodcall/session"
	"rodcall/session/engine"
	"rodcall/session/store"
)

// TestStopSendsWhatWaits ends the real program while thirty replies wait behind
// slow ones: when it has ended all are there, once.
func TestStopSendsWhatWaits(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds the program")
	}
	srv := apitest.New(apitest.Config{})
	defer srv.Close()
	p := newProgram(t, srv, "--per-second", "0")
	p.run()
	walkers := letIn(t, srv, p, 10)
	for _, w := range walkers {
		until(t, srv, "the first reading", func() bool { return w.heard("c1: ") })
	}
	srv.Schedule(apitest.Schedule{Seed: 5, Slow: 1, Delay: 500 * time.Millisecond})
	for range 3 {
		for _, w := range walkers {
			w.said++
			w.c.Say(w.u, "1/8 low")
		}
	}
	until(t, srv, "all taken", func() bool { return srv.Pending() == 0 })
	p.stop()
	for _, w := range walkers {
		if n := w.check(t); n > 0 {
			t.Errorf("%s: %d replies came twice", w.u.FirstName, n)
		}
	}
	if strings.Contains(p.printed(), "ended before all was sent") {
		t.Errorf("something is left:\n%s", p.printed())
	}
	if !strings.Contains(p.printed(), "ending: what waits is sent first") {
		t.Error("nothing was waiting when it ended")
	}
}

// wall is a platform that takes no reply, but for what it says of that; once it
// is open it takes all.
type wall struct {
	says error
	open bool
	sent chan string // chats
}

func (*wall) Decode(raw []byte) (engine.Incoming, error) {
	return engine.Incoming{Chat: string(raw), PersonPlatformID: "ann", Message: session.Message{Kind: session.Said, ID: "1", Text: "help"}}, nil
}

func (w *wall) Send(ctx context.Context, d engine.Delivery) (string, error) {
	switch {
	case w.open:
		w.sent <- d.Chat
		return "1", nil
	case w.says != nil:
		return "", w.says
	}
	<-ctx.Done()
	return "", ctx.Err()
}

// TestStopTellsWhatIsLeft: what could not be sent in time is told, and is sent on
// the next start, once. What has to wait for longer is not waited for.
func TestStopTellsWhatIsLeft(t *testing.T) {
	for _, c := range []struct {
		name   string
		says   error
		within time.Duration
	}{
		{"it does not answer", nil, 100 * time.Millisecond},
		{"it wants all an hour later", &engine.RetryAfterError{After: time.Hour, Err: errors.New("later")}, time.Minute},
	} {
		t.Run(c.name, func(t *testing.T) {
			file, err := store.Open(filepath.Join(t.TempDir(), "walk.db"), store.Options{})
			if err != nil {
				t.Fatal(err)
			}
			defer file.Close() //nolint:errcheck // its folder is thrown away
			ahead := time.Duration(0)
			now := func() time.Time { return time.Now().Add(ahead) }
			eng, err := engine.Start(engine.Config{Store: file, Port: &wall{says: c.says}, Now: now})
			if err != nil {
				t.Fatal(err)
			}
			for i := range 3 {
				if err := eng.Receive([]engine.Update{{ID: int64(i + 1), Raw: fmt.Append(nil, "chat ", i)}}, nil); err != nil {
					t.Fatal(err)
				}
			}
			for in := 1; in > 0; in, _ = eng.Waiting() {
				time.Sleep(time.Millisecond)
			}
			var log strings.Builder
			if err := finish(slog.New(slog.NewTextHandler(&log, nil)), eng, c.within, true); err != nil {
				t.Error(err)
			}
			if !strings.Contains(log.String(), `ending: what waits is sent first" messages=0 replies=3`) || !strings.Contains(log.String(), "next start\" rest=3\n") {
				t.Errorf("the log:\n%s", log.String())
			}
			ahead = 2 * time.Hour
			w := &wall{open: true, sent: make(chan string, 10)}
			if eng, err = engine.Start(engine.Config{Store: file, Port: w, Now: now}); err != nil {
				t.Fatal(err)
			}
			if err := eng.Wait(t.Context()); err != nil {
				t.Error(err)
			}
			log.Reset()
			if err := finish(slog.New(slog.NewTextHandler(&log, nil)), eng, time.Minute, true); err != nil || log.Len() > 0 {
				t.Errorf("%v, and the log:\n%s", err, log.String())
			}
			close(w.sent)
			var sent []string
			for chat := range w.sent {
				sent = append(sent, chat)
			}
			slices.Sort(sent)
			if want := []string{"chat 0", "chat 1", "chat 2"}; !slices.Equal(sent, want) {
				t.Errorf("sent to %q", sent)
			}
		})
	}
}
