package store

import (
	"bytes"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
)

// sector is how much a disk writes whole, at least.
const sector = 512

// TestPowerCut cuts the power in the middle of transactions. A transaction is
// written in two steps, each of which waits for the disk: its pages, then the
// page that makes them count. A cut during the first leaves any of its pages,
// new, old or torn between sectors; one during the second leaves the old or the
// new page that counts. What is found then must be the file before or after the
// transaction, whole; and after, once it was acknowledged. That the steps are
// taken in this order is seen from outside, by .ci/synced.
func TestPowerCut(t *testing.T) {
	s, err := Open(filepath.Join(t.TempDir(), "file.db"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if s.db.NoSync || s.db.NoGrowSync || s.db.NoFreelistSync {
		t.Error("the file is written without waiting for the disk")
	}
	chance := rand.New(rand.NewPCG(3, 14))
	image := func() []byte {
		b, err := os.ReadFile(s.Path())
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	page := s.db.Info().PageSize
	before, told := image(), dump(t, s)
	cuts, kept := 0, 0
	for n := uint64(1); n <= 40; n++ {
		update(t, s, func(tx *Tx) error {
			_, err := tx.Receive([]Update{{ID: int64(n), Raw: bytes.Repeat([]byte("x"), chance.IntN(9000))}}, []byte(fmt.Sprint(n)), noon)
			return err
		})
		if n%2 == 0 {
			update(t, s, func(tx *Tx) error {
				e := sets(n / 2)
				if n == 2 {
					e = opens("j1", "a")
				}
				_, err := tx.Commit(commit(n, "a", "j1", e))
				return err
			})
		}
		after, now := image(), dump(t, s)
		for range 6 {
			// The first step: pages of the body, in any state.
			cut := bytes.Clone(before)
			if len(after) > len(cut) && chance.IntN(2) == 0 {
				cut = append(cut, make([]byte, len(after)-len(cut))...)
			}
			for at := 2 * page; at+page <= len(cut); at += page {
				tear(cut[at:at+page], after[at:at+page], chance)
			}
			if n%2 == 1 { // two transactions lie between the images otherwise
				holds(t, cut, told, "the first step")
				cuts++
			}
			// The second step: the body is there, the page that counts torn.
			cut = bytes.Clone(after)
			for i := range 2 {
				copy(cut[i*page:], before[i*page:(i+1)*page])
				tear(cut[i*page:(i+1)*page], after[i*page:(i+1)*page], chance)
			}
			if n%2 == 1 {
				if holds(t, cut, told, "the second step", now) {
					kept++
				}
				cuts++
			}
		}
		holds(t, after, now, "after it was acknowledged")
		before, told = after, now
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if kept == 0 || kept == cuts/2 {
		t.Errorf("of %d cuts in the second step %d kept the transaction: all or none", cuts/2, kept)
	}
	t.Logf("%d cuts", cuts)
}

// tear overwrites some sectors of a page with new ones: none, all, or any.
func tear(page, with []byte, chance *rand.Rand) {
	way := chance.IntN(3)
	for at := 0; at < len(page); at += sector {
		if way == 1 || way == 2 && chance.IntN(2) == 0 {
			copy(page[at:at+sector], with[at:at+sector])
		}
	}
}

// holds opens an image of a file and checks that it is sound and holds what is
// wanted, or else what also may be; it returns whether it was that.
func holds(t *testing.T, image []byte, want map[string]string, when string, or ...map[string]string) (other bool) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "cut.db")
	if err := os.WriteFile(path, image, 0o600); err != nil {
		t.Fatal(err)
	}
	s, err := Open(path, Options{ReadOnly: true})
	if err != nil {
		t.Fatalf("cut in %s: %v", when, err)
	}
	defer func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}()
	if _, err := s.Check(func(f Fault) {
		// Jobs are made up here, and their headers say nothing.
		if f.Job == "" {
			t.Errorf("cut in %s: %v", when, f)
		}
	}); err != nil {
		t.Errorf("cut in %s: %v", when, err)
	}
	got := dump(t, s)
	for _, o := range or {
		if maps.Equal(got, o) {
			return true
		}
	}
	if !maps.Equal(got, want) {
		t.Errorf("cut in %s: the file holds neither what was before nor what came after", when)
	}
	return false
}
