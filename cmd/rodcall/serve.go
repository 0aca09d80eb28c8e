package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"os"
	"time"
	_ "time/tzdata" // zones on machines that have none

	"rodcall/bot"
	"rodcall/session/engine"
	"rodcall/session/store"
)

func serveUsage() string {
	return `usage: rodcall serve --db FILE [--token-file FILE] [FLAGS]

Talks with people on Telegram. The token of the bot comes from a file, or from
RODCALL_TOKEN. On the first start it prints a claim code: whoever sends it to
the bot owns it, and lets others in with /invite. On an interrupt it takes
nothing new, sends what waits to be sent for up to 20 seconds, and ends; what
is left is sent on the next start. A second interrupt ends it at once.

Each setting is a flag, as --log-form json; or a variable, as
RODCALL_LOG_FORM=json; or a line of a file of settings, which --config or
RODCALL_CONFIG names, as log-form = json. The flag goes before the variable,
and that before the file.

flags:
  --show                 print each setting, its value and where it is from,
                         and end
  --config FILE          a file of settings, "name = value" a line, # a comment
` + settingsHelp(serveSettings(&served{})) + `
example:
  rodcall serve --db walk.db --token-file token.txt --zone America/Denver
`
}

// tokenVariable is the variable that may hold the token.
const tokenVariable = "RODCALL_TOKEN"

func runServe(ctx context.Context, s streams, args []string) error {
	o, shown, err := parseServe(args)
	if shown != "" {
		return cmp.Or(show(s.out, bot.Redact(shown, o.token)), err)
	}
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
	err = serve(ctx, s, o)
	damaged, moved := (*store.DamagedError)(nil), (*store.MovedError)(nil)
	if errors.As(err, &damaged) || errors.As(err, &moved) {
		err = openFault(o.db, err)
	}
	if err != nil {
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

// logTo is the log that was asked for.
func (o served) logTo(w io.Writer) *slog.Logger {
	opts := &slog.HandlerOptions{Level: o.level}
	if o.json {
		return slog.New(slog.NewJSONHandler(w, opts))
	}
	return slog.New(slog.NewTextHandler(w, opts))
}

// closeIn is how long what was begun may take to end.
const closeIn = 20 * time.Second

func serve(ctx context.Context, s streams, o served) (err error) {
	log := o.logTo(s.err)
	defer engine.Crash(log)
	for _, name := range o.strays {
		log.Warn("this variable is no setting; see rodcall help serve", "name", name)
	}
	if err := wholeAgain(o.db); err != nil {
		return openFault(o.db, err)
	}
	file, err := store.Open(o.db, store.Options{})
	if err != nil {
		return makeFault(o.db, err)
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	var cursor []byte
	if err := file.View(func(tx *store.Tx) error { cursor = tx.Cursor(); return nil }); err != nil {
		return err
	}
	defer offerCopies(log, file)()
	cfg := bot.Config{Token: o.token, API: o.api, Log: log, Cursor: cursor}
	var m *meters
	if o.metrics != "" {
		m = newMeters()
		cfg.Meter = m
		end, err := m.offer(log, o.metrics)
		if err != nil {
			return err
		}
		defer end()
	}
	if err := voices(log, o.voice, &cfg); err != nil {
		return err
	}
	copies, end, err := o.rotate(ctx, log, file)
	if err != nil {
		return err
	}
	defer end()
	b, err := connect(ctx, log, cfg)
	if err != nil || b == nil {
		return err
	}
	work := engine.Config{
		Store: file, Port: b, Log: log, Closed: true, Links: b.Links(), PerSender: o.perSender,
		Now: func() time.Time { return time.Now().In(o.zone) },
	}
	if m != nil {
		work.Meter = m
	}
	if o.perSecond > 0 {
		work.Limiter = bot.NewLimiter(o.perSecond)
	}
	eng, err := engine.Start(work)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, finish(log, eng, closeIn, ctx.Err() != nil)) }()
	if err := greet(s, file, b); err != nil {
		return err
	}
	if err := b.RegisterCommands(ctx); err != nil {
		log.Warn("the list of commands is not up to date", "err", err)
	}
	if m != nil {
		m.watch(log, o.db, eng, b, copies)
	}
	log.Info("serving", "bot", b.Name(), "db", o.db, "pid", os.Getpid())
	return untilBroken(ctx, log, o.db, eng, func(ctx context.Context) error {
		if o.webhook != "" {
			return listen(ctx, b, eng, o)
		}
		return b.Poll(ctx, eng)
	})
}

// damageMark is the file that is left where a file could not be written for its
// damage. Reading all of it takes a while, and is done at the start only where that
// is there.
func damageMark(db string) string { return db + ".damaged" }

// wholeAgain says whether all pages of a file can be read that was found damaged
// before. One that is damaged still is not to be written: each start would meet the
// damage anew, and tell people so.
func wholeAgain(db string) error {
	mark := damageMark(db)
	if _, err := os.Stat(mark); err != nil {
		return nil
	}
	var first *store.Fault
	_, err := inspected(db, func(f store.Fault) {
		if first == nil {
			first = &f
		}
	})
	switch {
	case first != nil:
		return &store.DamagedError{Path: db, Why: first.Error()}
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return err
	}
	return os.Remove(mark)
}

// untilBroken takes updates until ctx ends, or until nothing can be heard any more,
// for the file is damaged: then it is an error how, and the next start looks first.
func untilBroken(ctx context.Context, log *slog.Logger, db string, eng *engine.Engine, take func(context.Context) error) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	go func() {
		defer engine.Crash(log)
		select {
		case <-eng.Broken():
			stop()
		case <-ctx.Done():
		}
	}()
	err := take(ctx)
	bad := eng.Err()
	if damaged := (*store.DamagedError)(nil); errors.As(bad, &damaged) {
		err := os.WriteFile(damageMark(db), []byte("what is damaged: rodcall check --db "+db+"\n"), 0o600)
		if err != nil {
			log.Warn("the next start will not know of the damage", "err", err)
		}
	}
	if bad != nil {
		return bad
	}
	return err
}

// finish ends the engine, which is given no updates any more. Where it was asked
// to end, what waits to be heard and sent is heard and sent first, for a while;
// what is left is told, and is in the file for the next start.
func finish(log *slog.Logger, eng *engine.Engine, within time.Duration, asked bool) error {
	end, cancel := context.WithTimeout(context.Background(), within)
	defer cancel()
	if in, out := eng.Waiting(); asked && in+out > 0 {
		log.Info("ending: what waits is sent first", "messages", in, "replies", out)
		eng.Drain(end)
	}
	last, cancel := context.WithTimeout(context.Background(), within/4)
	defer cancel()
	err := eng.Close(last)
	if in, out := eng.Waiting(); in+out > 0 {
		log.Warn("ended before all was sent; the rest is in the file for the next start", "rest", in+out)
	}
	return err
}

// rotate makes copies of the file from time to time until the returned function
// is called, where that was asked for.
func (o served) rotate(ctx context.Context, log *slog.Logger, file *store.Store) (*rotation, func(), error) {
	if o.backupDir == "" {
		return nil, func() {}, nil
	}
	if err := os.Mkdir(o.backupDir, 0o700); err != nil && !os.IsExist(err) {
		return nil, nil, failure("a folder that can be written: --backup-dir copies", "--backup-dir: %w", err)
	}
	r := &rotation{file: file, dir: o.backupDir, every: o.backupEvery, keep: o.backupKeep, now: time.Now, log: log}
	ctx, cancel := context.WithCancel(ctx)
	done := make(chan struct{})
	go func() {
		defer engine.Crash(log)
		defer close(done)
		r.run(ctx)
	}()
	return r, func() { cancel(); <-done }, nil
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
func listen(ctx context.Context, b *bot.Bot, eng *engine.Engine, o served) error {
	l, err := net.Listen("tcp", o.listen)
	if err != nil {
		return failure("an address that is free: --listen 127.0.0.1:8080", "listen: %w", err)
	}
	if err := b.SetWebhook(ctx, o.webhook, o.secret); err != nil {
		return errors.Join(failure("an https address that the platform can reach: --webhook https://bot.example/", "%w", err), l.Close())
	}
	return b.ServeWebhook(ctx, l, o.pair, o.secret, eng)
}
