package engine

import (
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"rodcall/session"
	"rodcall/session/store"
)

var noon = time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)

// toyUpdate is an update of the toy platform.
type toyUpdate struct {
	Chat     string
	Who      string `json:",omitempty"` // platform id and name of a person
	Kind     session.MessageKind
	ID       string `json:",omitempty"`
	Text     string
	ReplyTo  string    `json:",omitempty"`
	Sent     string    `json:",omitempty"`
	Question int64     `json:",omitempty"`
	At       time.Time `json:",omitzero"` // noon where it is not told
}

// toy is a platform in memory: it keeps what was sent.
type toy struct {
	// send, if given, is asked before a reply counts as sent.
	send  func(Delivery) error
	fails error // of decoding "fails"

	mu      sync.Mutex
	sent    map[string][]Delivery // by chat, in order
	decoded int
}

func (p *toy) Decode(raw []byte) (Incoming, error) {
	p.mu.Lock()
	p.decoded++
	p.mu.Unlock()
	switch string(raw) {
	case "ignore":
		return Incoming{}, ErrIgnore
	case "fails":
		return Incoming{}, p.fails
	case "panic":
		panic("decode fell over")
	}
	var u toyUpdate
	if err := json.Unmarshal(raw, &u); err != nil {
		return Incoming{}, err
	}
	if u.At.IsZero() {
		u.At = noon
	}
	return Incoming{
		Chat: u.Chat, PersonPlatformID: u.Who, PersonName: u.Who, ReplyToSent: u.Sent,
		Message: session.Message{
			Kind: u.Kind, ID: u.ID, At: u.At, Text: u.Text, ReplyTo: u.ReplyTo, Question: u.Question, Private: true,
		},
	}, nil
}

func (p *toy) Send(ctx context.Context, d Delivery) (string, error) {
	if p.send != nil {
		if err := p.send(d); err != nil {
			return "", err
		}
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.sent == nil {
		p.sent = map[string][]Delivery{}
	}
	p.sent[d.Chat] = append(p.sent[d.Chat], d)
	return fmt.Sprint("s", d.Row), ctx.Err()
}

// texts are the replies that a chat got, in order.
func (p *toy) texts(chat string) []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	var out []string
	for _, d := range p.sent[chat] {
		out = append(out, d.Reply.Text)
	}
	return out
}

// said is an update with a text; its id in its chat is the update's.
func said(id int64, chat, who, text string) Update {
	return raw(id, toyUpdate{Chat: chat, Who: who, Kind: session.Said, ID: fmt.Sprint(id), Text: text})
}

func raw(id int64, u toyUpdate) Update {
	j, err := json.Marshal(u)
	if err != nil {
		panic(err)
	}
	return Update{ID: id, Raw: j}
}

// openStore opens a file; closing it twice does no harm.
func openStore(t testing.TB, path string) *store.Store {
	t.Helper()
	s, err := store.Open(path, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	return s
}

func newStore(t testing.TB) *store.Store {
	t.Helper()
	return openStore(t, filepath.Join(t.TempDir(), "file.db"))
}

// start starts an engine that is closed when the test ends.
func start(t testing.TB, cfg Config) *Engine {
	t.Helper()
	if cfg.Now == nil {
		cfg.Now = func() time.Time { return noon }
	}
	e, err := Start(cfg)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { stop(t, e) })
	return e
}

func stop(t testing.TB, e *Engine) {
	t.Helper()
	if err := e.Close(deadline(t)); err != nil {
		t.Error(err)
	}
}

// deadline ends what a fault would make wait for ever.
func deadline(t testing.TB) context.Context {
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	t.Cleanup(cancel)
	return ctx
}

func receive(t testing.TB, e *Engine, us ...Update) {
	t.Helper()
	if err := e.Receive(us, nil); err != nil {
		t.Fatal(err)
	}
}

func settle(t testing.TB, e *Engine) {
	t.Helper()
	if err := e.Wait(deadline(t)); err != nil {
		t.Fatal(err)
	}
}

func view(t testing.TB, s *store.Store, f func(*store.Tx) error) {
	t.Helper()
	if err := s.View(f); err != nil {
		t.Fatal(err)
	}
}

// echo is a Hear that answers with the text, opens the chat's job with its
// first message, and adds one event for each message after it. "boom" makes
// it panic.
func echo(c session.Chat, job *session.Job, talk session.Conversation, m session.Message) session.Outcome {
	if m.Text == "boom" {
		panic("hear fell over")
	}
	o := session.Outcome{Chat: c, Conversation: talk, Replies: []session.Reply{{Text: m.Text}}}
	e := session.Event{Seq: 1, At: m.At, By: m.From.ID, Message: m.ID, Line: 1}
	if job == nil {
		o.Job = m.FreshID
		o.Chat.Current = m.FreshID
		e.Body = session.Opened{Job: m.FreshID, Chat: c.ID, Name: m.Text}
	} else {
		o.Job = job.ID
		e.Seq = job.Seq + 1
		e.Body = session.SurfaceSet{Surface: "plate"}
	}
	o.Events = []session.Event{e}
	return o
}

// heard lists the messages that the log of the chat's current job names.
func heard(t testing.TB, s *store.Store, chat string) []string {
	t.Helper()
	var out []string
	view(t, s, func(tx *store.Tx) error {
		c, err := tx.Chat(chat)
		if err != nil || c.Current == "" {
			return err
		}
		for b := range tx.Stored(c.Current, 1) {
			e, _, err := session.Decode(b)
			if err != nil {
				return err
			}
			out = append(out, e.Message)
		}
		return tx.Verify(c.Current)
	})
	return out
}
