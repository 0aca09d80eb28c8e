package main

import (
	"net"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"rodcall/bot/apitest"
)

// TestCrashHidesTheToken ends the program so that it prints all that it was
// doing, at its most talkative, and looks for the token there.
func TestCrashHidesTheToken(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds the program")
	}
	srv := apitest.New(apitest.Config{})
	defer srv.Close()
	p := newProgram(t, srv, "--log", "debug")
	p.run()
	w := letIn(t, srv, p, 1)[0]
	// Requests that fail and hang are under way when it ends.
	srv.Inject(apitest.Trouble{Kind: apitest.ServerError, Method: "sendMessage"},
		apitest.Trouble{Kind: apitest.Slow, Delay: 20 * time.Second, Times: -1})
	w.c.Say(w.u, "1/8 low")
	w.c.Say(w.u, "picture")
	time.Sleep(300 * time.Millisecond)
	if err := p.cmd.Process.Signal(syscall.SIGQUIT); err != nil {
		t.Fatal(err)
	}
	_ = p.cmd.Wait() // it was ended, and says so
	text := p.printed()
	if !strings.Contains(text, "goroutine ") || !strings.Contains(text, "level=DEBUG") && !strings.Contains(text, "level=WARN") {
		t.Errorf("the program did not print what it was doing:\n%.2000s", text)
	}
	_, secret, _ := strings.Cut(srv.Token(), ":")
	if strings.Contains(text, secret) {
		t.Error("the token is in what the program printed when it crashed")
	}
}

// TestServeWebhook serves over a webhook, as a program of its own: updates come
// in, also those of while it was down, and it ends by itself when asked to.
func TestServeWebhook(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds the program")
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	address := l.Addr().String()
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	secret := filepath.Join(t.TempDir(), "secret")
	if err := os.WriteFile(secret, []byte("sesame\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	srv := apitest.New(apitest.Config{WebhookRetry: 50 * time.Millisecond})
	defer srv.Close()
	p := newProgram(t, srv, "--webhook", "http://"+address+"/", "--listen", address, "--secret-file", secret)
	p.run()
	w := letIn(t, srv, p, 1)[0]
	until(t, srv, "the first reading", func() bool { return w.heard("c1: ") })
	p.stop()
	w.c.Say(w.u, "1/8 low") // nobody is there
	p.run()
	until(t, srv, "the reading sent meanwhile", func() bool { return w.heard("c1+4: 1/8 low") })
	p.kill()
	w.c.Say(w.u, "1/4 low")
	p.run()
	until(t, srv, "the reading after a kill", func() bool { return w.heard("c1+8: 1/4 low") })
	p.stop()
	for _, f := range srv.Faults() {
		t.Errorf("a request was refused: %+v", f)
	}
}
