package bot

import (
	"time"

	telegram "github.com/go-telegram/bot"
)

// Redirect points a bot somewhere else, for tests of what fails later.
func Redirect(b *Bot, url string) {
	b.cfg.API = url
	api, err := telegram.New(b.cfg.Token, telegram.WithSkipGetMe(), telegram.WithServerURL(url),
		telegram.WithHTTPClient(sendTimeout, b.client),
		telegram.WithErrorsHandler(func(err error) { b.log.Warn("the library reports an error", "err", b.redacted(err)) }))
	if err != nil {
		panic(err)
	}
	b.api = api
}

// Hurry makes a bot give up on files sooner.
func Hurry(b *Bot, patience, pause time.Duration) { b.patience, b.pause = patience, pause }

// MaxHooks is how many connections of a webhook are held at a time.
const MaxHooks = maxHooks

// HurryHooks makes a bot cut off slow requests of a webhook sooner.
func HurryHooks(b *Bot, patience time.Duration) { b.hookPatience = patience }

// SetPolled has the platform's last answer have come some time ago.
func SetPolled(b *Bot, ago time.Duration) {
	at := time.Now().Add(-ago)
	b.polled.Store(&at)
}

// LimiterSize counts the chats that a limiter keeps.
func LimiterSize(l *Limiter) int {
	l.mu.Lock()
	defer l.mu.Unlock()
	return len(l.chats)
}
