package engine

import (
	"context"
	"errors"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"rodcall/session/store"
)

// TestAlive: an engine whose file cannot be written says so until something was,
// and one whose disk does not answer is not waited for.
func TestAlive(t *testing.T) {
	s := newStore(t)
	var full atomic.Bool
	var stuck atomic.Pointer[chan struct{}]
	update := func(f func(*store.Tx) error) error {
		if c := stuck.Load(); c != nil {
			<-*c
		}
		if full.Load() {
			return errors.New("no room")
		}
		return s.Update(f)
	}
	e, err := Start(Config{Store: s, Port: &mute{}, Hear: echo, update: update})
	if err != nil {
		t.Fatal(err)
	}
	alive := func() error {
		ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
		defer cancel()
		return e.Alive(ctx)
	}
	if err := alive(); err != nil {
		t.Errorf("at first: %v", err)
	}
	full.Store(true)
	if err := e.Receive([]Update{said(1, "chat", "ann", "on")}, nil); err == nil {
		t.Error("stored on a full disk")
	}
	full.Store(false)
	// What needs no room would succeed now.
	if err := alive(); err == nil || !strings.HasPrefix(err.Error(), "the file cannot be written: ") || !strings.Contains(err.Error(), "no room") {
		t.Errorf("after a write that failed: %v", err)
	}
	if err := e.Receive([]Update{said(1, "chat", "ann", "on")}, nil); err != nil {
		t.Fatal(err)
	}
	if err := alive(); err != nil {
		t.Errorf("once there is room: %v", err)
	}
	free := make(chan struct{})
	stuck.Store(&free)
	ctx, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer cancel()
	if err := e.Alive(ctx); err == nil || err.Error() != "writing to the file takes too long" {
		t.Errorf("with a disk that does not answer: %v", err)
	}
	stuck.Store(nil)
	close(free)
	gone, cancel := context.WithTimeout(context.Background(), time.Second)
	defer cancel()
	if err := e.Close(gone); err != nil {
		t.Error(err)
	}
	if err := alive(); err == nil {
		t.Error("alive once it is closed")
	}
}
