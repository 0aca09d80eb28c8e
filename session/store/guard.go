package store

import (
	"fmt"
	"runtime/debug"
)

// guarded makes an error of what a damaged page makes of bbolt, or of the memory
// that it lies in.
func guarded(f func() error) (err error) {
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	defer func() {
		if p := recover(); p != nil {
			err = &pageError{p}
		}
	}()
	return f()
}

// pageError is what a damaged page made of bbolt, or of the memory that it lies
// in.
type pageError struct{ what any }

func (e *pageError) Error() string { return fmt.Sprintf("a page cannot be read: %v", e.what) }
