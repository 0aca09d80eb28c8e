package store

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"
)

// guarded makes an error of what a damaged page makes of bbolt, or of the memory
// that it lies in.
func guarded(f func() error) error { return guardedFrom(f, func(any) bool { return true }) }

// guardedFrom does so with those panics that come of a page; any other goes on.
func guardedFrom(f func() error, page func(any) bool) (err error) {
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	defer func() {
		if p := recover(); p != nil {
			if !page(p) {
				panic(p)
			}
			err = &pageError{p}
		}
	}()
	return f()
}

// ofPage says whether a panic that was just caught is a page's: a fault of memory, or
// what bbolt or this room did not expect to find in one. Those who are called
// within a transaction have faults of their own.
func ofPage(p any) bool {
	if _, fault := p.(interface{ Addr() uintptr }); fault {
		return true
	}
	callers := make([]uintptr, 64)
	frames := runtime.CallersFrames(callers[:runtime.Callers(1, callers)])
	panicked := false
	for {
		f, more := frames.Next()
		room := packageOf(f.Function)
		switch {
		case !panicked:
			panicked = f.Function == "runtime.gopanic"
		case room == ours || strings.HasPrefix(room, "go.etcd.io/bbolt"):
			return true
		case !standard(room):
			return false
		}
		if !more {
			return false
		}
	}
}

// ours is this room's own import path.
const ours = "rodcall/session/store"

// packageOf is the import path in a function's full name.
func packageOf(function string) string {
	i := strings.LastIndexByte(function, '/') + 1
	name, _, _ := strings.Cut(function[i:], ".")
	return function[:i] + name
}

// standard says whether a package is one of Go's own, which panics for whoever
// called it.
func standard(room string) bool {
	first, _, _ := strings.Cut(room, "/")
	return !strings.Contains(first, ".") && first != "rodcall" && first != "main"
}

// pageError is what a damaged page made of bbolt, or of the memory that it lies
// in.
type pageError struct{ what any }

func (e *pageError) Error() string { return fmt.Sprintf("a page cannot be read: %v", e.what) }

// rowError is a row that is not what it should be.
type rowError struct {
	row string
	err error
}

func (e *rowError) Error() string { return e.row + ": " + e.err.Error() }
func (e *rowError) Unwrap() error { return e.err }
