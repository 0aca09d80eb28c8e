package store

import (
	"fmt"
	"testing"
	"time"

	"rodcall/session"
)

func ids(from, n int) []Update {
	out := make([]Update, n)
	for i := range out {
		out[i] = Update{ID: int64(from + i), Raw: []byte("raw")}
	}
	return out
}

// take receives updates and says how many were new.
func take(t *testing.T, s *Store, us []Update, at time.Time) int {
	t.Helper()
	n := 0
	update(t, s, func(tx *Tx) (err error) { n, err = tx.Receive(us, nil, at); return err })
	return n
}

func seenLen(t *testing.T, s *Store) (n int) {
	view(t, s, func(tx *Tx) error { n = tx.bucket(bucketSeen).Stats().KeyN; return nil })
	return n
}

func TestReceiveOnce(t *testing.T) {
	s := newStore(t)
	for i, test := range []struct {
		us   []Update
		want int
	}{
		{ids(5, 3), 3},
		{ids(5, 3), 0},
		{ids(6, 3), 1},
		{append(ids(20, 2), ids(20, 2)...), 2}, // twice within one
		{[]Update{{ID: -1}, {ID: 1 << 62}, {ID: -1 << 63}, {ID: 0}}, 4},
		{[]Update{{ID: -1}, {ID: 1 << 62}, {ID: -1 << 63}, {ID: 0}}, 0},
		{nil, 0},
	} {
		if got := take(t, s, test.us, noon); got != test.want {
			t.Errorf("%d: %d new, want %d", i, got, test.want)
		}
	}
	view(t, s, func(tx *Tx) error {
		in := tx.Inbox(0, 100)
		if len(in) != 10 || tx.InboxLen() != 10 {
			t.Fatalf("%d in the inbox", len(in))
		}
		for i, l := range in {
			if l.Seq != uint64(i+1) {
				t.Errorf("row %d has number %d", i, l.Seq)
			}
		}
		if got := tx.Inbox(4, 2); len(got) != 2 || got[0].Seq != 4 || got[0].ID != 8 {
			t.Errorf("from 4: %v", got)
		}
		if in[7].ID != 1<<62 || in[8].ID != -1<<63 {
			t.Errorf("ids %v", in)
		}
		return nil
	})
}

// Ids are remembered for SeenFor at least, then forgotten, but not the newest
// ones, whatever their age; and a rare id does not outlive them for being out
// of order.
func TestSeenBounds(t *testing.T) {
	s := newStore(t)
	const n = 4 * SeenAtLeast
	day := 24 * time.Hour
	take(t, s, append(ids(1<<40, 1), ids(0, n-1)...), noon)
	if got := take(t, s, ids(0, n-1), noon.Add(SeenFor-time.Second)); got != 0 {
		t.Fatalf("%d were forgotten too early", got)
	}
	// A week of silence, then each day as many again.
	at := noon.Add(7 * day)
	if got := take(t, s, ids(n-1-SeenAtLeast/2, SeenAtLeast/2), at); got != 0 {
		t.Fatalf("%d of the newest were forgotten", got)
	}
	for round := 1; round <= 8; round++ {
		for i := range 40 {
			take(t, s, ids(round*n+i*n/40, n/40), at)
		}
		at = at.Add(3 * day)
		if got := seenLen(t, s); got > 3*n {
			t.Fatalf("round %d: %d ids are remembered", round, got)
		}
	}
	if got := take(t, s, ids(1<<40, 1), at); got != 1 {
		t.Error("the first id was never forgotten")
	}
}

// The newest messages are remembered, and not many more: in a chat by itself,
// and in one of 64 that take turns.
func TestRecentBound(t *testing.T) {
	for _, chats := range []int{1, 64} {
		t.Run(fmt.Sprint(chats), func(t *testing.T) {
			s := newStore(t)
			const all, atOnce = Recent * 5 / 4, 4096
			chat := func(seq int) string { return fmt.Sprint("c", seq%chats) }
			for from := 1; from <= all; from += atOnce {
				update(t, s, func(tx *Tx) error {
					for seq := from; seq < from+atOnce; seq++ {
						err := tx.remember(bucketSent, chat(seq), fmt.Sprint("m", seq), uint64(seq), []byte(`{"job":"j"}`))
						if err != nil {
							return err
						}
					}
					return nil
				})
			}
			view(t, s, func(tx *Tx) error {
				if n := tx.bucket(bucketSent).Stats().KeyN; n > Recent+1<<shelfBits || n < Recent {
					t.Errorf("%d rows are kept, want %d or a few more", n, Recent)
				}
				for seq := all; seq > all-Recent; seq -= 97 {
					p, err := tx.Asked(chat(seq), fmt.Sprint("m", seq))
					if err != nil || p != (session.Place{Job: "j"}) {
						t.Fatalf("message %d of %d is forgotten: %v %v", seq, all, p, err)
					}
					if p, err := tx.Asked("another", fmt.Sprint("m", seq)); err != nil || p != (session.Place{}) {
						t.Fatalf("message %d is known in another chat", seq)
					}
				}
				return nil
			})
		})
	}
}
