package apitest

import (
	"math"
	"strings"
	"time"
)

// Rates are how much a bot may send; a zero leaves that rate free. Sending and
// editing count, answering taps, reacting and deleting do not.
type Rates struct {
	ChatPerSecond  float64 `json:"chat_per_second"`  // messages, in one chat
	ChatBurst      int     `json:"chat_burst"`       // messages that may come at once in one chat
	GroupPerMinute int     `json:"group_per_minute"` // messages, in one group
	TotalPerSecond int     `json:"total_per_second"` // messages, in all
}

// PlatformRates are those of [Limits].
func PlatformRates() Rates {
	return Rates{Limits.ChatPerSecond, Limits.ChatBurst, Limits.GroupPerMinute, Limits.TotalPerSecond}
}

type rates struct {
	Rates
	total []time.Time
	chats map[*chat]*chatRate
}

type chatRate struct {
	sent   []time.Time // of the last minute
	tokens float64
	at     time.Time
}

// SetRates turns rates on; the zero value turns them off. They go by
// Config.Now, and start full.
func (s *Server) SetRates(r Rates) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.rates = &rates{Rates: r, chats: make(map[*chat]*chatRate)}
	if r == (Rates{}) {
		s.rates = nil
	}
}

func counts(method string) bool {
	return strings.HasPrefix(method, "editMessage") || strings.HasPrefix(method, "send") && method != "sendChatAction"
}

// since drops the times that are a span old or older.
func since(list []time.Time, now time.Time, span time.Duration) []time.Time {
	for len(list) > 0 && now.Sub(list[0]) >= span {
		list = list[1:]
	}
	return list
}

// check refuses a request that comes too soon. s.mu is held.
func (r *rates) check(s *Server, method string, p params) error {
	if r == nil || !counts(method) {
		return nil
	}
	c, err := s.find(p)
	if err != nil {
		return nil // it will be refused for that
	}
	now := s.cfg.Now()
	var wait time.Duration
	if r.total = since(r.total, now, time.Second); r.TotalPerSecond > 0 && len(r.total) >= r.TotalPerSecond {
		wait = r.total[len(r.total)-r.TotalPerSecond].Add(time.Second).Sub(now)
	}
	one := r.chats[c]
	if one == nil {
		one = &chatRate{tokens: float64(max(1, r.ChatBurst)), at: now}
		r.chats[c] = one
	}
	one.sent = since(one.sent, now, time.Minute)
	if c.kind != kindPrivate && r.GroupPerMinute > 0 && len(one.sent) >= r.GroupPerMinute {
		wait = max(wait, one.sent[len(one.sent)-r.GroupPerMinute].Add(time.Minute).Sub(now))
	}
	if r.ChatPerSecond > 0 {
		one.tokens = min(float64(max(1, r.ChatBurst)), one.tokens+r.ChatPerSecond*now.Sub(one.at).Seconds())
		one.at = now
		// The last digits of a sum of fractions are noise.
		if need := 1 - 1e-9 - one.tokens; need > 0 {
			wait = max(wait, time.Duration(need/r.ChatPerSecond*float64(time.Second)))
		}
	}
	if wait <= 0 {
		return nil
	}
	return tooMany(max(1, int(math.Ceil(wait.Seconds()))))
}

// take counts a request that was carried out. s.mu is held.
func (r *rates) take(s *Server, method string, p params) {
	if r == nil || !counts(method) {
		return
	}
	c, err := s.find(p)
	if err != nil {
		return
	}
	now := s.cfg.Now()
	r.total = append(r.total, now)
	one := r.chats[c]
	one.sent = append(one.sent, now)
	one.tokens--
}
