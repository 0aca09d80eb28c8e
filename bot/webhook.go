package bot

import (
	"context"
	"crypto/subtle"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"regexp"
	"time"

	telegram "github.com/go-telegram/bot"
	"golang.org/x/net/netutil"

	"rodcall/session/engine"
)

const (
	secretHeader = "X-Telegram-Bot-Api-Secret-Token"
	maxUpdate    = 1 << 20 // bytes of one update
	// maxHooks is how many connections are held at a time. The platform itself
	// opens 40 at most where it is not told otherwise.
	maxHooks = 128
	// hookPatience is how long the head of a request may take to come in; all of
	// it may take three times that.
	hookPatience = 5 * time.Second
)

var secrets = regexp.MustCompile(`^[A-Za-z0-9_-]{1,256}$`)

// CheckSecret looks at the form of a webhook's secret.
func CheckSecret(secret string) error {
	if !secrets.MatchString(secret) {
		return errors.New("a webhook's secret has 1 to 256 letters, digits, _ and -")
	}
	return nil
}

// SetWebhook asks the platform to send updates to an address.
func (b *Bot) SetWebhook(ctx context.Context, url, secret string) error {
	if err := CheckSecret(secret); err != nil {
		return err
	}
	_, err := b.api.SetWebhook(ctx, &telegram.SetWebhookParams{URL: url, SecretToken: secret, AllowedUpdates: wanted})
	if err != nil {
		return fmt.Errorf("set the webhook: %w", b.redacted(err))
	}
	return nil
}

// ServeWebhook takes updates that come in over a listener, with TLS unless by
// is nil, until ctx ends; what has begun by then is finished. Anybody may
// connect: who does not show the secret in a few seconds is cut off, and what
// more come than are held at a time wait outside. Nobody is believed about
// where they come from.
func (b *Bot) ServeWebhook(ctx context.Context, l net.Listener, by *tls.Config, secret string, to Receiver) error {
	l = netutil.LimitListener(l, maxHooks)
	if by != nil {
		l = tls.NewListener(l, by)
	}
	server := &http.Server{
		Handler:           b.Webhook(secret, to),
		ReadHeaderTimeout: b.hookPatience, ReadTimeout: 3 * b.hookPatience, WriteTimeout: time.Minute, IdleTimeout: time.Minute,
		MaxHeaderBytes: 16 << 10,
		Protocols:      new(http.Protocols),
		// Strangers fill no log.
		ErrorLog: slog.NewLogLogger(b.log.Handler(), slog.LevelDebug),
	}
	server.Protocols.SetHTTP1(true)
	ended := make(chan error, 1)
	b.hooked.Store(true)
	defer b.hooked.Store(false)
	go func() {
		defer engine.Crash(b.log)
		ended <- server.Serve(l)
	}()
	select {
	case err := <-ended:
		return fmt.Errorf("take updates: %w", err)
	case <-ctx.Done():
	}
	end, cancel := context.WithTimeout(context.WithoutCancel(ctx), 2*b.hookPatience)
	defer cancel()
	if err := server.Shutdown(end); err != nil {
		_ = server.Close() // whoever is still there sends it again
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
			turnAway(w, "post updates here", http.StatusMethodNotAllowed)
			return
		}
		if subtle.ConstantTimeCompare([]byte(r.Header.Get(secretHeader)), []byte(secret)) != 1 {
			turnAway(w, "the secret is missing or wrong", http.StatusUnauthorized)
			return
		}
		raw, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxUpdate))
		if err != nil {
			status := http.StatusBadRequest
			if large := (*http.MaxBytesError)(nil); errors.As(err, &large) {
				status = http.StatusRequestEntityTooLarge
			}
			turnAway(w, "the update could not be read", status)
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

// turnAway answers somebody, and reads nothing more of what they send.
func turnAway(w http.ResponseWriter, why string, status int) {
	w.Header().Set("Connection", "close")
	_ = http.NewResponseController(w).SetReadDeadline(time.Now()) // else it is read until its own deadline
	http.Error(w, why, status)
}
