package store

import (
	"errors"
	"fmt"
	"slices"
	"strconv"

	"go.etcd.io/bbolt"
)

// migration brings a file to the format behind the one before it. Events are
// never rewritten: they are read up-cast. What migrates is how they are kept.
type migration struct {
	to    int
	parts [][]byte // that the format has and the one before it had not
	// reader is the oldest format that a program must know to read it.
	reader int
	// run changes what is kept; nil for nothing. The parts are there.
	run func(*bbolt.Tx) error
}

// migrations bring a file of format 1 to Format, in order.
var migrations = []migration{
	// Photos; and events of kinds that programs for format 1 do not know.
	{to: 2, parts: [][]byte{bucketPhotos}, reader: 2},
}

// partsOf are the parts that a file of a format has.
func partsOf(format int) [][]byte {
	return slices.DeleteFunc(slices.Clone(buckets), func(b []byte) bool {
		return slices.ContainsFunc(migrations, func(m migration) bool {
			return m.to > format && slices.ContainsFunc(m.parts, func(p []byte) bool { return string(p) == string(b) })
		})
	})
}

// keptName is where a file of an older format is kept when it is migrated.
func keptName(path string, format int) string { return path + ".format-" + strconv.Itoa(format) }

// migrate brings the file from a format to Format, in one transaction. What it
// was is kept beside it, on the disk before anything is changed.
func (s *Store) migrate(format int) error {
	if format >= Format {
		return nil
	}
	kept := keptName(s.path, format)
	if err := s.CopyTo(kept); err != nil {
		return fmt.Errorf("open %s: its format %d is older than this program's, and it cannot be kept before it is changed: %w", s.path, format, err)
	}
	err := s.db.Update(func(tx *bbolt.Tx) error {
		reader := minReader
		for _, m := range migrations[format-1:] {
			for _, part := range m.parts {
				if _, err := tx.CreateBucketIfNotExists(part); err != nil {
					return err
				}
			}
			if m.run != nil {
				if err := m.run(tx); err != nil {
					return fmt.Errorf("to format %d: %w", m.to, err)
				}
			}
			reader = m.reader
		}
		return mark(tx, Format, reader)
	})
	if err != nil {
		return fmt.Errorf("open %s: migrate from format %d: %w", s.path, format, err)
	}
	s.kept = kept
	return nil
}

// mark writes the format of the file into it.
func mark(tx *bbolt.Tx, format, reader int) error {
	meta := tx.Bucket(bucketMeta)
	return errors.Join(
		meta.Put(keyFormat, []byte(strconv.Itoa(format))),
		meta.Put(keyMinReader, []byte(strconv.Itoa(reader))))
}

// Kept is where the file as it was is kept, if opening it brought it to a newer
// format; else "".
func (s *Store) Kept() string { return s.kept }
