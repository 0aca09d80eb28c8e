package store

import (
	"fmt"

	"rodcall/session"
)

// BusyError says that another process has the file open.
type BusyError struct{ Path string }

func (e *BusyError) Error() string {
	return fmt.Sprintf("open %s: the file is locked; is another rodcall using %s?", e.Path, e.Path)
}

// NewerError says that the file was written by a newer program.
type NewerError struct {
	Path              string
	Format, MinReader int // of the file
}

func (e *NewerError) Error() string {
	return fmt.Sprintf("open %s: a newer rodcall wrote this file (format %d, readable from format %d on; this program knows formats up to %d); update rodcall, nothing was changed",
		e.Path, e.Format, e.MinReader, Format)
}

// ForeignError says that the file is no file of rodcall's.
type ForeignError struct {
	Path string
	Why  string
	Err  error // cause, may be nil
}

func (e *ForeignError) Error() string {
	s := fmt.Sprintf("open %s: %s; name another file, nothing was changed", e.Path, e.Why)
	if e.Err != nil {
		s += fmt.Sprintf(" (%v)", e.Err)
	}
	return s
}

func (e *ForeignError) Unwrap() error { return e.Err }

// DamagedError says that the file is rodcall's, as far as can be told, and
// cannot be read.
type DamagedError struct {
	Path string
	Why  string
	Size int64 // bytes that it should have, where it was cut short; else 0
	Err  error // cause, may be nil
}

func (e *DamagedError) Error() string {
	s := fmt.Sprintf("open %s: the file is damaged: %s; keep a copy of it and restore a backup", e.Path, e.Why)
	if e.Err != nil {
		s += fmt.Sprintf(" (%v)", e.Err)
	}
	return s
}

func (e *DamagedError) Unwrap() error { return e.Err }

// MovedError says that the file which is open is not at its path any more: what is
// written to it may be lost, or found by nobody.
type MovedError struct{ Path string }

func (e *MovedError) Error() string {
	return e.Path + " is not the file any more that was opened: it was moved or deleted, or another took its place; nothing more is written"
}

// RefusedError says that a commit makes no sense and that nothing of it was
// stored. Other commits of the same transaction go on; the same commit would
// be refused again.
type RefusedError struct {
	Inbox uint64 // the message
	Err   error
}

func (e *RefusedError) Error() string { return fmt.Sprintf("message %d refused: %v", e.Inbox, e.Err) }

func (e *RefusedError) Unwrap() error { return e.Err }

// GoneError says that a row is no longer in the inbox: it took effect before.
type GoneError struct{ Inbox uint64 }

func (e *GoneError) Error() string {
	return fmt.Sprintf("message %d is no longer in the inbox", e.Inbox)
}

// SequenceError says that events do not follow the log of their job.
type SequenceError struct {
	Job       string
	Want, Got uint64
}

func (e *SequenceError) Error() string {
	return fmt.Sprintf("job %s: event %d where event %d is next", e.Job, e.Got, e.Want)
}

// NoJobError says that the file, or the chat asked for, has no such job.
type NoJobError struct{ Job string }

func (e *NoJobError) Error() string { return fmt.Sprintf("no job %q", e.Job) }

// NoEventError says that a job has no event of that number.
type NoEventError struct {
	Job string
	Seq uint64
}

func (e *NoEventError) Error() string { return fmt.Sprintf("job %s has no event %d", e.Job, e.Seq) }

// ChainError names the first event of a log that does not fit: it cannot be
// read, or does not follow the one before it.
type ChainError struct {
	Job string
	Seq uint64 // where it stands in the log
	Err error
}

func (e *ChainError) Error() string { return fmt.Sprintf("job %s, event %d: %v", e.Job, e.Seq, e.Err) }

func (e *ChainError) Unwrap() error { return e.Err }

// HashError says that an event does not carry the hash of the one before it.
type HashError struct{ Want, Got session.Hash }

func (e *HashError) Error() string {
	return fmt.Sprintf("it follows an event with hash %.12s, but the one before it has %.12s", e.Got, e.Want)
}
