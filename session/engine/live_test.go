package engine

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rodcall/session"
)

// board answers "v1", "v2" … with a live message and anything else as echo
// does.
func board(c session.Chat, j *session.Job, talk session.Conversation, m session.Message) session.Outcome {
	o := echo(c, j, talk, m)
	if strings.HasPrefix(m.Text, "v") {
		o.Replies[0].Live = "board"
	}
	return o
}

// gated is a toy platform whose sends to chat a wait until the test lets each
// of them go.
func gated() (p *toy, began chan string, goOn chan struct{}) {
	p, began, goOn = &toy{}, make(chan string), make(chan struct{})
	p.send = func(d Delivery) error {
		if d.Chat == "a" {
			began <- d.Reply.Text
			<-goOn
		}
		return nil
	}
	return p, began, goOn
}

// begins waits for a send to chat a to begin.
func begins(t *testing.T, began <-chan string, want string) {
	t.Helper()
	select {
	case got := <-began:
		if got != want {
			t.Fatalf("%q is being sent, want %q", got, want)
		}
	case <-deadline(t).Done():
		t.Fatalf("%q is not sent", want)
	}
}

// committed waits until the log of chat a has n messages.
func committed(t *testing.T, e *Engine, n int) {
	t.Helper()
	for ctx := deadline(t); len(heard(t, e.cfg.Store, "a")) < n; {
		if ctx.Err() != nil {
			t.Fatal("not committed")
		}
	}
}

// A live message that is not yet sent is replaced by its newer version, in
// its place; of one that is being sent, the newest version follows; one that
// was sent is not called back.
func TestLiveReplaced(t *testing.T) {
	p, began, goOn := gated()
	s := newStore(t)
	e := start(t, Config{Store: s, Port: p, Hear: board})
	next := int64(0)
	say := func(texts ...string) {
		t.Helper()
		for _, text := range texts {
			next++
			receive(t, e, said(next, "a", "ann", text))
		}
		committed(t, e, int(next))
	}
	say("one")
	begins(t, began, "one")
	say("v1", "two", "v2", "v3", "three")
	goOn <- struct{}{}
	begins(t, began, "v3")
	say("v4", "v5") // while v3 is being sent
	goOn <- struct{}{}
	begins(t, began, "v5")
	goOn <- struct{}{}
	begins(t, began, "two")
	say("v6") // v5 was sent: this is a new one, at the end
	goOn <- struct{}{}
	for _, text := range []string{"three", "v6"} {
		begins(t, began, text)
		goOn <- struct{}{}
	}
	settle(t, e)
	if diff := cmp.Diff([]string{"one", "v3", "v5", "two", "three", "v6"}, p.texts("a")); diff != "" {
		t.Errorf("sent:\n%s", diff)
	}
}

// A live name means a chat's own message: another chat's is not replaced.
func TestLiveOfEachChat(t *testing.T) {
	p, began, goOn := gated()
	s := newStore(t)
	e := start(t, Config{Store: s, Port: p, Hear: board})
	receive(t, e, said(1, "a", "ann", "one"))
	begins(t, began, "one")
	receive(t, e, said(2, "a", "ann", "v1"))
	committed(t, e, 2)
	for i := range 5 {
		receive(t, e, said(int64(10+i), fmt.Sprint("b", i), "bo", fmt.Sprint("v", i)))
	}
	goOn <- struct{}{}
	begins(t, began, "v1")
	goOn <- struct{}{}
	settle(t, e)
	for i := range 5 {
		if diff := cmp.Diff([]string{fmt.Sprint("v", i)}, p.texts(fmt.Sprint("b", i))); diff != "" {
			t.Error(diff)
		}
	}
}

// A live message that waits at a restart is replaced by what is heard after it.
func TestLiveOverRestart(t *testing.T) {
	p, began, goOn := gated()
	s := newStore(t)
	e := start(t, Config{Store: s, Port: p, Hear: board})
	receive(t, e, said(1, "a", "ann", "one"))
	begins(t, began, "one")
	receive(t, e, said(2, "a", "ann", "v1"), said(3, "a", "ann", "two"))
	committed(t, e, 3)
	closed := make(chan error)
	go func() { closed <- e.Close(deadline(t)) }()
	<-e.closing
	goOn <- struct{}{}
	if err := <-closed; err != nil {
		t.Fatal(err)
	}
	e = start(t, Config{Store: s, Port: p, Hear: board})
	begins(t, began, "v1")
	receive(t, e, said(4, "a", "ann", "v2"))
	committed(t, e, 4)
	for _, text := range []string{"v2", "two"} {
		goOn <- struct{}{}
		begins(t, began, text)
	}
	goOn <- struct{}{}
	settle(t, e)
	if diff := cmp.Diff([]string{"one", "v1", "v2", "two"}, p.texts("a")); diff != "" {
		t.Errorf("sent:\n%s", diff)
	}
}
