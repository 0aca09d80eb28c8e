package apitest

import (
	"encoding/json"
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"net/http"
	"time"
)

// A TroubleKind says what goes wrong with a request.
type TroubleKind string

// What can go wrong. Each may be slow as well, by [Trouble.Delay].
const (
	Slow        TroubleKind = "slow"         // it is only answered late
	ServerError TroubleKind = "server error" // a 5xx whose body is no JSON and echoes the path; nothing is done
	TooMany     TroubleKind = "too many"     // 429; nothing is done
	CutBefore   TroubleKind = "cut before"   // the connection is cut; nothing is done
	CutAfter    TroubleKind = "cut after"    // it takes effect, and the connection is cut instead of an answer; half of a download has come by then
)

// A Trouble befalls chosen requests.
type Trouble struct {
	Kind       TroubleKind   `json:"kind"`
	Method     string        `json:"method,omitempty"`      // of this method, "download" for that of a file; empty: of any but getUpdates
	ChatID     int64         `json:"chat_id,omitempty"`     // in this chat; 0: in any
	Skip       int           `json:"skip,omitempty"`        // so many such requests pass first
	Times      int           `json:"times,omitempty"`       // 0: one request; below 0: all
	Delay      time.Duration `json:"delay,omitempty"`       // nanoseconds, before anything else; of CutAfter: before the cut
	Status     int           `json:"status,omitempty"`      // of a ServerError, default 502
	RetryAfter int           `json:"retry_after,omitempty"` // seconds, of TooMany, default 1
}

func (t *Trouble) name() string {
	if t == nil {
		return ""
	}
	return string(t.Kind)
}

func (t *Trouble) status() int {
	if t.Status == 0 {
		return http.StatusBadGateway
	}
	return t.Status
}

// A Schedule makes trouble by chance. The shares are from 0 to 1; what happens
// to a request depends only on the seed, its method, its chat and how many of
// those came before, so it is the same in every run that asks the same.
type Schedule struct {
	Seed        uint64  `json:"seed"`
	Slow        float64 `json:"slow,omitempty"`
	ServerError float64 `json:"server_error,omitempty"`
	TooMany     float64 `json:"too_many,omitempty"`
	CutBefore   float64 `json:"cut_before,omitempty"`
	CutAfter    float64 `json:"cut_after,omitempty"`
	Polls       bool    `json:"polls,omitempty"` // getUpdates is struck too

	Delay      time.Duration `json:"delay,omitempty"`       // the longest, nanoseconds
	RetryAfter int           `json:"retry_after,omitempty"` // the longest, seconds; default 1

	RepeatUpdates float64 `json:"repeat_updates,omitempty"` // given once more after they were confirmed
	RepeatTaps    float64 `json:"repeat_taps,omitempty"`    // sent again under a new update_id and a new query id
	JumpIDs       float64 `json:"jump_ids,omitempty"`       // after which the update_id skips ahead
	ShuffleChats  bool    `json:"shuffle_chats,omitempty"`  // an answer's updates keep their order only within a chat
	ShuffleAll    bool    `json:"shuffle_all,omitempty"`    // an answer's updates are in no order
}

type schedule struct {
	Schedule
	seen map[string]int
}

// Inject makes the troubles happen, each to the first requests it fits. One
// request has one trouble at most, the earlier injected first.
func (s *Server) Inject(troubles ...Trouble) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, t := range troubles {
		s.troubles = append(s.troubles, &t)
	}
}

// Recover takes back all that was injected and has not happened yet.
func (s *Server) Recover() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.troubles = nil
}

// Schedule sets the trouble that comes by chance; the zero value ends it.
func (s *Server) Schedule(by Schedule) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.schedule = &schedule{Schedule: by, seen: make(map[string]int)}
	if by == (Schedule{}) {
		s.schedule = nil
	}
}

// SetDown cuts every connection as soon as a request comes, until it is
// called with false; what waits is not cut.
func (s *Server) SetDown(down bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.down = down
}

// draw is the dice of the next event of a name.
func (by *schedule) draw(name string) *rand.Rand {
	h := fnv.New64a()
	_, _ = fmt.Fprintf(h, "%s %d", name, by.seen[name]) // a hash takes all
	by.seen[name]++
	return rand.New(rand.NewPCG(by.Seed, h.Sum64()))
}

// troubleFor finds what befalls a request; nil for nothing.
func (s *Server) troubleFor(c *call) *Trouble {
	chat := c.form["chat_id"]
	if n, ok := c.json["chat_id"].(json.Number); ok {
		chat = n.String()
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	for i, t := range s.troubles {
		if t.Method != c.method && (t.Method != "" || c.method == "getUpdates") ||
			t.ChatID != 0 && fmt.Sprint(t.ChatID) != chat {
			continue
		}
		if t.Skip > 0 {
			t.Skip--
			continue
		}
		if t.Times--; t.Times == 0 || t.Times == -1 {
			s.troubles = append(s.troubles[:i:i], s.troubles[i+1:]...)
		} else if t.Times < 0 {
			t.Times = -2
		}
		hit := *t
		if hit.RetryAfter == 0 {
			hit.RetryAfter = 1
		}
		return &hit
	}
	by := s.schedule
	if by == nil || c.method == "getUpdates" && !by.Polls {
		return nil
	}
	dice := by.draw(c.method + " " + chat)
	at := dice.Float64()
	t := &Trouble{RetryAfter: 1 + dice.IntN(max(1, by.RetryAfter)), Status: []int{500, 502, 503, 504}[dice.IntN(4)]}
	if by.Delay > 0 {
		t.Delay = time.Duration(dice.Int64N(int64(by.Delay) + 1))
	}
	for _, share := range []struct {
		kind TroubleKind
		of   float64
	}{{Slow, by.Slow}, {ServerError, by.ServerError}, {TooMany, by.TooMany}, {CutBefore, by.CutBefore}, {CutAfter, by.CutAfter}} {
		if t.Kind = share.kind; at < share.of {
			if t.Kind != Slow {
				t.Delay = 0
			}
			return t
		}
		at -= share.of
	}
	return nil
}

// trouble befalls an update that was just queued. s.mu is held.
func (s *Server) trouble(u *update) {
	by := s.schedule
	if by == nil {
		return
	}
	dice := by.draw(fmt.Sprintf("update %d", u.lane))
	if dice.Float64() < by.RepeatUpdates {
		u.again = 1
	}
	repeat, jump, by1 := dice.Float64() < by.RepeatTaps, dice.Float64() < by.JumpIDs, 1+dice.Int64N(1000)
	if jump {
		s.queue.next += by1
	}
	if repeat && u.kind == "callback_query" {
		s.tapAgain(u)
	}
}

// shuffled puts an answer's updates out of order, if that is scheduled.
func (s *Server) shuffled(list []json.RawMessage) []json.RawMessage {
	by := s.schedule
	if by == nil || !by.ShuffleAll && !by.ShuffleChats {
		return list
	}
	order := by.draw("batch").Perm(len(list))
	mixed := make([]json.RawMessage, len(list))
	if by.ShuffleAll {
		for i, j := range order {
			mixed[i] = list[j]
		}
		return mixed
	}
	// Each place gets a lane by chance, and each lane's updates come in order.
	lanes := make(map[int64][]json.RawMessage)
	for i, body := range list {
		lane := s.queue.list[i].lane
		lanes[lane] = append(lanes[lane], body)
	}
	for i, j := range order {
		lane := s.queue.list[j].lane
		mixed[i], lanes[lane] = lanes[lane][0], lanes[lane][1:]
	}
	return mixed
}
