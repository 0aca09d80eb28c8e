package apitest

import (
	"fmt"
	"net/http"
)

// A FaultClass says how a refused request was wrong.
type FaultClass string

const (
	// Malformed requests can never be right: an unknown field, a text too long.
	Malformed FaultClass = "malformed"
	// Misplaced requests are wrong as things stand: the message is gone or is
	// not modified, the tap is too old.
	Misplaced FaultClass = "misplaced"
	// Unmodelled requests may be right, but the stand-in does not know how the
	// platform takes them.
	Unmodelled FaultClass = "unmodelled"
)

// A refusal is an answer that is not ok.
type refusal struct {
	code       int
	text       string
	class      FaultClass // empty where the bot is not to blame
	retryAfter int        // seconds
	migrateTo  int64
}

func (r *refusal) Error() string { return r.text }

// malformed refuses a request as no platform would take it.
func malformed(format string, args ...any) *refusal {
	return &refusal{code: http.StatusBadRequest, class: Malformed, text: "Bad Request: " + fmt.Sprintf(format, args...)}
}

// misplaced refuses a request for what it is asked of.
func misplaced(format string, args ...any) *refusal {
	return &refusal{code: http.StatusBadRequest, class: Misplaced, text: "Bad Request: " + fmt.Sprintf(format, args...)}
}

// unmodelled refuses a request that the stand-in would have to guess about.
func unmodelled(format string, args ...any) *refusal {
	return &refusal{code: http.StatusBadRequest, class: Unmodelled,
		text: "Bad Request: the stand-in does not know " + fmt.Sprintf(format, args...)}
}

// forbidden refuses a request because a person or a group keeps the bot out.
func forbidden(text string) *refusal {
	return &refusal{code: http.StatusForbidden, text: "Forbidden: " + text}
}

// tooMany asks for a wait, in whole seconds.
func tooMany(seconds int) *refusal {
	return &refusal{code: http.StatusTooManyRequests, retryAfter: seconds,
		text: fmt.Sprintf("Too Many Requests: retry after %d", seconds)}
}

// body is the refusal as the platform writes it.
func (r *refusal) body() map[string]any {
	b := map[string]any{"ok": false, "error_code": r.code, "description": r.text}
	switch {
	case r.retryAfter > 0:
		b["parameters"] = map[string]any{"retry_after": r.retryAfter}
	case r.migrateTo != 0:
		b["parameters"] = map[string]any{"migrate_to_chat_id": r.migrateTo}
	}
	return b
}
