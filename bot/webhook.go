package bot

import (
	"context"
	"crypto/subtle"
	"errors"
	"fmt"
	"io"
	"net/http"
	"regexp"

	telegram "github.com/go-telegram/bot"

	"rodcall/session/engine"
)

const (
	secretHeader = "X-Telegram-Bot-Api-Secret-Token"
	maxUpdate    = 1 << 20 // bytes of one update
)

var secrets = regexp.MustCompile(`^[A-Za-z0-9_-]{1,256}$`)

// SetWebhook asks the platform to send updates to an address.
func (b *Bot) SetWebhook(ctx context.Context, url, secret string) error {
	if !secrets.MatchString(secret) {
		return errors.New("a webhook's secret has 1 to 256 letters, digits, _ and -")
	}
	_, err := b.api.SetWebhook(ctx, &telegram.SetWebhookParams{URL: url, SecretToken: secret, AllowedUpdates: wanted})
	if err != nil {
		return fmt.Errorf("set the webhook: %w", b.redacted(err))
	}
	return nil
}

// Webhook takes updates that the platform sends. It answers 200 once an update
// is stored, and only then: after any other answer the platform sends it
// again.
func (b *Bot) Webhook(secret string, to Receiver) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method != http.MethodPost {
			w.Header().Set("Allow", http.MethodPost)
			http.Error(w, "post updates here", http.StatusMethodNotAllowed)
			return
		}
		if subtle.ConstantTimeCompare([]byte(r.Header.Get(secretHeader)), []byte(secret)) != 1 {
			http.Error(w, "the secret is missing or wrong", http.StatusUnauthorized)
			return
		}
		raw, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxUpdate))
		if err != nil {
			http.Error(w, "the update could not be read", http.StatusRequestEntityTooLarge)
			return
		}
		id, err := updateID(raw)
		if err != nil {
			http.Error(w, "this is no update", http.StatusBadRequest)
			return
		}
		// The platform's request may end before the commit does.
		if err := b.take(context.WithoutCancel(r.Context()), to, []engine.Update{{ID: id, Raw: raw}}, false); err != nil {
			b.log.Error("an update could not be stored", "err", b.redacted(err))
			http.Error(w, "the update could not be stored", http.StatusServiceUnavailable)
			return
		}
		w.WriteHeader(http.StatusOK)
	})
}
