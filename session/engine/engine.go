package engine

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"sync/atomic"
	"time"

	"rodcall/session"
	"rodcall/session/report"
	"rodcall/session/store"
)

// Defaults of Config.
const (
	DefaultJobs  = 512
	DefaultSends = 16
	// DefaultPerSender is for Config.PerSender: a fast walker sends one a second.
	DefaultPerSender = 2
)

// Config of an engine. Store and Port must be given.
type Config struct {
	Store *store.Store // stays the caller's to close, after the engine
	Port  Port
	Hear  Hear             // session.Hear if nil
	Draw  Draw             // report.WritePicture if nil
	Now   func() time.Time // time.Now if nil
	Log   *slog.Logger     // nothing is logged if nil; texts of messages never are
	// Alert, if given, is called for each message that was put among the dead
	// letters, once it is there, with a *DecodeError or a *HearError: one call
	// at a time. Until it returns, the message's chat waits, and no other.
	Alert   func(error)
	Limiter Limiter // nil: none
	Meter   Meter   // nil: none
	// Closed lets in only the owner and those invited; see [session.Admit].
	// Links make links of invitations.
	Closed bool
	Links  Links
	// PerSender is how many messages a second one sender may send for as long as
	// they like, a voice note or a photo counting for two; 0: as many as they can.
	// Who sends more, and more than 120 at once, is told so, and nothing of theirs is taken
	// until they pause.
	PerSender int
	Jobs      int // folded jobs kept in memory
	Sends     int // sends at a time, over all chats

	// update runs a writing transaction; tests make it fail.
	update func(func(*store.Tx) error) error
}

// Engine is a running engine.
type Engine struct {
	cfg  Config
	log  *slog.Logger
	jobs *jobs

	ops        chan *op
	stopWriter chan struct{}
	writerDone chan struct{}
	// unwritten is the last write, where it failed.
	unwritten atomic.Pointer[unwritten]

	closing  chan struct{}
	sendCtx  context.Context
	stopSend context.CancelFunc
	work     sync.WaitGroup // everything that may still write
	slots    chan struct{}  // sends at a time
	easels   chan struct{}  // drawings at a time
	hearCtx  context.Context
	stopHear context.CancelFunc
	ears     chan struct{} // voice notes and photos at a time
	arrived  chan struct{} // something new is in the inbox

	mu      sync.Mutex
	closed  bool
	waiting int           // rows in inbox and outbox
	settled chan struct{} // closed when waiting comes to 0, then replaced
	in      map[string]*inQueue
	held    int // decoded messages kept in the queues
	// broken is closed, and why set, once nothing can be heard any more. blocked
	// counts chats that wait for a part of the file that cannot be read, by the first
	// error, and stranded what waits there: none of waiting.
	broken            chan struct{}
	why, unread       error
	blocked, stranded int
	kept              int // rows of the outbox kept in the queues
	out               map[string]*outQueue

	talks   talks
	people  peopleBook
	codes   sync.Mutex // held from looking at a code until what it did is on the disk
	told    told
	echoes  echoes
	unkept  unkept
	senders senders
	alerts  sync.Mutex // held while Alert is called
}

// Start hears again what is in the inbox, sends again what is in the outbox,
// and takes new updates.
func Start(cfg Config) (*Engine, error) {
	if cfg.Store == nil || cfg.Port == nil {
		return nil, errors.New("start engine: a store and a port are needed")
	}
	if cfg.Hear == nil {
		cfg.Hear = session.Hear
	}
	if cfg.Draw == nil {
		cfg.Draw = report.WritePicture
	}
	if cfg.Now == nil {
		cfg.Now = time.Now
	}
	if cfg.Jobs <= 0 {
		cfg.Jobs = DefaultJobs
	}
	if cfg.Sends <= 0 {
		cfg.Sends = DefaultSends
	}
	if cfg.Meter == nil {
		cfg.Meter = unmetered{}
	}
	if cfg.update == nil {
		cfg.update = cfg.Store.Update
	}
	e := &Engine{
		cfg:        cfg,
		log:        cfg.Log,
		jobs:       newJobs(cfg.Jobs),
		ops:        make(chan *op, maxGroup),
		stopWriter: make(chan struct{}),
		writerDone: make(chan struct{}),
		closing:    make(chan struct{}),
		slots:      make(chan struct{}, cfg.Sends),
		easels:     make(chan struct{}, drawings()),
		ears:       make(chan struct{}, listens),
		arrived:    make(chan struct{}, 1),
		settled:    make(chan struct{}),
		broken:     make(chan struct{}),
		in:         map[string]*inQueue{},
		out:        map[string]*outQueue{},
	}
	if e.log == nil {
		e.log = slog.New(slog.DiscardHandler)
	}
	e.senders.perSecond, e.senders.kept = cfg.PerSender, e.shutOf
	e.sendCtx, e.stopSend = context.WithCancel(context.Background())
	e.hearCtx, e.stopHear = context.WithCancel(context.Background())

	e.echoes.since = cfg.Now()
	err := cfg.Store.View(func(tx *store.Tx) error {
		e.people.last = tx.LastPerson()
		e.waiting = tx.InboxLen()
		if err := e.resumeLost(tx); err != nil {
			return err
		}
		return e.resumeOutbox(tx)
	})
	if err != nil {
		e.stopSend()
		e.stopHear()
		return nil, fmt.Errorf("start engine: %w", err)
	}
	go func() {
		defer Crash(e.log)
		e.write()
	}()
	e.spawn(e.dispatch)
	e.mu.Lock()
	for _, q := range e.out {
		e.spawn(func() { e.sendAll(q) })
	}
	e.mu.Unlock()
	return e, nil
}

// count changes the number of rows that wait.
func (e *Engine) count(by int) {
	if by == 0 {
		return
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	e.counted(by)
}

// counted is count where e.mu is held.
func (e *Engine) counted(by int) {
	e.waiting += by
	if e.waiting == 0 {
		close(e.settled)
		e.settled = make(chan struct{})
	}
}

// Wait returns when nothing waits in inbox and outbox: all that was received
// has been heard, and every reply sent. Where something cannot be, for the file is
// damaged, that is an error once all else is done.
func (e *Engine) Wait(ctx context.Context) error {
	e.mu.Lock()
	idle, settled := e.waiting == 0, e.settled
	e.mu.Unlock()
	if idle {
		return e.waits()
	}
	select {
	case <-settled:
		return e.waits()
	case <-e.broken:
		return e.Err()
	case <-e.closing:
		return ErrClosed
	case <-ctx.Done():
		return ctx.Err()
	}
}

// Drain returns when all that was received has been heard, and every reply sent
// but those that have to wait beyond the end of ctx; or when ctx ends. It is for
// an engine that is given nothing new, and is to be closed.
func (e *Engine) Drain(ctx context.Context) {
	look := time.NewTicker(20 * time.Millisecond)
	defer look.Stop()
	for !e.drained(ctx) {
		select {
		case <-look.C:
		case <-e.closing:
			return
		case <-ctx.Done():
			return
		}
	}
}

// drained says that all that waits has to wait beyond the end of ctx.
func (e *Engine) drained(ctx context.Context) bool {
	end, bounded := ctx.Deadline()
	by := e.cfg.Now().Add(time.Until(end))
	e.mu.Lock()
	defer e.mu.Unlock()
	rest := 0
	for _, q := range e.out {
		if bounded && q.until.After(by) {
			rest += len(q.rows)
		}
	}
	return e.waiting <= rest
}

// Close ends the engine: the message in hand of each chat is heard and
// committed, the reply in hand is sent, all else stays in the file for the
// next start, and so does a voice note or a photo that is being fetched. When ctx ends first, sends are cut off; their replies will be
// sent again.
func (e *Engine) Close(ctx context.Context) error {
	e.mu.Lock()
	if e.closed {
		e.mu.Unlock()
		<-e.writerDone
		return nil
	}
	e.closed = true
	close(e.closing)
	damaged := e.why != nil
	e.mu.Unlock()
	if damaged {
		time.AfterFunc(wordGrace, e.stopHear)
	} else {
		e.stopHear()
	}

	done := make(chan struct{})
	go func() {
		defer Crash(e.log)
		e.work.Wait()
		close(done)
	}()
	var err error
	select {
	case <-done:
	case <-ctx.Done():
		e.stopSend()
		select {
		case <-done:
		case <-time.After(closeGrace):
			err = fmt.Errorf("close engine: something did not end: %w", ctx.Err())
		}
	}
	e.stopHear()
	e.stopSend()
	close(e.stopWriter)
	if !damaged {
		<-e.writerDone
		return err
	}
	// A page can catch the writer for good.
	select {
	case <-e.writerDone:
	case <-time.After(closeGrace):
	}
	return err
}

// closeGrace is how long sends that were cut off have to return.
const closeGrace = 2 * time.Second

// pause waits, and says whether the engine goes on.
func (e *Engine) pause(d time.Duration) bool {
	if d <= 0 {
		return !e.isClosing()
	}
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
		return true
	case <-e.closing:
		return false
	}
}

func (e *Engine) isClosing() bool {
	select {
	case <-e.closing:
		return true
	default:
		return false
	}
}

// backoff is the wait before the next attempt: from first, doubled each time,
// up to most.
func backoff(attempt int, first, most time.Duration) time.Duration {
	d := first
	for range attempt {
		if d *= 2; d >= most {
			return most
		}
	}
	return d
}
