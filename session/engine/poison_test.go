package engine

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rodcall/session"
	"rodcall/session/store"
)

// deadLetters lists the ids of the updates that were put aside, and why.
func deadLetters(t *testing.T, s *store.Store) map[int64]string {
	t.Helper()
	out := map[int64]string{}
	view(t, s, func(tx *store.Tx) error {
		dead, err := tx.Dead(100)
		for _, d := range dead {
			out[d.ID] = string(d.Raw) + ": " + d.Why
		}
		return err
	})
	return out
}

// What makes Hear panic, or the adapter fail or panic, is put aside with an
// alert; what came before and after it is heard, in its chat and in others,
// and it does not come back at the next start.
func TestPoison(t *testing.T) {
	p, s := &toy{}, newStore(t)
	var alerts []error // one call at a time, and all before Wait returns
	cfg := Config{Store: s, Port: p, Hear: echo, Alert: func(err error) { alerts = append(alerts, err) }}
	e := start(t, cfg)
	boomA, boomB := said(3, "a", "ann", "boom"), said(7, "b", "bo", "boom")
	receive(t, e,
		said(1, "a", "ann", "one"), Update{ID: 2, Raw: []byte("not JSON")}, boomA,
		said(4, "b", "bo", "x"), Update{ID: 5, Raw: []byte("panic")}, said(6, "a", "ann", "two"),
		boomB, said(8, "b", "bo", "y"), Update{ID: 9, Raw: []byte("ignore")}, Update{ID: 10, Raw: []byte("{}")},
		said(11, "new", "cy", "boom"), said(12, "new", "cy", "hello"))
	settle(t, e)

	for chat, want := range map[string][]string{"a": {"1", "6"}, "b": {"4", "8"}, "new": {"12"}} {
		if diff := cmp.Diff(want, heard(t, s, chat)); diff != "" {
			t.Errorf("%s heard:\n%s", chat, diff)
		}
		if got := p.texts(chat); len(got) != len(want) {
			t.Errorf("%s was sent %q", chat, got)
		}
	}
	want := map[int64]string{
		2:  "not JSON: invalid character 'o' in literal null (expecting 'u')",
		3:  string(boomA.Raw) + ": panic: hear fell over",
		5:  "panic: panic: decode fell over",
		7:  string(boomB.Raw) + ": panic: hear fell over",
		10: "{}: it names no chat",
		11: string(said(11, "new", "cy", "boom").Raw) + ": panic: hear fell over",
	}
	if diff := cmp.Diff(want, deadLetters(t, s)); diff != "" {
		t.Errorf("dead letters:\n%s", diff)
	}
	undecoded, unheard := map[int64]bool{}, map[string]bool{}
	for _, err := range alerts {
		var d *DecodeError
		var h *HearError
		switch {
		case errors.As(err, &d):
			undecoded[d.Update] = true
		case errors.As(err, &h):
			unheard[h.Chat] = true
			var p *PanicError
			if !errors.As(err, &p) || !strings.Contains(string(p.Stack), "echo") {
				t.Errorf("alert %v does not say where the panic was", err)
			}
		default:
			t.Errorf("alert %v", err)
		}
	}
	if diff := cmp.Diff(map[int64]bool{2: true, 5: true, 10: true}, undecoded); diff != "" || len(alerts) != 6 {
		t.Errorf("%d alerts, undecoded:\n%s", len(alerts), diff)
	}
	if diff := cmp.Diff(map[string]bool{"a": true, "b": true, "new": true}, unheard); diff != "" {
		t.Errorf("unheard:\n%s", diff)
	}
	stop(t, e)

	e = start(t, cfg)
	receive(t, e, boomA, said(13, "a", "ann", "three"))
	settle(t, e)
	if len(alerts) != 6 || len(deadLetters(t, s)) != 6 {
		t.Errorf("after a restart: %d alerts, %d dead letters; want 6 of each", len(alerts), len(deadLetters(t, s)))
	}
}

// An alert that takes its time keeps no other chat waiting, and may itself
// give the engine something to do.
func TestSlowAlert(t *testing.T) {
	p, s := &toy{}, newStore(t)
	answered := make(chan struct{})
	p.send = func(d Delivery) error {
		if d.Chat == "b" {
			close(answered)
		}
		return nil
	}
	var e *Engine
	e = start(t, Config{Store: s, Port: p, Hear: echo, Alert: func(error) {
		if err := e.Receive([]Update{said(2, "b", "bo", "x")}, nil); err != nil {
			t.Error(err)
		}
		select {
		case <-answered:
		case <-deadline(t).Done():
			t.Error("chat b waits for the alert of chat a")
		}
	}})
	receive(t, e, said(1, "a", "ann", "boom"), said(3, "a", "ann", "after"))
	settle(t, e)
	if diff := cmp.Diff([]string{"3"}, heard(t, s, "a")); diff != "" {
		t.Error(diff)
	}
}

// An outcome that the file refuses is put aside as a panic is: nothing of it
// is stored, and the next message is heard.
func TestRefusedOutcome(t *testing.T) {
	p, s := &toy{}, newStore(t)
	var alerts []error
	e := start(t, Config{Store: s, Port: p, Alert: func(err error) { alerts = append(alerts, err) },
		Hear: func(c session.Chat, j *session.Job, talk session.Conversation, m session.Message) session.Outcome {
			o := echo(c, j, talk, m)
			if m.Text == "skips one" {
				o.Events[0].Seq++
			}
			return o
		}})
	receive(t, e, said(1, "a", "ann", "one"), said(2, "a", "ann", "skips one"), said(3, "a", "ann", "two"))
	settle(t, e)
	if diff := cmp.Diff([]string{"one", "two"}, p.texts("a")); diff != "" {
		t.Errorf("sent:\n%s", diff)
	}
	var order *store.SequenceError
	if len(alerts) != 1 || !errors.As(alerts[0], &order) || order.Want != 2 || order.Got != 3 {
		t.Errorf("alerts %v, want one *store.SequenceError", alerts)
	}
	if len(deadLetters(t, s)) != 1 || len(heard(t, s, "a")) != 2 {
		t.Errorf("dead letters %v", deadLetters(t, s))
	}
}
