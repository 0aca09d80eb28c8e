package main

import (
	"context"
	"fmt"
	"log/slog"
	"path/filepath"
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

// wall is a platform that takes no reply.
type wall struct{}

func (wall) Decode(raw []byte) (engine.Incoming, error) {
	return engine.Incoming{Chat: string(raw), PersonPlatformID: "ann", Message: session.Message{Kind: session.Said, ID: "1", Text: "help"}}, nil
}

func (wall) Send(ctx context.Context, _ engine.Delivery) (string, error) {
	<-ctx.Done()
	return "", ctx.Err()
}

// TestStopTellsWhatIsLeft: what could not be sent in time is told, and is in the
// file.
func TestStopTellsWhatIsLeft(t *testing.T) {
	file, err := store.Open(filepath.Join(t.TempDir(), "walk.db"), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	eng, err := engine.Start(engine.Config{Store: file, Port: wall{}})
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
	if err := finish(slog.New(slog.NewTextHandler(&log, nil)), eng, 100*time.Millisecond, true); err != nil {
		t.Error(err)
	}
	if !strings.Contains(log.String(), `ending: what waits is sent first" messages=0 replies=3`) || !strings.Contains(log.String(), "next start\" rest=3\n") {
		t.Errorf("the log:\n%s", log.String())
	}
	err = file.View(func(tx *store.Tx) error {
		rows, err := tx.Outbox(0, 10)
		if len(rows) != 3 {
			t.Errorf("%d replies are in the file", len(rows))
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
	if err := file.Close(); err != nil {
		t.Error(err)
	}
}
