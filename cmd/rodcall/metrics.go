package main

import (
	"context"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"os"
	"sync/atomic"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"rodcall/bot"
	"rodcall/session"
	"rodcall/session/engine"
)

// meters count what the program does. No label holds a person, a chat or the
// token: each takes a few known values.
type meters struct {
	registry *prometheus.Registry
	// healthy says why the program is not; nil before it serves.
	healthy atomic.Pointer[func(context.Context) error]

	stored, refused, dead, polls, pollErrors prometheus.Counter
	heard, drawn                             *prometheus.HistogramVec
	sent, committed, writes                  prometheus.Histogram
	listened, notSent                        *prometheus.CounterVec
}

// seconds are bounds from half a millisecond to two minutes.
var seconds = []float64{.0005, .001, .0025, .005, .01, .025, .05, .1, .25, .5, 1, 2.5, 5, 10, 30, 120}

func newMeters() *meters {
	m := &meters{registry: prometheus.NewRegistry()}
	counter := func(name, help string) prometheus.Counter {
		c := prometheus.NewCounter(prometheus.CounterOpts{Name: name, Help: help})
		m.registry.MustRegister(c)
		return c
	}
	counters := func(name, help, label string) *prometheus.CounterVec {
		c := prometheus.NewCounterVec(prometheus.CounterOpts{Name: name, Help: help}, []string{label})
		m.registry.MustRegister(c)
		return c
	}
	spread := func(name, help string, bounds []float64) prometheus.Histogram {
		h := prometheus.NewHistogram(prometheus.HistogramOpts{Name: name, Help: help, Buckets: bounds})
		m.registry.MustRegister(h)
		return h
	}
	spreads := func(name, help string) *prometheus.HistogramVec {
		h := prometheus.NewHistogramVec(prometheus.HistogramOpts{Name: name, Help: help, Buckets: seconds}, []string{"kind"})
		m.registry.MustRegister(h)
		return h
	}
	m.stored = counter("rodcall_updates_stored_total", "Updates that were stored.")
	m.heard = spreads("rodcall_message_seconds", "From a message's being read from the inbox to the commit of what came of it.")
	m.refused = counter("rodcall_messages_refused_total", "Messages that were not taken, for their senders sent too many.")
	m.dead = counter("rodcall_dead_letters_total", "Messages that could not be heard, and were put aside.")
	m.listened = counters("rodcall_voice_notes_total", "Voice notes by what came of them.", "outcome")
	m.drawn = spreads("rodcall_picture_seconds", "Time to make a picture or a paper.")
	m.sent = spread("rodcall_reply_seconds", "From a reply's being made to its being taken by the platform.", seconds)
	m.notSent = counters("rodcall_replies_not_sent_total", "Attempts to send a reply that failed: the platform wants it later, it failed, or it never can be sent and was parked.", "why")
	m.committed = spread("rodcall_commit_seconds", "Time of a transaction, to the disk.", seconds)
	m.writes = spread("rodcall_commit_writes", "Writes that shared a transaction.", prometheus.ExponentialBuckets(1, 2, 10))
	m.polls = counter("rodcall_polls_total", "Answered questions for updates.")
	m.pollErrors = counter("rodcall_poll_errors_total", "Questions for updates that failed.")
	for _, why := range []engine.SendFail{engine.SendLater, engine.SendFailed, engine.SendParked} {
		m.notSent.WithLabelValues(string(why))
	}
	m.registry.MustRegister(collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

// Stored implements engine.Meter.
func (m *meters) Stored(updates int) { m.stored.Add(float64(updates)) }

// messageKinds are the labels of the kinds of message.
var messageKinds = map[session.MessageKind]string{
	session.Said: "said", session.Edited: "edited", session.Tapped: "tapped", session.Joined: "joined",
	session.Wordless: "wordless", session.Spoken: "spoken", session.Showed: "showed",
}

// Heard implements engine.Meter.
func (m *meters) Heard(kind session.MessageKind, took time.Duration) {
	m.heard.WithLabelValues(messageKinds[kind]).Observe(took.Seconds())
}

// Refused implements engine.Meter.
func (m *meters) Refused(messages int) { m.refused.Add(float64(messages)) }

// Dead implements engine.Meter.
func (m *meters) Dead() { m.dead.Inc() }

// Listened implements engine.Meter.
func (m *meters) Listened(fail session.HeardFail) {
	if fail == "" {
		fail = "heard"
	}
	m.listened.WithLabelValues(string(fail)).Inc()
}

// Drawn implements engine.Meter.
func (m *meters) Drawn(kind session.PictureKind, took time.Duration) {
	if kind == "" {
		kind = "drawing"
	}
	m.drawn.WithLabelValues(string(kind)).Observe(took.Seconds())
}

// Sent implements engine.Meter.
func (m *meters) Sent(took time.Duration) { m.sent.Observe(took.Seconds()) }

// NotSent implements engine.Meter.
func (m *meters) NotSent(why engine.SendFail) { m.notSent.WithLabelValues(string(why)).Inc() }

// Committed implements engine.Meter.
func (m *meters) Committed(writes int, took time.Duration) {
	m.committed.Observe(took.Seconds())
	m.writes.Observe(float64(writes))
}

// Polled implements bot.Meter.
func (m *meters) Polled(err error) {
	if err != nil {
		m.pollErrors.Inc()
		return
	}
	m.polls.Inc()
}

// watch adds what is looked up when somebody asks, and says that the program
// serves.
func (m *meters) watch(log *slog.Logger, db string, eng *engine.Engine, b *bot.Bot, copies *rotation) {
	gauge := func(name, help string, labels prometheus.Labels, look func() float64) {
		m.registry.MustRegister(prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: name, Help: help, ConstLabels: labels}, func() float64 {
			defer engine.Crash(log) // each is asked in a goroutine of its own
			return look()
		}))
	}
	const waiting = "What waits: messages in the inbox, replies in the outbox."
	gauge("rodcall_waiting", waiting, prometheus.Labels{"in": "inbox"}, func() float64 { in, _ := eng.Waiting(); return float64(in) })
	gauge("rodcall_waiting", waiting, prometheus.Labels{"in": "outbox"}, func() float64 { _, out := eng.Waiting(); return float64(out) })
	gauge("rodcall_file_bytes", "Size of the file of the jobs.", nil, func() float64 {
		is, err := os.Stat(db)
		if err != nil {
			return 0
		}
		return float64(is.Size())
	})
	gauge("rodcall_last_poll_timestamp_seconds", "When the platform last answered a question for updates; 0 over a webhook.", nil, func() float64 { return stamp(b.LastPoll()) })
	if copies != nil {
		gauge("rodcall_last_copy_timestamp_seconds", "When the newest copy of the file was made; 0 where there is none.", nil, func() float64 { return stamp(copies.last()) })
	}
	healthy := func(ctx context.Context) error {
		if err := eng.Alive(ctx); err != nil {
			return err
		}
		return b.Taking()
	}
	m.healthy.Store(&healthy)
}

// stamp is a time as metrics say it.
func stamp(at time.Time) float64 {
	if at.IsZero() {
		return 0
	}
	return float64(at.UnixMilli()) / 1e3
}

// health is nil where the program does its work, else why not.
func (m *meters) health(ctx context.Context) error {
	look := m.healthy.Load()
	if look == nil {
		return errors.New("starting: the platform has not said who this bot is")
	}
	ctx, cancel := context.WithTimeout(ctx, 5*time.Second)
	defer cancel()
	return (*look)(ctx)
}

// handler answers /metrics and /healthz.
func (m *meters) handler(log *slog.Logger) http.Handler {
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{
		ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn), MaxRequestsInFlight: 4,
	}))
	// Each question is a write: one at a time.
	turn := make(chan struct{}, 1)
	mux.HandleFunc("GET /healthz", func(w http.ResponseWriter, r *http.Request) {
		select {
		case turn <- struct{}{}:
			defer func() { <-turn }()
		case <-r.Context().Done():
			return
		}
		status, text := http.StatusOK, "ok\n"
		if err := m.health(r.Context()); err != nil {
			status, text = http.StatusServiceUnavailable, err.Error()+"\n"
		}
		w.Header().Set("Content-Type", "text/plain; charset=utf-8")
		w.WriteHeader(status)
		_, _ = w.Write([]byte(text)) // who does not read it does not want it
	})
	return mux
}

// offer answers on an address of this machine, until the returned function is
// called.
func (m *meters) offer(log *slog.Logger, address string) (end func(), err error) {
	l, err := net.Listen("tcp", address)
	if err != nil {
		return nil, failure("an address that is free: --metrics 127.0.0.1:9464", "--metrics: %w", err)
	}
	server := &http.Server{
		Handler: m.handler(log), ReadTimeout: 10 * time.Second, WriteTimeout: 30 * time.Second,
		ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
	done := make(chan struct{})
	go func() {
		defer engine.Crash(log)
		defer close(done)
		if err := server.Serve(l); !errors.Is(err, http.ErrServerClosed) {
			log.Warn("there are no metrics any more", "err", err)
		}
	}()
	log.Info("metrics and health", "address", l.Addr().String())
	return func() {
		_ = server.Close() // nothing hangs on an answer
		<-done
	}, nil
}
