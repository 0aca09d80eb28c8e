package apitest

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"time"
)

// updateKinds are all that allowed_updates may name.
var updateKinds = []string{"message", "edited_message", "channel_post", "edited_channel_post", "business_connection",
	"business_message", "edited_business_message", "deleted_business_messages", "message_reaction",
	"message_reaction_count", "inline_query", "chosen_inline_result", "callback_query", "shipping_query",
	"pre_checkout_query", "purchased_paid_media", "poll", "poll_answer", "my_chat_member", "chat_member",
	"chat_join_request", "chat_boost", "removed_chat_boost"}

// onDemand are those that are sent only when they are named.
var onDemand = []string{"chat_member", "message_reaction", "message_reaction_count"}

// An update waits until the bot confirms it.
type update struct {
	id      int64
	kind    string
	lane    int64 // deliveries are in order within it: a chat, or for taps a person
	expires time.Time
	body    json.RawMessage // the whole Update

	again    int       // confirmations that it outlives, a fault on demand
	attempts int       // failed deliveries to the webhook
	retryAt  time.Time // real time
	inFlight bool
}

type updateQueue struct {
	next    int64
	last    time.Time // when the last update came
	list    []*update // by id
	allowed []string  // nil: all but onDemand

	poll      chan struct{} // of the poll that waits; closed to end it
	pollEnd   string        // why it was ended
	offset    int64         // of the poll before
	offsetAt  time.Time
	offsetSet bool
}

func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }

// push queues an update; nil if the bot did not ask for its kind. s.mu is held.
func (s *Server) push(kind string, lane int64, life time.Duration, body any) *update {
	q := &s.queue
	switch {
	case q.allowed == nil && slices.Contains(onDemand, kind),
		q.allowed != nil && !slices.Contains(q.allowed, kind):
		return nil
	}
	return s.pushRaw(kind, lane, life, func(id int64) json.RawMessage {
		return jsonOf(map[string]any{"update_id": id, kind: body})
	})
}

func (s *Server) pushRaw(kind string, lane int64, life time.Duration, body func(id int64) json.RawMessage) *update {
	q := &s.queue
	now := s.cfg.Now()
	s.expire()
	if !q.last.IsZero() && now.Sub(q.last) >= Limits.IdleIDs && len(q.list) == 0 {
		q.next = 1_000_000 + s.rand.Int64N(1<<30)
	}
	q.last = now
	u := &update{id: q.next, kind: kind, lane: lane, expires: now.Add(life), body: body(q.next)}
	q.next++
	q.list = append(q.list, u)
	s.wake()
	s.trouble(u)
	return u
}

// expire drops the updates whose time is up. s.mu is held.
func (s *Server) expire() {
	now := s.cfg.Now()
	s.queue.list = slices.DeleteFunc(s.queue.list, func(u *update) bool { return !now.Before(u.expires) })
}

// from is the first update to give for an offset, and drops those before it
// unless the offset is of no use: then the answer starts with the oldest
// update and nothing is confirmed, as the server's published source has it.
// s.mu is held.
func (s *Server) from(offset int64) {
	q := &s.queue
	s.expire()
	if offset < 0 {
		if n := int64(len(q.list)); n+offset > 0 {
			q.list = slices.Delete(q.list, 0, int(n+offset))
		}
		return
	}
	if offset > q.next+10 {
		return
	}
	q.list = slices.DeleteFunc(q.list, func(u *update) bool {
		if u.id < offset && u.again > 0 {
			u.again--
			return false
		}
		return u.id < offset
	})
}

// getUpdates answers a poll; it waits without holding s.mu.
func (s *Server) getUpdates(r *http.Request, p params) (any, error) {
	limit, timeout, offset := int64(Limits.UpdatesPerPoll), p.number("timeout"), p.number("offset")
	if p.has("limit") {
		limit = p.number("limit")
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	// The platform cuts these to their range and says nothing.
	if l, t := min(max(limit, 1), int64(Limits.UpdatesPerPoll)), min(max(timeout, 0), int64(Limits.PollTimeout)); l != limit || t != timeout {
		s.faults = append(s.faults, Fault{Time: s.cfg.Now(), Method: "getUpdates", Class: Malformed, Params: jsonOf(p),
			Text: fmt.Sprintf("limit %d, timeout %d are cut to %d, %d", limit, timeout, l, t)})
		limit, timeout = l, t
	}
	q := &s.queue
	if s.loggedOut {
		return nil, &refusal{code: http.StatusBadRequest, class: Misplaced, text: "Logged out"}
	}
	if s.hook != nil {
		return nil, &refusal{code: http.StatusConflict, text: "Conflict: can't use getUpdates method while webhook is active; " +
			"use deleteWebhook to delete the webhook first"}
	}
	if err := s.allow(p); err != nil {
		return nil, err
	}
	now := s.cfg.Now()
	if q.offsetSet && q.offset == offset && now.Sub(q.offsetAt) < Limits.SamePoll {
		limit = 1
	}
	q.offset, q.offsetAt, q.offsetSet = offset, now, true
	s.endPoll("terminated by other getUpdates request; make sure that only one bot instance is running")
	mine := make(chan struct{})
	q.poll = mine
	defer func() {
		if q.poll == mine {
			q.poll = nil
		}
	}()
	deadline := time.NewTimer(time.Duration(timeout) * time.Second)
	defer deadline.Stop()
	s.from(offset)
	s.wake() // what was confirmed is no longer pending
	s.wake()
	for waited := timeout == 0; len(q.list) == 0 && !waited; s.expire() {
		changed := s.changed
		s.mu.Unlock()
		select {
		case <-changed:
		case <-deadline.C:
			waited = true
		case <-r.Context().Done():
			waited = true
		case <-s.stopped.Done():
			waited = true
		case <-mine:
		}
		s.mu.Lock()
		if q.poll != mine {
			return nil, &refusal{code: http.StatusConflict, text: "Conflict: " + q.pollEnd}
		}
	}
	return s.batch(int(limit)), nil
}

// batch is what one answer holds. s.mu is held.
func (s *Server) batch(limit int) []json.RawMessage {
	out := []json.RawMessage{}
	size := Limits.PollBytes
	for _, u := range s.queue.list {
		if size -= 50 + len(u.body); len(out) == limit || size <= 0 {
			break
		}
		out = append(out, u.body)
	}
	return s.shuffled(out)
}

// endPoll ends the poll that waits, if there is one. s.mu is held.
func (s *Server) endPoll(why string) {
	if q := &s.queue; q.poll != nil {
		close(q.poll)
		q.poll, q.pollEnd = nil, why
	}
}

// allow takes allowed_updates; without it the former setting stays.
func (s *Server) allow(p params) error {
	list, given := p["allowed_updates"].([]any)
	if !given {
		return nil
	}
	var kinds []string
	for _, k := range list {
		if !slices.Contains(updateKinds, k.(string)) {
			return malformed("allowed_updates names %q", k)
		}
		kinds = append(kinds, k.(string))
	}
	s.queue.allowed = kinds
	return nil
}

// Polling reports whether a poll of the bot's waits for updates now.
func (s *Server) Polling() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.queue.poll != nil
}

// Pending is how many updates the bot has not confirmed.
func (s *Server) Pending() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.expire()
	return len(s.queue.list)
}

// JumpUpdateID makes id that of the next update. It reports whether it did: a
// jump back is possible only when nothing is pending.
func (s *Server) JumpUpdateID(id int64) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.expire()
	if id < 1 || id < s.queue.next && len(s.queue.list) > 0 {
		return false
	}
	s.queue.next = id
	return true
}
