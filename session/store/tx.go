package store

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"
)

// Tx is a transaction. It must not be used after the function it was given to
// has returned; what its methods return may be.
type Tx struct {
	tx *bbolt.Tx
	s  *Store
}

// View runs f over one unchanging state of the file. Where a page or a row of it
// cannot be read that is a *DamagedError.
func (s *Store) View(f func(*Tx) error) error {
	if s.stuck.Load() {
		return s.Broken()
	}
	began := false
	err := s.guarded(func() error {
		return s.db.View(func(tx *bbolt.Tx) error {
			began = true
			return f(&Tx{tx, s})
		})
	})
	if !began && s.ofPage(err) {
		s.stuck.Store(true)
		return s.breaks(err)
	}
	return s.damaged(err)
}

// Update runs f in a writing transaction. Where it returns nil, all that f
// did is on the disk; where it returns an error, nothing of it is. Where a row of the
// file cannot be read that is a *DamagedError. Where a page cannot, or the file is
// not where it was or as the last transaction left it, so it is from then on: see Broken.
func (s *Store) Update(f func(*Tx) error) error {
	if err := s.Broken(); err != nil {
		return err
	}
	var began *bbolt.Tx
	err := s.guarded(func() error {
		return s.db.Update(func(tx *bbolt.Tx) error {
			began = tx
			if err := s.sameAsLeft(tx); err != nil {
				return err
			}
			if err := f(&Tx{tx, s}); err != nil {
				return err
			}
			if s.fault != nil {
				return s.fault()
			}
			return nil
		})
	})
	var altered *alteredError
	var moved *MovedError
	switch {
	case s.ofPage(err):
		if began == nil || began.DB() != nil {
			s.stuck.Store(true) // it could not be taken back, and holds its locks
		}
		return s.breaks(err)
	case errors.As(err, &altered), errors.As(err, &moved):
		return s.breaks(err)
	}
	return s.damaged(err)
}

// Broken is why nothing can be written any more, a *DamagedError or a *MovedError; nil
// where it can.
func (s *Store) Broken() error {
	if bad := s.broken.Load(); bad != nil {
		return *bad
	}
	return nil
}

// breaks notes why nothing is written any more.
func (s *Store) breaks(why error) error {
	var moved *MovedError
	if !errors.As(why, &moved) {
		why = &DamagedError{Path: s.path, Why: why.Error()}
	}
	s.broken.CompareAndSwap(nil, &why)
	return s.Broken()
}

// guarded is guarded, and where the file is written only for panics of pages.
func (s *Store) guarded(f func() error) error {
	if s.db.IsReadOnly() {
		return guarded(f)
	}
	return guardedFrom(f, ofPage)
}

// alteredError says that a file is not as the last transaction left it.
type alteredError struct{ why string }

func (e *alteredError) Error() string { return e.why }

// sameAsLeft says whether a file is where it was, and as the last transaction left it,
// by its number: pages that somebody else wrote are not to be written on. One that
// failed has the number of the next.
func (s *Store) sameAsLeft(tx *bbolt.Tx) error {
	p := pages{file: s.file, size: s.page}
	now, err := os.Stat(s.path)
	switch {
	case errors.Is(err, fs.ErrNotExist) || err == nil && !os.SameFile(s.mine, now):
		return &MovedError{s.path}
	case err == nil:
		p.long = now.Size()
	}
	if err := p.heads(); err != nil {
		return &alteredError{err.Error()}
	}
	if err := p.freeList(); err != nil {
		return &alteredError{err.Error()}
	}
	if s.left != 0 && tx.ID() != s.left && tx.ID() != s.left+1 {
		return &alteredError{"something else wrote to it meanwhile"}
	}
	s.left = tx.ID()
	return nil
}

func (s *Store) ofPage(err error) bool {
	var bad *pageError
	return errors.As(err, &bad)
}

// damaged is an error of the file's where a page or a row made it.
func (s *Store) damaged(err error) error {
	var row *rowError
	if s.ofPage(err) || errors.As(err, &row) {
		return &DamagedError{Path: s.path, Why: err.Error()}
	}
	return err
}

// IsClosed says whether an error comes of the file having been closed.
func IsClosed(err error) bool { return errors.Is(err, berrors.ErrDatabaseNotOpen) }

func (t *Tx) bucket(name []byte) *bbolt.Bucket { return t.tx.Bucket(name) }

// Cursor is what the adapter stored with the newest updates, nil at first.
func (t *Tx) Cursor() []byte { return bytes.Clone(t.bucket(bucketMeta).Get(keyCursor)) }

func number(n uint64) []byte { return binary.BigEndian.AppendUint64(nil, n) }

// under is a key below a chat or a job.
func under(owner string, rest []byte) []byte {
	k := make([]byte, 0, len(owner)+1+len(rest))
	k = append(k, owner...)
	k = append(k, 0)
	return append(k, rest...)
}

func load(b *bbolt.Bucket, key []byte, v any) (bool, error) {
	stored := b.Get(key)
	if stored == nil {
		return false, nil
	}
	if err := json.Unmarshal(stored, v); err != nil {
		return false, &rowError{fmt.Sprintf("row %q", key), err}
	}
	return true, nil
}

func save(b *bbolt.Bucket, key []byte, v any) error {
	j, err := json.Marshal(v)
	if err != nil {
		return fmt.Errorf("row %q: %w", key, err)
	}
	return b.Put(key, j)
}
