package engine

import (
	"errors"
	"runtime"
	"sync/atomic"
	"testing"

	"rodcall/session/store"
)

var errFull = errors.New("no space left on device")

// disk fails writing transactions at their very end while it is full.
type disk struct {
	s      *store.Store
	full   atomic.Bool
	failed atomic.Int64
}

func (d *disk) update(f func(*store.Tx) error) error {
	return d.s.Update(func(tx *store.Tx) error {
		if err := f(tx); err != nil {
			return err
		}
		if d.full.Load() {
			d.failed.Add(1)
			return errFull
		}
		return nil
	})
}

// waitFailed waits until n transactions have failed.
func (d *disk) waitFailed(t *testing.T, n int64) {
	t.Helper()
	for ctx := deadline(t); d.failed.Load() < n; runtime.Gosched() {
		if ctx.Err() != nil {
			t.Fatalf("%d transactions failed, want %d", d.failed.Load(), n)
		}
	}
}
