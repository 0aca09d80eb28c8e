package bot_test

import (
	"context"
	"encoding/binary"
	"fmt"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"go.etcd.io/bbolt"

	"rodcall/bot"
	"rodcall/bot/apitest"
	"rodcall/session/engine"
	"rodcall/session/store"
)

const (
	ratioChats = 64
	ratioTime  = time.Second // of one run
	ratioRuns  = 5
	rest       = 300 * time.Millisecond // before each
)

// BenchmarkCommitRatio compares messages a second through decode, Hear and the
// writer, with 64 chats of which each sends its next message when its last one
// is answered, with what bbolt's own Batch reaches for the same puts and
// deletes and nothing else, in the same three steps: the inbox, seen and how far
// the platform was read; then the inbox row out, event, header, chat,
// conversation, what the message was about, outbox row; then that row out and
// what the answer was about. Both run in turns. Batch runs with each of four
// delays, and the best of them counts, each by its median, as ours does: the
// best single run of four would be luck of the disk's.
func BenchmarkCommitRatio(b *testing.B) {
	sizes := rowSizes(b)
	for range b.N {
		var ours []float64
		batch := map[time.Duration][]float64{}
		for range ratioRuns {
			ours = append(ours, committed(b))
			for _, delay := range []time.Duration{0, time.Millisecond, 2 * time.Millisecond, 5 * time.Millisecond} {
				batch[delay] = append(batch[delay], batched(b, delay, sizes))
			}
		}
		best := 0.0
		for _, runs := range batch {
			best = max(best, median(runs))
		}
		b.Logf("messages a second: %.0f, Batch by delay: %v", ours, batch)
		b.ReportMetric(median(ours)/best, "ratio")
		b.ReportMetric(.8, "at-least")
		b.ReportMetric(0, "ns/op")
	}
}

func median(runs []float64) float64 {
	slices.Sort(runs)
	return runs[len(runs)/2]
}

// quick is the bot, but for sending: that is done at once.
type quick struct {
	*bot.Bot
	answered func(chat string)
	sent     atomic.Int64
}

func (q *quick) Send(_ context.Context, d engine.Delivery) (string, error) {
	q.answered(d.Chat)
	return fmt.Sprint(q.sent.Add(1)), nil
}

func (q *quick) Drawn(engine.Delivery) bool { return true }

// readUpTo stands for how far the platform was read.
const readUpTo = `{"bot":4242}`

// loop is an engine on a file, with chats that wait for their answers.
type loop struct {
	b     testing.TB
	file  *store.Store
	eng   *engine.Engine
	waits map[string]chan struct{}
	ids   atomic.Int64
}

// newLoop opens a job with an outline in each chat.
func newLoop(b testing.TB, path string, chats int) *loop {
	b.Helper()
	srv := apitest.New(apitest.Config{Token: token})
	defer srv.Close()
	l := &loop{b: b, waits: map[string]chan struct{}{}}
	var err error
	if l.file, err = store.Open(path, store.Options{}); err != nil {
		b.Fatal(err)
	}
	api, err := bot.New(context.Background(), bot.Config{Token: token, API: srv.URL()})
	if err != nil {
		b.Fatal(err)
	}
	for i := range chats {
		l.waits[fmt.Sprint("tg:", i+1)] = make(chan struct{}, 64)
	}
	q := &quick{Bot: api, answered: func(chat string) { l.waits[chat] <- struct{}{} }}
	if l.eng, err = engine.Start(engine.Config{Store: l.file, Port: q}); err != nil {
		b.Fatal(err)
	}
	return l
}

// say sends a message and waits for its answer.
func (l *loop) say(chat int, text string) {
	id := l.ids.Add(1)
	// As bytes, for the platform makes it and not the program.
	raw := fmt.Appendf(nil, `{"update_id":%d,"message":{"message_id":%d,"date":%d,"text":%q,`+
		`"from":{"id":%d,"is_bot":false,"first_name":"Ann","language_code":"en"},`+
		`"chat":{"id":%d,"type":"private","first_name":"Ann"}}}`, id, id, 1_777_000_000+id, text, chat, chat)
	if err := l.eng.Receive([]engine.Update{{ID: id, Raw: raw}}, []byte(readUpTo)); err != nil {
		l.b.Error(err)
		return
	}
	<-l.waits[fmt.Sprint("tg:", chat)]
}

func (l *loop) open(chat int) {
	for _, text := range []string{"new House", "40x28", "direct rod", "0"} {
		l.say(chat, text)
	}
}

func (l *loop) close() {
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	if err := l.eng.Wait(ctx); err != nil {
		l.b.Error(err)
	}
	if err := l.eng.Close(ctx); err != nil {
		l.b.Error(err)
	}
	if err := l.file.Close(); err != nil {
		l.b.Error(err)
	}
}

// committed is messages a second through the whole program but the network.
func committed(b testing.TB) float64 {
	l := newLoop(b, filepath.Join(b.TempDir(), "ours.db"), ratioChats)
	defer l.close()
	rate := inTurns(func(chat int) { l.open(chat) }, func(chat, n int) {
		l.say(chat, reading(n))
	})
	return rate
}

// reading is the n-th message of a walk that goes round and round a calm wall.
func reading(n int) string {
	return fmt.Sprintf("c%d+%d %s", 1+n/6%4, 4*(1+n%6), []string{"1/8 low", "-3/16", "1/8 low", "1/16 low"}[n%4])
}

// inTurns runs what 64 chats do, each one thing after another, and counts the
// things a second.
func inTurns(begin func(chat int), do func(chat, n int)) float64 {
	var wg sync.WaitGroup
	for chat := range ratioChats {
		wg.Go(func() { begin(chat + 1) })
	}
	wg.Wait()
	var done atomic.Int64
	// What the run before left to the disk and the collector is not ours.
	runtime.GC()
	time.Sleep(rest)
	start := time.Now()
	for chat := range ratioChats {
		wg.Go(func() {
			for n := 0; time.Since(start) < ratioTime; n++ {
				do(chat+1, n)
				done.Add(1)
			}
		})
	}
	wg.Wait()
	return float64(done.Load()) / time.Since(start).Seconds()
}

// rows are the buckets that a message touches.
var rows = []string{"meta", "inbox", "seen", "log", "header", "chat", "talk", "heard", "sent", "outbox"}

// rowSizes are the bytes of a value in each bucket after a walk like the one
// that is measured; an outbox row's, which is gone by then, is that of the
// update that it answers.
func rowSizes(b testing.TB) map[string]int {
	b.Helper()
	path := filepath.Join(b.TempDir(), "sizes.db")
	l := newLoop(b, path, 1)
	l.open(1)
	for n := range 50 {
		l.say(1, reading(n))
	}
	l.close()
	db, err := bbolt.Open(path, 0o600, &bbolt.Options{ReadOnly: true})
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close() //nolint:errcheck // it was only read
	sizes := map[string]int{"inbox": 230, "outbox": 230}
	err = db.View(func(tx *bbolt.Tx) error {
		for _, name := range rows {
			n, sum := 0, 0
			err := tx.Bucket([]byte(name)).ForEach(func(_, v []byte) error { n, sum = n+1, sum+len(v); return nil })
			if err != nil {
				return err
			}
			if n > 0 {
				sizes[name] = sum / n
			}
		}
		return nil
	})
	if err != nil {
		b.Fatal(err)
	}
	return sizes
}

// batched is what bbolt's Batch does a second.
func batched(b testing.TB, delay time.Duration, sizes map[string]int) float64 {
	db, err := bbolt.Open(filepath.Join(b.TempDir(), fmt.Sprint("batch", delay, time.Now().UnixNano(), ".db")), 0o600,
		&bbolt.Options{FreelistType: bbolt.FreelistMapType, NoStatistics: true})
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close() //nolint:errcheck // it is thrown away
	db.MaxBatchDelay = delay
	err = db.Update(func(tx *bbolt.Tx) error {
		for _, name := range rows {
			if _, err := tx.CreateBucket([]byte(name)); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		b.Fatal(err)
	}
	var next atomic.Uint64
	key := func(n uint64) []byte { return binary.BigEndian.AppendUint64(nil, n) }
	value := func(name string) []byte { return make([]byte, sizes[name]) }
	must := func(err error) {
		if err != nil {
			b.Error(err)
		}
	}
	return inTurns(func(int) {}, func(chat, n int) {
		id := next.Add(1)
		owner := append(fmt.Appendf(nil, "tg:%d", chat), 0)
		must(db.Batch(func(tx *bbolt.Tx) error {
			if err := tx.Bucket([]byte("inbox")).Put(key(id), value("inbox")); err != nil {
				return err
			}
			if err := tx.Bucket([]byte("meta")).Put([]byte("cursor"), []byte(readUpTo)); err != nil {
				return err
			}
			return tx.Bucket([]byte("seen")).Put(key(id), value("seen"))
		}))
		must(db.Batch(func(tx *bbolt.Tx) error {
			if err := tx.Bucket([]byte("inbox")).Delete(key(id)); err != nil {
				return err
			}
			if err := tx.Bucket([]byte("log")).Put(append(slices.Clone(owner), key(uint64(n))...), value("log")); err != nil {
				return err
			}
			for _, name := range []string{"header", "chat", "talk"} {
				if err := tx.Bucket([]byte(name)).Put(owner, value(name)); err != nil {
					return err
				}
			}
			if err := tx.Bucket([]byte("heard")).Put(append(slices.Clone(owner), key(id)...), value("heard")); err != nil {
				return err
			}
			return tx.Bucket([]byte("outbox")).Put(key(id), value("outbox"))
		}))
		must(db.Batch(func(tx *bbolt.Tx) error {
			if err := tx.Bucket([]byte("sent")).Put(append(slices.Clone(owner), key(id)...), value("sent")); err != nil {
				return err
			}
			return tx.Bucket([]byte("outbox")).Delete(key(id))
		}))
	})
}
