package bot

import (
	"io"
	"net/url"
	"strings"
)

const hidden = "[token]"

// Redact takes a token out of a text, plain and as it stands in a URL.
func Redact(text, token string) string {
	if token == "" {
		return text
	}
	text = strings.ReplaceAll(text, token, hidden)
	if escaped := url.QueryEscape(token); escaped != token {
		text = strings.ReplaceAll(text, escaped, hidden)
	}
	// The part after the colon is the secret.
	if _, secret, ok := strings.Cut(token, ":"); ok && secret != "" {
		text = strings.ReplaceAll(text, secret, hidden)
	}
	return text
}

// Hide takes the bot's token out of a text. It implements engine.Discreet.
func (b *Bot) Hide(text string) string { return Redact(text, b.cfg.Token) }

// Redacted is a writer that takes a token out of all that is written to it, a
// call at a time: the one place that all logs and errors pass.
func Redacted(w io.Writer, token string) io.Writer { return &redactor{w, token} }

type redactor struct {
	w     io.Writer
	token string
}

func (r *redactor) Write(p []byte) (int, error) {
	if _, err := io.WriteString(r.w, Redact(string(p), r.token)); err != nil {
		return 0, err
	}
	return len(p), nil
}

// redactedError hides what stands in an error's text.
type redactedError struct {
	text string
	err  error
}

func (e *redactedError) Error() string { return e.text }
func (e *redactedError) Unwrap() error { return e.err }
