package madesite

import (
	"encoding/json"
	"fmt"
	"reflect"
	"time"

	"rodcall/session"
)

// Chat is a chat with one person in memory: what an engine does, without one.
// The log is kept as it would be stored.
type Chat struct {
	Lang    string
	Now     time.Time
	Talk    session.Conversation
	Job     *session.Job
	Replies []session.Reply // to the last message
	Keys    [][]string      // what the phone shows under the text, nil for nothing
	Sent    []string        // every text, for what went wrong

	chat   session.Chat
	events []session.Event
	log    [][]byte // events as stored
	last   session.Hash
	next   int
}

// NewChat is an empty chat in a language.
func NewChat(lang string) *Chat {
	return &Chat{
		Lang: lang, Now: time.Date(2026, 5, 4, 13, 0, 0, 0, time.UTC), chat: session.Chat{ID: "yard"},
		Talk: session.Conversation{Lang: lang, Chosen: true},
	}
}

// Say sends a text, Tap taps the button that sends a text. lost is how many
// times what came of it is lost before it is kept: it is heard again then.
func (c *Chat) Say(text string, lost int) error {
	c.next++
	return c.hear(session.Message{Kind: session.Said, ID: fmt.Sprint(c.next), Text: text}, lost)
}

// Speak sends a voice note in which that is heard. It is heard twice, as an engine
// does: first for what is to be listened for.
func (c *Chat) Speak(heard session.Heard) error {
	c.next++
	m := session.Message{Kind: session.Spoken, ID: fmt.Sprint(c.next), From: session.Person{ID: 1, Name: "ann"}, At: c.Now, Private: true}
	if o := session.Hear(c.chat, c.Job, c.Talk, m); o.Listen == nil || len(o.Events)+len(o.Replies) > 0 {
		return fmt.Errorf("a voice note gives %+v before it is listened to", o)
	}
	m.Heard = &heard
	return c.hear(m, 0)
}

// Tap taps a button of the pending question.
func (c *Chat) Tap(b session.Button) error {
	if c.Talk.Question == nil {
		return fmt.Errorf("no question to tap %q at", b.Label)
	}
	return c.hear(session.Message{Kind: session.Tapped, Question: c.Talk.Question.Number, Text: b.Text}, 0)
}

func (c *Chat) hear(m session.Message, lost int) error {
	m.From, m.At, m.FreshID, m.Private = session.Person{ID: 1, Name: "ann"}, c.Now, "j1", true
	c.Now = c.Now.Add(10 * time.Second)
	if m.Heard != nil {
		c.Sent = append(c.Sent, "(spoken) "+m.Heard.Text)
	} else {
		c.Sent = append(c.Sent, m.Text)
	}
	o := session.Hear(c.chat, c.Job, c.Talk, m)
	for range lost {
		again := session.Hear(c.chat, c.Job, c.Talk, m)
		if !reflect.DeepEqual(o, again) {
			return fmt.Errorf("%q heard twice: %+v, then %+v", m.Text, o, again)
		}
		o = again
	}
	for _, e := range o.Events {
		if c.Job == nil {
			c.Job = session.NewJob()
		}
		stored, err := session.Encode(e, c.last)
		if err != nil {
			return err
		}
		c.log, c.last, c.events = append(c.log, stored), session.HashOf(stored), append(c.events, e)
		if err := c.Job.Apply(e); err != nil {
			return fmt.Errorf("%q: %w", m.Text, err)
		}
	}
	c.chat, c.Talk, c.Replies = o.Chat, o.Conversation, o.Replies
	for _, r := range o.Replies {
		if r.NoKeys || len(r.Keys) > 0 {
			c.Keys = r.Keys
		}
	}
	return nil
}

// Restart reads everything back from what was stored, as after the process
// died.
func (c *Chat) Restart() error {
	var events []session.Event
	prev := session.Hash{}
	for i, stored := range c.log {
		e, before, err := session.Decode(stored)
		if err != nil {
			return fmt.Errorf("event %d read back: %w", i+1, err)
		}
		if before != prev {
			return fmt.Errorf("event %d read back: its chain is broken", i+1)
		}
		events, prev = append(events, e), session.HashOf(stored)
	}
	job, err := session.Fold(events)
	if err != nil {
		return err
	}
	c.Job, c.events = job, events
	for _, v := range []any{&c.chat, &c.Talk} {
		b, err := json.Marshal(v)
		if err != nil {
			return err
		}
		fresh := reflect.New(reflect.TypeOf(v).Elem())
		if err := json.Unmarshal(b, fresh.Interface()); err != nil {
			return err
		}
		reflect.ValueOf(v).Elem().Set(fresh.Elem())
	}
	return nil
}

// Events are the chat's log.
func (c *Chat) Events() []session.Event { return c.events }
