package main

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"

	"rodcall/session/store"
)

// snapshot opens a file to be read: itself, or a copy where a running serve has
// it. The returned function ends it.
func snapshot(ctx context.Context, db string) (*store.Store, func() error, error) {
	file, err := store.Open(db, store.Options{ReadOnly: true})
	var busy *store.BusyError
	if !errors.As(err, &busy) {
		if err != nil {
			return nil, nil, openFault(db, err)
		}
		return file, file.Close, nil
	}
	dir, terr := os.MkdirTemp("", "rodcall-")
	if terr != nil {
		return nil, nil, terr
	}
	path := filepath.Join(dir, filepath.Base(db))
	end := func() error { return os.RemoveAll(dir) }
	if cerr := copyOut(ctx, db, path); cerr != nil {
		return nil, nil, errors.Join(openFault(db, errors.Join(err, cerr)), end())
	}
	// What a running serve has is looked at now that it is a copy.
	var fault *store.Fault
	err = store.Inspect(path, func(f store.Fault) { fault = &f })
	if fault != nil {
		err = &store.DamagedError{Path: db, Why: fault.Error()}
	}
	if err != nil {
		return nil, nil, errors.Join(openFault(db, err), end())
	}
	file, err = store.Open(path, store.Options{ReadOnly: true})
	if err != nil {
		return nil, nil, errors.Join(err, end())
	}
	return file, func() error { return errors.Join(file.Close(), end()) }, nil
}

// inspected looks at the pages of a file before anything else reads it, for a
// damaged one is not to be trusted; whole is false where found was called. Of a
// file that a running serve has they say nothing, for it goes on writing.
func inspected(path string, found func(store.Fault)) (whole bool, err error) {
	var faults []store.Fault
	if err := store.Inspect(path, func(f store.Fault) { faults = append(faults, f) }); err != nil {
		return false, err
	}
	if len(faults) == 0 {
		return true, nil
	}
	file, err := store.Open(path, store.Options{ReadOnly: true})
	var busy *store.BusyError
	if errors.As(err, &busy) {
		return true, nil
	}
	if err == nil {
		if err := file.Close(); err != nil {
			return false, err
		}
	}
	for _, f := range faults {
		found(f)
	}
	return false, nil
}

// copyOut puts a copy of a file in place, whole or not at all, whether or not a
// running serve has it.
func copyOut(ctx context.Context, db, path string) error {
	file, err := store.Open(db, store.Options{ReadOnly: true})
	var busy *store.BusyError
	switch {
	case errors.As(err, &busy):
		return store.Replace(path, func(w io.Writer) error { return askForCopy(ctx, db, w) })
	case err != nil:
		return err
	}
	return errors.Join(file.CopyTo(path), file.Close())
}
