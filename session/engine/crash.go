package engine

import (
	"context"
	"fmt"
	"log/slog"
	"os"
	"runtime/debug"
)

// Crash is deferred first in every goroutine. A panic there is told in the log,
// which hides what is secret, and ends the program with status 1: Go by itself would
// print the panic past the log, with all that is in its text. Where nothing is
// logged the panic goes on.
func Crash(log *slog.Logger) {
	p := recover()
	switch {
	case p == nil:
	case !log.Enabled(context.Background(), slog.LevelError):
		panic(p)
	default:
		log.Error("panic: the program ends", "panic", fmt.Sprint(p), "stack", string(debug.Stack()))
		os.Exit(1)
	}
}

// spawn does something that Close waits for.
func (e *Engine) spawn(f func()) {
	e.work.Go(func() {
		defer Crash(e.log)
		f()
	})
}
