package bot_test

import (
	"context"
	"fmt"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"rodcall/bot"
)

// sendTimes are when n messages to a chat may be sent, from now.
func sendTimes(t *testing.T, l *bot.Limiter, chat string, n int) (out []time.Duration) {
	start := time.Now()
	for range n {
		if err := l.Wait(context.Background(), chat); err != nil {
			t.Error(err)
		}
		out = append(out, time.Since(start))
	}
	return out
}

// most is the most of the times that fall into any span.
func most(times []time.Duration, span time.Duration) (n int) {
	for _, from := range times {
		k := 0
		for _, at := range times {
			if at >= from && at < from+span {
				k++
			}
		}
		n = max(n, k)
	}
	return n
}

// TestRates holds what is sent against the platform's rates: about one message
// a second to a chat, of which a few may follow at once; 20 a minute to a
// group, its topics together; about 30 a second in all.
func TestRates(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := bot.NewLimiter(bot.PerSecond)
		one := sendTimes(t, l, "tg:1", 60)
		if n := most(one, time.Minute); n > 63 {
			t.Errorf("%d to a chat in a minute", n)
		}
		if one[2] != 0 {
			t.Errorf("the third of a chat waits %s", one[2])
		}
		var mu sync.Mutex
		var group []time.Duration
		var wg sync.WaitGroup
		for topic := range 3 {
			wg.Go(func() {
				times := sendTimes(t, l, fmt.Sprintf("tg:-100/%d", topic), 30)
				mu.Lock()
				defer mu.Unlock()
				group = append(group, times...)
			})
		}
		wg.Wait()
		if n := most(group, time.Minute); n > 20 {
			t.Errorf("%d to a group in a minute", n)
		}
	})
}

// TestFairness: a chat with much to be told holds up no other; all together
// keep under the platform's rate.
func TestFairness(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := bot.NewLimiter(bot.PerSecond)
		var mu sync.Mutex
		var all []time.Duration
		first := map[string]time.Duration{}
		var wg sync.WaitGroup
		for i := range 100 {
			wg.Go(func() {
				n := 2
				if i == 0 {
					n = 50
				}
				chat := fmt.Sprint("tg:", i+1)
				times := sendTimes(t, l, chat, n)
				mu.Lock()
				defer mu.Unlock()
				all, first[chat] = append(all, times...), times[0]
			})
		}
		wg.Wait()
		if n := most(all, time.Second); n > 30 {
			t.Errorf("%d in a second", n)
		}
		for chat, at := range first {
			if at > 5*time.Second {
				t.Errorf("%s waits %s for its first message", chat, at)
			}
		}
	})
}

// TestLimiterForgets chats that have been still for long.
func TestLimiterForgets(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := bot.NewLimiter(bot.PerSecond)
		for i := range 1000 {
			sendTimes(t, l, fmt.Sprint("tg:", i+1), 1)
		}
		time.Sleep(3 * time.Minute)
		sendTimes(t, l, "tg:1", 1)
		if n := bot.LimiterSize(l); n > 1 {
			t.Errorf("%d chats are kept", n)
		}
	})
}
