package store

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"rodcall/session"
)

// Tally is a person, and how much of theirs a file holds.
type Tally struct {
	Person
	Chats    int // in which they have a place
	Jobs     int // with an event of theirs
	Readings int
}

// Forgotten says that the number is all that is left of the person.
func (p Person) Forgotten() bool { return p.ID != 0 && p.Platform == "" && p.Name == "" }

// People lists everybody who ever had a number, in the order of the numbers. It
// reads every event of the file.
func (t *Tx) People() ([]Tally, error) {
	var out []Tally
	at := map[session.PersonID]int{}
	err := t.bucket(bucketPeople).ForEach(func(k, _ []byte) error {
		p, _, err := t.Person(session.PersonID(binary.BigEndian.Uint64(k)))
		at[p.ID] = len(out)
		out = append(out, Tally{Person: p})
		return err
	})
	if err != nil {
		return nil, err
	}
	err = t.bucket(bucketTalk).ForEach(func(k, _ []byte) error {
		if i, ok := at[talkOf(k)]; ok {
			out[i].Chats++
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	seen := map[session.PersonID]string{} // the job that was counted last
	err = t.bucket(bucketLog).ForEach(func(k, v []byte) error {
		by, kind, err := glance(v)
		if err != nil {
			return fmt.Errorf("log, row %q: %w", k, err)
		}
		i, ok := at[by]
		if !ok {
			return nil
		}
		job, _, _ := bytes.Cut(k, []byte{0})
		if seen[by] != string(job) {
			seen[by] = string(job)
			out[i].Jobs++
		}
		if kind == session.KindOf(session.Read{}) {
			out[i].Readings++
		}
		return nil
	})
	return out, err
}

// glance finds whose an event is, and of which kind, in its stored form: there both
// stand before the body, in one order, and in a text before them no quotation mark
// stands by itself. Decoding all of it takes more than ten times as long.
func glance(stored []byte) (by session.PersonID, kind string, err error) {
	after := func(head string, end byte) string {
		_, rest, _ := bytes.Cut(stored, []byte(head))
		return string(rest[:max(0, bytes.IndexByte(rest, end))])
	}
	n, err := strconv.ParseInt(after(`,"by":`, ','), 10, 64)
	kind = after(`,"kind":"`, '"')
	if err != nil || kind == "" {
		return 0, "", errors.New("it is no event")
	}
	return session.PersonID(n), kind, nil
}

// talkOf is whose place a row of talk is.
func talkOf(k []byte) session.PersonID {
	_, id, ok := bytes.Cut(k, []byte{0})
	if !ok || len(id) != 8 {
		return 0
	}
	return session.PersonID(binary.BigEndian.Uint64(id))
}

// Personal is what a file holds of one person.
type Personal struct {
	Number   session.PersonID `json:"number"`
	Name     string           `json:"name"`
	Platform string           `json:"platform_id"`
	Owner    bool             `json:"owner"`             // of the bot
	Let      json.RawMessage  `json:"let_in,omitempty"`  // when, and by whom
	Shut     *Shut            `json:"shut,omitempty"`    // nothing of theirs is taken until they pause
	Chats    []PersonalChat   `json:"chats"`             // in which they have a place
	Jobs     []PersonalJob    `json:"jobs"`              // with an event of theirs
	Outbox   []Row            `json:"outbox,omitempty"`  // answers to them, not sent yet
	Parked   []Parked         `json:"parked,omitempty"`  // and those that cannot be
	Inbox    []PersonalLetter `json:"inbox,omitempty"`   // messages of theirs, not heard yet
	Dead     []PersonalLetter `json:"unheard,omitempty"` // and those that could not be
}

// PersonalChat is a person's place in a chat.
type PersonalChat struct {
	Chat         string               `json:"chat"`
	Conversation session.Conversation `json:"conversation"`
}

// PersonalJob is what a person did in a job.
type PersonalJob struct {
	ID     string            `json:"id"`
	Name   string            `json:"name"`
	Chat   string            `json:"chat"`
	Notes  []PersonalNote    `json:"notes"`
	Events []json.RawMessage `json:"events"` // as they are stored
}

// PersonalNote is a note or a photo that a person kept.
type PersonalNote struct {
	Station string    `json:"station"`
	Text    string    `json:"text"`
	Photo   string    `json:"photo,omitempty"` // SHA-256 of its bytes, "" for none
	At      time.Time `json:"at"`
}

// PersonalLetter is an update as the platform gave it.
type PersonalLetter struct {
	Raw string `json:"raw"`
	Why string `json:"why,omitempty"` // it could not be heard
}

// NoPersonError says that the file knows nobody of that number.
type NoPersonError struct{ ID session.PersonID }

func (e *NoPersonError) Error() string { return fmt.Sprintf("nobody has the number %d", e.ID) }

// Personal gathers what the file holds of a person. The error is a
// *NoPersonError for a number that nobody has; of one who is forgotten it is what
// stayed.
func (t *Tx) Personal(id session.PersonID) (Personal, error) {
	person, ok, err := t.Person(id)
	if err != nil || !ok {
		return Personal{}, errors.Join(err, missing(ok, id))
	}
	p := Personal{Number: id, Name: person.Name, Platform: person.Platform, Chats: []PersonalChat{}, Jobs: []PersonalJob{}}
	own := person.own()
	if person.Platform != "" {
		b := t.bucket(bucketAccess)
		p.Owner = string(b.Get(keyOwner)) == person.Platform
		p.Let = bytes.Clone(b.Get(under(underLet, []byte(person.Platform))))
		shut, ok, err := t.ShutOf(person.Platform)
		if err != nil {
			return p, err
		}
		if ok {
			p.Shut = &shut
		}
	}
	err = t.bucket(bucketTalk).ForEach(func(k, v []byte) error {
		if talkOf(k) != id {
			return nil
		}
		chat, _, _ := bytes.Cut(k, []byte{0})
		c := PersonalChat{Chat: string(chat)}
		p.Chats = append(p.Chats, c)
		return json.Unmarshal(v, &p.Chats[len(p.Chats)-1].Conversation)
	})
	if err != nil {
		return p, err
	}
	if err := t.personalJobs(&p); err != nil {
		return p, err
	}
	err = t.bucket(bucketOutbox).ForEach(func(k, v []byte) error {
		r, err := row(binary.BigEndian.Uint64(k), v)
		if r.Person == id || own(r.Chat) {
			p.Outbox = append(p.Outbox, r)
		}
		return err
	})
	if err != nil {
		return p, err
	}
	err = t.bucket(bucketParked).ForEach(func(_, v []byte) error {
		var r Parked
		err := json.Unmarshal(v, &r)
		if r.Person == id || own(r.Chat) {
			p.Parked = append(p.Parked, r)
		}
		return err
	})
	if err != nil {
		return p, err
	}
	err = t.bucket(bucketInbox).ForEach(func(k, v []byte) error {
		if l := letter(k, v); person.wrote(l.Raw) {
			p.Inbox = append(p.Inbox, PersonalLetter{Raw: string(l.Raw)})
		}
		return nil
	})
	if err != nil {
		return p, err
	}
	return p, t.bucket(bucketDead).ForEach(func(_, v []byte) error {
		var d Dead
		err := json.Unmarshal(v, &d)
		if person.wrote(d.Raw) {
			p.Dead = append(p.Dead, PersonalLetter{string(d.Raw), d.Why})
		}
		return err
	})
}

func missing(ok bool, id session.PersonID) error {
	if ok {
		return nil
	}
	return &NoPersonError{id}
}

// personalJobs gathers the events of a person, and what they kept.
func (t *Tx) personalJobs(p *Personal) error {
	headers, err := t.Headers()
	if err != nil {
		return err
	}
	for _, h := range headers {
		j := PersonalJob{ID: h.ID, Name: h.Name, Chat: h.Chat, Notes: []PersonalNote{}}
		for stored := range t.Stored(h.ID, 1) {
			by, _, err := glance(stored)
			if err != nil {
				return fmt.Errorf("job %s: %w", h.ID, err)
			}
			if by == p.Number {
				j.Events = append(j.Events, bytes.Clone(stored))
			}
		}
		if len(j.Events) == 0 {
			continue
		}
		job, err := t.Job(h.ID)
		if err != nil {
			return err
		}
		for _, n := range job.Kept() {
			if n.By != p.Number {
				continue
			}
			note := PersonalNote{Station: job.StationName(n.Station), Text: n.Text, At: n.At}
			if n.Shows() {
				note.Photo = n.Photo.String()
			}
			j.Notes = append(j.Notes, note)
		}
		p.Jobs = append(p.Jobs, j)
	}
	return nil
}

// own says which chats are a person's own: where a platform has private chats,
// the chat with a person has the person's id as its key, with a topic of it
// behind a slash.
func (p Person) own() func(chat string) bool {
	return func(chat string) bool {
		return p.Platform != "" && (chat == p.Platform || strings.HasPrefix(chat, p.Platform+"/"))
	}
}
