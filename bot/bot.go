package bot

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"regexp"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	telegram "github.com/go-telegram/bot"

	"rodcall/session/engine"
)

// DefaultAPI is where bots talk to Telegram.
const DefaultAPI = "https://api.telegram.org"

// Config of a bot.
type Config struct {
	Token string
	API   string           // DefaultAPI if ""
	Log   *slog.Logger     // nothing is logged if nil
	Now   func() time.Time // time.Now if nil
	// Ear hears voice notes, Speaker speaks answers; nil: nothing does.
	Ear     Ear
	Speaker Speaker
	Meter   Meter // nil: none
	// Cursor is what the store holds of this adapter, nil at first.
	Cursor []byte
}

// Bot is one bot of the platform. It implements engine.Port.
type Bot struct {
	cfg    Config
	log    *slog.Logger
	api    *telegram.Bot
	client *http.Client // for sends and questions
	id     int64
	name   string // without @
	// hearsAll: the privacy mode is off, and all that is said in groups is
	// heard.
	hearsAll bool

	mu     sync.Mutex
	state  state
	taking sync.Mutex             // held while a new state is made and stored
	photos recent[string, string] // by pictureKey, the platform's id
	spoken recent[uint64, []byte] // by row of the outbox, a voice note
	// patience is how long one attempt to fetch a file may take, and pause how
	// long to wait before the second.
	patience, pause time.Duration
	looking         sync.Mutex // held while a photo is unpacked
	hookPatience    time.Duration
	polled          atomic.Pointer[time.Time] // see LastPoll
	hooked          atomic.Bool               // updates come over a webhook
	// tapping holds a token for each tap being answered.
	tapping chan struct{}
}

// tokens is what a token may look like; what is not one must not come into a
// URL.
var tokens = regexp.MustCompile(`^[0-9]{1,20}:[A-Za-z0-9_-]{10,100}$`)

// CleanToken trims a token and looks at its form. Errors do not hold it.
func CleanToken(token string) (string, error) {
	token = strings.TrimSpace(token)
	if token == "" {
		return "", errors.New("the token is empty")
	}
	if !tokens.MatchString(token) {
		return "", errors.New("this is no token: it has digits, a colon, and then letters and digits")
	}
	return token, nil
}

// sendTimeout is how long one request to the platform may take.
const sendTimeout = 30 * time.Second

// New makes a bot and asks the platform who it is.
func New(ctx context.Context, cfg Config) (*Bot, error) {
	token, err := CleanToken(cfg.Token)
	if err != nil {
		return nil, err
	}
	cfg.Token = token
	if cfg.API == "" {
		cfg.API = DefaultAPI
	}
	cfg.API = strings.TrimRight(cfg.API, "/")
	if cfg.Now == nil {
		cfg.Now = time.Now
	}
	b := &Bot{
		cfg: cfg, log: cfg.Log, client: &http.Client{Timeout: sendTimeout}, tapping: make(chan struct{}, 16),
		patience: fetchTimeout, pause: fetchWait, hookPatience: hookPatience,
	}
	b.photos.most, b.spoken.most = maxPhotos, maxSpoken
	if b.log == nil {
		b.log = slog.New(slog.DiscardHandler)
	}
	b.api, err = telegram.New(token, telegram.WithSkipGetMe(), telegram.WithServerURL(cfg.API),
		telegram.WithHTTPClient(sendTimeout, b.client),
		telegram.WithErrorsHandler(func(err error) { b.log.Warn("the library reports an error", "err", b.redacted(err)) }))
	if err != nil {
		return nil, err
	}
	me, err := b.api.GetMe(ctx)
	if err != nil {
		return nil, fmt.Errorf("ask %s who this bot is: %w", cfg.API, b.redacted(err))
	}
	b.id, b.name, b.hearsAll = me.ID, me.Username, me.CanReadAllGroupMessages
	return b, b.restore(cfg.Cursor)
}

// Unreachable says whether an error is the network's, and not the platform's
// own refusal.
func Unreachable(err error) bool {
	for _, refused := range []error{
		telegram.ErrorUnauthorized, telegram.ErrorNotFound, telegram.ErrorForbidden, telegram.ErrorBadRequest, errCursor,
	} {
		if errors.Is(err, refused) {
			return false
		}
	}
	return true
}

// errCursor says that a file belongs to something else.
var errCursor = errors.New("name another file with --db")

// Name is the bot's user name, without @.
func (b *Bot) Name() string { return b.name }

// Links are what makes a link of an invitation for a person, and for a group:
// the gap {1} is the code.
func (b *Bot) Links() engine.Links {
	return engine.Links{
		Person: "https://t.me/" + b.name + "?start={1}",
		Group:  "https://t.me/" + b.name + "?startgroup={1}",
	}
}

// Receiver stores updates; *engine.Engine is one.
type Receiver interface {
	Receive(updates []engine.Update, cursor []byte) error
}

// redacted is an error without the token in its text; what it wraps can still
// be found.
func (b *Bot) redacted(err error) error {
	if err == nil {
		return nil
	}
	return &redactedError{text: Redact(err.Error(), b.cfg.Token), err: err}
}
