package store

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// Copy writes the file as it stands at one moment, while others go on writing.
// It returns how many bytes it wrote.
func (s *Store) Copy(w io.Writer) (n int64, err error) {
	err = s.View(func(tx *Tx) (err error) {
		n, err = tx.tx.WriteTo(w)
		return err
	})
	if err != nil {
		return n, fmt.Errorf("copy %s: %w", s.path, err)
	}
	return n, nil
}

// CopyTo puts a copy of the file at a path, whole or not at all, and safe from
// a power cut before it returns.
func (s *Store) CopyTo(path string) error {
	return Replace(path, func(w io.Writer) error {
		_, err := s.Copy(w)
		return err
	})
}

// Replace puts a file in place, whole or not at all, with what write writes. It
// is readable by its owner alone, and on the disk when Replace returns.
func Replace(path string, write func(io.Writer) error) (err error) {
	f, err := os.CreateTemp(filepath.Dir(path), ".rodcall-*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(f.Name()))
		}
	}()
	err = write(f)
	if err == nil {
		err = f.Sync()
	}
	if err := errors.Join(err, f.Close()); err != nil {
		return err
	}
	if err := os.Rename(f.Name(), path); err != nil {
		return err
	}
	syncFolder(path)
	return nil
}

// syncFolder makes the name of a new file safe from a power cut. Not every
// system can do that; where it cannot, there is nothing to add.
func syncFolder(path string) {
	if dir, err := os.Open(filepath.Dir(path)); err == nil {
		_ = dir.Sync()
		_ = dir.Close()
	}
}
