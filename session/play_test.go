package session_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"rodcall/session"
)

// table is a chat held in memory: what an engine does, without one.
type table struct {
	t     testing.TB
	chat  session.Chat
	jobs  map[string]*session.Job
	logs  map[string][]session.Event
	talks map[string]session.Conversation
	ids   map[string]session.PersonID
	now   time.Time
	next  int
	last  session.Outcome
	keys  [][]string // that the last speaker's phone shows
	// private: nobody else is in the chat.
	private bool
	// heard, where it is set, is told of each message, the conversation that it
	// met and what came of it, before its events are applied.
	heard func(session.Message, session.Conversation, session.Outcome)
}

// unfilledRE finds a gap of the catalogue that nothing was put into.
var unfilledRE = regexp.MustCompile(`\{\d`)

func newTable(t testing.TB) *table {
	return &table{
		t: t, chat: session.Chat{ID: "yard"}, jobs: map[string]*session.Job{}, logs: map[string][]session.Event{},
		talks: map[string]session.Conversation{}, ids: map[string]session.PersonID{},
		now: time.Date(2026, 5, 4, 13, 0, 0, 0, time.UTC),
	}
}

func (tb *table) hear(who string, m session.Message) string {
	tb.t.Helper()
	if tb.ids[who] == 0 {
		tb.ids[who] = session.PersonID(len(tb.ids) + 1)
	}
	m.From = session.Person{ID: tb.ids[who], Name: who}
	m.At = tb.now
	m.Private = m.Private || tb.private
	tb.now = tb.now.Add(10 * time.Second)
	m.FreshID = fmt.Sprint("j", tb.next)
	o := session.Hear(tb.chat, tb.jobs[tb.chat.Current], tb.talks[who], m)
	if tb.heard != nil {
		tb.heard(m, tb.talks[who], o)
	}
	tb.last = o
	for _, r := range o.Replies {
		if r.NoKeys || len(r.Keys) > 0 {
			tb.keys = r.Keys
		}
	}
	tb.chat, tb.talks[who] = o.Chat, o.Conversation
	if len(o.Events) > 0 {
		j := tb.jobs[o.Job]
		if j == nil {
			j = session.NewJob()
			tb.jobs[o.Job] = j
		}
		for _, e := range o.Events {
			if err := j.Apply(e); err != nil {
				tb.t.Fatalf("apply %+v: %v", e, err)
			}
		}
		tb.logs[o.Job] = append(tb.logs[o.Job], o.Events...)
	}
	var out []string
	for _, r := range o.Replies {
		s := session.NamePeople(r.Lang, r.Text, r.People, tb.nameOf)
		if unfilledRE.MatchString(s) && !unfilledRE.MatchString(m.Text) {
			tb.t.Errorf("a gap is not filled in the answer to %q: %q", m.Text, s)
		}
		for _, b := range r.Buttons {
			s += " [" + b.Label + "]"
		}
		if r.Picture != "" {
			s += "[picture]"
		}
		out = append(out, s)
	}
	return strings.Join(out, "\n--\n")
}

func (tb *table) nameOf(id session.PersonID) string {
	for name, k := range tb.ids {
		if k == id {
			return name
		}
	}
	return ""
}

// say sends a text and returns the replies.
func (tb *table) say(who, text string) string {
	tb.t.Helper()
	tb.next++
	return tb.hear(who, session.Message{Kind: session.Said, ID: fmt.Sprint(tb.next), Text: text})
}

func (tb *table) edit(who string, id int, text string) string {
	tb.t.Helper()
	return tb.hear(who, session.Message{Kind: session.Edited, ID: fmt.Sprint(id), Text: text})
}

func (tb *table) replyTo(who string, id int, text string) string {
	tb.t.Helper()
	tb.next++
	return tb.hear(who, session.Message{Kind: session.Said, ID: fmt.Sprint(tb.next), Text: text, ReplyTo: fmt.Sprint(id)})
}

// tap taps the newest button with that label.
func (tb *table) tap(who, label string) string {
	tb.t.Helper()
	q := tb.talks[who].Question
	if q == nil {
		tb.t.Fatalf("no question to tap %q at", label)
	}
	for _, q := range append([]session.Question{*q}, q.Also...) {
		for _, b := range q.Buttons {
			if b.Label == label {
				return tb.hear(who, session.Message{Kind: session.Tapped, Question: q.Number, Text: b.Text})
			}
		}
	}
	tb.t.Fatalf("no button %q in %v", label, q.Buttons)
	return ""
}

func (tb *table) job() *session.Job { return tb.jobs[tb.chat.Current] }

// elevation of a station by name in mm, "" where it has none.
func (tb *table) elevation(name string) string {
	for _, s := range tb.job().View().Stations {
		if s.Name == name && s.Elevation != nil {
			return s.Elevation.String()
		}
	}
	return ""
}
