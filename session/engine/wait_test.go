package engine

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"
	"time"

	"github.com/google/go-cmp/cmp"

	"rodcall/session/store"
)

// sentAt is a reply that was tried, and when: since the test began.
type sentAt struct {
	Text    string
	Attempt int
	After   time.Duration
}

// timed is a toy platform that notes each attempt; fail says what comes of it.
func timed(fail func(Delivery) error) (p *toy, tried *[]sentAt) {
	p, tried = &toy{}, &[]sentAt{}
	began := time.Now()
	p.send = func(d Delivery) error {
		p.mu.Lock()
		defer p.mu.Unlock()
		*tried = append(*tried, sentAt{d.Reply.Text, d.Attempt, time.Since(began)})
		return fail(d)
	}
	return p, tried
}

// settleSoon waits as long as it takes on the bubble's clock.
func settleSoon(t *testing.T, e *Engine) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 1000*time.Hour)
	defer cancel()
	if err := e.Wait(ctx); err != nil {
		t.Fatal(err)
	}
}

// inBubble runs f with an engine's clock, timers and the test's own all
// standing still until everything waits.
func inBubble(t *testing.T, f func(t *testing.T, s *store.Store)) {
	path := t.TempDir() + "/file.db"
	synctest.Test(t, func(t *testing.T) { f(t, openStore(t, path)) })
}

// A reply that the platform wants later is sent then and not earlier, also
// when the engine was closed meanwhile; what is behind it in its chat waits
// with it, other chats do not.
func TestRetryAfterOverRestart(t *testing.T) {
	inBubble(t, func(t *testing.T, s *store.Store) {
		p, tried := timed(func(d Delivery) error {
			if d.Reply.Text == "one" && d.Attempt == 0 {
				return &RetryAfterError{After: time.Hour, Err: errors.New("too many requests")}
			}
			return nil
		})
		cfg := Config{Store: s, Port: p, Hear: echo, Now: time.Now}
		e := start(t, cfg)
		receive(t, e, said(1, "a", "ann", "one"), said(2, "a", "ann", "two"))
		synctest.Wait()
		time.Sleep(10 * time.Minute)
		stop(t, e)
		path := s.Path()
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(10 * time.Minute)

		cfg.Store = openStore(t, path)
		e = start(t, cfg)
		synctest.Wait()
		receive(t, e, said(3, "b", "bo", "x"))
		settleSoon(t, e)
		want := []sentAt{{"one", 0, 0}, {"x", 0, 20 * time.Minute}, {"one", 1, time.Hour}, {"two", 0, time.Hour}}
		if diff := cmp.Diff(want, *tried); diff != "" {
			t.Error(diff)
		}
	})
}

// A live reply that waits is replaced by its newer version, which is sent
// when the older one would have been.
func TestLiveReplacedInWait(t *testing.T) {
	inBubble(t, func(t *testing.T, s *store.Store) {
		p, tried := timed(func(d Delivery) error {
			if d.Attempt == 0 {
				return &RetryAfterError{After: time.Minute, Err: errors.New("too many requests")}
			}
			return nil
		})
		e := start(t, Config{Store: s, Port: p, Hear: board, Now: time.Now})
		receive(t, e, said(1, "a", "ann", "v1"))
		synctest.Wait()
		time.Sleep(30 * time.Second)
		receive(t, e, said(2, "a", "ann", "v2"))
		settleSoon(t, e)
		if diff := cmp.Diff([]sentAt{{"v1", 0, 0}, {"v2", 1, time.Minute}}, *tried); diff != "" {
			t.Error(diff)
		}
	})
}

// What fails for no known reason is tried again after 1 s, 2 s, 4 s and so
// on, up to 5 minutes, for as long as it takes.
func TestBackoff(t *testing.T) {
	inBubble(t, func(t *testing.T, s *store.Store) {
		p, tried := timed(func(d Delivery) error {
			if d.Attempt < 12 {
				return errors.New("no route")
			}
			return nil
		})
		e := start(t, Config{Store: s, Port: p, Hear: echo, Now: time.Now})
		receive(t, e, said(1, "a", "ann", "one"))
		settleSoon(t, e)
		var want []sentAt
		at := time.Duration(0)
		for i, wait := range []time.Duration{1, 2, 4, 8, 16, 32, 64, 128, 256, 300, 300, 300, 0} {
			want = append(want, sentAt{"one", i, at})
			at += wait * time.Second
		}
		if diff := cmp.Diff(want, *tried); diff != "" {
			t.Error(diff)
		}
	})
}

// moody is a limiter that lets nothing pass at first.
type moody struct{ errs []error }

func (l *moody) Wait(context.Context, string) error {
	if len(l.errs) == 0 {
		return nil
	}
	err := l.errs[0]
	l.errs = l.errs[1:]
	return err
}

// A limiter that fails, in whatever way, is asked again a second later; its
// chat is not given up.
func TestLimiterFails(t *testing.T) {
	inBubble(t, func(t *testing.T, s *store.Store) {
		p, tried := timed(func(Delivery) error { return nil })
		l := &moody{[]error{errors.New("no rate"), context.Canceled, context.DeadlineExceeded}}
		e := start(t, Config{Store: s, Port: p, Hear: echo, Limiter: l, Now: time.Now})
		receive(t, e, said(1, "a", "ann", "one"), said(2, "a", "ann", "two"))
		settleSoon(t, e)
		if diff := cmp.Diff([]sentAt{{"one", 0, 3 * time.Second}, {"two", 0, 3 * time.Second}}, *tried); diff != "" {
			t.Error(diff)
		}
	})
}
