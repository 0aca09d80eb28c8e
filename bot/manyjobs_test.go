package bot_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"sync"
	"testing"
	"time"

	"rodcall/session/engine"
	"rodcall/session/store"
	"rodcall/session/store/filled"
)

// manyJobs is how many finished jobs a file holds that has been in use for long.
const manyJobs = 100_000

// manyFile is a file of many jobs, made once: what is done to it since is the
// work of a few jobs more.
var manyFile = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "rodcall-")
	if err != nil {
		return "", err
	}
	path := filepath.Join(dir, "many.db")
	s, err := store.Open(path, store.Options{})
	if err != nil {
		return "", err
	}
	return path, errors.Join(filled.Jobs(s, manyJobs, nil), s.Close())
})

// TestMain takes away what benchmarks share.
func TestMain(m *testing.M) {
	status := m.Run()
	if made {
		if path, err := manyFile(); err == nil {
			_ = os.RemoveAll(filepath.Dir(path))
		}
	}
	os.Exit(status)
}

// made says that there is a file of many jobs.
var made bool

// files are a file of many jobs, and an empty one.
func files(b *testing.B) (many, empty string) {
	b.Helper()
	made = true
	many, err := manyFile()
	if err != nil {
		b.Fatal(err)
	}
	if info, err := os.Stat(many); err == nil {
		b.Logf("%d jobs: %d MB", manyJobs, info.Size()>>20)
	}
	return many, filepath.Join(b.TempDir(), "empty.db")
}

// BenchmarkManyJobsRatio compares what one reading costs, from update to answer
// and on the disk, where the file holds 100,000 finished jobs and where it holds
// none.
func BenchmarkManyJobsRatio(b *testing.B) {
	many, empty := files(b)
	old, fresh := newLoop(b, many, 1), newLoop(b, empty, 1)
	for range b.N {
		var ratios []float64
		for _, l := range []*loop{old, fresh} {
			l.say(1, "new House "+strconv.FormatInt(time.Now().UnixNano(), 36))
			l.say(1, "400x300")
			l.say(1, "0")
		}
		one := func(l *loop) time.Duration {
			const readings = 40
			start := time.Now()
			for range readings {
				l.say(1, "1/8 low")
			}
			return time.Since(start)
		}
		for range 7 {
			ratios = append(ratios, float64(one(old))/float64(one(fresh)))
		}
		b.ReportMetric(median(ratios), "ratio")
		b.ReportMetric(1.2, "at-most")
		b.ReportMetric(0, "ns/op")
	}
	old.close()
	fresh.close()
}

// BenchmarkStartRatio compares how long it takes from opening the file until
// messages are heard, less 50 ms where the file holds 100,000 finished jobs.
func BenchmarkStartRatio(b *testing.B) {
	many, empty := files(b)
	ready := func(path string) time.Duration {
		start := time.Now()
		s, err := store.Open(path, store.Options{})
		if err != nil {
			b.Fatal(err)
		}
		e, err := engine.Start(engine.Config{Store: s, Port: &quick{}})
		if err != nil {
			b.Fatal(err)
		}
		took := time.Since(start)
		end, cancel := context.WithTimeout(context.Background(), time.Minute)
		defer cancel()
		if err := e.Close(end); err != nil {
			b.Fatal(err)
		}
		if err := s.Close(); err != nil {
			b.Fatal(err)
		}
		return took
	}
	for range b.N {
		var ratios []float64
		for range 15 {
			long, short := ready(many), ready(empty)
			ratios = append(ratios, float64(max(0, long-50*time.Millisecond))/float64(short))
			if len(ratios) == 1 {
				b.Logf("ready in %v with %d jobs, in %v with none", long, manyJobs, short)
			}
		}
		b.ReportMetric(median(ratios), "ratio")
		b.ReportMetric(1.5, "at-most")
		b.ReportMetric(0, "ns/op")
	}
}
