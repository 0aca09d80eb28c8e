package store

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"

	"go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"
)

// Tx is a transaction. It must not be used after the function it was given to
// has returned; what its methods return may be.
type Tx struct {
	tx *bbolt.Tx
	s  *Store
}

// View runs f over one unchanging state of the file. Where the file is only read, a
// page that cannot be is a *DamagedError.
func (s *Store) View(f func(*Tx) error) error {
	view := func() error {
		return s.db.View(func(tx *bbolt.Tx) error { return f(&Tx{tx, s}) })
	}
	if !s.db.IsReadOnly() {
		return view()
	}
	return s.damaged(guarded(view))
}

// damaged is an error of the file's where a page made it.
func (s *Store) damaged(err error) error {
	if bad := (*pageError)(nil); errors.As(err, &bad) {
		return &DamagedError{Path: s.path, Why: bad.Error()}
	}
	return err
}

// Update runs f in a writing transaction. Where it returns nil, all that f
// did is on the disk; where it returns an error, nothing of it is.
func (s *Store) Update(f func(*Tx) error) error {
	return s.db.Update(func(tx *bbolt.Tx) error {
		if err := f(&Tx{tx, s}); err != nil {
			return err
		}
		if s.fault != nil {
			return s.fault()
		}
		return nil
	})
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
		return false, fmt.Errorf("row %q: %w", key, err)
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
