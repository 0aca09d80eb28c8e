package store

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"pgregory.net/rapid"

	"rodcall/reduce"
	"rodcall/session"
)

// model is what a file must hold, in plain maps and slices.
type model struct {
	cursor  []byte
	seen    map[int64]bool
	inbox   []Letter // in order
	lastIn  uint64
	dead    []Dead // by number
	logs    map[string][]session.Event
	headers map[string]session.JobHeader
	owner   map[string]string // of a job: its chat
	chats   map[string]session.Chat
	talks   map[string]session.Conversation // by chat and person
	people  map[session.PersonID]Person
	heard   map[string]string // by chat and message
	asked   map[string]session.Place
	outbox  []Row // in order
	lastOut uint64
	parked  []Parked // by number
	// held are rows as they once were: what a sender has in its hand.
	held []Row
}

func newModel() *model {
	return &model{
		seen: map[int64]bool{}, logs: map[string][]session.Event{}, headers: map[string]session.JobHeader{}, owner: map[string]string{},
		chats: map[string]session.Chat{}, talks: map[string]session.Conversation{}, people: map[session.PersonID]Person{},
		heard: map[string]string{}, asked: map[string]session.Place{},
	}
}

// clone is a copy that may be changed or thrown away.
func (m *model) clone() *model {
	c := *m
	c.seen, c.logs, c.headers, c.owner = maps.Clone(m.seen), maps.Clone(m.logs), maps.Clone(m.headers), maps.Clone(m.owner)
	c.chats, c.talks, c.people = maps.Clone(m.chats), maps.Clone(m.talks), maps.Clone(m.people)
	c.heard, c.asked = maps.Clone(m.heard), maps.Clone(m.asked)
	c.inbox, c.dead, c.outbox, c.parked, c.held = slices.Clone(m.inbox), slices.Clone(m.dead), slices.Clone(m.outbox), slices.Clone(m.parked), slices.Clone(m.held)
	for job, events := range c.logs {
		c.logs[job] = slices.Clip(events)
	}
	return &c
}

var (
	someChats = rapid.SampledFrom([]string{"a", "ab", "b"})
	someJobs  = rapid.SampledFrom([]string{"j", "j1", "j10", "k"})
	somePlace = rapid.SampledFrom([]session.Place{{}, {}, {Job: "j"}, {Job: "k", Station: reduce.Corner(3)}})
	someReply = rapid.Custom(func(t *rapid.T) session.Reply {
		return session.Reply{
			Text: rapid.StringN(0, 4, -1).Draw(t, "text"), Asks: somePlace.Draw(t, "asks"),
			Live:    rapid.SampledFrom([]string{"", "", "board", "boar"}).Draw(t, "live"),
			Picture: rapid.SampledFrom([]string{"", "", "j1"}).Draw(t, "picture"),
		}
	})
)

func (m *model) receive(t *rapid.T, tx *Tx) {
	var us []Update
	want := 0
	for _, id := range rapid.SliceOfN(rapid.Int64Range(-20, 20), 0, 5).Draw(t, "ids") {
		u := Update{ID: id, Raw: rapid.SliceOfN(rapid.Byte(), 0, 3).Draw(t, "raw")}
		us = append(us, u)
		if !m.seen[id] {
			m.seen[id] = true
			m.lastIn++
			m.inbox = append(m.inbox, Letter{m.lastIn, u})
			want++
		}
	}
	var cursor []byte
	if rapid.Bool().Draw(t, "moves the cursor") {
		cursor = fmt.Append(nil, m.lastIn)
		m.cursor = cursor
	}
	if got, err := tx.Receive(us, cursor, noon); err != nil || got != want {
		t.Fatalf("received %d, %v; want %d", got, err, want)
	}
}

// letter picks a letter of the inbox, or a number that is not in it.
func (m *model) letter(t *rapid.T) (at int, seq uint64) {
	at = rapid.IntRange(-1, len(m.inbox)-1).Draw(t, "letter")
	if at < 0 {
		return at, m.lastIn + 1
	}
	return at, m.inbox[at].Seq
}

// taken checks the error of an operation that takes a letter out, and takes
// it out.
func (m *model) taken(t *rapid.T, at int, err error) bool {
	if at < 0 {
		if !errors.As(err, new(*GoneError)) {
			t.Fatalf("error %v, want a *GoneError", err)
		}
		return false
	}
	if err != nil {
		t.Fatal(err)
	}
	m.inbox = slices.Delete(m.inbox, at, at+1)
	return true
}

func (m *model) bury(t *rapid.T, tx *Tx) {
	at, seq := m.letter(t)
	why := errors.New(rapid.String().Draw(t, "why"))
	d := Dead{Seq: seq, Why: why.Error()}
	if at >= 0 {
		d.ID, d.Raw = m.inbox[at].ID, m.inbox[at].Raw
	}
	if m.taken(t, at, tx.Bury(seq, why)) {
		m.dead = append(m.dead, d)
		slices.SortFunc(m.dead, func(a, b Dead) int { return int(a.Seq) - int(b.Seq) })
	}
}

func (m *model) ignore(t *rapid.T, tx *Tx) {
	at, seq := m.letter(t)
	m.taken(t, at, tx.Ignore(seq))
}

// commit commits what makes sense and, now and then, what does not: events
// that do not follow their log, or belong to another chat.
func (m *model) commit(t *rapid.T, tx *Tx) {
	at, seq := m.letter(t)
	c := m.outcome(t, seq)
	sound := m.sound(c)
	rows, err := tx.Commit(c)
	if at >= 0 && !sound {
		if !errors.As(err, new(*RefusedError)) {
			t.Fatalf("error %v, want a *RefusedError", err)
		}
		return
	}
	if !m.taken(t, at, err) {
		return
	}
	if want := m.took(c); !slices.Equal(rows, want) {
		t.Fatalf("new rows %v, want %v", rows, want)
	}
}

func at(minutes int) time.Time { return noon.Add(time.Duration(minutes) * time.Minute) }
