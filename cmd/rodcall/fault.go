package main

import "fmt"

// Exit statuses other than 0.
const (
	failed        = 1
	calledWrongly = 2
)

// fault is an error as the program shows it: what is wrong, and an input that
// works.
type fault struct {
	status int
	what   error
	hint   string // "" where the error says all there is to do
}

// Error is the text behind "error: ".
func (f *fault) Error() string { return f.what.Error() }

// Unwrap gives the cause.
func (f *fault) Unwrap() error { return f.what }

// wrongly says that the program was called wrongly.
func wrongly(hint, format string, args ...any) error {
	return &fault{calledWrongly, fmt.Errorf(format, args...), hint}
}

// failure says that what was asked for could not be done.
func failure(hint, format string, args ...any) error {
	return &fault{failed, fmt.Errorf(format, args...), hint}
}
