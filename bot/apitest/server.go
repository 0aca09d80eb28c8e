package apitest

import (
	"context"
	"fmt"
	"math/rand/v2"
	"net"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"time"
)

// Config says what a server is like; its zero value will do.
type Config struct {
	Token    string           // default "4242:stand-in-token-of-nobody-000000000"
	Name     string           // the bot's user name, default "stand_in_bot"
	Now      func() time.Time // default time.Now; long polls and delays wait in real time all the same
	Seed     uint64           // of everything that is by chance
	ReadsAll bool             // privacy mode is off: the bot is sent all that is said in groups
	Control  bool             // also serve Server.Control under /control/

	FirstUpdateID int64 // default 480000001

	WebhookClient *http.Client  // default: one that does not look at certificates' chains
	WebhookRetry  time.Duration // wait before a failed delivery is tried again, default 20 ms
}

// A Server stands in for the platform and the people on it. Its methods may
// be called from many goroutines at once.
type Server struct {
	cfg      Config
	bot      User
	started  time.Time
	listener net.Listener
	http     *http.Server
	stop     context.CancelFunc
	stopped  context.Context

	mu        sync.Mutex
	changed   chan struct{} // closed, and made anew, whenever anything changes
	rand      *rand.Rand
	users     map[int64]User
	chats     map[int64]*chat
	byName    map[string]int64 // a group's @name
	messageID int              // last one of private chats and small groups
	lastID    int64            // last id handed to a user or group
	taps      map[string]*tap
	files     map[string]*File
	commands  map[string]any // by scope and language
	queue     updateQueue
	hook      *webhook
	rates     *rates
	troubles  []*Trouble
	schedule  *schedule
	down      bool
	loggedOut bool
	requests  []Request
	faults    []Fault
}

// New starts a server on a free port of this machine. Close it in the end.
func New(cfg Config) *Server {
	s := NewUnstarted(cfg)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		panic(fmt.Sprintf("apitest: %v", err))
	}
	s.listener = l
	s.http = &http.Server{Handler: s, ReadHeaderTimeout: time.Minute}
	go func() { _ = s.http.Serve(l) }() // ends with ErrServerClosed
	return s
}

var tokenForm = regexp.MustCompile(`^([0-9]{1,18}):[A-Za-z0-9_-]{30,}$`)

// NewUnstarted returns a server without a port: it is an http.Handler, to be
// served where the caller likes. Close stops what it runs beside requests.
func NewUnstarted(cfg Config) *Server {
	if cfg.Token == "" {
		cfg.Token = "4242:stand-in-token-of-nobody-000000000"
	}
	id := tokenForm.FindStringSubmatch(cfg.Token)
	if id == nil {
		panic(fmt.Sprintf("apitest: %q is not in the form of a token", cfg.Token))
	}
	if cfg.Name == "" {
		cfg.Name = "stand_in_bot"
	}
	if cfg.Now == nil {
		cfg.Now = time.Now
	}
	if cfg.FirstUpdateID == 0 {
		cfg.FirstUpdateID = 480_000_001
	}
	if cfg.WebhookRetry == 0 {
		cfg.WebhookRetry = 20 * time.Millisecond
	}
	botID, _ := strconv.ParseInt(id[1], 10, 64)
	s := &Server{
		cfg:      cfg,
		bot:      User{ID: botID, IsBot: true, FirstName: "Stand-in", Username: cfg.Name},
		started:  cfg.Now(),
		changed:  make(chan struct{}),
		rand:     rand.New(rand.NewPCG(cfg.Seed, 1)),
		users:    make(map[int64]User),
		chats:    make(map[int64]*chat),
		byName:   make(map[string]int64),
		lastID:   700_000,
		taps:     make(map[string]*tap),
		files:    make(map[string]*File),
		commands: make(map[string]any),
		queue:    updateQueue{next: cfg.FirstUpdateID},
	}
	s.stopped, s.stop = context.WithCancel(context.Background())
	return s
}

// URL is the address of the Bot API, without a slash at its end; empty for a
// server that is not started.
func (s *Server) URL() string {
	if s.listener == nil {
		return ""
	}
	return "http://" + s.listener.Addr().String()
}

// Token is the bot's token.
func (s *Server) Token() string { return s.cfg.Token }

// Bot is the bot as a user.
func (s *Server) Bot() User { return s.bot }

// Close cuts all connections and stops. What was recorded can still be read.
func (s *Server) Close() {
	s.stop()
	if s.http != nil {
		_ = s.http.Close() // nothing is lost with them
	}
}

// SetPrivacy turns the bot's privacy mode on or off, as its owner may at any
// time. It shows in getMe, and in what the bot is sent from groups.
func (s *Server) SetPrivacy(on bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.cfg.ReadsAll = !on
}

// wake tells everybody who waits that something changed. s.mu is held.
func (s *Server) wake() {
	close(s.changed)
	s.changed = make(chan struct{})
}

// ServeHTTP answers as the platform's server does, at /bot<token>/<method> and
// /file/bot<token>/<path>.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if s.cfg.Control && strings.HasPrefix(r.URL.Path, "/control/") {
		s.Control().ServeHTTP(w, r)
		return
	}
	s.mu.Lock()
	down := s.down
	s.mu.Unlock()
	if down {
		panic(http.ErrAbortHandler)
	}
	path, isFile := strings.CutPrefix(r.URL.Path, "/file")
	path, isBot := strings.CutPrefix(path, "/bot")
	token, rest, ok := strings.Cut(path, "/")
	switch {
	case !isBot || !ok || rest == "" || !tokenForm.MatchString(token):
		s.refuseOutside(w, r, http.StatusNotFound, "Not Found")
	case token != s.cfg.Token:
		s.refuseOutside(w, r, http.StatusUnauthorized, "Unauthorized")
	case isFile:
		s.serveFile(w, r, rest)
	default:
		s.serveMethod(w, r, rest)
	}
}

// refuseOutside answers a request that reaches no bot.
func (s *Server) refuseOutside(w http.ResponseWriter, r *http.Request, code int, text string) {
	s.mu.Lock()
	s.faults = append(s.faults, Fault{Time: s.cfg.Now(), Method: r.Method, Class: Malformed,
		Text: strings.ReplaceAll(text+": "+r.URL.Path, s.cfg.Token, "<token>")})
	s.mu.Unlock()
	writeJSON(w, code, (&refusal{code: code, text: text}).body())
}
