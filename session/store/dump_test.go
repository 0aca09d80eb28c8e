package store

import (
	"fmt"
	"testing"

	"go.etcd.io/bbolt"
)

// dump lists all that a file holds: for each bucket and key its value, and
// for each bucket how far its numbers have come.
func dump(t testing.TB, s *Store) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := s.db.View(func(tx *bbolt.Tx) error {
		return tx.ForEach(func(name []byte, b *bbolt.Bucket) error {
			out[fmt.Sprintf("%s sequence", name)] = fmt.Sprint(b.Sequence())
			return b.ForEach(func(k, v []byte) error {
				out[fmt.Sprintf("%s %q", name, k)] = string(v)
				return nil
			})
		})
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}
