package bot

import (
	"context"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// The platform's rates: about one message a second to a chat, of which a few
// may follow at once; 20 a minute to a group; about 30 a second in all. Ours
// stay under them.
const (
	chatEvery, chatBurst   = time.Second, 3
	groupEvery, groupBurst = 3500 * time.Millisecond, 3 // in any minute 3 + 17
	allBurst               = 4
	// idle is after what time a chat's own count is forgotten: it is full by
	// then.
	idle = time.Minute
)

// PerSecond is how many messages a second are sent in all where nobody says
// another number.
const PerSecond = 25

// Limiter keeps to the platform's rates. Chats wait for their own turn first,
// and then all for the common one in the order in which they came: no chat
// holds up another.
type Limiter struct {
	mu    sync.Mutex
	chats map[string]*chatLimit
	swept time.Time
	all   *rate.Limiter
}

type chatLimit struct {
	*rate.Limiter
	used time.Time
}

// NewLimiter makes a limiter that lets through so many messages a second in all.
func NewLimiter(perSecond int) *Limiter {
	return &Limiter{chats: map[string]*chatLimit{}, all: rate.NewLimiter(rate.Limit(perSecond), allBurst)}
}

// Wait returns when the next message to a chat may be sent.
func (l *Limiter) Wait(ctx context.Context, chat string) error {
	if err := l.of(chat, time.Now()).Wait(ctx); err != nil {
		return err
	}
	return l.all.Wait(ctx)
}

// of is a chat's own limiter. The topics of a group share one.
func (l *Limiter) of(chat string, now time.Time) *chatLimit {
	chat = withoutTopic(chat)
	l.mu.Lock()
	defer l.mu.Unlock()
	if now.Sub(l.swept) > idle {
		for k, c := range l.chats {
			if now.Sub(c.used) > idle {
				delete(l.chats, k)
			}
		}
		l.swept = now
	}
	c := l.chats[chat]
	if c == nil {
		c = &chatLimit{Limiter: rate.NewLimiter(rate.Every(chatEvery), chatBurst)}
		if !private(chat) {
			c.Limiter = rate.NewLimiter(rate.Every(groupEvery), groupBurst)
		}
		l.chats[chat] = c
	}
	c.used = now
	return c
}
