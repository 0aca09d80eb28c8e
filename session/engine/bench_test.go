package engine

import (
	"context"
	"fmt"
	"testing"
	"time"

	"rodcall/session/store"
)

// mute is a platform that never takes a reply: all stay in the outbox, and
// sending costs the writer nothing.
type mute struct{ toy }

func (*mute) Send(ctx context.Context, _ Delivery) (string, error) {
	<-ctx.Done()
	return "", ctx.Err()
}

// queued is how many committed replies wait.
func queued(e *Engine) (n int) {
	e.mu.Lock()
	defer e.mu.Unlock()
	for _, q := range e.out {
		n += len(q.rows)
	}
	return n
}

// BenchmarkCommittedMessage measures the way of a message from the inbox to
// its events in the log and its reply in the outbox, on the disk. All
// messages are in the inbox at first. In one chat each waits for the commit
// of the one before; many chats share commits.
func BenchmarkCommittedMessage(b *testing.B) {
	for _, chats := range []int{1, 16, 256} {
		b.Run(fmt.Sprintf("chats=%d", chats), func(b *testing.B) {
			s := newStore(b)
			us := make([]Update, b.N)
			for i := range us {
				us[i] = said(int64(i), fmt.Sprint("chat ", i%chats), "ann", "c2+4: 3/8 low")
			}
			if err := s.Update(func(tx *store.Tx) error { _, err := tx.Receive(us, nil, noon); return err }); err != nil {
				b.Fatal(err)
			}
			commits := 0 // by the writer alone
			update := func(f func(*store.Tx) error) error { commits++; return s.Update(f) }
			b.ReportAllocs()
			b.ResetTimer()
			e, err := Start(Config{Store: s, Port: &mute{}, Hear: echo, Now: func() time.Time { return noon }, update: update})
			if err != nil {
				b.Fatal(err)
			}
			for queued(e) < b.N {
				time.Sleep(50 * time.Microsecond)
			}
			b.StopTimer()
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "messages/s")
			gone, cancel := context.WithCancel(context.Background())
			cancel() // nothing is waited for
			if err := e.Close(gone); err != nil {
				b.Fatal(err)
			}
			b.ReportMetric(float64(b.N)/float64(commits), "messages/commit")
			view(b, s, func(tx *store.Tx) error {
				rows, err := tx.Outbox(0, b.N+1)
				if len(rows) != b.N || tx.InboxLen() != 0 {
					b.Errorf("%d of %d replies in the outbox, %d messages in the inbox", len(rows), b.N, tx.InboxLen())
				}
				return err
			})
		})
	}
}
