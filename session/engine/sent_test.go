package engine

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"rodcall/reduce"
	"rodcall/session"
	"rodcall/session/report"
	"rodcall/session/store"
)

// A reply that can never be sent, because the platform refuses it for good,
// sending it panics or its picture cannot be drawn, is parked with the reason;
// what is behind it in its chat is sent.
func TestPark(t *testing.T) {
	p, s := &toy{}, newStore(t)
	p.send = func(d Delivery) error {
		switch d.Reply.Text {
		case "refused":
			return &PermanentError{errors.New("message is too long")}
		case "panics":
			panic("send fell over")
		}
		return nil
	}
	e := start(t, Config{Store: s, Port: p,
		Draw: func(io.Writer, *session.Job, session.PictureKind, string, time.Time, report.Sources) error {
			return errors.New("no outline")
		},
		Hear: func(c session.Chat, j *session.Job, talk session.Conversation, m session.Message) session.Outcome {
			o := echo(c, j, talk, m)
			switch m.Text {
			case "picture":
				o.Replies[0].Picture = j.ID
			case "another's picture":
				o.Replies[0].Picture = "j999"
			}
			return o
		}})
	for i, text := range []string{"one", "refused", "two", "panics", "picture", "another's picture", "three"} {
		receive(t, e, said(int64(i+1), "a", "ann", text))
	}
	settle(t, e)
	if diff := cmp.Diff([]string{"one", "two", "three"}, p.texts("a")); diff != "" {
		t.Errorf("sent:\n%s", diff)
	}
	want := []string{
		"refused: send: cannot be sent: message is too long",
		"panics: send: cannot be sent: panic: send fell over",
		"picture: send: cannot be sent: draw: no outline",
		`another's picture: send: cannot be sent: draw: no job "j999"`,
	}
	view(t, s, func(tx *store.Tx) error {
		parked, err := tx.Parked(10)
		var got []string
		for _, p := range parked {
			got = append(got, p.Reply.Text+": "+p.Why)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("parked:\n%s", diff)
		}
		if rows, err := tx.Outbox(0, 10); len(rows) != 0 || err != nil {
			t.Errorf("outbox %v, %v", rows, err)
		}
		return err
	})
}

// asker answers "ask 3" by asking for corner 3, and "where" with the job and
// the station that the message replied to asked for.
func asker(c session.Chat, j *session.Job, talk session.Conversation, m session.Message) session.Outcome {
	o := echo(c, j, talk, m)
	switch {
	case strings.HasPrefix(m.Text, "ask "):
		o.Replies[0].Asks = session.Place{Job: o.Job, Station: reduce.Corner(int(m.Text[4] - '0'))}
	case m.Text == "where" && m.Asked == (session.Place{}):
		o.Replies[0].Text = "nowhere"
	case m.Text == "where":
		o.Replies[0].Text = fmt.Sprintf("%s c%d", m.Asked.Job, m.Asked.Station.Number)
	}
	return o
}

// where is a message that replies to the bot's message sent.
func where(id int64, chat, sent string) Update {
	return raw(id, toyUpdate{Chat: chat, Who: "ann", Kind: session.Said, ID: "w", Text: "where", Sent: sent})
}

// A reply to a question that was sent finds its station, in its chat, after a
// restart too.
func TestReplyFindsStation(t *testing.T) {
	p, s := &toy{}, newStore(t)
	cfg := Config{Store: s, Port: p, Hear: asker}
	e := start(t, cfg)
	receive(t, e, said(1, "a", "ann", "ask 3"), said(2, "a", "ann", "ask 7"), said(3, "a", "ann", "hello"), said(4, "b", "bo", "x"))
	settle(t, e)
	sent := map[string]string{}
	for _, d := range p.sent["a"] {
		sent[d.Reply.Text] = fmt.Sprint("s", d.Row)
	}
	ask := func(id int64) {
		t.Helper()
		receive(t, e, where(id, "a", sent["ask 7"]), where(id+1, "a", sent["ask 3"]), where(id+2, "a", sent["hello"]),
			where(id+3, "b", sent["ask 3"]), where(id+4, "a", "s99"), where(id+5, "a", ""))
		settle(t, e)
		a, b := p.texts("a"), p.texts("b")
		if diff := cmp.Diff([]string{"j1 c7", "j1 c3", "nowhere", "nowhere", "nowhere"}, a[len(a)-5:]); diff != "" {
			t.Errorf("chat a:\n%s", diff)
		}
		if got := b[len(b)-1]; got != "nowhere" {
			t.Errorf("in another chat: %q", got)
		}
	}
	ask(10)
	stop(t, e)
	e = start(t, cfg)
	ask(20)
}

// What a sent message asked for is stored as its row goes, or not at all:
// where that fails, it is sent again and a reply to the second one finds the
// station.
func TestSentWithRow(t *testing.T) {
	p, s := &toy{}, newStore(t)
	disk := &disk{s: s}
	cfg := Config{Store: s, Port: p, Hear: asker, update: disk.update}
	// From the moment that it is being sent, the disk is full.
	p.send = func(Delivery) error { disk.full.Store(true); return nil }
	e := start(t, cfg)
	receive(t, e, said(1, "a", "ann", "ask 3"))
	disk.waitFailed(t, 2)
	view(t, s, func(tx *store.Tx) error {
		asked, err := tx.Asked("a", "s1")
		if asked != (session.Place{}) || err != nil {
			t.Errorf("stored without the row: %v, %v", asked, err)
		}
		if rows, err := tx.Outbox(0, 10); len(rows) != 1 || err != nil {
			t.Errorf("outbox %v, %v", rows, err)
		}
		return nil
	})
	stop(t, e)
	disk.full.Store(false)
	p.send = nil
	e = start(t, cfg)
	settle(t, e)
	receive(t, e, where(2, "a", "s1"))
	settle(t, e)
	if diff := cmp.Diff([]string{"ask 3", "ask 3", "j1 c3"}, p.texts("a")); diff != "" {
		t.Errorf("sent:\n%s", diff)
	}
}

// A picture is drawn with the head of the log that it is drawn from.
func TestDrawnFrom(t *testing.T) {
	p, s := &toy{}, newStore(t)
	var mu sync.Mutex
	drawn := map[report.Head]uint64{}
	e := start(t, Config{Store: s, Port: p,
		Draw: func(_ io.Writer, j *session.Job, _ session.PictureKind, _ string, _ time.Time, src report.Sources) error {
			mu.Lock()
			defer mu.Unlock()
			drawn[src.Head] = j.Seq
			return nil
		},
		Hear: func(c session.Chat, j *session.Job, talk session.Conversation, m session.Message) session.Outcome {
			o := echo(c, j, talk, m)
			if j != nil {
				o.Replies[0].Picture = j.ID
			}
			return o
		}})
	for i := range 20 {
		receive(t, e, said(int64(i+1), "a", "ann", "again"))
	}
	settle(t, e)
	if len(drawn) == 0 {
		t.Fatal("nothing was drawn")
	}
	view(t, s, func(tx *store.Tx) error {
		headers, err := tx.Headers()
		if err != nil {
			return err
		}
		for head, seq := range drawn {
			if hash, err := tx.HashOf(headers[0].ID, head.Seq); head.Seq != seq || hash != head.Hash || err != nil {
				t.Errorf("drawn at event %d from %+v; the log has %s, %v", seq, head, hash, err)
			}
		}
		return nil
	})
}
