package bot_test

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"rodcall/session/store"
)

const (
	shortJob, longJob = 100, 10_000
	jobTurns          = 60 // messages in each job, in turns
)

// BenchmarkLongJobRatio compares one message in a job of 10,000 events with
// the same in a job of 100, from its arrival to its answer, through Hear and a
// durable commit: in an engine that has both in memory, and in one that was
// just started and has folded both. The worse of the two counts.
func BenchmarkLongJobRatio(b *testing.B) {
	path := filepath.Join(b.TempDir(), "jobs.db")
	l := newLoop(b, path, 2)
	for chat, events := range map[int]int{1: shortJob, 2: longJob} {
		l.open(chat)
		fill(l, chat, events)
	}
	for range b.N {
		warm := turns(l)
		l.close()
		last := l.ids.Load()
		l = newLoop(b, path, 2)
		l.ids.Store(last)
		l.say(1, "c1+4 1/8 low") // folds the job
		l.say(2, "c1+4 1/8 low")
		restarted := turns(l)
		b.Logf("a message in a job of %d events against %d: %.2f, after a restart %.2f", longJob, shortJob, warm, restarted)
		b.ReportMetric(max(warm, restarted), "ratio")
		b.ReportMetric(1.2, "at-most")
		b.ReportMetric(0, "ns/op")
	}
	l.close()
}

// fill sends readings, many to a message, until a job has so many events.
func fill(l *loop, chat, events int) {
	for seq(l, chat) < events {
		var lines []string
		for i := range min(200, events-seq(l, chat)) {
			lines = append(lines, fmt.Sprintf("c%d+%d %d/16 low", 1+i%4, 4*(1+i/4%6), 1+i%15))
		}
		l.say(chat, strings.Join(lines, "\n"))
	}
}

// seq is the number of the newest event of a chat's job.
func seq(l *loop, chat int) (n int) {
	err := l.file.View(func(tx *store.Tx) error {
		headers, err := tx.Headers()
		for _, h := range headers {
			if h.Chat == fmt.Sprint("tg:", chat) {
				n = int(h.Seq)
			}
		}
		return err
	})
	if err != nil {
		l.b.Fatal(err)
	}
	return n
}

// turns times messages in both jobs, one after the other, and returns the
// ratio of the medians.
func turns(l *loop) float64 {
	var times [2][]time.Duration
	for n := range jobTurns {
		for i := range times {
			text := fmt.Sprintf("c2+8 %d/16 low", 1+n%15)
			start := time.Now()
			l.say(i+1, text)
			times[i] = append(times[i], time.Since(start))
		}
	}
	for i := range times {
		slices.Sort(times[i])
	}
	return float64(times[1][jobTurns/2]) / float64(times[0][jobTurns/2])
}
