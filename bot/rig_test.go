package bot_test

import (
	"bytes"
	"context"
	"log/slog"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"rodcall/bot"
	"rodcall/bot/apitest"
	"rodcall/session/engine"
	"rodcall/session/store"
)

// logs is a log that several goroutines write.
type logs struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *logs) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *logs) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}

const token = "4242:stand-in-token-of-nobody-000000000"

// rig is a bot on the stand-in, with its engine and its file.
type rig struct {
	t     *testing.T
	srv   *apitest.Server
	db    string
	log   logs
	late  atomic.Int64 // how far the clock of bot and engine is ahead, nanoseconds
	polls bool         // it asks for updates
	hear  engine.Hear  // nil: session.Hear
	ear   bot.Ear
	speak bot.Speaker
	// between, if given, is called after each message of play, before its answers are there.
	between func(step int)
	file    *store.Store
	bot     *bot.Bot
	eng     *engine.Engine
	stop    func()
}

func newRig(t *testing.T, c apitest.Config) *rig {
	t.Helper()
	c.Token = token
	r := &rig{t: t, srv: apitest.New(c), db: filepath.Join(t.TempDir(), "walk.db"), polls: true}
	t.Cleanup(r.srv.Close)
	r.start()
	t.Cleanup(func() { r.stop() })
	return r
}

// start opens everything, as serve does.
func (r *rig) start() {
	r.t.Helper()
	var err error
	if r.file, err = store.Open(r.db, store.Options{}); err != nil {
		r.t.Fatal(err)
	}
	var cursor []byte
	if err := r.file.View(func(tx *store.Tx) error { cursor = tx.Cursor(); return nil }); err != nil {
		r.t.Fatal(err)
	}
	log := slog.New(slog.NewTextHandler(bot.Redacted(&r.log, token), &slog.HandlerOptions{Level: slog.LevelDebug}))
	if r.bot, err = bot.New(context.Background(), bot.Config{
		Token: token, API: r.srv.URL(), Log: log, Cursor: cursor, Ear: r.ear, Speaker: r.speak,
		Now: r.now,
	}); err != nil {
		r.t.Fatal(err)
	}
	bot.Hurry(r.bot, 300*time.Millisecond, 10*time.Millisecond)
	r.eng, err = engine.Start(engine.Config{Store: r.file, Port: r.bot, Hear: r.hear, Now: r.now, Log: log, Closed: true, Links: r.bot.Links(), PerSender: engine.DefaultPerSender})
	if err != nil {
		r.t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() {
		if !r.polls {
			<-ctx.Done()
			done <- nil
			return
		}
		done <- r.bot.Poll(ctx, r.eng)
	}()
	r.stop = func() {
		cancel()
		if err := <-done; err != nil {
			r.t.Errorf("poll: %v", err)
		}
		end, cancel := context.WithTimeout(context.Background(), 10*time.Second)
		defer cancel()
		if err := r.eng.Close(end); err != nil {
			r.t.Errorf("close the engine: %v", err)
		}
		if err := r.file.Close(); err != nil {
			r.t.Errorf("close the file: %v", err)
		}
		r.stop = func() {}
	}
}

// now is the time by the clock of bot and engine.
func (r *rig) now() time.Time { return time.Now().Add(time.Duration(r.late.Load())) }

// age lets time pass for the bot, or has its clock jump.
func (r *rig) age(d time.Duration) { r.late.Add(int64(d)) }

func (r *rig) restart() {
	r.t.Helper()
	r.stop()
	r.start()
}

// settle waits until nothing is on its way.
func (r *rig) settle() {
	r.t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	if err := r.srv.Wait(ctx, func() bool { return r.srv.Pending() == 0 }); err != nil {
		r.t.Fatalf("updates are not taken: %v\n%s", err, r.log.String())
	}
	if err := r.eng.Wait(ctx); err != nil {
		r.t.Fatalf("not settled: %v\n%s", err, r.log.String())
	}
}

// owner makes a person who owns the bot.
func (r *rig) owner(name string) (apitest.User, *apitest.Chat) {
	r.t.Helper()
	if err := r.file.Update(func(tx *store.Tx) error { return tx.SetClaim("claim-" + name) }); err != nil {
		r.t.Fatal(err)
	}
	u := r.srv.User(name)
	c := r.srv.Private(u)
	c.Say(u, "/start claim-"+name)
	r.settle()
	if got := r.last(c); !strings.Contains(got, "You own this bot") {
		r.t.Fatalf("claim: %s", got)
	}
	return u, c
}

// last is the newest thing that the bot said.
func (r *rig) last(c *apitest.Chat) string {
	all := c.FromBot()
	if len(all) == 0 {
		return ""
	}
	return all[len(all)-1].Text
}

// say says a text and returns what the bot answers.
func (r *rig) say(c *apitest.Chat, u apitest.User, text string) string {
	r.t.Helper()
	return r.answer(c, func() { c.Say(u, text) })
}

// answer is what the bot says in a chat to what is done there.
func (r *rig) answer(c *apitest.Chat, do func()) string {
	r.t.Helper()
	before := len(c.FromBot())
	do()
	r.settle()
	var out []string
	for _, m := range c.FromBot()[before:] {
		out = append(out, m.Text)
	}
	return strings.Join(out, "\n")
}

// noFaults fails on requests that the platform would not take.
func (r *rig) noFaults() {
	r.t.Helper()
	for _, f := range r.srv.Faults() {
		r.t.Errorf("a request was refused: %+v", f)
	}
	r.asDescribed()
}

// play plays the steps of a chat as one person on a phone, and returns what
// the bot said, as the terminal would show it.
func (r *rig) play(u apitest.User, c *apitest.Chat, chat string) string {
	r.t.Helper()
	var ids []int // of this person's messages that take a number
	from, step := len(c.FromBot()), 0
	for line := range strings.Lines(chat) {
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") || strings.HasPrefix(line, "@") {
			continue
		}
		verb, rest, _ := strings.Cut(line, " ")
		target, text, _ := strings.Cut(rest, ": ")
		n, err := strconv.Atoi(target)
		text = strings.ReplaceAll(text, `\n`, "\n")
		switch {
		case verb == "edits" && err == nil:
			if err := c.Edit(u, ids[n-1], text); err != nil {
				r.t.Fatal(err)
			}
		case verb == "replies" && err == nil:
			ids = append(ids, c.Reply(u, ids[n-1], text))
		case verb == "taps":
			r.tap(u, c, strings.Trim(rest, `"`))
		default:
			ids = append(ids, c.Say(u, strings.ReplaceAll(line, `\n`, "\n")))
		}
		if step++; r.between != nil {
			r.between(step)
		}
		r.settle()
	}
	var b strings.Builder
	for _, m := range c.FromBot()[from:] {
		b.WriteString(shown(m))
	}
	return b.String()
}

// tap taps the newest button of that label.
func (r *rig) tap(u apitest.User, c *apitest.Chat, label string) {
	r.t.Helper()
	all := c.FromBot()
	for i := len(all) - 1; i >= 0; i-- {
		for _, row := range all[i].Buttons {
			for _, b := range row {
				if b.Text == label {
					if _, err := c.Tap(u, all[i].ID, label); err != nil {
						r.t.Fatal(err)
					}
					return
				}
			}
		}
	}
	r.t.Fatalf("no button %q", label)
}

// shown is a message as the terminal shows it, but for pictures' names.
func shown(m apitest.Message) string {
	var b strings.Builder
	for l := range strings.Lines(m.Text) {
		b.WriteString(strings.TrimRight("  "+l, " \r\n") + "\n")
	}
	if m.Photo != nil {
		b.WriteString("  [picture]\n")
	}
	var row []string
	for _, buttons := range m.Buttons {
		for _, x := range buttons {
			row = append(row, "["+x.Text+"]")
		}
	}
	if len(row) > 0 {
		b.WriteString("  " + strings.Join(row, " ") + "\n")
	}
	for _, keys := range m.Keys {
		b.WriteString("  {" + strings.Join(keys, "} {") + "}\n")
	}
	return b.String()
}

var picture = regexp.MustCompile(`\[picture [^\]]*\]`)

// said is what the bot says in a transcript of the terminal.
func said(transcript string) string {
	var b strings.Builder
	for l := range strings.Lines(transcript) {
		if !strings.HasPrefix(l, ">") {
			b.WriteString(l)
		}
	}
	return picture.ReplaceAllString(b.String(), "[picture]")
}
