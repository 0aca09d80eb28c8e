package bot

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"runtime/debug"
	"time"

	telegram "github.com/go-telegram/bot"

	"rodcall/session/engine"
)

const (
	// pollTimeout is how long the platform may keep a question for updates
	// open: 50 s is the most it takes.
	pollTimeout = 50 * time.Second
	pollLimit   = 100
	maxAnswer   = 64 << 20 // bytes of one answer
	// stale: after a week without updates the platform numbers them anew, at
	// random. An offset of before would confirm what was never seen. Where a clock
	// jumped nobody knows how long it was; to ask without one costs only that some
	// come again, and those are known.
	stale = 6 * 24 * time.Hour

	pollRetry     = time.Second
	pollRetryMost = 30 * time.Second
)

// ErrToken says that the platform does not take the token.
var ErrToken = errors.New("the platform does not take this token; look at the token file or RODCALL_TOKEN")

// refusal is an answer of the platform that is not ok.
type refusal struct {
	Code        int
	Description string
	After       time.Duration
}

func (r *refusal) Error() string {
	return fmt.Sprintf("the platform answers %d %s", r.Code, r.Description)
}

// Poll takes updates from the platform until ctx ends. It returns nil then,
// and ErrToken where the platform does not take the token. All else is tried
// again.
func (b *Bot) Poll(ctx context.Context, to Receiver) error {
	if _, err := b.api.DeleteWebhook(ctx, &telegram.DeleteWebhookParams{}); err != nil && ctx.Err() == nil {
		b.log.Warn("cannot take back a webhook", "err", b.redacted(err))
	}
	// One that outlives its answer by a little, so that the answer to a long
	// question is not cut off.
	client := &http.Client{Timeout: pollTimeout + 15*time.Second}
	b.markPolled()
	for failed := 0; ctx.Err() == nil; {
		err := b.pollOnce(ctx, client, to)
		if ctx.Err() == nil {
			b.notePoll(err)
		}
		if err == nil {
			failed = 0
			continue
		}
		if ctx.Err() != nil || errors.Is(err, engine.ErrClosed) {
			break
		}
		wait := min(pollRetry<<min(failed, 10), pollRetryMost)
		failed++
		var r *refusal
		if errors.As(err, &r) {
			if r.Code == http.StatusUnauthorized || r.Code == http.StatusNotFound {
				return ErrToken
			}
			wait = max(wait, r.After)
		}
		attrs := []any{"after", wait, "err", b.redacted(err)}
		if r != nil && r.Code == http.StatusConflict {
			attrs = append(attrs, "look", "is another program started with this token? end it; where it set a webhook, start this one again then")
		}
		b.log.Warn("no updates; trying again", attrs...)
		select {
		case <-ctx.Done():
		case <-time.After(wait):
		}
	}
	return nil
}

// pollOnce asks for updates once, and has those stored that come.
func (b *Bot) pollOnce(ctx context.Context, client *http.Client, to Receiver) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("panic: %v\n%s", p, debug.Stack())
		}
	}()
	s := b.look()
	question := map[string]any{"timeout": int(pollTimeout.Seconds()), "limit": pollLimit, "allowed_updates": wanted}
	if s.Offset != 0 && b.cfg.Now().Sub(s.Last).Abs() < stale {
		question["offset"] = s.Offset
	}
	var answer []json.RawMessage
	if err := b.ask(ctx, client, "getUpdates", question, &answer); err != nil {
		return err
	}
	if len(answer) == 0 {
		return nil
	}
	var updates []engine.Update
	for _, raw := range answer {
		id, err := updateID(raw)
		if err != nil {
			// The platform numbers every update: this is none.
			b.log.Error("something without a number came as an update; it was passed over", "err", err)
			continue
		}
		updates = append(updates, engine.Update{ID: id, Raw: raw})
	}
	if len(updates) == 0 {
		return errors.New("an answer of the platform holds no update that has a number")
	}
	return b.take(ctx, to, updates, true)
}

// take stores updates with the state that they lead to. When it has returned
// nil they may be confirmed. Those that were asked for come in order, and the
// next question confirms all before it; those that the platform sends by itself
// come as it likes, and one that was refused is still to come: they move no
// offset.
func (b *Bot) take(ctx context.Context, to Receiver, updates []engine.Update, asked bool) error {
	b.taking.Lock()
	defer b.taking.Unlock()
	s := b.look().clone()
	var taps []string
	for _, u := range updates {
		if asked {
			s.Offset, s.Last = u.ID+1, b.cfg.Now().UTC()
		}
		if tap := s.learn(u.Raw); tap != "" {
			taps = append(taps, tap)
		}
	}
	cursor, err := s.bytes()
	if err != nil {
		return err
	}
	// What was learned is kept first: an update is decoded with it as soon as it
	// is stored, and should storing fail, it is true all the same. Not so the
	// offset: the next question would confirm what was never stored.
	before, learned := b.look(), s
	learned.Offset, learned.Last = before.Offset, before.Last
	b.keep(learned)
	if err := to.Receive(updates, cursor); err != nil {
		return err
	}
	b.keep(s)
	b.answerTaps(ctx, taps)
	return nil
}

// learn takes from an update what concerns the adapter itself: where a group
// went, whether the bot hears all in it. It returns the id of a tap that has
// to be answered.
func (s *state) learn(raw []byte) (tap string) {
	u, err := parseUpdate(raw)
	if err != nil {
		return "" // it will be put aside when it is decoded
	}
	switch {
	case u.Message != nil && u.Message.ToSuper != 0:
		s.migrated(u.Message.Chat.ID, u.Message.ToSuper)
	case u.Message != nil && u.Message.FromGroup != 0:
		s.migrated(u.Message.FromGroup, u.Message.Chat.ID)
	case u.Member != nil:
		if u.Member.New.admin() {
			s.Admin[s.first(u.Member.Chat.ID)] = true
		} else {
			delete(s.Admin, s.first(u.Member.Chat.ID))
		}
	case u.Callback != nil:
		return u.Callback.ID
	}
	return ""
}

// answerTaps stops the buttons' waiting signs. It is no matter of weight: what
// fails is left.
func (b *Bot) answerTaps(ctx context.Context, taps []string) {
	for _, id := range taps {
		select {
		case b.tapping <- struct{}{}:
		default:
			return // too many at once
		}
		go func() {
			defer engine.Crash(b.log)
			defer func() { <-b.tapping }()
			if _, err := b.api.AnswerCallbackQuery(ctx, &telegram.AnswerCallbackQueryParams{CallbackQueryID: id}); err != nil {
				b.log.Debug("a tap was not answered", "err", b.redacted(err))
			}
		}()
	}
}

// ask puts a question to the platform and reads its answer's result.
func (b *Bot) ask(ctx context.Context, client *http.Client, method string, question, result any) error {
	body, err := json.Marshal(question)
	if err != nil {
		return err
	}
	req, err := http.NewRequestWithContext(ctx, http.MethodPost, b.cfg.API+"/bot"+b.cfg.Token+"/"+method, bytes.NewReader(body))
	if err != nil {
		return b.redacted(err)
	}
	req.Header.Set("Content-Type", "application/json")
	resp, err := client.Do(req)
	if err != nil {
		return b.redacted(err)
	}
	defer func() { _ = resp.Body.Close() }()
	text, err := io.ReadAll(io.LimitReader(resp.Body, maxAnswer))
	if err != nil {
		return b.redacted(fmt.Errorf("%s: %w", method, err))
	}
	var answer struct {
		OK          bool            `json:"ok"`
		Result      json.RawMessage `json:"result"`
		Code        int             `json:"error_code"`
		Description string          `json:"description"`
		Parameters  struct {
			RetryAfter int `json:"retry_after"`
		} `json:"parameters"`
	}
	if err := json.Unmarshal(text, &answer); err != nil {
		return fmt.Errorf("%s: the answer (status %d) is not the platform's: %w", method, resp.StatusCode, err)
	}
	if !answer.OK {
		return &refusal{answer.Code, answer.Description, time.Duration(answer.Parameters.RetryAfter) * time.Second}
	}
	if err := json.Unmarshal(answer.Result, result); err != nil {
		return fmt.Errorf("%s: %w", method, err)
	}
	return nil
}
