package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"time"
	_ "time/tzdata" // zones on machines that have none

	"rodcall/bot"
	"rodcall/session/engine"
	"rodcall/session/store"
)

const serveUsage = `usage: rodcall serve --db FILE [--token-file FILE] [FLAGS]

Talks with people on Telegram. The token of the bot comes from the file, or
from RODCALL_TOKEN. On the first start it prints a claim code: whoever sends it
to the bot owns it, and lets others in with /invite. It ends on an interrupt,
when it has finished what it began.

flags:
  --db FILE              the file of the jobs, made where there is none
  --token-file FILE      holds the token, alone
  --api URL              where the Bot API is (https://api.telegram.org)
  --zone NAME            time zone of times on drawings, like America/Denver (UTC)
  --log LEVEL            debug, info, warn or error (info), on standard error
  --voice auto|off|COMMAND
                         what hears voice notes: pocketsphinx where it is
                         installed, nothing, or a command of your own, which is
                         given WAV on standard input and prints the words (auto)
  --voice-languages LIST the languages that COMMAND understands: en, es (en)
  --aloud auto|off       whether answers may be spoken, where espeak-ng and
                         opusenc are installed (auto)
  --webhook URL          be sent updates there instead of asking for them; a
                         proxy with a certificate passes them to --listen
  --listen ADDRESS       where the proxy finds it (127.0.0.1:8080)
  --secret-file FILE     what the platform proves itself with: 1 to 256 letters,
                         digits, _ and -; needed with --webhook

example:
  rodcall serve --db walk.db --token-file token.txt --zone America/Denver
`

// tokenVariable is the variable that may hold the token.
const tokenVariable = "RODCALL_TOKEN"

// serveFlags are the flags of serve, read.
type serveFlags struct {
	db, api, token, webhook, listen, secret string
	voice                                   voiceFlags
	zone                                    *time.Location
	level                                   slog.Level
}

func parseServe(args []string) (o serveFlags, err error) {
	f := newFlags("serve")
	db, api, file := f.text("db", ""), f.text("api", bot.DefaultAPI), f.text("token-file", "")
	zone, level := f.text("zone", "UTC"), f.text("log", "info")
	webhook, listen, secret := f.text("webhook", ""), f.text("listen", "127.0.0.1:8080"), f.text("secret-file", "")
	hears, aloud, languages := f.text("voice", "auto"), f.text("aloud", "auto"), f.list("voice-languages")
	if _, err := f.parse(args, 0); err != nil {
		return o, err
	}
	o = serveFlags{db: *db, api: *api, webhook: *webhook, listen: *listen, voice: voiceFlags{*hears, *languages, *aloud}}
	if o.db == "" {
		return o, wrongly("rodcall serve --db walk.db --token-file token.txt", "serve needs --db, the file of the jobs")
	}
	if o.zone, err = time.LoadLocation(*zone); err != nil {
		return o, wrongly("a zone that works: --zone America/Denver", "--zone: there is no zone %q", *zone)
	}
	if err := o.voice.check(); err != nil {
		return o, err
	}
	if err := o.level.UnmarshalText([]byte(*level)); err != nil {
		return o, wrongly("--log debug, info, warn or error", "--log: there is no level %q", *level)
	}
	text := os.Getenv(tokenVariable)
	if *file != "" {
		b, err := os.ReadFile(*file)
		if err != nil {
			return o, failure("put the token into a file by itself: --token-file token.txt", "read the token: %w", err)
		}
		text = string(b)
	}
	if o.token, err = bot.CleanToken(text); err != nil {
		return o, wrongly("rodcall serve --db walk.db --token-file token.txt, or set RODCALL_TOKEN", "%w", err)
	}
	if o.webhook == "" {
		return o, nil
	}
	b, err := os.ReadFile(*secret)
	if err != nil {
		return o, wrongly("a file with 1 to 256 letters and digits: --secret-file secret.txt", "--webhook needs a secret: %w", err)
	}
	o.secret = string(trimLine(b))
	return o, nil
}

func trimLine(b []byte) []byte {
	for len(b) > 0 && (b[len(b)-1] == '\n' || b[len(b)-1] == '\r') {
		b = b[:len(b)-1]
	}
	return b
}

func runServe(ctx context.Context, s streams, args []string) error {
	o, err := parseServe(args)
	if err != nil {
		return err
	}
	// Programs that hear and speak are started with this one's variables, and
	// must not have the token.
	if err := os.Unsetenv(tokenVariable); err != nil {
		return err
	}
	// From here on all that is printed passes one place that knows the token.
	s.err = bot.Redacted(s.err, o.token)
	if err := serve(ctx, s, o); err != nil {
		return hideToken(err, o.token)
	}
	return nil
}

// hideToken is an error whose text does not hold the token.
func hideToken(err error, token string) error {
	f := &fault{status: failed, what: err}
	errors.As(err, &f)
	return &fault{status: f.status, what: errors.New(bot.Redact(f.Error(), token)), hint: bot.Redact(f.hint, token)}
}

// closeIn is how long what was begun may take to end.
const closeIn = 20 * time.Second

func serve(ctx context.Context, s streams, o serveFlags) (err error) {
	log := slog.New(slog.NewTextHandler(s.err, &slog.HandlerOptions{Level: o.level}))
	file, err := store.Open(o.db, store.Options{})
	if err != nil {
		return openFault(o.db, err)
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	var cursor []byte
	if err := file.View(func(tx *store.Tx) error { cursor = tx.Cursor(); return nil }); err != nil {
		return err
	}
	defer offerCopies(log, file)()
	cfg := bot.Config{Token: o.token, API: o.api, Log: log, Cursor: cursor}
	if err := voices(log, o.voice, &cfg); err != nil {
		return err
	}
	b, err := connect(ctx, log, cfg)
	if err != nil || b == nil {
		return err
	}
	eng, err := engine.Start(engine.Config{
		Store: file, Port: b, Log: log, Closed: true, Links: b.Links(), Limiter: bot.NewLimiter(),
		Now: func() time.Time { return time.Now().In(o.zone) },
	})
	if err != nil {
		return err
	}
	defer func() {
		end, cancel := context.WithTimeout(context.Background(), closeIn)
		defer cancel()
		err = errors.Join(err, eng.Close(end))
	}()
	if err := greet(s, file, b); err != nil {
		return err
	}
	if err := b.RegisterCommands(ctx); err != nil {
		log.Warn("the list of commands is not up to date", "err", err)
	}
	log.Info("serving", "bot", b.Name(), "db", o.db, "pid", os.Getpid())
	if o.webhook != "" {
		return listen(ctx, log, b, eng, o)
	}
	return b.Poll(ctx, eng)
}

// connect makes the bot. A machine may be up before its network is: what is
// not the platform's own refusal is tried again. The bot is nil where ctx
// ended.
func connect(ctx context.Context, log *slog.Logger, cfg bot.Config) (*bot.Bot, error) {
	for wait := time.Second; ; wait = min(2*wait, 30*time.Second) {
		b, err := bot.New(ctx, cfg)
		switch {
		case err == nil:
			return b, nil
		case ctx.Err() != nil:
			return nil, nil
		case !bot.Unreachable(err):
			return nil, failure("the token is what the platform gave for this bot, the file one that serve made", "%w", err)
		}
		log.Warn("the platform cannot be reached; trying again", "after", wait, "err", err)
		select {
		case <-ctx.Done():
			return nil, nil
		case <-time.After(wait):
		}
	}
}

// greet prints the claim code while the bot has no owner. It is made on the
// first start, works once, and is never logged.
func greet(s streams, file *store.Store, b *bot.Bot) error {
	code := ""
	err := file.Update(func(tx *store.Tx) error {
		code = tx.Claim()
		if tx.Owned() || code != "" {
			return nil
		}
		code = engine.NewCode()
		return tx.SetClaim(code)
	})
	if err != nil || code == "" {
		return err
	}
	return show(s.out, fmt.Sprintf("This bot has no owner yet. To own it, send @%s this message:\n\n  /start %s\n\n", b.Name(), code))
}

// listen takes updates over a webhook until ctx ends.
func listen(ctx context.Context, log *slog.Logger, b *bot.Bot, eng *engine.Engine, o serveFlags) error {
	l, err := net.Listen("tcp", o.listen)
	if err != nil {
		return failure("an address that is free: --listen 127.0.0.1:8080", "listen: %w", err)
	}
	server := &http.Server{
		Handler: b.Webhook(o.secret, eng), ReadHeaderTimeout: 10 * time.Second, ReadTimeout: 30 * time.Second,
		WriteTimeout: 60 * time.Second, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
	if err := b.SetWebhook(ctx, o.webhook, o.secret); err != nil {
		return errors.Join(failure("an https address that the platform can reach: --webhook https://bot.example/", "%w", err), l.Close())
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(l) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	end, cancel := context.WithTimeout(context.Background(), closeIn)
	defer cancel()
	return server.Shutdown(end)
}
